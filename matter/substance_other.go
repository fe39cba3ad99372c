package matter

// Sources of the organic substances and the salt hydrates. Reviews of the
// field disagree by some 5 to 10 % on heats and by 20 to 50 % on the solid's
// conductivity; the spreads say so.
const (
	alkaneSource  = "reviews of phase change materials: Zalba et al., Appl. Therm. Eng. 23 (2003) 251; Kenisarin, Solar Energy 107 (2014) 553 (values from memory)"
	octaSource    = "Faden et al., Materials 12(18), 2974 (2019), review of octadecane (values from memory)"
	hydrateSource = "reviews of phase change materials: Zalba et al., Appl. Therm. Eng. 23 (2003) 251; Sharma et al., Renew. Sust. Energy Rev. 13 (2009) 318 (values from memory)"
)

func paraffins() []Substance {
	return []Substance{
		{
			Name: "tetradecane", Label: "tetradecane", Aliases: []string{"n-tetradecane"},
			HasPhaseChange:     true,
			Melting:            degC(known(5.8, 0.3, alkaneSource)),
			Latent:             spanned(215e3, 230e3, alkaneSource),
			SolidDensity:       spanned(810, 850, alkaneSource),
			LiquidDensity:      known(772, 4, alkaneSource),
			SolidSpecificHeat:  spanned(1700, 2100, alkaneSource),
			LiquidSpecificHeat: known(2180, 60, alkaneSource),
			SolidConductivity:  spanned(0.20, 0.40, alkaneSource),
			LiquidConductivity: known(0.145, 0.006, alkaneSource),
			LiquidViscosity:    known(3.1e-3, 0.3e-3, alkaneSource),
			LiquidExpansion:    known(9.0e-4, 0.5e-4, alkaneSource),
		},
		{
			Name: "hexadecane", Label: "hexadecane", Aliases: []string{"n-hexadecane", "cetane"},
			HasPhaseChange:     true,
			Melting:            degC(known(18.2, 0.3, alkaneSource)),
			Latent:             spanned(225e3, 240e3, alkaneSource),
			SolidDensity:       spanned(820, 860, alkaneSource),
			LiquidDensity:      known(775, 3, alkaneSource),
			SolidSpecificHeat:  spanned(1700, 2100, alkaneSource),
			LiquidSpecificHeat: known(2210, 60, alkaneSource),
			SolidConductivity:  spanned(0.20, 0.40, alkaneSource),
			LiquidConductivity: known(0.146, 0.005, alkaneSource),
			LiquidViscosity:    known(3.5e-3, 0.2e-3, alkaneSource),
			LiquidExpansion:    known(9.0e-4, 0.5e-4, alkaneSource),
		},
		{
			Name: "octadecane", Label: "octadecane", Aliases: []string{"n-octadecane"},
			HasPhaseChange:     true,
			Melting:            degC(known(28.1, 0.3, octaSource)),
			Latent:             known(243e3, 4e3, octaSource),
			SolidDensity:       known(866, 10, octaSource),
			LiquidDensity:      known(776, 2, octaSource),
			SolidSpecificHeat:  spanned(1800, 2150, octaSource),
			LiquidSpecificHeat: known(2250, 50, octaSource),
			SolidConductivity:  spanned(0.25, 0.45, octaSource),
			LiquidConductivity: known(0.148, 0.006, octaSource),
			LiquidViscosity:    known(3.9e-3, 0.2e-3, octaSource),
			LiquidExpansion:    known(8.9e-4, 0.5e-4, octaSource),
		},
		{
			Name: "paraffin", Label: "paraffin wax, melting at about 55 degC", Aliases: []string{"paraffin wax", "candle wax", "wax"},
			HasPhaseChange:     true,
			Melting:            degC(spanned(52, 58, alkaneSource)),
			Latent:             spanned(160e3, 210e3, alkaneSource),
			SolidDensity:       spanned(880, 930, alkaneSource),
			LiquidDensity:      spanned(760, 790, alkaneSource),
			SolidSpecificHeat:  spanned(2000, 2900, alkaneSource),
			LiquidSpecificHeat: spanned(2100, 2500, alkaneSource),
			SolidConductivity:  spanned(0.20, 0.28, alkaneSource),
			LiquidConductivity: spanned(0.14, 0.20, alkaneSource),
			LiquidViscosity:    spanned(4e-3, 8e-3, alkaneSource),
			LiquidExpansion:    spanned(7.5e-4, 9.5e-4, alkaneSource),
			Note:               "household candle wax, for a hot store; it melts over several kelvins, not at one temperature",
		},
	}
}

