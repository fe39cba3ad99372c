package matter

const (
	waterName   = "water"
	waterSource = "IAPWS SR6-08(2011), liquid water at 0.1 MPa"
	iceSource   = "IAPWS R10-06(2009), equation of state of ice Ih"
)

// waterSubstance takes its values from the functions of this package, so that
// each stands once.
func waterSubstance() Substance {
	liquid := Water(MeltingPoint)
	return Substance{
		Name: waterName, Label: "ice and water", Aliases: []string{"ice", "h2o"},
		HasPhaseChange:     true,
		Melting:            known(MeltingPoint, 0.01, "0 degC by convention; tap water melts up to some 0.02 K lower"),
		Latent:             known(LatentHeatFusion, 70, "enthalpy of water (IAPWS-95) less that of ice (IAPWS R10-06(2009))"),
		SolidDensity:       known(IceDensity(MeltingPoint), 2, iceSource+"; the spread is for bubbles in home-made ice (common practice)"),
		LiquidDensity:      known(liquid.Density, 0.01, waterSource),
		SolidSpecificHeat:  known(IceSpecificHeat(MeltingPoint), 4, iceSource),
		LiquidSpecificHeat: known(liquid.SpecificHeat, 4, waterSource),
		SolidConductivity: Property{
			Value:  IceConductivity(MeltingPoint),
			Spread: IceConductivitySpread * IceConductivity(MeltingPoint),
			Low:    2.07, High: 2.24,
			Source: "Andersson & Suga, Phys. Rev. B 50 (1994) 6583; span from Yen, CRREL 81-10 (1981), to handbooks",
		},
		LiquidConductivity: known(liquid.Conductivity, 0.01*liquid.Conductivity, waterSource),
		LiquidViscosity:    known(liquid.Viscosity, 0.005*liquid.Viscosity, waterSource),
		LiquidExpansion:    known(liquid.Expansion, 1e-7, waterSource),
		Evaporates:         true,
		Note:               "grows by 9 % on freezing; densest at 4 degC",
	}
}

const brineSource = "CRC Handbook of Chemistry and Physics, aqueous sodium chloride (from memory, page not verified)"

// brines stay liquid in use: a brine below its freezing point gives off ice
// little by little over a wide span of temperature, which is not modelled.
func brines() []Substance {
	const note = "treated as liquid throughout: keep it above its freezing point"
	return []Substance{
		{
			Name: "brine_10", Label: "brine, 10 % sodium chloride by mass", Aliases: []string{"brine", "salt water"},
			Melting:            degC(known(-6.6, 0.1, brineSource)),
			LiquidDensity:      known(1077, 3, brineSource),
			LiquidSpecificHeat: known(3690, 60, brineSource),
			LiquidConductivity: known(0.545, 0.015, brineSource),
			LiquidViscosity:    known(2.05e-3, 0.1e-3, brineSource),
			LiquidExpansion:    spanned(2.0e-4, 3.5e-4, brineSource),
			Evaporates:         true,
			Note:               note,
		},
		{
			Name: "brine_20", Label: "brine, 20 % sodium chloride by mass",
			Melting:            degC(known(-16.5, 0.2, brineSource)),
			LiquidDensity:      known(1157, 4, brineSource),
			LiquidSpecificHeat: known(3370, 60, brineSource),
			LiquidConductivity: known(0.53, 0.02, brineSource),
			LiquidViscosity:    known(2.7e-3, 0.2e-3, brineSource),
			LiquidExpansion:    spanned(3.0e-4, 4.5e-4, brineSource),
			Evaporates:         true,
			Note:               note,
		},
	}
}
