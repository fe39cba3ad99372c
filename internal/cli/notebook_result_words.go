package cli

import (
	"encoding/json"
	"fmt"
	"strings"

	"meltspan/calibrate"
	"meltspan/next"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/result"
	"meltspan/search"
)

// wordResult prints the answer of a kept result: what the page kept as it was
// shown then, unless other units are asked for; all else from the answer in SI. A
// failure to print stays in s.out.
func (s *session) wordResult(n *notebook.Notebook, r *notebook.Result) error {
	var kept keptAnswer
	asShown := json.Unmarshal(r.Payload, &kept) == nil && kept.Shown != nil && kept.Shown.Text != ""
	switch {
	case r.Kind == notebook.Calibration:
		return record.Answer(r, func(c *calibrate.Posterior) error { return report.CalibrationText(s.out, s.units, c) })
	case r.Kind == notebook.Forecast:
		return record.Answer(r, func(f *calibrate.Forecast) error { return report.ForecastText(s.out, s.units, f) })
	case !asShown:
		return nil
	case s.units == quantity.Display{}:
		_, err := fmt.Fprintln(s.out, strings.TrimRight(kept.Shown.Text, "\n"))
		return err
	}
	switch r.Kind {
	case notebook.Prediction:
		of, err := n.Design(s.ctx, r.Revision)
		if err != nil {
			return err
		}
		d, err := of.Parse()
		if err != nil {
			return err
		}
		return record.Answer(r, func(a *predict.Answer) error { return report.Text(s.out, s.units, a, d) })
	case notebook.DesignComparison:
		return record.Answer(r, func(c *predict.Comparison) error { return report.CompareText(s.out, s.units, c) })
	case notebook.Variation:
		return record.Answer(r, func(v *predict.Variation) error { return report.VaryText(s.out, s.units, v) })
	case notebook.SectionRun:
		return record.Answer(r, func(all *result.Depths) error { return report.DepthsText(s.out, s.units, all.Runs()...) })
	case notebook.Search:
		return record.Answer(r, func(found *search.Result) error { return report.SearchText(s.out, s.units, found, nil) })
	case notebook.NextTrials:
		return record.Answer(r, func(ranked *next.Ranking) error { return report.NextText(s.out, s.units, ranked) })
	case notebook.TrialComparison:
		return record.Answer(r, func(c *calibrate.Comparison) error { return report.ComparisonText(s.out, s.units, c) })
	}
	return nil
}
