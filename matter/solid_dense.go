package matter

// Sources of metals, glass, plastics in sheets, wood and insulants. The
// tables of the standard give design values; spans are those of common
// grades.
const (
	standardTable   = "EN ISO 10456:2007 and EN ISO 10077-2, tables of design values (second-hand or from memory, page not verified)"
	standardGrades  = "EN ISO 10456:2007 and EN ISO 10077-2, tables of design values (second-hand or from memory, page not verified); span of common grades from handbooks (from memory)"
	handbookMetal   = "Incropera et al., Fundamentals of Heat and Mass Transfer, Table A.1 (from memory, page not verified)"
	metalGlow       = "Incropera et al., Fundamentals of Heat and Mass Transfer, Table A.11: polished to lightly tarnished (from memory, page not verified)"
	nonMetalGlow    = "0.85 to 0.95 for non-metals, Incropera et al., Table A.11 (from memory, page not verified)"
	paintedMetal    = "paint, lacquer, ink or thick anodising makes a metal radiate like plastic: state emissivity 0.9 then"
	insulantDensity = "common practice"
)

func denseSolids() []Solid {
	return []Solid{
		{
			Name: "aluminium", Label: "aluminium", Aliases: []string{"aluminum", "al"},
			Conductivity: within(160, 120, 237, standardGrades),
			Density:      known(2750, 50, standardTable),
			SpecificHeat: known(890, 15, standardTable),
			Emissivity:   within(0.09, 0.04, 0.2, metalGlow),
			Note:         paintedMetal,
		},
		{
			Name: "aluminium_foil", Label: "aluminium foil", Aliases: []string{"aluminum foil", "foil"},
			Conductivity: known(220, 10, handbookMetal),
			Density:      known(2700, 10, handbookMetal),
			SpecificHeat: known(900, 10, handbookMetal),
			Emissivity:   within(0.05, 0.03, 0.1, metalGlow),
			Note:         "a film of water or dust on it undoes its low emissivity",
		},
		{
			Name: "brass", Label: "brass",
			Conductivity: within(115, 105, 125, standardGrades),
			Density:      known(8450, 80, standardTable),
			SpecificHeat: known(380, 5, standardTable),
			Emissivity:   spanned(0.03, 0.2, metalGlow),
			Note:         paintedMetal,
		},
		{
			Name: "copper", Label: "copper", Aliases: []string{"cu"},
			Conductivity: within(385, 370, 401, standardGrades),
			Density:      known(8920, 20, standardTable),
			SpecificHeat: known(383, 4, standardTable),
			Emissivity:   spanned(0.03, 0.2, metalGlow),
			Note:         paintedMetal,
		},
		{
			Name: "steel", Label: "steel", Aliases: []string{"carbon steel", "mild steel"},
			Conductivity: within(50, 43, 65, standardGrades),
			Density:      known(7830, 30, standardTable),
			SpecificHeat: known(450, 15, standardTable),
			Emissivity:   spanned(0.1, 0.4, metalGlow),
			Note:         "rusted, its emissivity is about 0.8; " + paintedMetal,
		},
		{
			Name: "stainless_steel", Label: "stainless steel", Aliases: []string{"inox"},
			Conductivity: within(15.5, 14, 17, standardGrades),
			Density:      known(7900, 50, standardTable),
			SpecificHeat: known(480, 15, standardTable),
			Emissivity:   spanned(0.1, 0.3, metalGlow),
			Note:         "austenitic grades; ferritic ones conduct twice as well",
		},
		{
			Name: "glass", Label: "glass", Aliases: []string{"soda-lime glass", "window glass"},
			Conductivity: within(1.0, 0.9, 1.2, standardGrades),
			Density:      known(2500, 30, standardTable),
			SpecificHeat: known(780, 40, standardTable),
			Emissivity:   known(0.84, 0.02, "EN 12898, EN 673: 0.837 for uncoated soda-lime glass (from memory, page not verified)"),
		},
		{
			Name: "acrylic", Label: "acrylic", Aliases: []string{"pmma", "acrylic glass"},
			Conductivity:         within(0.19, 0.17, 0.21, standardGrades),
			Density:              known(1185, 10, standardTable),
			SpecificHeat:         known(1470, 40, standardTable),
			Emissivity:           spanned(0.85, 0.95, nonMetalGlow),
			SofteningTemperature: degC(spanned(85, 105, sheets)),
		},
		{
			Name: "silicone", Label: "silicone rubber",
			Conductivity: within(0.25, 0.17, 0.40, standardGrades),
			Density:      known(1200, 80, standardTable),
			SpecificHeat: spanned(1000, 1500, standardGrades),
			Emissivity:   spanned(0.85, 0.95, nonMetalGlow),
		},
	}
}