func saltHydrates() []Substance {
	const note = "supercools before it freezes and may separate after some cycles; loses water if left open"
	return []Substance{
		{
			Name: "sodium_sulfate_decahydrate", Label: "sodium sulfate decahydrate", Aliases: []string{"glauber's salt", "glauber salt", "sodium sulphate decahydrate"},
			HasPhaseChange:     true,
			Melting:            degC(known(32.4, 0.2, hydrateSource)),
			Latent:             spanned(225e3, 254e3, hydrateSource),
			SolidDensity:       known(1470, 15, hydrateSource),
			LiquidDensity:      known(1330, 20, hydrateSource),
			SolidSpecificHeat:  known(1930, 100, hydrateSource),
			LiquidSpecificHeat: known(3200, 150, hydrateSource),
			SolidConductivity:  known(0.54, 0.05, hydrateSource),
			LiquidConductivity: known(0.50, 0.05, hydrateSource),
			LiquidViscosity:    spanned(2e-3, 6e-3, "judgement, from saturated solutions"),
			LiquidExpansion:    spanned(3e-4, 6e-4, "judgement, from concentrated salt solutions"),
			Note:               note,
		},
		{
			Name: "calcium_chloride_hexahydrate", Label: "calcium chloride hexahydrate",
			HasPhaseChange:     true,
			Melting:            degC(spanned(29, 30, hydrateSource)),
			Latent:             spanned(170e3, 192e3, hydrateSource),
			SolidDensity:       spanned(1680, 1802, hydrateSource),
			LiquidDensity:      spanned(1496, 1562, hydrateSource),
			SolidSpecificHeat:  known(1420, 70, hydrateSource),
			LiquidSpecificHeat: known(2150, 100, hydrateSource),
			SolidConductivity:  known(1.088, 0.08, hydrateSource),
			LiquidConductivity: known(0.54, 0.03, hydrateSource),
			LiquidViscosity:    spanned(8e-3, 14e-3, "judgement, from concentrated solutions"),
			LiquidExpansion:    spanned(3e-4, 6e-4, "judgement, from concentrated salt solutions"),
			Note:               note,
		},
		{
			Name: "sodium_acetate_trihydrate", Label: "sodium acetate trihydrate", Aliases: []string{"hot ice"},
			HasPhaseChange:     true,
			Melting:            degC(known(58, 0.5, hydrateSource)),
			Latent:             spanned(226e3, 270e3, hydrateSource),
			SolidDensity:       known(1450, 20, hydrateSource),
			LiquidDensity:      known(1280, 20, hydrateSource),
			SolidSpecificHeat:  spanned(1900, 2800, hydrateSource),
			LiquidSpecificHeat: spanned(2800, 3200, hydrateSource),
			SolidConductivity:  spanned(0.5, 0.75, hydrateSource),
			LiquidConductivity: spanned(0.38, 0.45, hydrateSource),
			LiquidViscosity:    spanned(4e-3, 15e-3, "judgement, from concentrated solutions"),
			LiquidExpansion:    spanned(3e-4, 6e-4, "judgement, from concentrated salt solutions"),
			Note:               note + "; supercools by tens of kelvins unless seeded",
		},
	}
}
