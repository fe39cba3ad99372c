package record

import (
	"context"
	"fmt"
	"io"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/next"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/result"
	"meltspan/search"
)

// Shown is an answer in words and pictures, in whatever units its reader asks
// for: the same when a command or the page has worked it out and when the notebook
// kept it.
type Shown struct {
	Text     func(w io.Writer, u quantity.Display) error
	Pictures []Picture
}

// Picture is one to be drawn; Draw fails where there is nothing to show.
type Picture struct {
	File    string // its name as a file, without ending
	Caption string
	Draw    func(u quantity.Display) (*report.Picture, error)
}

// OfPrediction shows what was predicted for a design.
func OfPrediction(a *predict.Answer, d *design.Design) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.Text(w, u, a, d) },
		[]Picture{
			{"chart", "Course, with the band", func(u quantity.Display) (*report.Picture, error) {
				return report.Chart(u, a.Nominal, report.CourseOptions(a, d))
			}},
			{"heat-flow", "Heat flows", func(quantity.Display) (*report.Picture, error) { return report.HeatFlow(a.Nominal) }},
			{"band", "Band of the run time", func(quantity.Display) (*report.Picture, error) { return report.BandPicture(a) }},
			{"influences", "Inputs that matter most", func(u quantity.Display) (*report.Picture, error) { return report.Influences(u, a) }},
		},
	}
}

// OfComparison shows two designs side by side.
func OfComparison(c *predict.Comparison) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.CompareText(w, u, c) },
		[]Picture{{"compare", "Run times of both", func(u quantity.Display) (*report.Picture, error) { return report.CompareChart(u, c) }}},
	}
}

// OfVariation shows run time along one input, or over two.
func OfVariation(v *predict.Variation) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.VaryText(w, u, v) },
		[]Picture{{"vary", "Run time", func(u quantity.Display) (*report.Picture, error) { return report.VaryPicture(u, v) }}},
	}
}

// OfDepths shows a trial in as many depths as it was followed in: the section and
// its outside at every frame, and what three dimensions add.
func OfDepths(all *result.Depths) *Shown {
	s := &Shown{Text: func(w io.Writer, u quantity.Display) error { return report.DepthsText(w, u, all.Runs()...) }}
	add := func(file, caption string, run *result.Run, frame int, draw func(quantity.Display, *result.Run, int) (*report.Picture, error)) {
		s.Pictures = append(s.Pictures, Picture{fmt.Sprintf("%s-%02d", file, frame+1), caption, func(u quantity.Display) (*report.Picture, error) { return draw(u, run, frame) }})
	}
	section := func(u quantity.Display, run *result.Run, frame int) (*report.Picture, error) {
		return report.SectionPicture(u, run, frame)
	}
	if all.Section != nil && all.Section.Section != nil {
		for i := range all.Section.Section.Frames {
			add("section", "Section", all.Section, i, section)
			add("outside", "Outside", all.Section, i, report.OutsidePicture)
		}
	}
	if all.Round != nil && all.Round.Section != nil {
		through := *all.Round
		through.Section = through.ThroughSection()
		for i := range all.Round.Section.Frames {
			add("cuts", "Level cuts", all.Round, i, report.RoundPicture)
			add("through", "Section in three dimensions", &through, i, section)
		}
	}
	return s
}

// OfSearch shows the designs that a search found. files are their names, nil where
// they were not written.
func OfSearch(r *search.Result, files []string) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.SearchText(w, u, r, files) },
		[]Picture{{"search", "Designs found", func(quantity.Display) (*report.Picture, error) { return report.SearchPicture(r) }}},
	}
}

// OfNext shows which trials are worth the next day.
func OfNext(r *next.Ranking) *Shown {
	return &Shown{Text: func(w io.Writer, u quantity.Display) error { return report.NextText(w, u, r) }}
}

// Learnt is a calibration with what it predicts for designs.
type Learnt struct {
	calibrate.Posterior
	Predictions []*calibrate.Prediction `json:"predictions,omitempty"`
}

// OfCalibration shows what trials taught, and what that does to the run times of
// designs and of trials that it has not seen.
func OfCalibration(p *calibrate.Posterior, predictions []*calibrate.Prediction, blind []*calibrate.Blind) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error {
			if err := report.CalibrationText(w, u, p, predictions...); err != nil || len(blind) == 0 {
				return err
			}
			fmt.Fprintln(w)
			return report.BlindText(w, p, blind)
		},
		[]Picture{
			{"unknowns", "What the trials taught", func(u quantity.Display) (*report.Picture, error) { return report.PosteriorPicture(u, p) }},
			{"run-times", "Run time before and after", func(quantity.Display) (*report.Picture, error) { return report.LearntRunTimes(predictions, blind) }},
		},
	}
}

