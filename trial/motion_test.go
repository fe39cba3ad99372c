package trial

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// scene is a made-up row of pictures: the phase of a turning part in each, and
// what hides it.
type scene struct {
	times  []float64
	phase  []float64
	hand   []float64 // 0: none; else how the hand stands
	hidden []bool    // the surroundings changed as well
	noise  []float64
	depth  float64 // change over half a turn, in units of the noise
}

func (s *scene) changed(i, j int) float64 {
	if s.hidden[i] || s.hidden[j] {
		return math.NaN()
	}
	part := s.depth * math.Abs(math.Sin((s.phase[i]-s.phase[j])/2))
	return math.Sqrt(1+part*part+math.Pow(s.hand[i]-s.hand[j], 2)) * (s.noise[i] + s.noise[j]) / 2
}

// turningPart makes n pictures, interval s apart, of a part that turns between two
// moments at about a turn a second.
func turningPart(r *rand.Rand, n int, interval, from, until float64) *scene {
	s := &scene{depth: 25}
	phase, before := 0.0, 0.0
	for i := range n {
		t := float64(i) * interval
		turned := max(0, min(t, until)-max(before, from))
		phase += 2 * math.Pi * turned * (1 + 0.05*r.NormFloat64())
		before = t
		s.times, s.phase = append(s.times, t), append(s.phase, phase)
		s.hand, s.hidden = append(s.hand, 0), append(s.hidden, false)
		s.noise = append(s.noise, math.Exp(0.1*r.NormFloat64()))
	}
	return s
}

// The end lies where the part stopped, and the stated uncertainty is that of
// the errors made: over many scenes their mean square, in units of the stated
// one, is 1.
func TestMotionEndsWhereThePartStopped(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	square, far := 0.0, 0
	const scenes, interval = 400, 31.7
	for range scenes {
		until := (60 + 60*r.Float64()) * interval
		s := turningPart(r, 160, interval, 300, until)
		m, err := FindMotion(s.times, s.changed)
		if err != nil || !m.Ended {
			t.Fatalf("stopped at %g s: %+v, %v", until, m, err)
		}
		if m.Faint {
			t.Fatalf("clear pictures count as faint: %+v", m)
		}
		square += math.Pow((m.End-until)/m.Uncertainty, 2) / scenes
		// Two pictures in a row alike by chance; each is with 7 to 16 %.
		if math.Abs(m.End-until) > 1.5*interval {
			far++
		}
		if m.Uncertainty < 0.95*interval/math.Sqrt(12) {
			t.Fatalf("uncertainty %g s is less than the interval of %g s allows", m.Uncertainty, interval)
		}
	}
	if square < 0.7 || square > 1.3 || far > scenes/25 {
		t.Errorf("mean square of errors over uncertainty %.2f, want about 1; %d of %d far off", square, far, scenes)
	}
}

func TestHandThatPassesIsNoMotion(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		name      string
		at, count int
		hidden    bool
	}{
		{"one picture", 130, 1, false}, {"four pictures", 120, 4, false}, {"nine pictures", 110, 9, false},
		{"before the whole camera", 120, 30, true}, {"while the part moves", 50, 4, false}, {"soon after the stop", 107, 3, false},
		{"at the very end", 155, 5, false}, {"near the end", 152, 6, false},
	} {
		s := turningPart(r, 160, 10, 100, 1000)
		for i := c.at; i < c.at+c.count; i++ {
			s.hand[i], s.hidden[i] = 20+40*r.Float64(), c.hidden
		}
		m, err := FindMotion(s.times, s.changed)
		if err != nil || !m.Ended || math.Abs(m.End-1000) > 15 {
			t.Errorf("%s: %+v, %v; want an end at about 1000 s", c.name, m, err)
		}
	}
}

func TestPartThatKeepsMovingHasNoEnd(t *testing.T) {
	s := turningPart(rand.New(rand.NewPCG(5, 6)), 100, 10, 50, math.Inf(1))
	if m, err := FindMotion(s.times, s.changed); err != nil || m.Ended || len(m.Spans) != 1 {
		t.Errorf("%+v, %v", m, err)
	}
	s = turningPart(rand.New(rand.NewPCG(5, 6)), 100, 10, 50, 985) // stops with one picture left: cannot be told
	if m, err := FindMotion(s.times, s.changed); err != nil || m.Ended {
		t.Errorf("%+v, %v", m, err)
	}
}

func TestStillPartHasNoMotion(t *testing.T) {
	s := turningPart(rand.New(rand.NewPCG(7, 8)), 100, 10, 0, 0)
	s.hand[40] = 30
	if m, err := FindMotion(s.times, s.changed); !errors.Is(err, ErrNoMotion) {
		t.Errorf("%+v, %v", m, err)
	}
	if _, err := FindMotion(s.times[:3], s.changed); !errors.Is(err, ErrFewPictures) {
		t.Errorf("three pictures: %v", err)
	}
}

// After a stop and a second start by hand the last stop counts, and both spans
// are told.
func TestSecondStartIsToldAsASpan(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	s := turningPart(r, 200, 10, 50, 800)
	second := turningPart(r, 200, 10, 1200, 1500)
	for i := range s.phase {
		s.phase[i] += second.phase[i]
	}
	m, err := FindMotion(s.times, s.changed)
	if err != nil || !m.Ended || len(m.Spans) != 2 || math.Abs(m.Spans[0].End-800) > 20 || math.Abs(m.End-1500) > 15 {
		t.Errorf("%+v, %v", m, err)
	}
}

// Motion no larger than what noise does is not passed off as clear.
func TestFaintMotionIsSaidToBe(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	s := turningPart(r, 160, 10, 100, 1000)
	s.depth = 1
	if m, err := FindMotion(s.times, s.changed); err == nil && !m.Faint {
		t.Errorf("%+v", m)
	}
}
