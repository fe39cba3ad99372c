package report

import (
	"image/color"
	"math"
	"testing"
)

// The ends of the scale: red, green and blue of Nunez, Anderton and Renslow
// (2018), as its authors give them to four decimals.
func TestCividisEndsAsPublished(t *testing.T) {
	for share, want := range map[float64]color.RGBA{
		0: {0, 32, 77, 255}, 1: {255, 234, 70, 255}, -1: {0, 32, 77, 255}, 2: {255, 234, 70, 255}, // 0.1262, 0.3015; 0.9169, 0.2731
	} {
		if got := cividisAt(share); got != want {
			t.Errorf("at %g: %v, want %v", share, got, want)
		}
	}
}

// The scale's merit: lightness (CIE 1976 L*) rises all along, and evenly.
func TestCividisLightnessRisesEvenly(t *testing.T) {
	lightness := func(share float64) float64 { return 116*math.Cbrt(luminance(cividisAt(share))) - 16 }
	first, last := lightness(0), lightness(1)
	before := first
	for i := 1; i <= 100; i++ {
		share := float64(i) / 100
		l := lightness(share)
		if l <= before {
			t.Errorf("L* falls from %.2f to %.2f at %g", before, l, share)
		}
		if even := first + share*(last-first); math.Abs(l-even) > 3 {
			t.Errorf("L* is %.1f at %g; evenly it were %.1f", l, share, even)
		}
		before = l
	}
}

// Words on any colour of the scale have a contrast of 4.5 to 1 at the least:
// Web Content Accessibility Guidelines 2.1, criterion 1.4.3.
func TestWordsStandOutFromEveryColour(t *testing.T) {
	for i := range colourSteps {
		c := stepColour(i)
		a, b := luminance(c)+0.05, luminance(legibleOn(c))+0.05
		if contrast := max(a, b) / min(a, b); contrast < 4.5 {
			t.Errorf("step %d: contrast %.2f", i, contrast)
		}
	}
}
