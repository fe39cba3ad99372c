package report

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/search"
)

func init() {
	for name, fixture := range map[string]func() *search.Result{
		"search": fixtureSearch, "search of one": func() *search.Result { r := fixtureSearch(); r.Front, r.Aims = r.Front[:1], r.Aims[:1]; return r },
		"search of many aims": func() *search.Result { r := fixtureSearch(); r.Aims = search.Aims(); return r },
	} {
		pictures[name] = func(u quantity.Display) (*Picture, error) { return SearchPicture(fixture()) }
	}
}

// fixtureSearch is an invented search: two inputs, a front of fourteen.
func fixtureSearch() *search.Result {
	candidate := func(run, print float64) search.Candidate {
		return search.Candidate{
			At: []float64{0.08 + run/1e7, 2, 0}, Revision: "0123456789ab",
			Figures: search.Figures{Nominal: run * 1.2, Screened: run, PrintTime: print, Material: 0.09, FreezeTime: 5 * 3600, Sweat: 4e-4},
			Ranked:  &predict.Ranked{Band: predict.Band{Low: run, Median: 1.25 * run, High: 1.5 * run, Samples: 200}, Quantile: run, Early: 0.02},
		}
	}
	r := &search.Result{
		Design: "bench", Aims: []search.Aim{search.AimRunTime, search.AimPrintTime}, Quantile: 0.05,
		Inputs: []search.Input{
			{Path: "stand.cup.diameter", Kind: quantity.Length, Low: 0.07, High: 0.09, Step: 1e-4},
			{Path: "stand.wall.cavities", Count: true, Low: 1, High: 4, Step: 1},
			{Path: "stand.material", Words: []string{"pla", "petg"}, High: 1, Step: 1},
		},
		Base: candidate(3600, 5*3600), Tried: 4000, Asked: 4000, Samples: 200, Seed: 1,
	}
	for i := range 14 {
		r.Front = append(r.Front, candidate(float64(28000-800*i), float64(25000-1200*i)))
	}
	r.Beaten = append(r.Beaten, candidate(20000, 24000))
	r.Confirm = &search.Confirmation{
		Base: *r.Base.Ranked, Best: *r.Front[0].Ranked, Samples: 400, Spacing: 1e-3, SectionBase: 4300, SectionBest: 33000,
		CeilingBest: predict.Ceiling{StillAir: 70000, SplitAir: []predict.Loss{{ID: predict.LossReached, Share: 0.48}, {ID: "wall", Label: "wall", Share: 0.5}, {ID: "x", Label: "x", Share: 0.004}, {ID: predict.LossTail, Label: "tail", Share: 0.016}}},
	}
	r.Confirm.Best.Longer = 0.99
	return r
}

func searchText(t *testing.T, r *search.Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := SearchText(&b, quantity.Display{}, r, nil); err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(b.String(), "\n") {
		if len([]rune(line)) > 80 {
			t.Errorf("too wide: %q", line)
		}
	}
	return b.String()
}

func TestSearchTextSaysWhatWasFound(t *testing.T) {
	text := strings.Join(strings.Fields(searchText(t, fixtureSearch())), " ")
	for _, want := range []string{
		"Longest run time found: 7 h 45 min at the lower end of the 90 % band (now 1 h)",
		"longer than now in 99 % of them", "none of these is beaten", "2 more lie between these",
		"(1.0 mm), with all inputs nominal: 9 h 10 min", "You have 48 % of the still-air ceiling, 19 h 25 min; of the store's capacity the rest goes to: wall 50 %, tail 1.6 %.",
		"stand.material pla pla", "Beyond the quantile lie only some 10 draws", "not measurements",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in: %s", want, text)
		}
	}
}

// An interrupted search, one that found nothing, and one of nothing.
func TestSearchTextWithoutAFront(t *testing.T) {
	r := fixtureSearch()
	r.Interrupted, r.Tried, r.Confirm = true, 100, nil
	for i := range r.Front {
		r.Front[i].Ranked = nil
	}
	if text := searchText(t, r); !strings.Contains(text, "screened only") || !strings.Contains(text, "100 of 4000 asked for (interrupted)") {
		t.Error(text)
	}
	r.Nearest = &search.Candidate{At: []float64{0.08, 2, 1}, Figures: search.Figures{Breaches: []search.Breach{{Limit: "print_time", Words: "prints in 7 h, more than 6 h", By: 0.1}}}}
	r.Front = nil
	if text := searchText(t, r); !strings.Contains(text, "None of the candidates") || !strings.Contains(text, "In its way: prints in 7 h") || !strings.Contains(text, "stand.material: petg") {
		t.Error(text)
	}
	if _, err := SearchPicture(r); err == nil {
		t.Error("a picture of nothing")
	}
	if err := SearchText(&bytes.Buffer{}, quantity.Display{}, nil, nil); err == nil {
		t.Error("a text of nothing")
	}
}

// The dots stand where their numbers say: designs in order of run time from the
// top, print times from the right.
func TestSearchPicturePlacesDesigns(t *testing.T) {
	p, err := SearchPicture(fixtureSearch())
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Paths []struct {
			D      string `xml:"d,attr"`
			Design string `xml:"data-design,attr"`
		} `xml:"path"`
	}
	readSVG(t, p, &doc)
	lastX, lastY, seen := math.Inf(1), math.Inf(-1), 0
	for _, path := range doc.Paths {
		if path.Design == "" {
			continue
		}
		first := pointsIn(t, strings.NewReplacer("M", "L", "C", "L", "Z", "").Replace(path.D))[0]
		if !(first[0] < lastX && first[1] > lastY) {
			t.Errorf("design %s at %v, the one before at %g, %g", path.Design, first, lastX, lastY)
		}
		lastX, lastY = first[0], first[1]
		seen++
	}
	if seen != 14 {
		t.Errorf("%d designs are drawn", seen)
	}
}
