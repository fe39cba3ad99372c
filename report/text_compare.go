package report

import (
	"errors"
	"io"

	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
)

// CompareText writes a comparison for people at a terminal, in 80 columns of
// plain text.
func CompareText(w io.Writer, u quantity.Display, c *predict.Comparison) error {
	if c == nil {
		return errors.New("report: text: no comparison was given")
	}
	p := &textpage.Page{CutLong: true}
	if c.Ratio.Samples == 0 { // an interrupt left none that both designs have
		p.Paraf(0, 2, "With all inputs nominal: A runs for %s, B for %s. There is no band.", quantity.FormatDuration(c.NominalA), quantity.FormatDuration(c.NominalB))
		_, err := io.WriteString(w, p.String())
		return err
	}
	p.Para(0, 2, compareHeadline(c)+".")
	p.Blank()
	a, b := comparedNames(c)
	p.Para(2, 5, "A: "+a)
	p.Para(2, 5, "B: "+b)
	if c.RevisionA != "" && c.RevisionA == c.RevisionB {
		p.Para(2, 2, "Both are the same design. Where their run times differ, it is by what belongs to one trial.")
	}

	p.Heading("Run time of each")
	rows := [][]string{{"", "nominal", "median", "from", "to", "never starts", "still running"}}
	for _, d := range []struct {
		name    string
		band    predict.Band
		nominal float64
	}{{"A", c.BandA, c.NominalA}, {"B", c.BandB, c.NominalB}} {
		t := bandTimes(d.band.Median, d.band.Low, d.band.High)
		rows = append(rows, []string{d.name, quantity.FormatDuration(d.nominal), t[0], t[1], t[2], percent(d.band.NeverStarted), percent(d.band.StillRunning)})
	}
	p.Table("lrrrrrr", rows)
	p.Paraf(2, 2, "Each band holds %s of the samples.", percent(c.BandA.Probability))

	p.Heading("What the band of the ratio comes from")
	if len(c.RatioInputs) > 0 {
		p.Table("llrr", influenceRows(u, c.RatioInputs))
		p.Para(2, 2, "At +10 %: change of the ratio for 10 % more of the input. Variance: share of the variance of the ratio.")
		varianceText(p, c.RatioInputs, c.Residual)
	} else {
		p.Para(2, 2, "No uncertain input moves the ratio.")
	}
	p.Paraf(2, 2, "Both designs share %d uncertain inputs, drawn alike for both in every sample; A has %d of its own and B has %d. So the ratio is better known than either run time.",
		c.Shared, c.OnlyA, c.OnlyB)

	listCautions(p, u, c.Cautions)
	p.Heading("Grounds")
	p.Para(2, 2, samplesText(c.Difference))
	p.Para(2, 2, "This is a prediction, not a measurement.")
	return writeText(w, p)
}
