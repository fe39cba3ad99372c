package web

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"meltspan/calibrate"
	"meltspan/live"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/trial"
)

// recall takes up the forecasts that the notebook keeps of the trial, and returns
// how far the last of them knew it.
func (w *watch) recall(ctx context.Context, s *Server) float64 {
	n, err := s.existing(ctx)
	if err != nil {
		return math.Inf(-1) // foretelling tells it
	}
	kept, err := live.KeptForecasts(ctx, n, w.trial, w.kept)
	if err != nil || len(kept) == 0 {
		if err != nil && ctx.Err() == nil {
			s.o.Note("earlier forecasts cannot be read: " + err.Error())
		}
		return math.Inf(-1)
	}
	if extra := len(kept) - mostForecasts; extra > 0 {
		kept = kept[extra:]
	}
	last := kept[len(kept)-1]
	w.mu.Lock()
	w.forecasts = kept
	w.mu.Unlock()
	w.say(s, last)
	return last.Now
}

// foretell forecasts the trial's end again and again, until it has stalled.
func (w *watch) foretell(ctx context.Context, s *Server) {
	var f *calibrate.Forecaster
	last, troubled := w.recall(ctx, s), ""
	for {
		now, err := w.forecast(ctx, s, &f, last)
		switch {
		case ctx.Err() != nil:
			return
		case err != nil:
			if err.Error() != troubled {
				troubled = err.Error()
				w.add("forecast-failed", problemOf(err))
			}
		default:
			last, troubled = now, ""
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(s.o.Forecast):
		}
	}
}

// forecast makes one, unless nothing was read since the last.
func (w *watch) forecast(ctx context.Context, s *Server, f **calibrate.Forecaster, last float64) (float64, error) {
	c, err := s.caseOf(ctx, w.trial)
	if err != nil {
		return last, err
	}
	now := moved(c.Trial)
	if math.IsNaN(now) {
		return last, bad("readings, or when the load was set on", "Nothing says how long the trial has been running.")
	}
	if now <= last {
		return last, nil
	}
	if *f == nil {
		if *f, err = calibrate.NewForecaster(c, w.learned, calibrate.ForecastOptions{}); err != nil {
			return last, bad("", err.Error())
		}
	}
	said, err := (*f).Update(ctx, c.Trial, now)
	if err != nil {
		return last, err
	}
	w.updates++
	if err := s.keepForecast(ctx, w, c, said); err != nil {
		s.o.Note("a forecast could not be kept in the notebook: " + err.Error())
	}
	w.mu.Lock()
	if w.forecasts = append(w.forecasts, said); len(w.forecasts) > mostForecasts {
		w.forecasts = w.forecasts[1:]
	}
	w.mu.Unlock()
	w.say(s, said)
	return now, nil
}

func (s *Server) keepForecast(ctx context.Context, w *watch, c calibrate.Case, said *calibrate.Forecast) error {
	n, err := s.existing(ctx)
	if err != nil {
		return err
	}
	return live.KeepForecast(ctx, n, s.o.Code, w.trial, c, w.kept, w.updates, said)
}

// say tells those who watch of a forecast, each in their units.
func (w *watch) say(s *Server, said *calibrate.Forecast) {
	line := w.command(s)
	worded := *said // kept for whoever comes back: without what only pictures use
	worded.StallTimes = nil
	w.keep(happening{kind: "forecast", show: func(u quantity.Display) (any, error) {
		text, err := textOf(func(out io.Writer) error { return report.ForecastText(out, u, &worded) })
		return map[string]any{"now_s": worded.Now, "stall_s": worded.Stall, "stalled": worded.Stalled, "text": text, "command": inUnits(line, u)}, err
	}})
}

// command is that which foretells the same.
func (w *watch) command(s *Server) string {
	words := []string{"forecast", fmt.Sprint(w.trial)}
	if w.learned != nil {
		words = append(words, "--learned", w.kept)
	}
	return s.bookCommand(append(words, "--follow")...)
}

// moved is how long a trial has been running: up to its last reading, or by the
// clock where nothing is logged. NaN: nothing says.
func moved(t *trial.Trial) float64 {
	last := math.NaN()
	for i := range t.Series {
		if n := len(t.Series[i].Samples); n > 0 {
			last = math.Max(t.Series[i].Samples[n-1].Time, orLess(last))
		}
	}
	if math.IsNaN(last) && !math.IsNaN(t.Start) {
		last = float64(time.Now().UnixMilli())/1000 - t.Start
	}
	return last
}

func orLess(x float64) float64 {
	if math.IsNaN(x) {
		return math.Inf(-1)
	}
	return x
}
