package solid

import (
	"math"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/result"
)

// changed is a demo with something changed, its parts with their meshes.
func changed(t *testing.T, name string, change func(*design.Design)) (*design.Design, []Piece) {
	t.Helper()
	d := demos(t)[name]
	change(d)
	d.Rederive()
	var pieces []Piece
	for _, p := range sections(t, d) {
		pieces = append(pieces, Piece{&p, meshed(t, &p, 1e-3)})
	}
	return d, pieces
}

// worstOf is the worst finding of a check.
func worstOf(findings []Finding, check string) Finding {
	worst := Finding{Verdict: Fine}
	for _, f := range findings {
		if f.Check == check && (worst.Text == "" || f.Verdict == Fails || f.Verdict == Look && worst.Verdict == Fine) {
			worst = f
		}
	}
	return worst
}

// The demos can be printed: no check says that they won't do.
func TestTheDemosCanBePrinted(t *testing.T) {
	for _, name := range design.DemoNames() {
		d, pieces := changed(t, name, func(*design.Design) {})
		for _, f := range Check(d, pieces, nil) {
			if f.Verdict == Fails {
				t.Errorf("%s: %s, %s: %s", name, f.Check, f.Part, f.Text)
			}
		}
	}
}

// Each check finds what it is for, says so in words, and puts its finger on it.
// Sizes by hand from engine-on-ice: outside 116 mm, cup 80 mm wide and 28 mm
// deep, height 38 mm, block 78 mm.
func TestChecksFindWhatIsWrong(t *testing.T) {
	const ice = "engine-on-ice"
	set := func(path string, si float64) func(*design.Design) {
		return func(d *design.Design) {
			get, err := design.Accessor(path)
			if err != nil {
				t.Fatal(err)
			}
			get(d).SI, get(d).Origin = si, "stated"
		}
	}
	for _, c := range []struct {
		what, demo, check string
		change            func(*design.Design)
		verdict           Verdict
		part, text        string
		value             float64 // 0: not looked at
	}{
		{"skin below the nozzle", ice, CheckWall, set("stand.wall.skin", 0.3e-3), Fails, "", "nozzle", 0.3e-3},
		{"floor that seeps", ice, CheckWall, set("stand.base.skin", 0.6e-3), Fails, "cup", "holds water", 0.6e-3},
		{"partition below a line", ice, CheckWall, set("stand.wall.partition", 0.41e-3), Look, "shell", "line", 0.41e-3},
		{"rib below the nozzle", "sample-on-cubes", CheckWall, func(d *design.Design) {
			d.Stand.Ribs.Count, d.Stand.Ribs.Thickness.SI = 4, 0.35e-3
		}, Fails, "shell", "rib", 0.35e-3},
		{"roof that is bridged", ice, CheckOverhang, set("print.bridge", 0.0801), Fine, "stand", "bridged", 0},
		{"long roof in a closed cavity, nothing to take the cup out with", ice, CheckOverhang, func(d *design.Design) {
			d.Stand.Wall.Cavities = 0
		}, Fails, "stand", "80.0 mm", 0.08},
		{"wide cavities, rim apart", ice, CheckOverhang, set("print.bridge", 5e-3), Fine, "", "", 0},
		{"bed", ice, CheckBed, set("print.bed.width", 0.110), Fails, "", "wide", 0},
		{"building height", ice, CheckBed, set("print.bed.height", 0.030), Fails, "shell", "high", 0.0364},
		{"envelope", ice, CheckEnvelope, func(d *design.Design) { d.Stand.Tray.Capacity.SI = 0 }, Fine, "", "fits", 0.116},
		{"tray beyond the envelope", ice, CheckEnvelope, func(*design.Design) {}, Look, "", "leave the tray out", 0},
		{"no clearance", ice, CheckFit, set("print.clearance", 0), Look, "", "slide", 0},
		{"block as wide as the cup", ice, CheckMould, set("store.freezer.mould_diameter", 0.080), Fails, "mould", "does not go in", 0.040},
		{"hardly any draft", ice, CheckMould, set("store.freezer.mould_diameter", 0.0798), Look, "mould", "bent", 0},
		{"mould too shallow to freeze in", ice, CheckExpansion, set("store.freezer.mould_depth", 0.024), Fails, "mould", "above the mould", 0},
		{"mould filled to the brim", ice, CheckExpansion, set("store.freezer.mould_depth", 0.0254), Look, "mould", "spills", 0},
		{"top-heavy", ice, CheckTipping, set("load.engine.mass", 40), Fine, "", "tips", 0},
		{"tower", "generator-on-ice", CheckTipping, func(d *design.Design) {
			d.Stand.Feet.Height.SI = 0.15
		}, Fails, "", "wider base", 0},
		{"tray too small for what drains", "generator-on-ice", CheckOverflow, set("stand.tray.capacity", 150e-6), Fails, "tray", "200 ml", 200e-6},
		{"closed vessels", ice, CheckSafety, func(*design.Design) {}, Look, "", "", 0},
	} {
		d, pieces := changed(t, c.demo, c.change)
		f := worstOf(Check(d, pieces, nil), c.check)
		switch {
		case f.Verdict != c.verdict, c.part != "" && f.Part != c.part, !strings.Contains(f.Text, c.text):
			t.Errorf("%s: %s, %q: %s", c.what, f.Verdict, f.Part, f.Text)
		case c.value != 0 && math.Abs(f.Value/c.value-1) > 0.01:
			t.Errorf("%s: found %.5g, want %.5g: %s", c.what, f.Value, c.value, f.Text)
		case f.Part != "" && f.Verdict != Fine && f.Place == nil && f.Check != CheckMesh:
			t.Errorf("%s: no place", c.what)
		}
	}
}

