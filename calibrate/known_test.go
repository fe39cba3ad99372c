package calibrate

import (
	"math"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/trial"
)

// learnedOnce is a small posterior from a stopwatch time.
func learnedOnce(t *testing.T) (*design.Design, *Posterior) {
	t.Helper()
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	timed := &trial.Trial{Name: "one", Kind: trial.Run, Start: math.NaN(), Events: []trial.Event{{Kind: trial.Stalled, Time: 5 * 3600, Uncertainty: 30}}}
	p, err := Calibrate(t.Context(), []Case{{d, timed}}, Options{Draws: 100, Chains: 2, Most: 2, Population: 40})
	if err != nil {
		t.Fatal(err)
	}
	return d, p
}

// A posterior as draws of a design's inputs is the posterior's own columns; what
// the model gets wrong of a design counts for that design, and is unknown for
// another.
func TestKnownIsThePosteriorOfWhatLasts(t *testing.T) {
	d, p := learnedOnce(t)
	if err := p.Valid(); err != nil {
		t.Fatal(err)
	}
	known, err := p.Known(d, 1)
	if err != nil {
		t.Fatal(err)
	}
	column := func(match func(c *Column) bool) int {
		for i := range p.Columns {
			if match(&p.Columns[i]) {
				return i
			}
		}
		t.Fatal("no such column")
		return -1
	}
	pace := column(func(c *Column) bool { return c.Path == Pace && !c.Own })
	for k, path := range known.Paths {
		c := column(func(c *Column) bool { return c.Path == path && !c.Own })
		for i := range p.Draws {
			if known.Rows[i][k] != p.Draws[i][c] {
				t.Fatalf("%s, draw %d: %g, want %g", path, i, known.Rows[i][k], p.Draws[i][c])
			}
		}
		if path == "store.mass" || strings.HasPrefix(path, "room.temp") {
			t.Errorf("%s belongs to one trial", path)
		}
	}
	for i := range p.Draws {
		if got, want := known.Pace[i], math.Exp(p.Discrepancy.Design*p.Draws[i][pace]); got != want {
			t.Fatalf("pace of draw %d: %g, want %g", i, got, want)
		}
	}
	other := d.Clone()
	if err := other.Set("store.mass", 0.08); err != nil {
		t.Fatal(err)
	}
	elsewhere, err := p.Known(other, 1)
	if err != nil {
		t.Fatal(err)
	}
	same := 0
	for i := range p.Draws {
		if elsewhere.Pace[i] == known.Pace[i] {
			same++
		}
	}
	if same > 0 {
		t.Errorf("another design has the pace of this one in %d draws", same)
	}
}

func TestValidFindsWhatIsBroken(t *testing.T) {
	_, p := learnedOnce(t)
	for name, spoil := range map[string]func(q *Posterior){
		"short row":  func(q *Posterior) { q.Draws[3] = q.Draws[3][:1] },
		"no number":  func(q *Posterior) { q.Draws[3] = append([]float64(nil), q.Draws[3]...); q.Draws[3][0] = math.NaN() },
		"few draws":  func(q *Posterior) { q.Draws = q.Draws[:2] },
		"no trials":  func(q *Posterior) { q.Trials = nil },
		"no columns": func(q *Posterior) { q.Columns = nil },
	} {
		q := *p
		q.Draws = append([][]float64(nil), p.Draws...)
		if spoil(&q); q.Valid() == nil {
			t.Errorf("%s: taken as valid", name)
		}
	}
}

func TestUnlikeNamesInputsThatAreStatedOtherwise(t *testing.T) {
	d, p := learnedOnce(t)
	if list := p.Unlike(d); len(list) != 0 {
		t.Errorf("the design itself: %v", list)
	}
	if !p.Holds("one") || p.Holds("two") {
		t.Error("the posterior does not know its trials")
	}
	learned := ""
	for _, u := range p.Unknowns {
		if !u.Own && u.Path != Pace && u.Spread < narrowed {
			learned = u.Path
			break
		}
	}
	if learned == "" {
		t.Fatal("a run time taught nothing")
	}
	get, err := design.Accessor(learned)
	if err != nil {
		t.Fatal(err)
	}
	other := d.Clone()
	get(other).Spread /= 2
	if list := p.Unlike(other); len(list) != 1 || !strings.HasPrefix(list[0], learned+": ") {
		t.Errorf("with half the spread of %s: %v", learned, list)
	}
}

// A repeat of the trial's design is foretold with what was learned of its pace.
func TestForetellBesideWhatWasSeen(t *testing.T) {
	d, p := learnedOnce(t)
	again := &trial.Trial{Name: "again", Kind: trial.Run, Start: math.NaN(), Events: []trial.Event{{Kind: trial.Stalled, Time: 5 * 3600, Uncertainty: 30}}}
	b, err := p.Foretell(t.Context(), Case{d, again}, PredictOptions{Draws: 60})
	if err != nil {
		t.Fatal(err)
	}
	if x := b.Prediction; !b.Held || x.Posterior.HalfWidth() > x.Prior.HalfWidth() || b.Seen != 5*3600 {
		t.Errorf("seen %g, held %v, before %+v, after %+v", b.Seen, b.Held, x.Prior, x.Posterior)
	}
}
