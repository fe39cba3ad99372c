package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/quantity"
	"meltspan/result"
)

func init() {
	for i := range 7 {
		pictures[fmt.Sprintf("section %d", i)] = func(u quantity.Display) (*Picture, error) { return SectionPicture(u, sectionRun(invented), i) }
	}
	pictures["bare section"] = func(u quantity.Display) (*Picture, error) {
		return SectionPicture(u, sectionRun(invented), 3, Contours, HeatFlux)
	}
	pictures["even section"] = func(u quantity.Display) (*Picture, error) {
		return SectionPicture(u, sectionRun(func(place, float64) float64 { return 295.15 }), 0)
	}
	pictures["outside"] = func(u quantity.Display) (*Picture, error) { return OutsidePicture(u, sectionRun(invented), 3) }
	pictures["sweating outside"] = func(u quantity.Display) (*Picture, error) {
		return OutsidePicture(u, sectionRun(func(p place, h float64) float64 { return 284 + 300*p.z }), 3)
	}
}

// Without arrows and contours, no contour is drawn.
func TestSectionLeavesLayersOut(t *testing.T) {
	for _, c := range []struct {
		without []Layer
		want    bool
	}{{nil, true}, {[]Layer{Contours}, false}} {
		p, err := SectionPicture(quantity.Display{}, sectionRun(invented), 2, c.without...)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(readContours(t, p)) > 0; got != c.want {
			t.Errorf("without %v: contours %v, want %v", c.without, got, c.want)
		}
	}
}

// readContours returns the points of each contour by its temperature, K.
func readContours(t *testing.T, p *Picture) map[float64][][2]float64 {
	t.Helper()
	var doc struct {
		Paths []struct {
			D     string `xml:"d,attr"`
			Level string `xml:"data-contour-kelvin,attr"`
		} `xml:"path"`
	}
	readSVG(t, p, &doc)
	out := map[float64][][2]float64{}
	for _, path := range doc.Paths {
		if path.Level != "" {
			level, err := strconv.ParseFloat(path.Level, 64)
			if err != nil {
				t.Fatal(err)
			}
			out[level] = pointsIn(t, strings.ReplaceAll(path.D, "M", "L"))
		}
	}
	return out
}

// Contours of a field that is linear in the height lie at the heights of
// their temperatures: in the picture, 20 K over 30 mm.
func TestLinearFieldHasStraightContours(t *testing.T) {
	run := sectionRun(func(p place, _ float64) float64 { return 275.15 + 20*p.z/30e-3 })
	p, err := SectionPicture(quantity.Display{}, run, 0)
	if err != nil {
		t.Fatal(err)
	}
	contours := readContours(t, p)
	if len(contours) != 9 { // 4 to 20 degC, every 2 K
		t.Errorf("%d contours, want 9", len(contours))
	}
	// The ground is level with the lowest points: a second contour gives the scale.
	perMetre, ground := pictureScale(t, contours, 277.15, 293.15)
	for level, points := range contours {
		want := ground - (level-275.15)*30e-3/20*perMetre
		for _, q := range points {
			if math.Abs(q[1]-want) > 0.02 {
				t.Fatalf("contour of %g K at y = %g, want %g", level, q[1], want)
			}
		}
	}
	if d := sectionDrawingOf(t, run, 0); math.Abs(d.perMetre-perMetre) > 0.01*perMetre {
		t.Errorf("contours are %g pixels apart for a metre, the section is drawn at %g", perMetre, d.perMetre)
	}
}

// pictureScale is the scale and y of the ground that two contours of the
// linear field lead to.
func pictureScale(t *testing.T, contours map[float64][][2]float64, low, high float64) (perMetre, ground float64) {
	t.Helper()
	if len(contours[low]) == 0 || len(contours[high]) == 0 {
		t.Fatalf("no contour of %g or %g K", low, high)
	}
	y0, y1 := contours[low][0][1], contours[high][0][1]
	perMetre = (y0 - y1) / ((high - low) * 30e-3 / 20)
	return perMetre, y0 + (low-275.15)*30e-3/20*perMetre
}

// sectionDrawingOf is a drawing with its field and scale, as it is made for a
// picture.
func sectionDrawingOf(t interface {
	Helper()
	Fatal(...any)
}, run *result.Run, frame int) *sectionDrawing {
	t.Helper()
	d, err := newSectionDrawing(quantity.Display{}, run, frame)
	if err != nil {
		t.Fatal(err)
	}
	d.draw(nil)
	return d
}

