package field

import (
	"fmt"
	"math"
)

// Material is what a cell is made of. With a phase change, the conductivity
// and heat capacity are those of the solid.
type Material struct {
	Name string // for messages
	// Conductivity along each axis, W/(m K), above 0. The third is used by
	// Box only.
	Conductivity [3]float64
	// HeatCapacity per volume, J/(m3 K), above 0; Steady does not use it.
	HeatCapacity float64
	Phase        *PhaseChange // nil: none
}

// PhaseChange makes a material melt at one temperature. Density is that of one
// phase throughout: the grid does not move.
type PhaseChange struct {
	Melting            float64 // K
	LatentHeat         float64 // J/m3, above 0
	LiquidConductivity [3]float64
	LiquidHeatCapacity float64 // J/(m3 K)
}

// Isotropic is the same conductivity along every axis.
func Isotropic(conductivity float64) [3]float64 {
	return [3]float64{conductivity, conductivity, conductivity}
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 1) }

func (m *Material) validate(axes int, transient bool) error {
	fail := func(what string, v float64) error {
		return fmt.Errorf("field: material %q: %s is %g; it must be above 0 and finite", m.Name, what, v)
	}
	for axis := range axes {
		if k := m.Conductivity[axis]; !positive(k) {
			return fail(fmt.Sprintf("conductivity along axis %d", axis), k)
		}
		if p := m.Phase; p != nil && !positive(p.LiquidConductivity[axis]) {
			return fail(fmt.Sprintf("liquid conductivity along axis %d", axis), p.LiquidConductivity[axis])
		}
	}
	if m.Phase != nil && !positive(m.Phase.Melting) {
		return fail("melting temperature", m.Phase.Melting)
	}
	if !transient {
		return nil
	}
	if !positive(m.HeatCapacity) {
		return fail("heat capacity per volume", m.HeatCapacity)
	}
	if p := m.Phase; p != nil {
		if !positive(p.LatentHeat) {
			return fail("latent heat per volume", p.LatentHeat)
		}
		if !positive(p.LiquidHeatCapacity) {
			return fail("liquid heat capacity per volume", p.LiquidHeatCapacity)
		}
	}
	return nil
}

// datum is where enthalpy is 0 in materials that do not melt, K. It falls out
// of every result.
const datum = 273.15

// phase of a cell.
type phase uint8

const (
	solid phase = iota
	melting
	liquid
)

// at says in which phase a material is at an enthalpy per volume, J/m3: 0 is
// the solid at its melting point.
func (m *Material) at(enthalpy float64) phase {
	switch {
	case m.Phase == nil || enthalpy < 0:
		return solid
	case enthalpy <= m.Phase.LatentHeat:
		return melting
	}
	return liquid
}

// temperature at an enthalpy per volume, K.
func (m *Material) temperature(enthalpy float64) float64 {
	if m.Phase == nil {
		return datum + enthalpy/m.HeatCapacity
	}
	switch m.at(enthalpy) {
	case solid:
		return m.Phase.Melting + enthalpy/m.HeatCapacity
	case melting:
		return m.Phase.Melting
	}
	return m.Phase.Melting + (enthalpy-m.Phase.LatentHeat)/m.Phase.LiquidHeatCapacity
}

// capacity at an enthalpy per volume, J/(m3 K); while melting, that of the
// solid, for scale.
func (m *Material) capacity(enthalpy float64) float64 {
	if m.at(enthalpy) == liquid {
		return m.Phase.LiquidHeatCapacity
	}
	return m.HeatCapacity
}

// enthalpy is the inverse of temperature; the liquid share decides at the
// melting point.
func (m *Material) enthalpy(temperature, share float64) float64 {
	if m.Phase == nil {
		return (temperature - datum) * m.HeatCapacity
	}
	switch over := temperature - m.Phase.Melting; {
	case over < 0:
		return over * m.HeatCapacity
	case over > 0:
		return m.Phase.LatentHeat + over*m.Phase.LiquidHeatCapacity
	}
	return share * m.Phase.LatentHeat
}

// share of liquid at an enthalpy per volume, 0 to 1.
func (m *Material) share(enthalpy float64) float64 {
	if m.Phase == nil {
		return 0
	}
	return min(max(enthalpy/m.Phase.LatentHeat, 0), 1)
}

// conductivity along an axis at a share of liquid: the mean by volume while
// melting.
func (m *Material) conductivity(axis int, share float64) float64 {
	if m.Phase == nil {
		return m.Conductivity[axis]
	}
	return m.Conductivity[axis] + share*(m.Phase.LiquidConductivity[axis]-m.Conductivity[axis])
}
