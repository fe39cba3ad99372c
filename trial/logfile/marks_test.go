package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/trial"
)

func marksOf(s trial.Series) []trial.Mark {
	var out []trial.Mark
	for _, x := range s.Samples {
		out = append(out, x.Mark)
	}
	return out
}

const (
	g = trial.Good
	f = trial.Fault
	m = trial.Missing
	d = trial.Disordered
	r = trial.Repeated
)

func TestFaultsOfSensors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, values string
		want         []trial.Mark
	}{
		{"bus silent", "20 20 -127 20", []trial.Mark{g, g, f, g}},
		{"power-up", "20 85 20 20", []trial.Mark{g, f, g, g}},
		{"power-up at the start", "85 85 20 20", []trial.Mark{f, f, g, g}},
		{"power-up among missing", "20 85 nan 85 20", []trial.Mark{g, f, m, f, g}},
		{"hot water poured in", "20 85 85 84.9 84.8", []trial.Mark{g, g, g, g, g}},
		{"cooling through 85", "88 86.5 85 83.5", []trial.Mark{g, g, g, g}},
		{"kept at 85", "85 85 85 85", []trial.Mark{g, g, g, g}},
		{"long at 85, then taken out", "84 85 85 85 85 85 85 85 30", []trial.Mark{g, g, g, g, g, g, g, g, g}},
		{"melting ice", "2 0.5 0 0 0 -0.1", []trial.Mark{g, g, g, g, g, g}},
		{"empty register", "22 0 22 22", []trial.Mark{g, f, g, g}},
		{"all ones", "21 130 21", []trial.Mark{g, f, g}},
		{"all zeros", "21 -45 21", []trial.Mark{g, f, g}},
		{"open thermocouple", "21 1023.75 2047.75 21", []trial.Mark{g, f, f, g}},
		{"words and blanks", "21 OL - 21 NaN inf", []trial.Mark{g, m, m, g, m, m}},
		{"saturated logger", "21 -999 9999 6553.5 21", []trial.Mark{g, f, f, f, g}},
	} {
		text := "time (s),room (°C)\n"
		for i, v := range strings.Fields(c.values) {
			text += fmt.Sprintf("%d,%s\n", i, v)
		}
		if got := marksOf(mustRead(t, text, Mapping{}).Series[0]); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	l := mustRead(t, "time (s),rh (%),speed (rpm),weight (g)\n0,101,-1,5\n1,-6,60,1e9\n2,119,60,-3\n", Mapping{})
	for i, want := range [][]trial.Mark{{g, f, f}, {f, g, g}, {g, f, g}} {
		if got := marksOf(l.Series[i]); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", l.Series[i].Quantity, got, want)
		}
	}
}

func TestRowsOutOfPlace(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name  string
		times []float64
		want  []trial.Mark
	}{
		{"in order", []float64{0, 1, 2, 3}, []trial.Mark{g, g, g, g}},
		{"one time twice", []float64{0, 1, 1, 2}, []trial.Mark{g, g, r, g}},
		{"one row late", []float64{0, 1, 3, 2, 4, 5}, nil}, // either of the two
		{"one wild time", []float64{0, 1, 1e5, 2, 3, 4}, []trial.Mark{g, g, d, g, g, g}},
		{"one time of nought", []float64{5, 6, 0, 7, 8}, []trial.Mark{g, g, d, g, g}},
		{"clock not set", []float64{1, 2, 1.7e9, 1.7e9 + 1, 1.7e9 + 2}, []trial.Mark{d, d, g, g, g}},
		{"clock lost", []float64{1.7e9, 1.7e9 + 1, 1.7e9 + 2, 1, 2}, []trial.Mark{g, g, g, d, d}},
	} {
		got := orderMarks(c.times)
		if c.want != nil && !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if c.want == nil && slices.Contains(got, r) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// Good rows rise strictly, and no order with fewer marks is possible (checked
// against trying all subsets, for few rows).
func TestMarksOfOrderAreFewest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.SliceOfN(rapid.Float64Range(0, 9), 1, 9).Draw(t, "times")
		for i := range times {
			times[i] = math.Floor(times[i])
		}
		good, last := 0, math.Inf(-1)
		for i, mark := range orderMarks(times) {
			switch mark {
			case trial.Good:
				if times[i] <= last {
					t.Fatalf("good rows do not rise: %v", times)
				}
				last = times[i]
				good++
			case trial.Repeated:
				if times[i] != last {
					t.Fatalf("row %d of %v repeats nothing", i, times)
				}
			}
		}
		most := 0
		for subset := range 1 << len(times) {
			n, last := 0, math.Inf(-1)
			for i, x := range times {
				if subset>>i&1 == 0 {
					continue
				}
				if x < last {
					n = -1
					break
				}
				if x > last {
					n++
				}
				last = x
			}
			most = max(most, n)
		}
		// The subsequence is the longest with repeats counted, so strict steps
		// may fall short of the most there could be, but never by a row that
		// is neither good nor a repeat.
		marked := 0
		for _, mark := range orderMarks(times) {
			if mark == trial.Disordered {
				marked++
			}
		}
		if len(times)-marked < most {
			t.Fatalf("%d rows of %v are in order, %d could be", len(times)-marked, times, most)
		}
	})
}

// Nothing is dropped: broken rows are counted, with their lines.
func TestBrokenRowsAreCounted(t *testing.T) {
	t.Parallel()
	text := "time (s),top,bottom\n0,20,1\n1,20\n\x00\x00\x00\nhalf a li\n2,\"20,1\n3,20,1,7\ntime (s),top,bottom\n4,20,1\n5,20,1\n6,20,1\n"
	l := mustRead(t, text, Mapping{})
	if l.Rows != 9 || l.Unread != 2 || l.Examples[0].Line != 4 || l.Examples[1] != (Unread{5, "half a li"}) {
		t.Errorf("%d rows, %d without time, %+v", l.Rows, l.Unread, l.Examples)
	}
	if got, want := marksOf(l.Series[1]), []trial.Mark{g, m, m, g, g, g, g}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestSinceShiftsACopy(t *testing.T) {
	t.Parallel()
	l := mustRead(t, "time (s),top\n100,20\n110,21\n", Mapping{})
	if s := l.Since(105); s[0].Samples[0].Time != -5 || l.Series[0].Samples[0].Time != 100 {
		t.Errorf("%+v, %+v", s[0].Samples, l.Series[0].Samples)
	}
}
