package drawing

import (
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/quantity"
	"meltspan/solid"
)

// inInches is what a reader who has inches chose.
var inInches = func() quantity.Display {
	u, err := quantity.ParseDisplay("in")
	if err != nil {
		panic(err)
	}
	return u
}()

// eachPart draws every part of every built-in design, in mm and in inches, with
// two marks.
func eachPart(t *testing.T, check func(t *testing.T, d *design.Design, p *solid.Part, drawn *Drawing)) {
	t.Helper()
	for _, name := range design.DemoNames() {
		d := designtest.Demo(t, name)
		parts, err := solid.Sections(d)
		if err != nil {
			t.Fatal(err)
		}
		for i := range parts {
			for _, u := range []quantity.Display{{}, inInches} {
				p := &parts[i]
				t.Run(name+" "+p.Name+" in "+u.String(), func(t *testing.T) {
					reach, high := p.Bounds()
					drawn, err := Part(p, Info{Title: d.Name, Identification: d.Revision(), Date: "2026-11-25", Number: i + 1, Of: len(parts), Units: u, Marks: []Mark{
						{solid.Point{R: reach / 2, Z: 0}, "look: the underside, as an example"}, {solid.Point{R: reach, Z: high}, "fine: the upper edge, as an example"},
					}})
					if err != nil {
						t.Fatal(err)
					}
					check(t, d, p, drawn)
				})
			}
		}
	}
}

// line is a path of an SVG with its data.
type line struct {
	D     string `xml:"d,attr"`
	Name  string `xml:"data-dimension,attr"`
	Key   string `xml:"data-key,attr"`
	Value string `xml:"data-value-mm,attr"`
	Scale string `xml:"data-scale,attr"`
}

const mmPerPixel = 25.4 / 96 // CSS Values and Units, absolute lengths

// read finds the dimensions in an SVG.
func read(t *testing.T, svg []byte, paper Paper) []line {
	t.Helper()
	var all struct {
		Width string `xml:"width,attr"`
		Paths []line `xml:"path"`
	}
	if err := xml.Unmarshal(svg, &all); err != nil {
		t.Fatal(err)
	}
	if width, err := strconv.ParseFloat(all.Width, 64); err != nil || math.Abs(width*mmPerPixel-paper.Width) > 1e-3 {
		t.Errorf("the picture is %s pixels wide, %s is %g mm", all.Width, paper.Name, paper.Width)
	}
	var out []line
	for _, p := range all.Paths {
		if p.Value != "" {
			out = append(out, p)
		}
	}
	return out
}

// Drawn, written and designed agree: the length of each dimension line in the
// SVG times the scale, the value written beside it, and the design's own.
func TestDimensionsReadBackFromTheSVG(t *testing.T) {
	eachPart(t, func(t *testing.T, d *design.Design, p *solid.Part, drawn *Drawing) {
		svg, err := drawn.Sheet.SVG()
		if err != nil {
			t.Fatal(err)
		}
		lines := read(t, svg, drawn.Paper)
		if len(lines) != len(p.Dimensions) || len(lines) == 0 {
			t.Fatalf("%d dimensions drawn of %d", len(lines), len(p.Dimensions))
		}
		for i, l := range lines {
			var x1, y1, x2, y2, paper, part float64
			if _, err := fmt.Sscanf(strings.NewReplacer("M", "", "L", " ", ",", " ").Replace(l.D), "%f %f %f %f", &x1, &y1, &x2, &y2); err != nil {
				t.Fatalf("%q: %v", l.D, err)
			}
			if _, err := fmt.Sscanf(l.Scale, "%f:%f", &paper, &part); err != nil {
				t.Fatal(err)
			}
			measured := math.Hypot(x2-x1, y2-y1) * mmPerPixel * part / paper
			value, err := strconv.ParseFloat(l.Value, 64)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Trim(drawn.Dimensions[i].Text, "()Ø")
			written, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			rounding := 0.005
			if strings.HasSuffix(t.Name(), "degC,in") {
				written, rounding = 25.4*written, 25.4*0.0005
			}
			if math.Abs(measured-value) > 1e-3 || math.Abs(written-value) > rounding+1e-9 {
				t.Errorf("%s: drawn %.4f mm, written %s, worth %s", l.Name, measured, text, l.Value)
			}
			if l.Key == "" {
				continue
			}
			get, err := design.Accessor(l.Key)
			if err != nil {
				t.Fatal(err)
			}
			if v := get(d); v == nil || math.Abs(v.SI*1e3-value) > 1e-3 {
				t.Errorf("%s: %g mm drawn, the design has %v", l.Key, value, v)
			}
		}
	})
}

