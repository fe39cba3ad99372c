package cli

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
)

// readingFlags are those of the commands by which readings are typed in.
type readingFlags struct {
	notebook, place, at string
	json                bool
}

func (f *readingFlags) add(flags *pflag.FlagSet, place string) {
	notebookFlag(flags, &f.notebook)
	flags.StringVar(&f.place, "place", "", place)
	flags.StringVar(&f.at, "at", "now", "of readings without a time: `TIME`, such as 14:05, or \"1 h 20 min\" after the start")
	jsonFlag(flags, &f.json)
}

const readingNote = "A reading may bear its time before it: 14:05=VALUE, or \"1 h 20 min=VALUE\" for what had passed since the start. " +
	"A time of day is the first one after the start of the trial, in its zone."

func (s *session) weighCommand() *cobra.Command {
	var f readingFlags
	c := &cobra.Command{
		Use:   "weigh TRIAL [TIME=]MASS ...",
		Short: "put weighings into a trial",
		Long: "Puts weighings of a tray, a cup or a whole stand into a trial. One standard uncertainty may follow a mass, " +
			"as in a design; one for all of a series is kept.\n\n" + readingNote,
		Example: "  meltspan trial weigh 3 \"512.3 g\"\n" +
			"  meltspan trial weigh 3 \"14:05=512.3 g +- 0.1 g\" \"14:35=498.1 g\" --place tray\n",
		Args: atLeast(2, "a trial and a mass", `"meltspan trial weigh 3 '512.3 g'"`),
		RunE: func(_ *cobra.Command, args []string) error {
			series := trial.Series{Quantity: trial.Weight, Place: f.place, Source: record.ByHand}
			return s.typeIn(args, &f, &series, func(v quantity.Value) (quantity.Value, string, error) { return v, "", nil })
		},
	}
	f.add(c.Flags(), "what was weighed: `PLACE`, such as tray")
	return c
}

// typed is one reading as typed in, and what became of it.
type typed struct {
	Time        float64 `json:"time_s"`
	Written     float64 `json:"written"` // SI
	Value       float64 `json:"value"`   // SI
	Uncertainty float64 `json:"uncertainty,omitempty"`
	note        string
}

// typedAnswer is what was put into a trial.
type typedAnswer struct {
	Trial    int64          `json:"trial"`
	Quantity trial.Quantity `json:"quantity"`
	Place    string         `json:"place,omitempty"`
	Readings []typed        `json:"readings"`
}

// typeIn puts readings into a series of a trial. correct makes the value of
// what was read.
func (s *session) typeIn(args []string, f *readingFlags, series *trial.Series, correct func(quantity.Value) (quantity.Value, string, error)) error {
	return s.withTrial(f.notebook, args[0], func(n *notebook.Notebook, id int64) error {
		t, err := n.Trial(s.ctx, id)
		if err != nil {
			return err
		}
		a := typedAnswer{Trial: id, Quantity: series.Quantity, Place: series.Place}
		for _, text := range args[1:] {
			one, err := readTyped(text, f.at, series.Quantity.Measures(), &t)
			if err != nil {
				return err
			}
			v, note, err := correct(quantity.Value{SI: one.Written, Spread: one.Uncertainty})
			if err != nil {
				return err
			}
			one.Value, one.Uncertainty, one.note = v.SI, v.Spread, note
			a.Readings = append(a.Readings, one)
		}
		slices.SortStableFunc(a.Readings, func(x, y typed) int { return cmp.Compare(x.Time, y.Time) })
		for i := 1; i < len(a.Readings); i++ {
			if a.Readings[i].Time == a.Readings[i-1].Time {
				return wrong("a time of its own for each, such as 14:05=VALUE", "two readings have the time %s", elapsed(a.Readings[i].Time))
			}
		}
		if err := appendTyped(s.ctx, n, id, &t, series, a.Readings); err != nil {
			return err
		}
		if f.json {
			return report.JSON(s.out, &a)
		}
		fmt.Fprint(s.out, typedText(&a, &t, s.units))
		return nil
	})
}

// readTyped reads [TIME=]VALUE.
func readTyped(text, at string, kind quantity.Kind, t *trial.Trial) (typed, error) {
	value := text
	if i := strings.LastIndex(text, "="); i >= 0 {
		at, value = text[:i], text[i+1:]
	}
	v, err := quantity.Parse(strings.TrimSpace(value), kind)
	if err != nil {
		return typed{}, wrong("such as "+quoted(quantity.Example(kind)), "%s: %s", quoted(text), parseReason(err))
	}
	when, err := moment(at, t, time.Now())
	return typed{Time: when, Written: v.SI, Uncertainty: v.Spread}, err
}

// appendTyped goes on with a series of the same kind where its times rise, and
// begins another where they do not.
func appendTyped(ctx context.Context, n *notebook.Notebook, id int64, t *trial.Trial, series *trial.Series, readings []typed) error {
	for _, r := range readings {
		series.Samples = append(series.Samples, trial.Sample{Time: r.Time, Value: r.Value})
		series.Uncertainty = max(series.Uncertainty, r.Uncertainty)
	}
	head, err := n.Head(ctx, id)
	if err != nil {
		return err
	}
	for i := range t.Series {
		x := &t.Series[i]
		if x.Quantity != series.Quantity || x.Place != series.Place || x.Source != series.Source || x.Emissivity != series.Emissivity ||
			math.Abs(x.Uncertainty-series.Uncertainty) > 0.2*series.Uncertainty {
			continue
		}
		if last := len(x.Samples) - 1; last < 0 || x.Samples[last].Time < series.Samples[0].Time {
			return n.Append(ctx, head.Series[i].ID, series.Samples...)
		}
	}
	_, err = n.OpenSeries(ctx, id, *series)
	return err
}

func typedText(a *typedAnswer, t *trial.Trial, u quantity.Display) string {
	var p textpage.Page
	what := string(a.Quantity)
	if a.Place != "" {
		what += ", " + a.Place
	}
	p.Paraf(0, 2, "%s: %s.", capital(trialLabel(a.Trial, t)), what)
	var rows [][]string
	for _, r := range a.Readings {
		value := u.FormatValue(quantity.Value{SI: r.Value, Spread: r.Uncertainty, Origin: quantity.Measured}, a.Quantity.Measures())
		rows = append(rows, []string{elapsed(r.Time), value, u.Restate(r.note)})
	}
	p.Table("rll", rows)
	return p.String()
}

// atLeast asks for a number of arguments or more.
func atLeast(least int, what, example string) cobra.PositionalArgs {
	const many = 1000
	return arguments(least, many, what, example)
}
