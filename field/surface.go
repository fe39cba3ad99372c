package field

import (
	"cmp"
	"slices"
)

// surface is a face of the body with what acts on it at the present time. The
// surface itself has no heat capacity: what the conditions bring goes through
// the half cell behind it,
//
//	sum h A (Tk - Ts) + q A = (Ts - T)/R.
type surface struct {
	unknown      int32
	side         Side
	first, count int32 // its conditions
	area         float64

	resistance  float64 // of the half cell, R, K/W
	fixed       bool
	film        float64 // sum h A, W/K
	drive       float64 // sum h A Tk, W; of a fixed surface its temperature, K
	flux        float64 // sum q A, W
	conductance float64 // between the node and the mean of the conditions, W/K
}

// face works out the surfaces at the present time and shares of liquid.
func (s *system) face() {
	clear(s.outer)
	for k := range s.surfaces {
		f := &s.surfaces[k]
		f.fixed, f.film, f.drive, f.flux = false, 0, 0, 0
		for _, c := range s.acts[f.first : f.first+f.count] {
			switch a := &s.now[c]; a.kind {
			case FixedKind:
				f.fixed, f.drive = true, a.temperature
			case FilmKind:
				f.film += a.coefficient * f.area
				f.drive += a.coefficient * f.area * a.temperature
			case FluxKind:
				f.flux += a.flux * f.area
			}
		}
		outside := f.drive / f.film // NaN under a flux alone
		if f.fixed {
			outside = f.drive
		}
		f.resistance = s.half(int(f.unknown), f.side, outside)
		f.conductance = f.film / (1 + f.film*f.resistance)
		if f.fixed {
			f.conductance = 1 / f.resistance
		}
		s.outer[f.unknown] += f.conductance
	}
}

// flow into the cell, W, when its temperature is given.
func (f *surface) flow(temperature float64) float64 {
	if f.fixed {
		return (f.drive - temperature) / f.resistance
	}
	return (f.drive - f.film*temperature + f.flux) / (1 + f.film*f.resistance)
}

// temperature of the surface, K, when its cell's is given.
func (f *surface) temperature(cell float64) float64 { return cell + f.flow(cell)*f.resistance }

// exchange adds what each condition and source brings, W times the factor.
func (s *system) exchange(temperature []float64, time, factor float64, ledger *Ledger) {
	for k := range s.surfaces {
		f := &s.surfaces[k]
		cell := temperature[f.unknown]
		at := f.temperature(cell)
		for _, c := range s.acts[f.first : f.first+f.count] {
			q := 0.0
			switch a := &s.now[c]; a.kind {
			case FixedKind:
				q = f.flow(cell)
			case FilmKind:
				q = a.coefficient * f.area * (a.temperature - at)
			case FluxKind:
				q = a.flux * f.area
			}
			ledger.Conditions[c] += factor * q
			ledger.turnover += factor * max(q, -q)
		}
	}
	for k := range s.p.Sources {
		s.eachSource(&s.p.Sources[k], time, func(_ int, power float64) {
			ledger.Sources[k] += factor * power
			ledger.turnover += factor * max(power, -power)
		})
	}
}

// surfaceAt finds the surface on a side of an unknown; they are sorted.
func (s *system) surfaceAt(i int, side Side) (int, bool) {
	return slices.BinarySearchFunc(s.surfaces, surface{unknown: int32(i), side: side}, func(a, b surface) int {
		return cmp.Or(cmp.Compare(a.unknown, b.unknown), cmp.Compare(a.side, b.side))
	})
}
