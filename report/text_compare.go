package report

import (
	"errors"
	"io"

	"meltspan/predict"
	"meltspan/quantity"
)

// CompareText writes a comparison for people at a terminal, in 80 columns of
// plain text.
func CompareText(w io.Writer, c *predict.Comparison) error {
	if c == nil {
		return errors.New("report: text: no comparison was given")
	}
	p := &page{}
	p.para(0, 2, compareHeadline(c)+".")
	p.b.WriteString("\n")
	p.para(2, 5, "A: "+nameOf(c.A, ""))
	p.para(2, 5, "B: "+nameOf(c.B, ""))

	p.heading("Run time of each")
	rows := [][]string{{"", "nominal", "median", "from", "to", "never starts", "still running"}}
	for _, d := range []struct {
		name    string
		band    predict.Band
		nominal float64
	}{{"A", c.BandA, c.NominalA}, {"B", c.BandB, c.NominalB}} {
		t := bandTimes(d.band.Median, d.band.Low, d.band.High)
		rows = append(rows, []string{d.name, quantity.FormatDuration(d.nominal), t[0], t[1], t[2], percent(d.band.NeverStarted), percent(d.band.StillRunning)})
	}
	p.table("lrrrrrr", rows)
	p.paraf(2, 2, "Each band holds %s of the samples.", percent(c.BandA.Probability))

	p.heading("What the band of the ratio comes from")
	if len(c.RatioInputs) > 0 {
		p.table("llrr", influenceRows(c.RatioInputs))
		p.para(2, 2, "At +10 %: change of the ratio for 10 % more of the input. Variance: share of the variance of the ratio.")
	} else {
		p.para(2, 2, "No uncertain input moves the ratio.")
	}
	p.paraf(2, 2, "Both designs share %d uncertain inputs, drawn alike for both in every sample; A has %d of its own and B has %d. So the ratio is better known than either run time.",
		c.Shared, c.OnlyA, c.OnlyB)

	p.heading("Grounds")
	p.paraf(2, 2, "Samples: %d, seed %d.", c.Ratio.Samples, c.Ratio.Seed)
	p.para(2, 2, "This is a prediction, not a measurement.")
	return p.writeTo(w)
}
