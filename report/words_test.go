package report

import (
	"math"
	"testing"

	"meltspan/quantity"
)

func TestWordsRoundSensibly(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{percent(0.336), "34 %"},
		{percent(0.0912), "9.1 %"},
		{percent(0.0004), "<0.1 %"},
		{percent(0), "0 %"},
		{percent(math.NaN()), "unknown"},
		{signedPercent(0.091), "+9.1 %"},
		{signedPercent(-0.028), "-2.8 %"},
		{probability(1), "above 99 %"},
		{probability(0.002), "below 1 %"},
		{probability(0.83), "83 %"},
		{bandTimes(4.31*3600, 7.27*3600)[0], "4 h 20 min"}, // wide band: to 5 min
		{bandTimes(4.31*3600, 4.5*3600)[0], "4 h 19 min"},  // narrow band: to the minute
		{valueText(quantity.Value{SI: 0.1, Spread: 0.02, Origin: quantity.Guessed}, quantity.ThermalConductance), "0.100 ± 0.020 W/K"},
		{valueText(quantity.Value{SI: 297.15, Spread: 0.5, Origin: quantity.Stated}, quantity.Temperature), "24.00 degC ± 0.50 K"},
		{wattHours(2.8794 * 3600), "2.88 Wh"},
		{grams(0.00002), "<0.1 g"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestCompareHeadlineSaysShorter(t *testing.T) {
	c := fixtureComparison()
	c.Difference = fixtureBand(-2*3600, -1*3600, -0.5*3600)
	c.Ratio = fixtureBand(0.6, 0.8, 0.9)
	c.Longer = 0.03
	want := "B runs shorter than A by 1 h [30 min, 2 h], ratio 0.80 [0.60, 0.90], probability 97 %"
	if got := compareHeadline(c); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