// fair checks a drawing for what people would trip over.
func fair(t interface{ Errorf(string, ...any) }, drawn *Drawing) {
	frame := drawn.Paper.frame()
	var boxes []box
	for _, d := range drawn.Dimensions {
		boxes = append(boxes, d.text.box())
	}
	boxes = append(boxes, drawn.balloons...)
	for i, b := range boxes {
		if !b.within(frame) {
			t.Errorf("%s: text %d at %+v is outside the frame", drawn.Part, i, b)
		}
		for j, o := range boxes[:i] {
			if b.meets(o) {
				t.Errorf("%s: texts %d and %d overlap: %+v, %+v", drawn.Part, i, j, b, o)
			}
		}
	}
	// And all that is written, title block and notes included.
	texts := drawn.Sheet.Texts()
	for i, a := range texts {
		left, top, right, bottom := a.Bounds()
		if left < 0 || top < 0 || right > drawn.Sheet.Width || bottom > drawn.Sheet.Height {
			t.Errorf("%s: %q is off the sheet", drawn.Part, a.Content)
		}
		for _, o := range texts[:i] {
			l, u, r, d := o.Bounds()
			if left < r-1e-6 && l < right-1e-6 && top < d-1e-6 && u < bottom-1e-6 && a.Content != "" && o.Content != "" {
				t.Errorf("%s: %q and %q overlap", drawn.Part, a.Content, o.Content)
			}
		}
	}
}

func TestTextsOverlapNothing(t *testing.T) {
	eachPart(t, func(t *testing.T, _ *design.Design, _ *solid.Part, drawn *Drawing) { fair(t, drawn) })
}

func TestAnyDesignCanBeDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		parts, err := solid.Sections(d)
		if err != nil {
			t.Skip(err) // pegs without a place
		}
		p := &parts[rapid.IntRange(0, len(parts)-1).Draw(t, "part")]
		reach, high := p.Bounds()
		info := Info{Title: rapid.String().Draw(t, "title"), Identification: d.Revision(), Owner: rapid.String().Draw(t, "owner")}
		for range rapid.IntRange(0, 6).Draw(t, "marks") {
			at := solid.Point{R: reach * rapid.Float64Range(0, 1).Draw(t, "r"), Z: high * rapid.Float64Range(0, 1).Draw(t, "z")}
			info.Marks = append(info.Marks, Mark{at, rapid.StringN(0, 200, -1).Draw(t, "words")})
		}
		drawn, err := Part(p, info)
		if err != nil {
			t.Fatalf("%s: %v\n%s", p.Name, err, d.YAML())
		}
		fair(t, drawn)
	})
}

// The starter's shell: what defines it stands bare, what follows in brackets.
func TestChainsStayOpen(t *testing.T) {
	height := func(name, key string, from, to float64) solid.Dimension {
		return solid.Dimension{Kind: solid.Height, Name: name, Key: key, From: solid.Point{R: 1, Z: from}, To: solid.Point{R: 1, Z: to}}
	}
	list := []solid.Dimension{
		height("base", "", 0, 0.01), height("all", "stand.height", 0, 0.038), height("depth", "stand.cup.depth", 0.01, 0.038),
		{Kind: solid.Diameter, Name: "outside", From: solid.Point{R: 0.058}, To: solid.Point{R: -0.058}},
		{Kind: solid.Diameter, Name: "cup", From: solid.Point{R: 0.04}, To: solid.Point{R: -0.04}},
		{Kind: solid.Thickness, Name: "wall", From: solid.Point{R: 0.04}, To: solid.Point{R: 0.058}},
	}
	for want, u := range map[string]quantity.Display{"(10) 38 28 Ø116 Ø80 (18)": {}, "(0.394) 1.496 1.102 Ø4.567 Ø3.150 (0.709)": inInches} {
		var texts []string
		for _, d := range chosen(list, u) {
			texts = append(texts, d.Text)
		}
		if s := strings.Join(texts, " "); s != want {
			t.Errorf("%s", s)
		}
	}
}

