package report

import (
	"fmt"

	"meltspan/predict"
)

// compareHeadline says which runs longer, by how much and how surely.
func compareHeadline(c *predict.Comparison) string {
	longer, sign := "longer", 1.0
	low, high := c.Difference.Low, c.Difference.High
	if c.Difference.Median < 0 {
		longer, sign = "shorter", -1
		low, high = high, low
	}
	by := bandTimes(sign*c.Difference.Median, sign*low, sign*high)
	chance := c.Longer
	if sign < 0 {
		chance = 1 - c.Longer
	}
	return fmt.Sprintf("B runs %s than A by %s [%s, %s], ratio %s [%s, %s], probability %s",
		longer, by[0], by[1], by[2], ratioText(c.Ratio.Median), ratioText(c.Ratio.Low), ratioText(c.Ratio.High), probability(chance))
}
