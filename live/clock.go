package live

import (
	"math"
	"sync"
	"time"
)

// Clock gives the time of arrivals: the computer's clock as it was at the
// start, carried on by a clock that nobody sets. So samples stay in order when
// the time is corrected, by the network or by hand, in the middle of a trial.
type Clock struct {
	wall    func() float64 // Unix time, s
	steady  func() float64 // s from any beginning, at an even pace
	start   float64
	began   float64
	mutex   sync.Mutex
	shifted float64
}

// NewClock starts a clock.
func NewClock() *Clock {
	return newClock(func() float64 { return float64(time.Now().UnixMicro()) / 1e6 }, steady)
}

func newClock(wall, steady func() float64) *Clock {
	return &Clock{wall: wall, steady: steady, start: wall(), began: steady()}
}

// Now is the present Unix time, s.
func (c *Clock) Now() float64 { return c.start + c.steady() - c.began }

// leastShift is what is told of: less is the drift of clocks.
const leastShift = 2

// Shift returns by how much the computer's clock was set since the last call,
// s: forward is positive. It is 0 for what is not worth telling.
func (c *Clock) Shift() float64 {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	all := c.wall() - c.Now()
	if by := all - c.shifted; math.Abs(by) >= leastShift {
		c.shifted = all
		return by
	}
	return 0
}