func TestHatchingStaysInTheMaterial(t *testing.T) {
	eachPart(t, func(t *testing.T, _ *design.Design, p *solid.Part, drawn *Drawing) {
		v := &view{part: p, body: newBody(p), factor: 1e3 * drawn.Scale.Factor(), origin: at{200, 200}}
		s := v.hatch(hatching{spacing: spacing(v)}, nil)
		if len(s) == 0 {
			t.Fatal("no hatching")
		}
		for _, h := range s {
			r, z := v.back(at{(h.a.x + h.b.x) / 2, (h.a.y + h.b.y) / 2})
			if !v.body.inside(r, z) {
				t.Fatalf("hatched at %g, %g mm, where there is no material", 1e3*r, 1e3*z)
			}
		}
		// Lines a distance apart cover an area of length times distance.
		area := 0.0
		for _, h := range s {
			area += h.length() * spacing(v)
		}
		want := 0.0
		const n = 400
		for i := range n {
			for k := range n {
				if v.body.inside((float64(i)+0.5)/n*v.body.reach, (float64(k)+0.5)/n*v.body.height) {
					want += 2 * v.body.reach * v.body.height / (n * n) * v.factor * v.factor
				}
			}
		}
		if math.Abs(area/want-1) > 0.06 {
			t.Errorf("hatched %.1f mm2 of paper, material is %.1f mm2", area, want)
		}
	})
}

func TestPaperThatIsNotThereIsRefused(t *testing.T) {
	parts, err := solid.Sections(designtest.Demo(t, "engine-on-ice"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Part(&parts[0], Info{Paper: "A5"}); err == nil || !strings.Contains(err.Error(), "A4 or A3") {
		t.Errorf("%v", err)
	}
	for _, paper := range []string{"A4", "A3"} {
		drawn, err := Part(&parts[0], Info{Paper: paper})
		if err != nil || drawn.Paper.Name != paper {
			t.Errorf("%s: %v", paper, err)
		}
	}
}

// An independent reader finds one page of the sheet's size, with every value.
func TestPDFByAnIndependentReader(t *testing.T) {
	for _, name := range []string{"pdftotext", "pdfinfo"} {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("SKIPPED: %s is missing (Debian package poppler-utils)", name)
		}
	}
	eachPart(t, func(t *testing.T, d *design.Design, p *solid.Part, drawn *Drawing) {
		data, err := drawn.Sheet.PDF()
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "a.pdf")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		about, err := exec.Command("pdfinfo", file).Output()
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(strings.Join(strings.Fields(string(about)), " "), "Pages: 1 ") || !strings.Contains(string(about), "("+drawn.Paper.Name+")") {
			t.Errorf("%s", about)
		}
		words, err := exec.Command("pdftotext", "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{d.Name, d.Revision() + "-" + p.Name, drawn.Scale.String(), "2026-11-25"} {
			if !strings.Contains(string(words), want) {
				t.Errorf("%q is missing", want)
			}
		}
		for _, dimension := range drawn.Dimensions {
			if !strings.Contains(string(words), dimension.Text) {
				t.Errorf("%s: %q is missing", dimension.Name, dimension.Text)
			}
		}
	})
}

func BenchmarkPart(b *testing.B) {
	d := designtest.Demo(b, "engine-on-ice")
	parts, err := solid.Sections(d)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Part(&parts[0], Info{Title: d.Name}); err != nil {
			b.Fatal(err)
		}
	}
}