// OfTrials shows two trials in one room.
func OfTrials(c *calibrate.Comparison) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.ComparisonText(w, u, c) },
		[]Picture{{"trials-compared", "Both trials in one room", func(u quantity.Display) (*report.Picture, error) { return report.ComparisonPicture(u, c) }}},
	}
}

// OfForecasts shows the last of the forecasts of one trial, after a table of all of
// them where there are several.
func OfForecasts(list []*calibrate.Forecast) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error {
			if len(list) > 1 {
				if err := report.ForecastsText(w, list); err != nil {
					return err
				}
				fmt.Fprintln(w)
			}
			return report.ForecastText(w, u, list[len(list)-1])
		},
		[]Picture{{"forecast", "Forecast", func(quantity.Display) (*report.Picture, error) { return report.ForecastPicture(list) }}},
	}
}

// OfTrial shows one trial with what was foretold for it.
func OfTrial(v *report.TrialView) *Shown {
	return &Shown{
		func(w io.Writer, u quantity.Display) error { return report.TrialText(w, u, v) },
		[]Picture{{"trial", "The trial", func(u quantity.Display) (*report.Picture, error) { return report.TrialPicture(u, v) }}},
	}
}

// Bench is what one test at the bench says by itself: one of the three.
type Bench struct {
	Load   *calibrate.Load   `json:"load,omitempty"`
	Heater *calibrate.Heated `json:"plate_heater,omitempty"`
	Blank  *calibrate.Blank  `json:"blank_melt,omitempty"`
}

// OfBench shows a load, or a stand, as a test at the bench characterises it.
func OfBench(b *Bench) *Shown {
	switch {
	case b.Load != nil:
		return &Shown{
			func(w io.Writer, u quantity.Display) error { return report.LoadText(w, u, b.Load) },
			[]Picture{{"intake", "Intake against speed", func(quantity.Display) (*report.Picture, error) { return report.IntakePicture(b.Load) }}},
		}
	case b.Heater != nil:
		return &Shown{Text: func(w io.Writer, u quantity.Display) error { return report.HeaterText(w, u, b.Heater) }}
	}
	return &Shown{Text: func(w io.Writer, u quantity.Display) error { return report.BlankText(w, u, b.Blank) }}
}

// Again shows a result that the notebook kept, from its answer in SI. It is nil for
// kinds of which there is nothing to say but what made them.
func Again(ctx context.Context, n *notebook.Notebook, r *notebook.Result) (*Shown, error) {
	switch r.Kind {
	case notebook.Prediction:
		a, err := Answer[predict.Answer](r)
		if err != nil {
			return nil, err
		}
		of, err := n.Design(ctx, r.Revision)
		if err != nil {
			return nil, err
		}
		d, err := of.Parse()
		return OfPrediction(a, d), err
	case notebook.DesignComparison:
		return again(r, OfComparison)
	case notebook.Variation:
		return again(r, OfVariation)
	case notebook.SectionRun:
		return again(r, OfDepths)
	case notebook.Search:
		return again(r, func(found *search.Result) *Shown { return OfSearch(found, nil) })
	case notebook.NextTrials:
		return again(r, OfNext)
	case notebook.Calibration:
		l, err := Answer[Learnt](r)
		if err != nil {
			return nil, err
		}
		return OfCalibration(&l.Posterior, l.Predictions, nil), l.Valid()
	case notebook.TrialComparison:
		return again(r, OfTrials)
	case notebook.Bench:
		return again(r, OfBench)
	case notebook.Forecast:
		return again(r, func(f *calibrate.Forecast) *Shown { return OfForecasts([]*calibrate.Forecast{f}) })
	}
	return nil, nil
}

func again[A any](r *notebook.Result, show func(*A) *Shown) (*Shown, error) {
	a, err := Answer[A](r)
	if err != nil {
		return nil, err
	}
	return show(a), nil
}

// Answer reads the answer of a kept result. A is what the commands print as JSON
// for results of that kind.
func Answer[A any](r *notebook.Result) (*A, error) {
	a := new(A)
	if err := report.ReadJSON(r.Payload, a); err != nil {
		return nil, err
	}
	return a, nil
}
