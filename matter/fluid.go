package matter

// Fluid is the state of a gas or liquid that convection needs.
type Fluid struct {
	Density      float64 // kg/m3
	SpecificHeat float64 // J/(kg K), at constant pressure
	Conductivity float64 // W/(m K)
	Viscosity    float64 // Pa s, dynamic
	Expansion    float64 // 1/K, of volume; negative for water below 4 degC
}

// KinematicViscosity in m2/s.
func (f Fluid) KinematicViscosity() float64 { return f.Viscosity / f.Density }

// Diffusivity of heat in m2/s.
func (f Fluid) Diffusivity() float64 { return f.Conductivity / (f.Density * f.SpecificHeat) }

// Prandtl number.
func (f Fluid) Prandtl() float64 { return f.Viscosity * f.SpecificHeat / f.Conductivity }
