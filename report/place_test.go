package report

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"meltspan/report/sheet"
)

func TestSpreadKeepsBlocksApartAndInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		want, height := make([]float64, n), make([]float64, n)
		sum := 0.0
		for i := range n {
			want[i] = rapid.Float64Range(-50, 250).Draw(t, "want")
			height[i] = rapid.Float64Range(1, 15).Draw(t, "height")
			sum += height[i]
		}
		got := spread(want, height, 0, 200)
		for i := range n {
			if got[i]-height[i]/2 < -1e-9 || got[i]+height[i]/2 > 200+1e-9 {
				t.Fatalf("block %d of height %g at %g leaves 0 to 200", i, height[i], got[i])
			}
			for j := range i {
				if math.Abs(got[i]-got[j]) < (height[i]+height[j])/2-1e-9 {
					t.Fatalf("blocks %d and %d overlap at %g and %g", i, j, got[i], got[j])
				}
			}
		}
	})
}

func TestSpreadMovesNothingThatFits(t *testing.T) {
	got := spread([]float64{50, 10, 90}, []float64{10, 10, 10}, 0, 100)
	if got[0] != 50 || got[1] != 10 || got[2] != 90 {
		t.Errorf("got %v", got)
	}
}

// Two blocks wanted at one place part by the same distance each: the least
// sum of squared shifts.
func TestSpreadPartsTwoBlocksEvenly(t *testing.T) {
	got := spread([]float64{50, 50}, []float64{10, 10}, 0, 100)
	if got[0] != 45 || got[1] != 55 {
		t.Errorf("got %v, want 45 and 55", got)
	}
}

func TestNiceScaleCoversItsValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		hi := lo + rapid.Float64Range(0, 1e6).Draw(t, "extent")
		s := niceScale(lo, hi, 6)
		slack := 1e-6 * s.step
		if s.lo > lo+slack || s.hi < hi-slack || len(s.ticks) < 2 || len(s.ticks) > 12 {
			t.Fatalf("%g to %g: scale %g to %g with %d ticks", lo, hi, s.lo, s.hi, len(s.ticks))
		}
	})
}

func TestTickLabelsShowTheirStep(t *testing.T) {
	for _, c := range []struct {
		step, value float64
		want        string
	}{{0.25, 0.75, "0.75"}, {0.5, 1.5, "1.5"}, {5, -10, "-10"}, {0.1, -1e-12, "0.0"}, {1000, 3000, "3000"}, {0.02, 0.06, "0.06"}} {
		if got := (scale{step: c.step}).label(c.value); got != c.want {
			t.Errorf("%g at step %g is %q, want %q", c.value, c.step, got, c.want)
		}
	}
}

func TestThinnedLineStaysWithinTolerance(t *testing.T) {
	var points []sheet.Point
	for i := range 1000 {
		x := float64(i)
		points = append(points, sheet.Point{X: x, Y: 100 * math.Sin(x/80)})
	}
	kept := thinned(points, 0.15)
	if len(kept) > len(points)/4 {
		t.Errorf("%d of %d points kept", len(kept), len(points))
	}
	k := 0
	for _, p := range points {
		for k < len(kept)-2 && kept[k+1].X < p.X {
			k++
		}
		if d := offLine(p, kept[k], kept[k+1]); d > 0.15 {
			t.Errorf("the line moves by %g at x = %g", d, p.X)
		}
	}
}

func TestEventLabelsAreNotCrossedByLaterLines(t *testing.T) {
	f := frame{left: 70, right: 700}
	f.time, f.unit, f.inUnit = timeScale(6*3600, f.left, f.right)
	rapid.Check(t, func(t *rapid.T) {
		var list []mark
		at := 0.0
		for range rapid.IntRange(1, 9).Draw(t, "n") {
			at += rapid.Float64Range(0, 3000).Draw(t, "after")
			list = append(list, mark{time: min(at, 6*3600), text: "12 min something happened"})
		}
		m := placeEvents(list, f, 908)
		for i, a := range m.list {
			end := a.x + 5 + sheet.TextWidth(a.text, smallSize, false)
			for _, b := range m.list[i+1:] {
				if b.x < end && b.row >= a.row {
					t.Fatalf("label at %.0f to %.0f in row %d meets line at %.0f up to row %d", a.x, end, a.row, b.x, b.row)
				}
			}
		}
	})
}
