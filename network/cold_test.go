package network

import (
	"context"
	"math"
	"testing"

	"meltspan/design"
)

// No cell of the section is colder or warmer than the coldest and warmest thing
// that touches the device (heat flows downhill; a few hundredths of a kelvin
// are the step's error), unless moisture evaporates from it.
func TestSectionStaysBetweenItsSurroundings(t *testing.T) {
	for _, name := range design.DemoNames() {
		m := demo(t, name)
		s, err := BuildSection(m.design, 1e-3)
		if err != nil {
			t.Fatal(err)
		}
		run, err := s.Run(context.Background(), Options{Course: true, Frames: 40})
		if err != nil {
			t.Fatal(err)
		}
		room := m.design.Room.Temperature.SI
		if daily := m.design.Room.Daily; daily != nil {
			room += daily.Swing.SI
		}
		for _, f := range run.Section.Frames {
			low, high := math.Min(room, f.Store), math.Max(room, f.Store)
			for _, other := range []float64{f.Solid, f.LowerPlate, f.UpperPlate, m.design.Store.Temperature.SI} {
				if !math.IsNaN(other) {
					low, high = math.Min(low, other), math.Max(high, other)
				}
			}
			for i, temperature := range f.Temperature {
				if temperature < low-0.2 || temperature > high+0.2 {
					c := run.Section.Cells[i]
					t.Fatalf("%s at %.0f s: cell r %.1f z %.1f mm at %.2f degC, surroundings %.2f to %.2f degC", name, f.Time,
						1e3*c.In, 1e3*c.Low, temperature-273.15, low-273.15, high-273.15)
				}
			}
		}
		// Once the store's own start is forgotten the ice bounds the cold side.
		for _, f := range run.Section.Frames {
			if f.Time < 3600 || math.IsNaN(f.Solid) || m.load.direction < 0 {
				continue
			}
			for i, temperature := range f.Temperature {
				if temperature < math.Min(f.Solid, f.Store)-0.2 {
					c := run.Section.Cells[i]
					t.Fatalf("%s at %.0f s: cell r %.1f z %.1f mm at %.2f degC beside ice", name, f.Time, 1e3*c.In, 1e3*c.Low, temperature-273.15)
				}
			}
		}
	}
}
