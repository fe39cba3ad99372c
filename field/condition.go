package field

import "math"

// Kind says how a condition acts on a face. A face without a condition is
// adiabatic.
type Kind uint8

const (
	// FixedKind holds the face at Temperature.
	FixedKind Kind = iota
	// FilmKind exchanges Coefficient times the difference to Temperature.
	FilmKind
	// FluxKind brings Flux into the body.
	FluxKind
)

// Condition acts on faces. Temperature (K), Coefficient (W/(m2 K), 0 or above)
// and Flux (W/m2, into the body) are functions of time, s; those that the kind
// does not use may be nil. Films and fluxes on the same face act together on
// its surface (air, radiation and sun, say); a fixed temperature stands alone.
type Condition struct {
	Name        string // for messages
	Kind        Kind
	Temperature func(time float64) float64
	Coefficient func(time float64) float64
	Flux        func(time float64) float64
}

// Constant is a value that does not change with time.
func Constant(value float64) func(time float64) float64 {
	return func(float64) float64 { return value }
}

// Fixed holds faces at a constant temperature, K.
func Fixed(name string, temperature float64) Condition {
	return Condition{Name: name, Kind: FixedKind, Temperature: Constant(temperature)}
}

// Film is a constant surface coefficient, W/(m2 K), to a constant
// temperature, K.
func Film(name string, coefficient, temperature float64) Condition {
	return Condition{Name: name, Kind: FilmKind, Coefficient: Constant(coefficient), Temperature: Constant(temperature)}
}

// Flux is a constant heat flux into the body, W/m2.
func Flux(name string, flux float64) Condition {
	return Condition{Name: name, Kind: FluxKind, Flux: Constant(flux)}
}

// Face lays a condition on one face of a cell, at the edge of the grid or
// beside a void.
type Face struct {
	Cell      int
	Side      Side
	Condition int // index into the conditions of the problem
}

// Contact is a resistance between a cell and its neighbour across a side,
// m2 K/W, 0 or above; +Inf parts them.
type Contact struct {
	Cell       int
	Side       Side
	Resistance float64
}

// Source releases heat inside cells: Density is in W/m3, at a cell's node and a
// time, s. Cells nil means all of them.
type Source struct {
	Name    string
	Cells   []int
	Density func(node [3]float64, time float64) float64
}

// acting is a condition at one moment.
type acting struct {
	kind                           Kind
	temperature, coefficient, flux float64
}

func (c *Condition) at(time float64) acting {
	a := acting{kind: c.Kind}
	switch c.Kind {
	case FixedKind:
		a.temperature = c.Temperature(time)
	case FilmKind:
		a.temperature, a.coefficient = c.Temperature(time), c.Coefficient(time)
	case FluxKind:
		a.flux = c.Flux(time)
	}
	return a
}

func (a acting) valid() bool {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	return finite(a.temperature) && finite(a.flux) && finite(a.coefficient) && a.coefficient >= 0
}