// Any linear field across uneven cells is met exactly, up to the edges.
func TestLinearFieldIsMetExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-500, 500).Draw(t, "outwards"), rapid.Float64Range(-500, 500).Draw(t, "upwards")
		linear := func(p place, _ float64) float64 { return 290 + a*p.r + b*p.z }
		d := sectionDrawingOf(t, sectionRun(linear), 0)
		for _, p := range d.field.mesh().points {
			if want := linear(p.place, 0); math.Abs(p.value-want) > 1e-9*(math.Abs(a)+math.Abs(b)+1) {
				t.Fatalf("%g K at %v, want %g", p.value, p.place, want)
			}
		}
		for c := range d.spans {
			r, z := d.field.flux(c)
			if math.Abs(r+0.2*a) > 1e-6 || math.Abs(z+0.2*b) > 1e-6 { // Fourier's law, 0.2 W/(m K)
				t.Fatalf("flux %g, %g W/m2, want %g, %g", r, z, -0.2*a, -0.2*b)
			}
		}
	})
}

// Two layers in series, 2 mm of 0.2 W/(m K) and 1 mm of 0.1 W/(m K) with 3 K
// across their middles: 3/(1e-3/0.2 + 0.5e-3/0.1) = 300 W/m2, and 1.5 K to
// where they meet.
func TestFluxCrossesLayersInSeries(t *testing.T) {
	run := sectionRun(invented)
	s := run.Section
	s.Cells = []result.SectionCell{
		{In: 0, Out: 2e-3, Low: 0, High: 1e-3, Outwards: 0.2, Upwards: 1},
		{In: 2e-3, Out: 3e-3, Low: 0, High: 1e-3, Outwards: 0.1, Upwards: 1},
	}
	l, err := newLattice(s)
	if err != nil {
		t.Fatal(err)
	}
	f := newField(l, []float64{283, 280})
	if q, _ := f.flux(0); math.Abs(q-300) > 1e-6 {
		t.Errorf("flux %g W/m2, want 300", q)
	}
	if got := f.faces[1][inwards]; math.Abs(got-281.5) > 1e-9 {
		t.Errorf("%g K where the layers meet, want 281.5", got)
	}
}

// Each point of a contour lies between a place that is colder and one that is
// warmer: next to it on the mesh.
func TestContoursLieBetweenColderAndWarmer(t *testing.T) {
	d := sectionDrawingOf(t, sectionRun(invented), 2)
	const level = 285.15
	lines := d.field.mesh().contours(level)
	if len(lines) == 0 {
		t.Fatal("no contour")
	}
	for _, line := range lines {
		for _, p := range line {
			if got := invented(p, 1); math.Abs(got-level) > 0.15 { // half a cell's bend of the field
				t.Errorf("%g K at %v on the contour of %g K", got, p, level)
			}
		}
	}
}

// A closed line comes back to where it starts: a warm spot in a plate.
func TestContoursCloseRoundASpot(t *testing.T) {
	run := sectionRun(invented)
	s := run.Section
	s.Cells, s.Frames = nil, s.Frames[:1]
	var temperature []float64
	for i := range 11 {
		for k := range 11 {
			c := result.SectionCell{In: 1e-3 * float64(i), Out: 1e-3 * float64(i+1), Low: 1e-3 * float64(k), High: 1e-3 * float64(k+1), Outwards: 1, Upwards: 1}
			s.Cells = append(s.Cells, c)
			temperature = append(temperature, 300-1e3*middle(c).distance(place{5.5e-3, 5.5e-3}))
		}
	}
	l, err := newLattice(s)
	if err != nil {
		t.Fatal(err)
	}
	lines := newField(l, temperature).mesh().contours(297)
	if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Fatalf("%d lines, want one that is closed", len(lines))
	}
	for _, p := range lines[0] {
		if r := p.distance(place{5.5e-3, 5.5e-3}); math.Abs(r-3e-3) > 0.1e-3 {
			t.Errorf("%v is %g m off the middle, want 3 mm", p, r)
		}
	}
}

