package quantity

import (
	"fmt"
	"math"
)

// FormatDuration prints seconds as people say them: "6 h 40 min",
// "2 d 3 h", "5 min 20 s", "12 s". It keeps two terms, so the rounding is at
// most half a minute in an hour and half an hour in a day. An infinite time
// is "without end" and an undefined one "unknown".
func FormatDuration(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return "unknown"
	case math.IsInf(seconds, 0):
		return "without end"
	case seconds < 0:
		if text := FormatDuration(-seconds); text != "0 s" {
			return "-" + text
		}
		return "0 s"
	}
	switch {
	case seconds < minute-0.5:
		return fmt.Sprintf("%.0f s", seconds)
	case seconds < 10*minute-0.5:
		return twoTerms(seconds, "min", minute, "s", 1)
	case seconds < hour-minute/2:
		return fmt.Sprintf("%.0f min", seconds/minute)
	case seconds < 2*day-minute/2:
		return twoTerms(seconds, "h", hour, "min", minute)
	}
	return twoTerms(seconds, "d", day, "h", hour)
}

// twoTerms rounds to the smaller unit first, so that 59.9 carries over.
func twoTerms(seconds float64, large string, inLarge float64, small string, inSmall float64) string {
	count := math.Round(seconds / inSmall)
	ratio := inLarge / inSmall
	whole := math.Floor(count / ratio)
	if rest := count - whole*ratio; rest > 0 {
		return fmt.Sprintf("%.0f %s %.0f %s", whole, large, rest, small)
	}
	return fmt.Sprintf("%.0f %s", whole, large)
}
