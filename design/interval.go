package design

import (
	"fmt"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// interval is what a value may be, ends in SI units (or plain counts).
type interval struct {
	set              bool
	low, high        float64
	lowOpen          bool // low itself is not allowed
	highOpen         bool
	lowText, topText string // the ends as people write them
}

// parseInterval reads a range tag such as "(0 mm, 1 m]". A tag is part of the
// program, so a wrong one is a broken invariant: it panics, and a test reads
// them all.
func parseInterval(tag string, kind quantity.Kind) interval {
	low, high, found := strings.Cut(tag[1:len(tag)-1], ", ")
	if !found {
		panic("design: range tag without two ends: " + tag)
	}
	end := func(text string) float64 {
		if kind == "" {
			n, err := strconv.Atoi(text)
			if err != nil {
				panic("design: range tag " + tag + ": " + err.Error())
			}
			return float64(n)
		}
		v, err := quantity.Parse(text, kind)
		if err != nil {
			panic("design: range tag " + tag + ": " + err.Error())
		}
		return v.SI
	}
	return interval{
		set: true,
		low: end(low), high: end(high),
		lowOpen: tag[0] == '(', highOpen: tag[len(tag)-1] == ')',
		lowText: low, topText: high,
	}
}

// holds reports whether x lies in the interval. The ends are taken with a
// relative slack of 1e-12, so that "1000 mm" is no longer than "1 m".
func (r interval) holds(x float64) bool {
	if !r.set {
		return true
	}
	slack := 1e-12 * max(abs(r.low), abs(r.high))
	above := x > r.low || !r.lowOpen && x >= r.low-slack
	below := x < r.high || !r.highOpen && x <= r.high+slack
	return above && below
}

// String says the interval in words: "more than 0 mm, up to 1 m".
func (r interval) String() string {
	from, to := "from", "up to"
	if r.lowOpen {
		from = "more than"
	}
	if r.highOpen {
		to = "less than"
	}
	if !r.lowOpen && !r.highOpen {
		return fmt.Sprintf("from %s to %s", r.lowText, r.topText)
	}
	return fmt.Sprintf("%s %s, %s %s", from, r.lowText, to, r.topText)
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
