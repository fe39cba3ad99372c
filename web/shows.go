package web

import (
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

// What is shown of each kind of answer: of a job that has just ended, and of an
// answer that the notebook kept.

func (f *finished) showsPrediction(a *predict.Answer, parse func() (*design.Design, error)) {
	f.show = func(f *finished, u quantity.Display) error {
		d, err := parse()
		if err != nil {
			return err
		}
		course := report.ChartOptions{Probability: a.Band.Probability, Low: a.Band.Low, Median: a.Band.Median, High: a.Band.High, StallDifference: stallOf(d)}
		return f.say(func(w io.Writer) error { return report.Text(w, u, a, d) },
			picture{"Band of the run time", func() (*report.Picture, error) { return report.BandPicture(a) }},
			picture{"Course, with the band", func() (*report.Picture, error) { return report.Chart(u, a.Nominal, course) }},
			picture{"Inputs that matter most", func() (*report.Picture, error) { return report.Influences(u, a) }},
		)
	}
}

func (f *finished) showsComparison(c *predict.Comparison) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.CompareText(w, u, c) },
			picture{"Run times of both", func() (*report.Picture, error) { return report.CompareChart(u, c) }})
	}
}

func (f *finished) showsVariation(v *predict.Variation) {
	f.show = func(f *finished, u quantity.Display) error {
		f.Map = mapOf(u, v)
		return f.say(func(w io.Writer) error { return report.VaryText(w, u, v) },
			picture{"Run time", func() (*report.Picture, error) { return report.VaryPicture(u, v) }})
	}
}

func (f *finished) showsDepths(all *result.Depths) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.DepthsText(w, u, all.Runs()...) })
	}
}

func (f *finished) showsFound(r *search.Result) {
	f.show = func(f *finished, u quantity.Display) error {
		f.Points = nil
		for i := range r.Front {
			f.Points = append(f.Points, pointOf(u, r, i))
		}
		return f.say(func(w io.Writer) error { return report.SearchText(w, u, r, nil) },
			picture{"Designs found", func() (*report.Picture, error) { return report.SearchPicture(r) }})
	}
}

func (f *finished) showsNext(r *next.Ranking) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.NextText(w, u, r) })
	}
}

// learnt is a calibration with what it predicts for the open design.
type learnt struct {
	calibrate.Posterior
	Predictions []*calibrate.Prediction `json:"predictions,omitempty"`
}

func (f *finished) showsLearnt(l *learnt) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.CalibrationText(w, u, &l.Posterior, l.Predictions...) },
			picture{"What the trials taught", func() (*report.Picture, error) { return report.PosteriorPicture(u, &l.Posterior) }},
			picture{"Run time before and after", func() (*report.Picture, error) { return report.LearntRunTimes(l.Predictions, nil) }},
		)
	}
}

func (f *finished) showsWeighed(c *calibrate.Comparison) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.ComparisonText(w, u, c) },
			picture{"Both trials in one room", func() (*report.Picture, error) { return report.ComparisonPicture(u, c) }})
	}
}

func (f *finished) showsForecast(x *calibrate.Forecast) {
	f.show = func(f *finished, u quantity.Display) error {
		return f.say(func(w io.Writer) error { return report.ForecastText(w, u, x) })
	}
}

// showsInputs is for what only a command shows whole.
func (f *finished) showsInputs(r *notebook.Result) {
	f.show = func(f *finished, _ quantity.Display) error {
		return f.say(func(w io.Writer) error {
			_, err := io.WriteString(w, "Inputs, as JSON:\n")
			if err == nil {
				err = report.JSON(w, r.Inputs)
			}
			return err
		})
	}
}