// The patches cover every cell and every cavity, once.
func TestPatchesCoverTheBody(t *testing.T) {
	d := sectionDrawingOf(t, sectionRun(invented), 0)
	area := func(at func(row, col int) int) float64 {
		sum := 0.0
		d.patches(at, func(_ int, p patch) { sum += (d.r[p.out] - d.r[p.in]) * (d.lattice.z[p.high] - d.lattice.z[p.low]) })
		return sum
	}
	cells := 0.0
	for _, c := range d.section.Cells {
		cells += (c.Out - c.In) * (c.High - c.Low)
	}
	if got := area(d.cellAt); math.Abs(got-cells) > 1e-12 {
		t.Errorf("cells: %g m2 covered, want %g", got, cells)
	}
	cavity := area(func(row, col int) int {
		if d.hollow(row, col) {
			return 0
		}
		return -1
	})
	if want := 11e-3 * 26e-3; math.Abs(cavity-want) > 1e-12 {
		t.Errorf("cavity: %g m2, want %g", cavity, want)
	}
}

// All frames of a run share one range of colours, from the coldest to the
// warmest of all.
func TestFramesShareOneScale(t *testing.T) {
	run := sectionRun(invented)
	run.Section.Frames[4].Temperature[0] = 260
	if s := scaleOf(run.Section); s.lo != 260 || s.hi != 297.15 {
		t.Errorf("from %g to %g K, want 260 to 297.15", s.lo, s.hi)
	}
}

func TestSectionsThatCannotBeDrawnAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*result.Run)
		frame  int
		want   string
	}{
		"no section":      {func(r *result.Run) { r.Section = nil }, 0, "no section"},
		"no such frame":   {func(*result.Run) {}, 7, "0 to 6"},
		"negative frame":  {func(*result.Run) {}, -1, "0 to 6"},
		"no frames":       {func(r *result.Run) { r.Section.Frames = nil }, 0, "0 frames"},
		"too few values":  {func(r *result.Run) { r.Section.Frames[2].Temperature = nil }, 0, "0 temperatures"},
		"no number":       {func(r *result.Run) { r.Section.Frames[0].Temperature[3] = math.NaN() }, 0, "cell 4"},
		"no size":         {func(r *result.Run) { r.Section.Height = 0 }, 0, "height"},
		"cup beyond body": {func(r *result.Run) { r.Section.CupRadius = 1 }, 0, "cup"},
		"cell inside out": {func(r *result.Run) { r.Section.Cells[0].Out = -1 }, 0, "cell 1"},
	} {
		t.Run(name, func(t *testing.T) {
			run := sectionRun(invented)
			c.change(run)
			_, err := SectionPicture(quantity.Display{}, run, c.frame)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
	if _, err := OutsidePicture(quantity.Display{}, nil, 0); err == nil {
		t.Error("no error for no run")
	}
}

// Whatever a store does in its cup, the picture keeps its words apart.
func TestSectionKeepsWordsApartForAnyStore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := sectionRun(invented)
		f := &run.Section.Frames[3]
		length := rapid.Float64Range(0, 20e-3)
		f.SolidRadius, f.SolidBottom, f.Level = length.Draw(t, "radius"), length.Draw(t, "bottom"), length.Draw(t, "level")
		f.SolidTop = f.SolidBottom + length.Draw(t, "height")
		f.PlateHeight = max(f.SolidTop, f.Level) + length.Draw(t, "gap")
		f.DewPoint = rapid.Float64Range(250, 320).Draw(t, "dew point")
		u := rapid.SampledFrom([]quantity.Display{{}, inOtherUnits}).Draw(t, "units")
		for _, draw := range []func(quantity.Display, *result.Run, int) (*Picture, error){
			func(u quantity.Display, r *result.Run, i int) (*Picture, error) { return SectionPicture(u, r, i) }, OutsidePicture,
		} {
			p, err := draw(u, run, 3)
			if err != nil {
				t.Fatal(err)
			}
			checkWordsApart(t, p)
		}
	})
}

// The heights that sweat are those below the dew point, and no others.
func TestOutsideSaysWhetherItSweats(t *testing.T) {
	for _, c := range []struct {
		kelvin float64
		want   string
	}{{286, "sweats"}, {288, "Nothing of it"}} {
		run := sectionRun(func(place, float64) float64 { return c.kelvin })
		run.Section.Frames[0].LowerPlate, run.Section.Frames[0].UpperPlate = 290, 290 // dew point: 287 K
		p, err := OutsidePicture(quantity.Display{}, run, 0)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(p.sheet.Desc, c.want) {
			t.Errorf("at %g K: %q, want %q in it", c.kelvin, p.sheet.Desc, c.want)
		}
	}
}
