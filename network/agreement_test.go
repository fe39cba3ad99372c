package network

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/quantity"
)

var writeTable = flag.Bool("table", false, "write docs/section-agreement.md")

// variedDesign is one of the designs on which both depths must agree.
type variedDesign struct {
	name, demo string
	edit       func(*design.Design)
}

func stated(si float64) quantity.Value { return quantity.Value{SI: si, Origin: quantity.Stated} }

func variedDesigns() []variedDesign {
	none := func(*design.Design) {}
	wall := func(cavities int) func(*design.Design) {
		return func(d *design.Design) { d.Stand.Wall.Cavities = cavities }
	}
	return []variedDesign{
		{"school bench", "engine-on-ice", none},
		{"wall with one cavity", "engine-on-ice", wall(1)},
		{"wall with three cavities", "engine-on-ice", wall(3)},
		{"wall with four cavities", "engine-on-ice", wall(4)},
		{"wall and base at 20 % infill", "engine-on-ice", func(d *design.Design) { d.Stand.Wall.Cavities, d.Stand.Base.Cavities = 0, 0 }},
		{"wall and base solid", "engine-on-ice", func(d *design.Design) {
			d.Stand.Wall.Cavities, d.Stand.Base.Cavities = 0, 0
			d.Stand.Wall.Infill, d.Stand.Base.Infill = stated(1), stated(1)
		}},
		{"solid base under a hollow wall", "engine-on-ice", func(d *design.Design) { d.Stand.Base.Cavities, d.Stand.Base.Infill = 0, stated(1) }},
		{"foil in the wall", "engine-on-ice", func(d *design.Design) { d.Stand.Wall.Emissivity = stated(0.05) }},
		{"foil in wall and base", "engine-on-ice", func(d *design.Design) { d.Stand.Wall.Emissivity, d.Stand.Base.Emissivity = stated(0.05), stated(0.05) }},
		{"thin skins", "engine-on-ice", func(d *design.Design) { d.Stand.Wall.Skin, d.Stand.Base.Skin = stated(0.8e-3), stated(0.8e-3) }},
		{"thick skins", "engine-on-ice", func(d *design.Design) { d.Stand.Wall.Skin, d.Stand.Base.Skin = stated(2.4e-3), stated(2.4e-3) }},
		{"thin rim", "engine-on-ice", func(d *design.Design) { d.Stand.Rim.Thickness = stated(0.8e-3) }},
		{"thick rim", "engine-on-ice", func(d *design.Design) { d.Stand.Rim.Thickness = stated(5e-3) }},
		{"gasket of cork", "engine-on-ice", func(d *design.Design) { d.Stand.Rim.Gasket = stated(2e-3) }},
		{"twenty-four ribs", "engine-on-ice", func(d *design.Design) { d.Stand.Ribs.Count = 24 }},
		{"feet of 12 mm", "engine-on-ice", func(d *design.Design) { d.Stand.Feet.Height = stated(12e-3) }},
		{"wide body", "engine-on-ice", func(d *design.Design) { d.Stand.OuterDiameter = stated(0.150) }},
		{"narrow body", "engine-on-ice", func(d *design.Design) { d.Stand.OuterDiameter = stated(0.100) }},
		{"deep base", "engine-on-ice", func(d *design.Design) { d.Stand.Height = stated(0.055) }},
		{"plate as wide as the body", "engine-on-ice", func(d *design.Design) {
			d.Load.BottomPlate.Diameter, d.Load.TopPlate.Diameter = stated(0.116), stated(0.116)
		}},
		{"good polymer conductor", "engine-on-ice", func(d *design.Design) {
			for i := range d.Materials {
				if d.Materials[i].Name == "pla" {
					d.Materials[i].Conductivity = stated(0.5)
				}
			}
		}},
		{"humid room", "engine-on-ice", func(d *design.Design) { d.Room.Humidity = stated(0.85) }},
		{"warm room", "engine-on-ice", func(d *design.Design) { d.Room.Temperature = stated(273.15 + 29) }},
		{"draught", "engine-on-ice", func(d *design.Design) { d.Room.AirSpeed = stated(0.8) }},
		{"engine that takes more", "engine-on-ice", func(d *design.Design) { d.Load.Engine.StillConductance = stated(0.04) }},
		{"hot water", "engine-on-hot-water", none},
		{"hot water, solid wall", "engine-on-hot-water", func(d *design.Design) { d.Stand.Wall.Cavities, d.Stand.Wall.Infill = 0, stated(1) }},
		{"sample on cubes", "sample-on-cubes", none},
		{"generator on pressed ice", "generator-on-ice", none},
		{"generator, plain wall", "generator-on-ice", func(d *design.Design) { d.Stand.Wall.Cavities, d.Stand.Wall.Infill = 0, stated(1) }},
	}
}

// The network agrees with the section of 1 mm cells within 5 % on run time,
// over thirty varied designs.
func TestNetworkAgreesWithSection(t *testing.T) {
	var table strings.Builder
	for _, v := range variedDesigns() {
		network := demo(t, v.demo, v.edit)
		coarse := network.Time(Options{})
		fine, err := BuildSection(network.design, 1e-3)
		if err != nil {
			t.Fatal(err)
		}
		section := fine.Time(Options{})
		off := coarse.RunTime/section.RunTime - 1
		fmt.Fprintf(&table, "| %s | %.2f | %.2f | %+.1f %% |\n", v.name, coarse.RunTime/3600, section.RunTime/3600, 100*off)
		if math.Abs(off) > 0.05 || section.RunTime == 0 {
			t.Errorf("%s: network %.3f h, section %.3f h, %+.1f %%", v.name, coarse.RunTime/3600, section.RunTime/3600, 100*off)
		}
	}
	if *writeTable {
		head := "# Network against section\n\nRun times of thirty varied designs by the network and by the section of 1 mm\ncells, in hours. Made by `go test ./network -run NetworkAgrees -table`; the test\nasserts that they agree within 5 %.\n\n| design | network | section | network over section |\n| --- | --- | --- | --- |\n"
		if err := os.WriteFile("../docs/section-agreement.md", []byte(head+table.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// The section's run time hardly depends on its cells: less than 1 % from 1 mm
// to 0.5 mm.
func TestSectionIsIndependentOfItsCells(t *testing.T) {
	m := demo(t, "engine-on-ice")
	var times []float64
	for _, spacing := range []float64{1e-3, 0.5e-3} {
		s, err := BuildSection(m.design, spacing)
		if err != nil {
			t.Fatal(err)
		}
		times = append(times, s.Time(Options{}).RunTime)
	}
	if math.Abs(times[0]/times[1]-1) > 0.01 {
		t.Errorf("1 mm: %.0f s, 0.5 mm: %.0f s", times[0], times[1])
	}
}
