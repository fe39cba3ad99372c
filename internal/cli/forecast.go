package cli

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/calibrate"
	"meltspan/live"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
)

// forecastFlags are those of the forecast command.
type forecastFlags struct {
	learnFlags
	learned, against, at, every string
	confidence                  string
	follow                      bool
	members                     int

	from string // the calibration that --learned named
}

// Refreshing more often than this says nothing new.
const leastRefresh = time.Second

func (s *session) forecastCommand() *cobra.Command {
	var f forecastFlags
	c := &cobra.Command{
		Use:   "forecast TRIAL",
		Short: "foretell the end of a trial while it runs",
		Long: "Foretells when the load of a running trial will stall and when the last of the ice will be gone, with bands that narrow as its log grows. " +
			"With --against it says how likely the trial is to run longer than another one did, and when that is decided, so that it can be stopped early.\n\n" +
			"The forecast stands at the last reading in the notebook, or at --at, which also looks back at a trial that is over: only what was known by then counts. " +
			"--every gives one forecast after the other up to that moment and shows how the band narrowed; a trial that is over is gone through in eight parts unless told otherwise. " +
			"--follow goes on with each minute as readings arrive (meltspan trial live, in another window), until the stall or Ctrl-C.\n\n" +
			"What was known before is what the design says, or what --learned says. Each forecast is kept in the notebook: meltspan notebook results lists the last of each trial.",
		Example: "  meltspan forecast 7 --learned latest --follow\n  meltspan forecast 7 --against 3 --confidence \"95 %\"\n" +
			"  meltspan forecast 3 --at \"1 h 15 min\"\n  meltspan forecast 3 --every \"15 min\" --pictures pictures\n",
		Args: arguments(1, 1, "one trial", `"meltspan forecast 7"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			a, err := f.read()
			if err != nil {
				return err
			}
			return s.withCases(&f.learnFlags, args, func(n *notebook.Notebook, cases []keptCase) error { return s.forecast(n, cases[0], a, &f) })
		},
	}
	f.add(c.Flags())
	return c
}

func (f *forecastFlags) add(flags *pflag.FlagSet) {
	f.learnFlags.add(flags, "how the band narrowed")
	flags.StringVar(&f.learned, "learned", "", learnedUsage)
	flags.StringVar(&f.against, "against", "", "is it longer than the `TRIAL` was? A number or name of the notebook")
	flags.StringVar(&f.confidence, "confidence", "95 %", "the answer counts as decided with the probability `SHARE`")
	flags.StringVar(&f.at, "at", "", "forecast as of `TIME` after setting on the load (its last reading unless given)")
	flags.StringVar(&f.every, "every", "", "one forecast each `TIME` up to then; with --follow, how often (1 min unless given)")
	flags.BoolVar(&f.follow, "follow", false, "go on as readings arrive in the notebook, until the stall")
	flags.IntVar(&f.members, "members", calibrate.DefaultMembers, "run the model for `N` members at a time")
}

// asked is what the flags ask for, worked out.
type asked struct {
	at, every, confidence float64 // s, s, share; NaN where not given
}

func (f *forecastFlags) read() (a asked, err error) {
	if a.at, err = timeOf("at", f.at); err != nil {
		return a, err
	}
	if a.every, err = timeOf("every", f.every); err != nil {
		return a, err
	}
	share, err := quantity.Parse(f.confidence, quantity.Fraction)
	if err != nil || !(share.SI > 0.5 && share.SI < 1) {
		return a, wrong(`between 50 % and 100 %, such as --confidence "95 %"`, "--confidence cannot be %s", quoted(f.confidence))
	}
	a.confidence = share.SI
	switch {
	case f.follow && f.at != "":
		return a, wrong("one of the two", "--follow goes on from the last reading, and --at looks back")
	case f.follow && f.every != "" && a.every < leastRefresh.Seconds():
		return a, wrong("1 s or more", "--every cannot be %s", quoted(f.every))
	}
	return a, within("members", f.members, 50, 5000)
}

// timeOf reads a time; NaN where none is given.
func timeOf(flag, text string) (float64, error) {
	if text == "" {
		return math.NaN(), nil
	}
	v, err := quantity.Parse(text, quantity.Time)
	if err != nil || !(v.SI > 0) {
		return 0, wrong(fmt.Sprintf(`a time after setting on the load, such as --%s "1 h 15 min"`, flag), "--%s cannot be %s", flag, quoted(text))
	}
	return v.SI, nil
}

func (s *session) forecast(n *notebook.Notebook, c keptCase, a asked, f *forecastFlags) error {
	teller, err := s.forecaster(n, c, a, f)
	if err != nil {
		return err
	}
	if f.follow {
		return s.followTrial(n, c, teller, a, f)
	}
	moments, err := momentsOf(c, a, f.pictures != "")
	if err != nil {
		return err
	}
	show, clear := s.stages()
	var list []*calibrate.Forecast
	var failed error
	for i, now := range moments {
		show("forecast", i, len(moments))
		x, err := teller.Update(s.ctx, c.Trial, now)
		if err != nil {
			failed = err
			break
		}
		list = append(list, x)
		if err := s.keepForecast(n, c, f, i+1, x); err != nil {
			return err
		}
	}
	clear()
	if len(list) == 0 {
		return failed
	}
	if err := s.deliverForecasts(list, f); err != nil {
		return err
	}
	if errors.Is(failed, context.Canceled) {
		return &fault{exitInterrupted, fmt.Sprintf("interrupted: %d of %d forecasts were made", len(list), len(moments)), ""}
	}
	return failed
}

// keepForecast keeps each forecast in the notebook, so that it can be seen later
// what was foretold when.
func (s *session) keepForecast(n *notebook.Notebook, c keptCase, f *forecastFlags, update int, x *calibrate.Forecast) error {
	return live.KeepForecast(context.WithoutCancel(s.ctx), n, codeVersion(), c.number, c.Case, f.from, update, x)
}

// forecaster prepares to follow a trial.
func (s *session) forecaster(n *notebook.Notebook, c keptCase, a asked, f *forecastFlags) (*calibrate.Forecaster, error) {
	if c.Trial.Kind != trial.Run {
		return nil, wrong("a run", "trial %d, %s, is a %s: only a run has a stall to foretell", c.number, c.Trial.Name, c.Trial.Kind)
	}
	var known *calibrate.Posterior
	if f.learned != "" {
		p, err := s.learned(f.learned, f.notebook)
		if err != nil {
			return nil, err
		}
		if p.Holds(c.Trial.Name) {
			return nil, wrong("a calibration on other trials", "%s has learned from %s itself, whose readings would count twice", p.from, c.Trial.Name)
		}
		if text := unlikeText(p.Unlike(c.Design)); text != "" {
			s.note("%s", s.units.Restate(text))
		}
		known, f.from = p.Posterior, p.key
	}
	teller, err := calibrate.NewForecaster(c.Case, known, calibrate.ForecastOptions{Members: f.members, Seed: f.seed})
	if err != nil {
		return nil, lacking(err)
	}
	if f.against == "" {
		return teller, nil
	}
	other, err := s.caseOf(n, f.against)
	if err != nil {
		return nil, err
	}
	stall := other.Trial.Event(trial.Stalled)
	switch {
	case other.number == c.number:
		return nil, wrong("another trial", "--against %s is the trial itself", quoted(f.against))
	case stall == nil:
		return nil, wrong("a trial whose stall was seen", "trial %d, %s, has no time of the stall", other.number, other.Trial.Name)
	}
	return teller, lacking(teller.Ask(other.Trial.Name, stall.Time, stall.Uncertainty, a.confidence))
}

// knownUntil is how far a trial is known, s: to its last good reading or event.
func knownUntil(t *trial.Trial) float64 {
	last := 0.0
	for i := range t.Series {
		if times, _ := t.Series[i].Good(); len(times) > 0 {
			last = math.Max(last, times[len(times)-1])
		}
	}
	for _, e := range t.Events {
		last = math.Max(last, e.Time)
	}
	return last
}

// parts is into how many a trial is divided that is over.
const parts = 8

// momentsOf are the moments of the forecasts, s.
func momentsOf(c keptCase, a asked, pictures bool) ([]float64, error) {
	end := a.at
	stall := c.Trial.Event(trial.Stalled)
	over := stall != nil && math.IsNaN(a.at)
	if math.IsNaN(end) {
		end = knownUntil(c.Trial)
		if over {
			end = stall.Time
		}
	}
	if !(end > 0) {
		return nil, wrong(`--at, such as --at "1 h 15 min", which says that it still runs then`, "trial %d, %s, has no readings yet", c.number, c.Trial.Name)
	}
	every := a.every
	if math.IsNaN(every) && (over || pictures) {
		every = end / parts
	}
	const most = 2000
	if end/every > most {
		return nil, wrong(fmt.Sprintf("%s or more", quantity.FormatDuration(math.Ceil(end/most))), "--every is so short that there would be more than %d forecasts", most)
	}
	var out []float64
	for k := 1; float64(k)*every < end*(1-1e-9); k++ {
		out = append(out, float64(k)*every)
	}
	return append(out, end), nil
}

func (s *session) deliverForecasts(list []*calibrate.Forecast, f *forecastFlags) error {
	var answer any = list
	if len(list) == 1 {
		answer = list[0]
	}
	return s.deliver(&runFlags{json: f.json, pictures: f.pictures}, answer, record.OfForecasts(list))
}

// followTrial forecasts anew as readings arrive, until the stall was seen or the
// user has had enough, which is no failure.
func (s *session) followTrial(n *notebook.Notebook, c keptCase, teller *calibrate.Forecaster, a asked, f *forecastFlags) error {
	every := time.Minute
	if !math.IsNaN(a.every) {
		every = time.Duration(a.every * float64(time.Second))
	}
	var list []*calibrate.Forecast
	last := 0.0
	for s.ctx.Err() == nil {
		if now := knownUntil(c.Trial); now > last {
			x, err := teller.Update(s.ctx, c.Trial, now)
			if err != nil {
				if s.ctx.Err() != nil {
					break
				}
				return err
			}
			list, last = append(list, x), now
			if err := s.keepForecast(n, c, f, len(list), x); err != nil {
				return err
			}
			if f.json {
				report.JSON(s.out, x) // a failure stays in s.out
			} else {
				report.ForecastLine(s.out, x)
			}
			if f.pictures != "" {
				if err := s.redraw(f.pictures, list); err != nil {
					return err
				}
			}
			if x.Stalled {
				break
			}
		} else if len(list) == 0 {
			s.note("Waiting for the first reading of %s.", c.Trial.Name)
		}
		if s.out.failed != nil {
			return nil // it is told by whoever ran this
		}
		select {
		case <-s.ctx.Done():
		case <-time.After(every):
		}
		t, err := n.Trial(s.ctx, c.number)
		if err != nil {
			if s.ctx.Err() != nil {
				break
			}
			return err
		}
		c.Trial = &t
	}
	if len(list) > 0 && !f.json {
		fmt.Fprintln(s.out)
		return report.ForecastText(s.out, s.units, list[len(list)-1])
	}
	return nil
}

// redraw writes the pictures anew without telling so each time.
func (s *session) redraw(folder string, list []*calibrate.Forecast) error {
	quiet := s.quiet
	s.quiet = true
	err := s.writePictures(folder, record.OfForecasts(list).Pictures)
	s.quiet = quiet
	return err
}
