package report

import (
	"math"
	"math/rand/v2"

	"meltspan/result"
)

// sectionRun is an invented section: a body of 40 mm radius and 30 mm height
// with a cavity in its wall, and frames every half hour. at gives the
// temperature of a place of the stand, K, at a time in hours.
func sectionRun(at func(p place, h float64) float64) *result.Run {
	run := fixtureRun()
	run.Depth = "section"
	s := &result.Section{Spacing: 1e-3, Outer: 40e-3, Height: 30e-3, CupRadius: 25e-3, Floor: 10e-3, Pegs: 2e-3,
		Lower:    result.SectionPlate{Radius: 32e-3, Thickness: 2e-3},
		Upper:    &result.SectionPlate{Radius: 32e-3, Thickness: 2e-3, Above: 14e-3},
		NotShown: []string{"ice, liquid and each plate have one temperature each"},
	}
	for _, row := range unevenSteps(30e-3, 2e-3, 10e-3, 28e-3) {
		for _, col := range unevenSteps(40e-3, 25e-3, 27e-3, 38e-3) {
			cup := col[1] <= 25e-3+1e-9 && row[0] >= 10e-3-1e-9
			cavity := col[0] >= 27e-3-1e-9 && col[1] <= 38e-3+1e-9 && row[0] >= 2e-3-1e-9 && row[1] <= 28e-3+1e-9
			if !cup && !cavity {
				s.Cells = append(s.Cells, result.SectionCell{In: col[0], Out: col[1], Low: row[0], High: row[1], Outwards: 0.2, Upwards: 0.2})
			}
		}
	}
	for k := range 7 {
		h := 0.5 * float64(k)
		f := result.Frame{Time: 3600 * h, LowerPlate: 273.15 + 4 + h, UpperPlate: 293 - h, Store: 273.15 + 0.3*h, Solid: 273.15,
			SolidRadius: 20e-3 - 2e-3*h, SolidBottom: 2e-3 + 1e-3*h, SolidTop: 17e-3 - 1e-3*h, Level: 4e-3 * h, PlateHeight: 20e-3, Room: 297.15, DewPoint: 287}
		if k == 6 {
			f.Event, f.Solid, f.SolidRadius = string(result.MeltEnd), math.NaN(), 0
		}
		for _, c := range s.Cells {
			f.Temperature = append(f.Temperature, at(middle(c), h))
		}
		s.Frames = append(s.Frames, f)
	}
	run.Section = s
	return run
}

// unevenSteps divides a length at the given places, and between them into
// steps of uneven length, about a millimetre.
func unevenSteps(length float64, at ...float64) [][2]float64 {
	random := rand.New(rand.NewPCG(1, 2))
	var out [][2]float64
	from := 0.0
	for _, to := range append(at, length) {
		for to-from > 1.5e-3 {
			next := from + 0.6e-3 + 0.6e-3*random.Float64()
			out = append(out, [2]float64{from, next})
			from = next
		}
		out = append(out, [2]float64{from, to})
		from = to
	}
	return out
}

// invented is a field as a section might have it.
func invented(p place, h float64) float64 {
	return 274 + 18*math.Hypot(p.r/0.04, (0.03-p.z)/0.06) - 2*math.Exp(-h)
}
