package search

import (
	"context"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/predict"
)

const searchFile = `# what to print next
search: 1
vary:
  stand.cup.diameter: 70 mm to 91 mm
  stand.wall.cavities: 0 to 4
  stand.material: [pla, petg]
  stand.wall.thickness: 8 mm to 20 mm
  stand.top: [closed, open]
hold:
  envelope: 120 mm x 40 mm
  ice_comes_out: no
  dry_at: 60 %
  print_time: 6 h
  material: 0.1 kg
aim: [run_time, print_time]
quantile: 10 %
`

func TestReadASearchFile(t *testing.T) {
	f, err := ParseFile("search.yaml", []byte(searchFile), demo(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Inputs) != 5 || f.Inputs[0].Low != 0.070 || f.Inputs[0].High != 0.091 || !f.Inputs[1].Count || f.Inputs[2].Words[1] != "petg" {
		t.Errorf("%+v", f.Inputs)
	}
	want := Limits{EnvelopeDiameter: 0.12, EnvelopeHeight: 0.04, Printable: true, PlateBears: 1e-3, Tray: true, DryAt: 0.6, PrintTime: 6 * 3600, Material: 0.1}
	if f.Limits != want || len(f.Aims) != 2 || math.Abs(f.Quantile-0.1) > 1e-12 {
		t.Errorf("%+v, %v, %g", f.Limits, f.Aims, f.Quantile)
	}
}

// The search file of the documents can be read, and the design that they say was
// found with it has what they say: the lower end of its band, on draws that had no
// part in the search, outlasts what is predicted for the prototype.
func TestProposalOfTheDocuments(t *testing.T) {
	text, err := os.ReadFile("../docs/search-demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d := demo(t)
	f, err := ParseFile("search-demo.yaml", text, d)
	if err != nil {
		t.Fatal(err)
	}
	found, err := design.Read(os.DirFS("../docs"), "search-demo-found.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewProblem(d, f.Inputs, f.Limits, f.Aims, f.Quantile, 0)
	if err != nil {
		t.Fatal(err)
	}
	figures, err := p.figuresOf(context.Background(), found, checked(found), nil, true)
	if err != nil || len(figures.Breaches) > 0 || figures.Impossible != "" {
		t.Errorf("%+v, %v", figures, err)
	}
	ranked, err := predict.Bands(context.Background(), d, []*design.Design{d, found}, p.Quantile, predict.Options{Samples: 200, Seed: 77})
	if err != nil {
		t.Fatal(err)
	}
	prototype := math.Max(ranked[0].Band.Median, 7.04*3600)
	if low := ranked[1].Band.Low; low < prototype {
		t.Errorf("lower end %.2f h, prototype %.2f h", low/3600, prototype/3600)
	}
}

// Every mistake is told with its place, and what would be right.
func TestMistakesInASearchFile(t *testing.T) {
	for _, c := range []struct{ from, to, what, right string }{
		{"search: 1", "search: 2", "version", "search: 1"},
		{"search: 1\n", "", "search is missing", "search: 1"},
		{"stand.cup.diameter: 70 mm to 91 mm", "stand.cup.diametre: 70 mm to 91 mm", "no quantity", "diameter"},
		{"70 mm to 91 mm", "70 mm", "cannot vary", "two ends"},
		{"70 mm to 91 mm", "70 g to 91 mm", "70 g is a mass", "mm"},
		{"70 mm to 91 mm", "70 mm to 70 mm", "empty", "different"},
		{"70 mm to 91 mm", "70 mm to 91 m", "cannot be", "within"},
		{"0 to 4", "0 to four", "count", "whole number"},
		{"[pla, petg]", "[pla, unobtanium]", "unobtanium", "words"},
		{"[pla, petg]", "[pla]", "cannot vary", "two ends"},
		{"[closed, open]", "[closed, ajar]", "ajar", "words"},
		{"stand.material: [pla, petg]", "stand.material: 1 to 2", "word", "choose"},
		{"120 mm x 40 mm", "120 mm", "envelope", "120 mm x 40 mm"},
		{"ice_comes_out: no", "ice_comes_out: maybe", "maybe", "yes or no"},
		{"dry_at: 60 %", "dry_at: 160 %", "160 %", "100 %"},
		{"print_time: 6 h", "print_time: -6 h", "-6 h", "above zero"},
		{"print_time: 6 h", "print_time: 6 kg", "6 kg is a mass", ""},
		{"material: 0.1 kg", "matter: 0.1 kg", `"matter"`, "one of envelope"},
		{"[run_time, print_time]", "[fame]", `"fame"`, "one of run_time"},
		{"quantile: 10 %", "quantile: 100 %", "quantile", "less than 100 %"},
		{"quantile: 10 %", "quantity: 10 %", "no key", "quantile"},
		{"hold:\n", "hold: yes\nheld:\n", "section", "indented"},
		{"aim: [run_time, print_time]", "aim:", "no value", ""},
		{"  dry_at: 60 %\n", "  dry_at: 60 %\n  dry_at: 50 %\n", "twice", "one of them"},
		{"search: 1", "search: &a 1", "anchors", "values out"},
		{"vary:", "vary: {", "not closed", "close it"},
	} {
		text := strings.Replace(searchFile, c.from, c.to, 1)
		if text == searchFile {
			t.Fatalf("%q is not in the file", c.from)
		}
		_, err := ParseFile("search.yaml", []byte(text), demo(t))
		var problems design.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%q: %v", c.to, err)
			continue
		}
		all := problems.Error()
		if !strings.Contains(all, c.what) || !strings.Contains(all, c.right) || !strings.Contains(all, "search.yaml") {
			t.Errorf("%q: %s", c.to, all)
		}
	}
}

// Whatever is in a search file, reading it neither panics nor gives a space
// that cannot be searched.
func FuzzParseFile(f *testing.F) {
	f.Add([]byte(searchFile))
	f.Add([]byte("search: 1\nvary: {stand.wall.skin: 1 mm to 2 mm}"))
	f.Add([]byte("search: 1\nvary:\n  stand.cup: [a, b]\nhold: {run_time: 1 s}"))
	f.Add([]byte("[1, 2"))
	d := demo(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		file, err := ParseFile("fuzz", text, d)
		if err != nil {
			return
		}
		p, err := NewProblem(d, file.Inputs, file.Limits, file.Aims, file.Quantile, 0)
		if err != nil {
			return
		}
		for _, domain := range p.Space.domains() {
			if !(domain.High > domain.Low) || math.IsInf(domain.High-domain.Low, 0) {
				t.Fatalf("%+v", domain)
			}
			for _, share := range []float64{0, 0.3, 1} {
				if v := domain.at(share); !(v >= domain.Low && v <= domain.High) {
					t.Fatalf("%g of %+v is %g", share, domain, v)
				}
			}
		}
	})
}
