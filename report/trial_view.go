package report

import (
	"math"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/result"
	"meltspan/trial"
)

// TrialView is a trial with what is worked out from it, to be shown.
type TrialView struct {
	Number      int64                 `json:"number"`
	Trial       trial.Trial           `json:"trial"`
	Series      []SeriesView          `json:"series_in_short"` // in the order of the trial's
	Attachments []notebook.Attachment `json:"attachments,omitempty"`

	// Prediction is the network's for this trial, all inputs nominal; nil when
	// the design is not known. Unpredicted says why there is none.
	Prediction  *result.Run `json:"prediction,omitempty"`
	Unpredicted string      `json:"unpredicted,omitempty"`
	Stall       float64     `json:"stall_difference_K"` // of the design; 0: none
}

// SeriesView is one series in short.
type SeriesView struct {
	Name     string      `json:"name"`
	Samples  int         `json:"samples"`
	Good     int         `json:"good"`
	Marked   []MarkCount `json:"marked,omitempty"`
	Interval float64     `json:"interval_s"` // median of the good ones
	Gaps     []trial.Gap `json:"gaps,omitempty"`
	First    float64     `json:"first_s"`
	Last     float64     `json:"last_s"`
	Low      float64     `json:"low"`
	Mean     float64     `json:"mean"` // of the good readings, each counting alike
	High     float64     `json:"high"`
}

// MarkCount is how many samples bear a mark.
type MarkCount struct {
	Mark    trial.Mark `json:"mark"`
	Samples int        `json:"samples"`
}

// allMarks is the order in which marks are listed.
var allMarks = []trial.Mark{trial.Fault, trial.Missing, trial.Repeated, trial.Disordered, trial.Excluded}

// ViewSeries looks at each series.
func ViewSeries(series []trial.Series) []SeriesView {
	var out []SeriesView
	for i := range series {
		s := &series[i]
		counts := s.Marked()
		v := SeriesView{Name: seriesName(s), Samples: len(s.Samples), Good: counts[trial.Good], Interval: s.Interval(), Gaps: s.Gaps(), First: nan, Last: nan, Low: nan, High: nan, Mean: nan}
		for _, m := range allMarks {
			if counts[m] > 0 {
				v.Marked = append(v.Marked, MarkCount{m, counts[m]})
			}
		}
		if times, values := s.Good(); len(times) > 0 {
			v.First, v.Last = times[0], times[len(times)-1]
			v.Low, v.High = span(values)
			v.Mean = 0
			for _, x := range values {
				v.Mean += x / float64(len(values))
			}
		}
		out = append(out, v)
	}
	return out
}

// seriesName is how a series is called in text and pictures.
func seriesName(s *trial.Series) string {
	if s.Place == "" {
		return string(s.Quantity)
	}
	return string(s.Quantity) + ", " + s.Place
}

// shownUnit is the unit in which people read a quantity.
func shownUnit(q trial.Quantity) string { return quantity.Units(q.Measures())[0] }

// RunTime is how long the load ran in the trial, from its last stall; open
// says that it was only seen to run at least that long. NaN when nothing says.
func (v *TrialView) RunTime() (seconds, uncertainty float64, open bool) {
	if e := v.Trial.Event(trial.Stalled); e != nil {
		return e.Time, e.Uncertainty, false
	}
	if e := v.Trial.Event(trial.Stopped); e != nil {
		return e.Time, e.Uncertainty, true
	}
	return math.NaN(), math.NaN(), false
}
