package solid

import (
	"math"
	"slices"
	"testing"

	"meltspan/design"
	"meltspan/network"
)

// simulated is what the models of heat take the stand's body for.
type simulated struct {
	volume, capacity, cavities float64 // m3, J/K, m3
}

func simulatedBody(t *testing.T, d *design.Design) simulated {
	t.Helper()
	m, err := network.BuildSection(d, 1e-3)
	if err != nil {
		t.Fatal(err)
	}
	var s simulated
	for _, c := range m.Cells() {
		s.volume += math.Pi * (c.Out*c.Out - c.In*c.In) * (c.High - c.Low)
		s.capacity += c.Capacity
	}
	st := &d.Stand
	body := math.Pi / 4 * (math.Pow(st.OuterDiameter.SI, 2)*st.Height.SI - math.Pow(st.Cup.Diameter.SI, 2)*st.Cup.Depth.SI)
	s.cavities = body - s.volume
	return s
}

// What is simulated is what is printed, mesh for section: volume, mass and
// cavities within 0.5 %, for the body in pieces and whole. The parts that stand
// for conduction only (ribs, pegs, drains and their tubes, pads) are told apart
// by their own closed forms.
func TestMeshIsTheBodyOfTheModels(t *testing.T) {
	const allowed = 0.005
	const airHeat = 1250 // J/(m3 K), of the air in an infill, as in network/layers.go
	for name, d := range variants(t) {
		want := simulatedBody(t, d)
		material := d.MaterialByName(d.Stand.Material)
		var volume, extra, empty, cavities float64
		parts := sections(t, d)
		for i := range parts {
			p := &parts[i]
			if !p.Simulated {
				continue
			}
			m := meshed(t, p, d.Print.ChordError.SI)
			volume += m.Volume()
			cavities += m.cavityVolume()
			empty += p.Volume() - p.Solid()
			for k := range p.Features {
				f := &p.Features[k]
				v := f.Area() * (f.High - f.Low)
				if f.Void() {
					v = -v
				}
				extra += v
				if p.Name == "stand" && (f.Kind == Rib || f.Kind == Tube) {
					cavities += v // stands in a cavity
				}
			}
		}
		volume -= extra
		near := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got/want-1) > allowed {
				t.Errorf("%s: %s: printed %.6g, simulated %.6g: %+.2f %%", name, what, got, want, 100*(got/want-1))
			}
		}
		near("volume, m3", volume, want.volume)
		// The mass by way of the heat it holds: the models know no other.
		near("heat capacity, J/K", (volume-empty)*material.Density.SI*material.SpecificHeat.SI+empty*airHeat, want.capacity)
		if parts[0].Name == "stand" { // in pieces the cavities are open until they are joined
			near("cavities, m3", cavities, want.cavities)
		}
	}
}

// cavityVolume is that of the surfaces that are turned inwards, each a closed
// cavity, less what stands in them.
func (m *Mesh) cavityVolume() float64 {
	parent := make([]int32, len(m.Vertices))
	for i := range parent {
		parent[i] = int32(i)
	}
	var find func(i int32) int32
	find = func(i int32) int32 {
		if parent[i] != i {
			parent[i] = find(parent[i])
		}
		return parent[i]
	}
	for _, t := range m.Triangles {
		parent[find(t[0])] = find(t[1])
		parent[find(t[1])] = find(t[2])
	}
	of := map[int32]*Mesh{}
	for _, t := range m.Triangles {
		root := find(t[0])
		if of[root] == nil {
			of[root] = &Mesh{Vertices: m.Vertices}
		}
		of[root].Triangles = append(of[root].Triangles, t)
	}
	var sum float64
	for _, surface := range of {
		sum += max(-surface.Volume(), 0)
	}
	return sum
}

// Walls are as thick as the models take them, at the corners of the facets and
// between: along rays from the axis at many angles, half way up the wall.
func TestWallsAreAsThickAsSimulated(t *testing.T) {
	d := variants(t)["engine-on-ice-whole"]
	d.Stand.Ribs.Count = 0
	p := sections(t, d)[0]
	m := meshed(t, &p, d.Print.ChordError.SI)
	var want []float64
	for i, l := range d.Stand.Wall.Layers(d.Stand.WallThickness()) {
		want = append(want, l.Thickness)
		if i < d.Stand.Wall.Cavities {
			want = append(want, l.Cavity)
		}
	}
	const z = 0.020 // m, half way up
	for angle := 0.0013; angle < 2*math.Pi; angle += 0.1 {
		_, cut := m.Turn(-angle).Half()
		var radii []float64
		for _, line := range cut {
			for i, a := range line {
				b := line[(i+1)%len(line)]
				if (a[1] > z) != (b[1] > z) && a[0] > 0 {
					radii = append(radii, a[0]+(b[0]-a[0])*(z-a[1])/(b[1]-a[1]))
				}
			}
		}
		if len(radii) != len(want)+1 {
			t.Fatalf("at %.2f rad the ray crosses %d faces, want %d", angle, len(radii), len(want)+1)
		}
		slices.Sort(radii)
		for i, w := range want {
			if got := radii[i+1] - radii[i]; math.Abs(got/w-1) > 0.005 {
				t.Errorf("at %.2f rad layer %d is %.5g mm thick, simulated %.5g mm", angle, i, 1e3*got, 1e3*w)
			}
		}
	}
}
