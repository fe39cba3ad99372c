package matter

func insulatingSolids() []Solid {
	return []Solid{
		{
			Name: "cork", Label: "cork", Aliases: []string{"cork board", "agglomerated cork"},
			Conductivity: within(0.045, 0.037, 0.065, standardGrades),
			Density:      within(160, 100, 250, standardGrades),
			SpecificHeat: within(1700, 1500, 2000, standardGrades),
			Emissivity:   spanned(0.85, 0.95, nonMetalGlow),
		},
		{
			Name: "xps_foam", Label: "extruded polystyrene foam", Aliases: []string{"xps"},
			Conductivity:         within(0.034, 0.029, 0.040, standardGrades),
			Density:              spanned(25, 45, insulantDensity),
			SpecificHeat:         known(1450, 50, standardTable),
			Emissivity:           spanned(0.85, 0.95, nonMetalGlow),
			SofteningTemperature: degC(spanned(75, 90, sheets)),
		},
		{
			Name: "eps_foam", Label: "expanded polystyrene foam", Aliases: []string{"eps", "bead foam"},
			Conductivity:         within(0.036, 0.030, 0.043, standardGrades),
			Density:              spanned(10, 35, insulantDensity),
			SpecificHeat:         known(1450, 50, standardTable),
			Emissivity:           spanned(0.85, 0.95, nonMetalGlow),
			SofteningTemperature: degC(spanned(75, 90, sheets)),
		},
		{
			Name: "ps_foam_sheet", Label: "polystyrene foam sheet", Aliases: []string{"foam sheet", "model foam"},
			Conductivity:         within(0.034, 0.029, 0.042, "as extruded polystyrene foam, with its skin: "+standardGrades),
			Density:              spanned(30, 60, insulantDensity),
			SpecificHeat:         known(1450, 50, standardTable),
			Emissivity:           spanned(0.85, 0.95, nonMetalGlow),
			SofteningTemperature: degC(spanned(70, 90, sheets)),
		},
		{
			Name: "pu_foam", Label: "polyurethane foam", Aliases: []string{"pur", "pir", "pur foam"},
			Conductivity:         within(0.028, 0.022, 0.038, standardGrades),
			Density:              spanned(25, 50, insulantDensity),
			SpecificHeat:         known(1400, 50, standardTable),
			Emissivity:           spanned(0.85, 0.95, nonMetalGlow),
			SofteningTemperature: degC(spanned(90, 120, sheets)),
			Note:                 "the low end is fresh board with its blowing gas; canned foam lies at the high end",
		},
		{
			Name: "wood", Label: "wood", Aliases: []string{"softwood", "timber"},
			Conductivity: within(0.13, 0.10, 0.18, standardGrades),
			Density:      within(500, 400, 700, standardGrades),
			SpecificHeat: known(1600, 150, standardTable),
			Emissivity:   spanned(0.85, 0.95, nonMetalGlow),
			Note:         "across the grain; along it wood conducts about twice as well",
		},
		{
			Name: "plywood", Label: "plywood",
			Conductivity: within(0.13, 0.10, 0.17, standardGrades),
			Density:      within(550, 450, 700, standardGrades),
			SpecificHeat: known(1600, 150, standardTable),
			Emissivity:   spanned(0.85, 0.95, nonMetalGlow),
		},
	}
}
