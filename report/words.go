package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/predict"
	"meltspan/quantity"
)

// percent prints a share: whole per cent from 10 % on, one decimal below.
func percent(share float64) string {
	switch {
	case !finite(share):
		return "unknown"
	case math.Abs(share) >= 100:
		return strconv.FormatFloat(100*share, 'g', 3, 64) + " %"
	case share == 0:
		return "0 %"
	case share > -0.001 && share < 0.001:
		return "<0.1 %"
	case share > -0.0995 && share < 0.0995:
		return strconv.FormatFloat(100*share, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(100*share, 'f', 0, 64) + " %"
}

// absent stands in a table where a number is not known.
const absent = "-"

// orAbsent prints a number that is known, by a function such as percent.
func orAbsent(x float64, print func(float64) string) string {
	if !finite(x) {
		return absent
	}
	return print(x)
}

// wideBand reports whether a band of times is so wide that they are told to
// 5 min: wider than half an hour.
func wideBand(lo, hi float64) bool { return hi-lo > 1800 }

// coarseTime is a time to 5 min.
func coarseTime(seconds float64) float64 { return math.Round(seconds/300) * 300 }

// bandTimes prints the ends and the median of a band of times no finer than
// the band deserves.
func bandTimes(times ...float64) []string {
	lo, hi := span(times)
	out := make([]string, len(times))
	for i, t := range times {
		if wideBand(lo, hi) && finite(t) {
			t = coarseTime(t)
		}
		out[i] = quantity.FormatDuration(t)
	}
	return out
}

// samplesText says how many samples a band rests on.
func samplesText(b predict.Band) string {
	text := fmt.Sprintf("Samples: %d", b.Samples)
	if b.Asked > b.Samples {
		text += fmt.Sprintf(" of %d asked for (interrupted)", b.Asked)
	}
	return fmt.Sprintf("%s, seed %d.", text, b.Seed)
}

// signedPercent prints a relative change with its sign.
func signedPercent(change float64) string {
	if !finite(change) || math.Abs(change) < 0.0005 {
		return percent(math.Abs(change))
	}
	if math.Abs(change) >= 100 {
		return percent(change)
	}
	return fmt.Sprintf("%+.1f %%", 100*change)
}

// sentenceStart is the part of a text before its first semicolon.
func sentenceStart(text string) string {
	first, _, _ := strings.Cut(text, ";")
	return first
}

// probability prints a share of samples as a probability, and never claims
// what a finite number of samples cannot show.
func probability(p float64) string {
	switch {
	case p >= 0.995:
		return "above 99 %"
	case p < 0.005:
		return "below 1 %"
	}
	return percent(p)
}

// inputName is an input's path, with the design that alone has it.
func inputName(in predict.Influence) string {
	if in.Of == "" {
		return in.Path
	}
	return in.Path + " (" + in.Of + ")"
}

// sharesUnknown reports whether no input's share of the variance is known:
// the samples were too few to share it out.
func sharesUnknown(inputs []predict.Influence) bool {
	return !slices.ContainsFunc(inputs, func(in predict.Influence) bool { return finite(in.VarianceShare) })
}

const tooFewToShare = "Too few samples to share out the variance."

// inputText prints an input's value.
func inputText(u quantity.Display, in predict.Influence) string {
	if in.Kind != quantity.Fraction || !plainNumber(in.Path) {
		return valueText(u, in.Value, in.Kind)
	}
	return strconv.FormatFloat(in.Value.SI, 'f', 2, 64) + " ± " + strconv.FormatFloat(in.Value.Spread, 'f', 2, 64)
}

// plainNumber reports whether an input that is a fraction is a plain number to
// those who use it, as factors and emissivities are; shares are per cent.
func plainNumber(path string) bool {
	return strings.HasPrefix(path, "model.") || strings.HasSuffix(path, "emissivity") ||
		strings.HasSuffix(path, "layer_ratio") || strings.HasSuffix(path, "absorptivity")
}

// valueText prints a value with its spread and the unit once where both have
// the same.
func valueText(u quantity.Display, v quantity.Value, kind quantity.Kind) string {
	text := u.FormatValue(v, kind)
	value, spread, ok := strings.Cut(text, " ± ")
	if !ok {
		return text
	}
	number, unit, _ := strings.Cut(value, " ")
	if _, other, _ := strings.Cut(spread, " "); other != unit {
		return text
	}
	return number + " ± " + spread
}

// ratioText prints a ratio to a hundredth.
func ratioText(r float64) string {
	switch {
	case !finite(r):
		return "unknown"
	case math.Abs(r) >= 1000:
		return strconv.FormatFloat(r, 'g', 3, 64)
	}
	return strconv.FormatFloat(r, 'f', 2, 64)
}

// counted is a number with its noun, in the plural where there is not one.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
