package matter

import "slices"

// Substance is what a store is filled with. Solid properties hold just below
// the melting point and liquid ones just above it, or at 0 degC for a
// substance that stays liquid.
type Substance struct {
	Name    string   // as designs write it, such as "octadecane"
	Label   string   // as reports print it
	Aliases []string // other names FindSubstance knows

	// HasPhaseChange says whether freezing and melting count. Without it the
	// substance is a liquid throughout and Melting is where it begins to
	// freeze.
	HasPhaseChange bool
	Melting        Property // K
	Latent         Property // J/kg

	SolidDensity       Property // kg/m3
	LiquidDensity      Property // kg/m3
	SolidSpecificHeat  Property // J/(kg K)
	LiquidSpecificHeat Property // J/(kg K)
	SolidConductivity  Property // W/(m K)
	LiquidConductivity Property // W/(m K)
	LiquidViscosity    Property // Pa s
	LiquidExpansion    Property // 1/K, of volume

	Evaporates bool   // whether an open surface gives off water vapour
	Note       string // what a designer should know; may be empty
}

// isWater tells the one substance that has functions of temperature.
func (s Substance) isWater() bool { return s.Name == waterName }

// Liquid returns the state of the liquid at a temperature (K). Water follows
// the function Water; of all others density alone follows temperature, by the
// expansion coefficient, and stays positive.
func (s Substance) Liquid(temperature float64) Fluid {
	if s.isWater() {
		return Water(temperature)
	}
	warmer := temperature - s.reference()
	return Fluid{
		Density:      s.LiquidDensity.Value / max(1+s.LiquidExpansion.Value*warmer, 0.5),
		SpecificHeat: s.LiquidSpecificHeat.Value,
		Conductivity: s.LiquidConductivity.Value,
		Viscosity:    s.LiquidViscosity.Value,
		Expansion:    s.LiquidExpansion.Value,
	}
}

// reference is the temperature at which the liquid properties hold.
func (s Substance) reference() float64 {
	if s.HasPhaseChange {
		return s.Melting.Value
	}
	return IcePoint
}

// DensityOfSolid in kg/m3 at a temperature (K); only ice follows it.
func (s Substance) DensityOfSolid(temperature float64) float64 {
	if s.isWater() {
		return IceDensity(temperature)
	}
	return s.SolidDensity.Value
}

// SpecificHeatOfSolid in J/(kg K) at a temperature (K); only ice follows it.
func (s Substance) SpecificHeatOfSolid(temperature float64) float64 {
	if s.isWater() {
		return IceSpecificHeat(temperature)
	}
	return s.SolidSpecificHeat.Value
}

// ConductivityOfSolid in W/(m K) at a temperature (K); only ice follows it.
func (s Substance) ConductivityOfSolid(temperature float64) float64 {
	if s.isWater() {
		return IceConductivity(temperature)
	}
	return s.SolidConductivity.Value
}

// FreezingExpansion is the relative growth in volume on freezing: 0.0907 for
// water, negative for substances that shrink, zero without a phase change.
func (s Substance) FreezingExpansion() float64 {
	if !s.HasPhaseChange {
		return 0
	}
	if s.isWater() {
		return WaterDensity(MeltingPoint)/IceDensity(MeltingPoint) - 1
	}
	return s.LiquidDensity.Value/s.SolidDensity.Value - 1
}

// Substances returns all substances; the caller may change what it gets.
func Substances() []Substance {
	return slices.Concat([]Substance{waterSubstance()}, brines(), paraffins(), saltHydrates())
}

// SubstanceNames returns the names of all substances in the order of
// Substances.
func SubstanceNames() []string {
	var names []string
	for _, s := range Substances() {
		names = append(names, s.Name)
	}
	return names
}

// FindSubstance looks a substance up by name, label or alias, whatever the
// case and with spaces or hyphens for underscores.
func FindSubstance(name string) (Substance, bool) {
	for _, s := range Substances() {
		if named(name, s.Name, s.Label, s.Aliases) {
			return s, true
		}
	}
	return Substance{}, false
}
