package report

import (
	"bytes"
	"context"
	"strings"
	"sync"
	"testing"

	"meltspan/calibrate"
	"meltspan/calibrate/demo"
	"meltspan/quantity"
	"meltspan/trial"
)

// learnt is what the example's trials teach, worked out once for all tests.
type learnt struct {
	posterior   *calibrate.Posterior
	predictions []*calibrate.Prediction
	seen        []float64
	blind       []*calibrate.Blind
	comparison  *calibrate.Comparison
	forecasts   []*calibrate.Forecast
	load        *calibrate.Load
	heater      *calibrate.Heated
	blank       *calibrate.Blank
}

var learntOnce = sync.OnceValues(func() (*learnt, error) {
	ctx := context.Background()
	cases, err := demo.Cases()
	if err != nil {
		return nil, err
	}
	l := &learnt{}
	if l.posterior, err = calibrate.Calibrate(ctx, cases[:1], calibrate.Options{Draws: 300, Most: 4}); err != nil {
		return nil, err
	}
	for _, c := range cases[:2] {
		p, err := l.posterior.Predict(ctx, c.Design, calibrate.PredictOptions{Draws: 60})
		if err != nil {
			return nil, err
		}
		l.predictions, l.seen = append(l.predictions, p), append(l.seen, c.Trial.Event(trial.Stalled).Time)
	}
	b, err := l.posterior.Foretell(ctx, cases[1], calibrate.PredictOptions{Draws: 60})
	if err != nil {
		return nil, err
	}
	l.blind = append(l.blind, b)
	if l.comparison, err = l.posterior.Compare(ctx, cases[:2], calibrate.CompareOptions{Draws: 60}); err != nil {
		return nil, err
	}
	f, err := calibrate.NewForecaster(cases[1], l.posterior, calibrate.ForecastOptions{Members: 60})
	if err != nil {
		return nil, err
	}
	if err := f.Ask("trial 1", l.seen[0], 60, 0.9); err != nil {
		return nil, err
	}
	for _, share := range []float64{0.3, 0.6, 0.95} {
		x, err := f.Update(ctx, cases[1].Trial, share*l.seen[1])
		if err != nil {
			return nil, err
		}
		l.forecasts = append(l.forecasts, x)
	}
	a := calibrate.DefaultDiscrepancy()
	bench := func(name string) calibrate.Case {
		c, e := demo.Case(name)
		if e != nil {
			err = e
		}
		return c
	}
	warm, heated, blank := bench(demo.Bench), bench(demo.Heater), bench(demo.Blank)
	if err != nil {
		return nil, err
	}
	if l.load, err = calibrate.Characterise(warm.Design, warm.Trial, a); err != nil {
		return nil, err
	}
	if l.heater, err = calibrate.Heater(heated.Design, heated.Trial, a); err != nil {
		return nil, err
	}
	l.blank, err = calibrate.Melt(blank.Design, blank.Trial, a)
	return l, err
})

func learntPicture(draw func(u quantity.Display, l *learnt) (*Picture, error)) func(u quantity.Display) (*Picture, error) {
	return func(u quantity.Display) (*Picture, error) {
		l, err := learntOnce()
		if err != nil {
			return nil, err
		}
		return draw(u, l)
	}
}

func init() {
	pictures["posterior"] = learntPicture(func(u quantity.Display, l *learnt) (*Picture, error) { return PosteriorPicture(u, l.posterior) })
	pictures["learnt run times"] = learntPicture(func(u quantity.Display, l *learnt) (*Picture, error) { return LearntRunTimes(l.predictions, l.blind) })
	pictures["trials compared"] = learntPicture(func(u quantity.Display, l *learnt) (*Picture, error) { return ComparisonPicture(u, l.comparison) })
	pictures["forecast"] = learntPicture(func(u quantity.Display, l *learnt) (*Picture, error) { return ForecastPicture(l.forecasts) })
	pictures["intake"] = learntPicture(func(u quantity.Display, l *learnt) (*Picture, error) { return IntakePicture(l.load) })
}

// Each text says what it must, in 80 columns, and each result goes into JSON.
func TestLearntTexts(t *testing.T) {
	l, err := learntOnce()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		write func(b *bytes.Buffer) error
		value any
		says  []string
	}{
		"calibration": {func(b *bytes.Buffer) error {
			return CalibrationText(b, quantity.Display{}, l.posterior, l.predictions...)
		}, l.posterior,
			[]string{"What trial 1 taught", "Kept: share", "Assumed, not measured", "R-hat", "stand 2"}},
		"blind": {func(b *bytes.Buffer) error { return BlindText(b, l.posterior, l.blind) }, l.blind,
			[]string{"What trial 1 alone foretold", "of the 1 run times seen", "times as wide", "measured, and not used"}},
		"comparison": {func(b *bytes.Buffer) error { return ComparisonText(b, quantity.Display{}, l.comparison) }, l.comparison,
			[]string{"than trial 1 by", "probability", "assumed 3.0 %; no design was tried twice", "Common condition: room.temperature"}},
		"forecast": {func(b *bytes.Buffer) error { return ForecastText(b, quantity.Display{}, l.forecasts[2]) }, l.forecasts,
			[]string{"Stall: after", "with 90 % probability", "Longer than trial 1", "Forecast by the model"}},
		"load": {func(b *bytes.Buffer) error { return LoadText(b, quantity.Display{}, l.load) }, l.load,
			[]string{"stall difference", "load.engine.still_conductance:", "3 stalls"}},
		"heater": {func(b *bytes.Buffer) error { return HeaterText(b, quantity.Display{}, l.heater) }, l.heater, []string{"conductance at rest", "watch it"}},
		"blank":  {func(b *bytes.Buffer) error { return BlankText(b, quantity.Display{}, l.blank) }, l.blank, []string{"the stand alone leaks", "lid"}},
	} {
		var b bytes.Buffer
		if err := c.write(&b); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Log("\n" + b.String())
		flat := strings.Join(strings.Fields(b.String()), " ")
		for _, s := range c.says {
			if !strings.Contains(flat, s) {
				t.Errorf("%s does not say %q", name, s)
			}
		}
		for line := range strings.SplitSeq(b.String(), "\n") {
			if len([]rune(line)) > 80 {
				t.Errorf("%s: line of more than 80 columns: %s", name, line)
			}
		}
		b.Reset()
		if err := JSON(&b, c.value); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestContestWords(t *testing.T) {
	for _, c := range []struct {
		pair calibrate.Pair
		want string
	}{
		{calibrate.Pair{A: "A", B: "B", Difference: calibrate.Interval{Low: 12 * 60, Median: 38 * 60, High: 65 * 60}, Longer: 0.99}, "B runs longer than A by 38 min [12, 65], probability 0.99."},
		{calibrate.Pair{A: "A", B: "B", Difference: calibrate.Interval{Low: -65 * 60, Median: -38 * 60, High: -12 * 60}, Longer: 0.001}, "B runs shorter than A by 38 min [12, 65], probability above 0.995."},
	} {
		if got := contestWords(c.pair); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