// What condenses counts for the tray.
func TestCondensateFillsTheTray(t *testing.T) {
	d, pieces := changed(t, "engine-on-ice", func(*design.Design) {})
	run := &result.Run{Faces: []result.Face{{Condensate: 0.015}, {Condensate: 0.010}}} // 25 g, and the tray holds 20 ml
	f := worstOf(Check(d, pieces, run), CheckOverflow)
	if f.Verdict != Fails || math.Abs(f.Value-25e-6) > 0.1e-6 {
		t.Errorf("%s: %s", f.Verdict, f.Text)
	}
}

// A mesh with a hole is found out.
func TestTheCheckOfMeshesLooks(t *testing.T) {
	d, pieces := changed(t, "engine-on-ice", func(*design.Design) {})
	pieces[0].Mesh.Triangles = pieces[0].Mesh.Triangles[1:]
	if f := worstOf(Check(d, pieces, nil), CheckMesh); f.Verdict != Fails || f.Part != pieces[0].Part.Name {
		t.Errorf("%s: %s", f.Verdict, f.Text)
	}
	for i, tri := range pieces[1].Mesh.Triangles {
		pieces[1].Mesh.Triangles[i] = [3]int32{tri[0], tri[2], tri[1]}
	}
	found := false
	for _, f := range Check(d, pieces, nil) {
		found = found || f.Part == pieces[1].Part.Name && strings.Contains(f.Text, "inside out")
	}
	if !found {
		t.Error("a surface turned inside out was not found")
	}
}

// Masses and centre of gravity against bodies worked out by hand.
func TestWeights(t *testing.T) {
	// A ring 2 mm by 10 mm at 30 mm, on a disc 30 mm by 4 mm: volumes
	// pi (32^2 - 30^2) 10 = 3895.6 and pi 30^2 4 = 11309.7 mm3, middles at 5 and 2 mm.
	p := Part{Loops: []Loop{{"cup", false, []Point{{0, 0}, {0.032, 0}, {0.032, 0.010}, {0.030, 0.010}, {0.030, 0.004}, {0, 0.004}}}}}
	mass, height := p.Weigh(1000)
	if math.Abs(mass-15.2053e-3) > 1e-6 || math.Abs(height-(3895.6*5+11309.7*2)/15205.3*1e-3) > 1e-7 {
		t.Errorf("%.6g kg, middle at %.6g m", mass, height)
	}
	// Half filled from 0 to 4 mm up to 30 mm: half of the disc's 11309.7 goes.
	p.Cores = []Core{{rectangle("", false, 0, 0.030, 0, 0.004), 0.5}}
	mass, height = p.Weigh(1000)
	if math.Abs(mass-9.55045e-3) > 1e-6 || math.Abs(height-(3895.6*5+5654.85*2)/9550.45*1e-3) > 1e-7 {
		t.Errorf("half filled: %.6g kg, middle at %.6g m", mass, height)
	}
}
