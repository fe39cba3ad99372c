package matter

// Sources of the printed polymers.
const (
	sheets       = "span of textbooks and makers' data sheets (from memory)"
	plaSpan      = "lowest: Zmeskal et al., AIP Conf. Proc. 2305, 020022 (2020), 0.12; highest: Baraboi et al., Materials 19(13), 2793 (2026), guarded hot plate, 0.267"
	foamedPLA    = "Baraboi et al., Materials 19(13), 2793 (2026), guarded hot plate, 0.114 ± 0.005 (k = 2) for one foaming grade; widened because the foaming depends on the printing temperature (judgement)"
	tpuSpan      = "span of data sheets (from memory) and Rodriguez et al., Materials 16(23), 7384 (2023), 0.26 ± 0.05"
	polymerGlow  = "0.90 to 0.95 for matt plastics, common practice; no measurement on prints was found"
	layerSources = "judgement for plain polymers printed without infill: 1 is a part without voids; printed composites reach a ratio of 2 (Progress in Additive Manufacturing, 2019, anisotropic conductivity in fused filament fabrication, abstract)"
)

// printed fills in what all printed polymers share.
func printed(s Solid) Solid {
	s.Printed = true
	s.Emissivity = spanned(0.90, 0.95, polymerGlow)
	s.LayerRatio = spanned(0.65, 1, layerSources)
	return s
}

func printedSolids() []Solid {
	return []Solid{
		printed(Solid{
			Name: "pla", Label: "PLA", Aliases: []string{"polylactic acid", "polylactide"},
			Conductivity:         spanned(0.12, 0.27, plaSpan),
			Density:              known(1240, 10, sheets),
			SpecificHeat:         spanned(1200, 1800, sheets),
			SofteningTemperature: degC(spanned(55, 60, sheets)),
		}),
		printed(Solid{
			Name: "petg", Label: "PETG", Aliases: []string{"pet-g"},
			Conductivity:         spanned(0.19, 0.29, sheets),
			Density:              known(1270, 10, sheets),
			SpecificHeat:         spanned(1100, 1300, sheets),
			SofteningTemperature: degC(spanned(75, 85, sheets)),
		}),
		printed(Solid{
			Name: "abs", Label: "ABS",
			Conductivity:         spanned(0.17, 0.19, sheets),
			Density:              known(1040, 10, sheets),
			SpecificHeat:         spanned(1300, 1500, sheets),
			SofteningTemperature: degC(spanned(100, 105, sheets)),
		}),
		printed(Solid{
			Name: "asa", Label: "ASA",
			Conductivity:         spanned(0.17, 0.19, sheets),
			Density:              known(1070, 10, sheets),
			SpecificHeat:         spanned(1300, 1500, sheets),
			SofteningTemperature: degC(spanned(95, 105, sheets)),
		}),
		printed(Solid{
			Name: "tpu", Label: "TPU",
			Conductivity: spanned(0.20, 0.26, tpuSpan),
			Density:      known(1200, 20, sheets),
			SpecificHeat: spanned(1500, 1900, sheets),
			Note:         "flexible: a soft seal or foot rather than a wall",
		}),
		printed(Solid{
			Name: "nylon", Label: "nylon", Aliases: []string{"polyamide", "pa6", "pa12", "pa"},
			Conductivity:         within(0.25, 0.22, 0.30, standardTable),
			Density:              known(1150, 50, standardTable),
			SpecificHeat:         known(1600, 100, standardTable),
			SofteningTemperature: degC(spanned(45, 70, sheets)),
			Note:                 "takes up water from moist air",
		}),
		printed(Solid{
			Name: "pla_foam", Label: "foamed PLA", Aliases: []string{"foaming pla", "lightweight pla"},
			Conductivity:         within(0.114, 0.08, 0.15, foamedPLA),
			Density:              spanned(500, 900, "foamed to 0.4 to 0.7 of solid density, common practice"),
			SpecificHeat:         spanned(1200, 1800, sheets),
			SofteningTemperature: degC(spanned(55, 60, sheets)),
			Note:                 "weigh a printed cube: density tells how far it foamed",
		}),
	}
}
