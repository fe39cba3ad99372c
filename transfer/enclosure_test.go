package transfer

import (
	"math"
	"testing"
)

// can is the inside of a cylinder, in bands: floor, side, lid.
func can(radius, height float64, rings, rows int) (bands []Band, floor, side, lid int) {
	for i := range rings {
		bands = append(bands, Band{radius * float64(i) / float64(rings), 0, radius * float64(i+1) / float64(rings), 0})
	}
	for i := range rows {
		bands = append(bands, Band{radius, height * float64(i) / float64(rows), radius, height * float64(i+1) / float64(rows)})
	}
	for i := rings; i > 0; i-- {
		bands = append(bands, Band{radius * float64(i) / float64(rings), height, radius * float64(i-1) / float64(rings), height})
	}
	return bands, rings, rings + rows, 2*rings + rows
}

func sumOf(e [][]float64, i0, i1, j0, j1 int) float64 {
	sum := 0.0
	for i := i0; i < i1; i++ {
		for j := j0; j < j1; j++ {
			sum += e[i][j]
		}
	}
	return sum
}

// Floor and lid of a can are two coaxial discs: Incropera 7th ed. Table 13.2.
// The scaling to closure is part of what is tested; half a per cent is far inside
// what is known of emissivities.
func TestCanAgainstCoaxialDiscs(t *testing.T) {
	for _, c := range []struct{ radius, height float64 }{{0.04, 0.01}, {0.04, 0.03}, {0.04, 0.08}, {0.01, 0.1}} {
		bands, floor, side, lid := can(c.radius, c.height, 4, 5)
		e := ExchangeAreas(bands, 0)
		area := math.Pi * c.radius * c.radius
		want := ViewFactorCoaxialDiscs(c.radius, c.radius, c.height)
		near(t, "floor to lid", sumOf(e, 0, floor, side, lid)/area, want, 5e-3)
		near(t, "floor to side", sumOf(e, 0, floor, floor, side)/area, 1-want, 5e-3)
	}
}

// Two concentric cylinders of the same height: from the outer to the inner,
// Hamilton and Morgan, NACA TN 2836 (1952), configuration of coaxial cylinders (as
// the catalogues of view factors give it; from memory).
func TestConcentricCylindersOfFiniteHeight(t *testing.T) {
	outerToInner := func(r1, r2, l float64) float64 {
		x, y := r2/r1, l/r1
		a, b := y*y+x*x-1, y*y-x*x+1
		return 1/x - (math.Acos(b/a)-(math.Sqrt((a+2)*(a+2)-4*x*x)*math.Acos(b/(x*a))+b*math.Asin(1/x)-math.Pi*a/2)/(2*y))/(math.Pi*x)
	}
	for _, c := range []struct{ inner, outer, height float64 }{{0.045, 0.052, 0.026}, {0.02, 0.05, 0.03}, {0.01, 0.02, 0.2}} {
		const rows = 6
		var bands []Band
		rings := 3
		for i := range rings {
			w := (c.outer - c.inner) / float64(rings)
			bands = append(bands, Band{c.inner + w*float64(i), 0, c.inner + w*float64(i+1), 0})
		}
		for i := range rows {
			bands = append(bands, Band{c.outer, c.height * float64(i) / rows, c.outer, c.height * float64(i+1) / rows})
		}
		for i := rings; i > 0; i-- {
			w := (c.outer - c.inner) / float64(rings)
			bands = append(bands, Band{c.inner + w*float64(i), c.height, c.inner + w*float64(i-1), c.height})
		}
		for i := rows; i > 0; i-- {
			bands = append(bands, Band{c.inner, c.height * float64(i) / rows, c.inner, c.height * float64(i-1) / rows})
		}
		e := ExchangeAreas(bands, c.inner)
		outer := 2 * math.Pi * c.outer * c.height
		got := sumOf(e, rings, rings+rows, 2*rings+rows, len(bands)) / outer
		near(t, "outer to inner", got, outerToInner(c.inner, c.outer, c.height), 5e-3)
	}
}

// A closed space: every row adds up to its area, and before any scaling
// quadrature misses that by 5 % at most.
func TestExchangeCloses(t *testing.T) {
	bands, _, _, _ := can(0.04, 0.02, 4, 5)
	e, raw := ExchangeAreas(bands, 0), exchangeByQuadrature(bands, 0)
	for i, b := range bands {
		sum, plain := 0.0, 0.0
		for j := range bands {
			sum, plain = sum+e[i][j], plain+raw[i][j]
			if e[i][j] < 0 || math.Abs(e[i][j]-e[j][i]) > 1e-15 {
				t.Errorf("bands %d and %d: %g and %g", i, j, e[i][j], e[j][i])
			}
		}
		near(t, "closure", sum/b.Area(), 1, 1e-8)
		near(t, "closure by quadrature", plain/b.Area(), 1, 0.05)
	}
}
