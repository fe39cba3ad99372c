package report

import (
	"fmt"

	"meltspan/predict"
)

// A probability between these of B running longer is no difference to speak
// of: little better than tossing a coin.
const (
	doubtfulFrom = 0.4
	doubtfulTo   = 0.6
)

// compareHeadline says which runs longer, by how much and how surely, or that
// there is little or nothing to tell them apart.
func compareHeadline(c *predict.Comparison) string {
	d := c.Difference
	switch {
	case !finite(d.Median):
		return "It is not known which runs longer: no sample was computed"
	case d.Low == 0 && d.High == 0:
		return "A and B run equally long" + alikeBecause(c)
	}
	longer, sign := "longer", 1.0
	if d.Median < 0 || d.Median == 0 && c.Longer < 0.5 {
		longer, sign = "shorter", -1
	}
	chance := c.Longer
	if sign < 0 {
		chance = 1 - c.Longer
	}
	low, high := sign*d.Low, sign*d.High
	by := bandTimes(sign*d.Median, min(low, high), max(low, high))
	ratio := fmt.Sprintf("ratio %s [%s, %s]", ratioText(c.Ratio.Median), ratioText(c.Ratio.Low), ratioText(c.Ratio.High))
	if c.Longer >= doubtfulFrom && c.Longer <= doubtfulTo {
		return fmt.Sprintf("No difference to speak of: %s, probability %s that B runs longer", ratio, probability(c.Longer))
	}
	return fmt.Sprintf("B runs %s than A by %s [%s, %s], %s, probability %s", longer, by[0], by[1], by[2], ratio, probability(chance))
}

// alikeBecause says why all run times are alike, where that is no merit of
// both designs.
func alikeBecause(c *predict.Comparison) string {
	const all = 0.995
	switch {
	case c.BandA.NeverStarted >= all && c.BandB.NeverStarted >= all:
		return ": neither ever starts"
	case c.BandA.StillRunning >= all && c.BandB.StillRunning >= all:
		return " as far as was simulated: both are still running then"
	}
	return ": there is no difference to speak of between them"
}

// comparedNames are the names of both designs, told apart by their revisions
// where they are called alike.
func comparedNames(c *predict.Comparison) (a, b string) {
	if c.A == c.B {
		return nameOf(c.A, c.RevisionA), nameOf(c.B, c.RevisionB)
	}
	return nameOf(c.A, ""), nameOf(c.B, "")
}
