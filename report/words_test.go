package report

import (
	"math"
	"testing"

	"meltspan/predict"
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
		{valueText(quantity.Display{}, quantity.Value{SI: 0.1, Spread: 0.02, Origin: quantity.Guessed}, quantity.ThermalConductance), "0.100 ± 0.020 W/K"},
		{valueText(quantity.Display{}, quantity.Value{SI: 297.15, Spread: 0.5, Origin: quantity.Stated}, quantity.Temperature), "24.00 degC ± 0.50 K"},
		{wattHours(2.8794 * 3600), "2.88 Wh"},
		{grams(0.00002), "<0.1 g"},
		{milliwatts(0.00021), "0.21 mW"},
		{milliwatts(math.NaN()), "-"},
		{orAbsent(math.NaN(), percent), "-"},
		{orAbsent(0.336, percent), "34 %"},
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

func TestCompareHeadlineOfLittleDifference(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*predict.Comparison)
		want   string
	}{
		"all alike": {func(c *predict.Comparison) {
			c.Difference, c.Ratio, c.Longer = fixtureBand(0, 0, 0), fixtureBand(1, 1, 1), 0.5
		}, "A and B run equally long: there is no difference to speak of between them"},
		"neither starts": {func(c *predict.Comparison) {
			c.Difference, c.Ratio, c.Longer = fixtureBand(0, 0, 0), fixtureBand(math.NaN(), math.NaN(), math.NaN()), 0.5
			c.BandA.NeverStarted, c.BandB.NeverStarted = 1, 1
		}, "A and B run equally long: neither ever starts"},
		"both run on": {func(c *predict.Comparison) {
			c.Difference, c.Ratio, c.Longer = fixtureBand(0, 0, 0), fixtureBand(1, 1, 1), 0.5
			c.BandA.StillRunning, c.BandB.StillRunning = 1, 1
		}, "A and B run equally long as far as was simulated: both are still running then"},
		"a coin's toss": {func(c *predict.Comparison) {
			c.Difference, c.Ratio, c.Longer = fixtureBand(-1800, 60, 2400), fixtureBand(0.9, 1.004, 1.12), 0.55
		}, "No difference to speak of: ratio 1.00 [0.90, 1.12], probability 55 % that B runs longer"},
		"interrupted at once": {func(c *predict.Comparison) {
			c.Difference = fixtureBand(math.NaN(), math.NaN(), math.NaN())
		}, "It is not known which runs longer: no sample was computed"},
	} {
		t.Run(name, func(t *testing.T) {
			comparison := fixtureComparison()
			c.change(comparison)
			if got := compareHeadline(comparison); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}
