package live

import (
	"context"
	"errors"
	"io"
	"time"
)

// Message is a line or a payload as it came.
type Message struct {
	Time  float64 // of arrival, Unix s
	Topic string  // of MQTT; "" otherwise
	Text  string
	Fresh bool // the first since the connection was made: lines begin anew
}

// Source is where messages come from.
type Source interface {
	// Name is how the source is called in answers; it holds no secret.
	Name() string
	// Session connects, calls up, and then hear for every message, until the
	// context ends (nil) or the connection breaks. io.EOF means that there is no
	// more to come, ever.
	Session(ctx context.Context, up func(), hear func(Message)) error
}

// Wait says how long to wait between attempts to connect again: each pause
// twice the one before it.
type Wait struct{ Least, Most time.Duration }

// Change is a change of a connection, for the user.
type Change struct {
	Up    bool
	First bool          // the connection was made for the first time
	Cause error         // of its loss
	After time.Duration // how long it was away, when it is up again
}

// remind is how often the user hears that a source is still away.
const remind = time.Minute

// Listen hears a source until the context ends, and connects again whenever
// the connection breaks. A source that cannot be connected to at all is an
// error, unless patient. It returns nil at the end of the context or of the
// source.
func Listen(ctx context.Context, s Source, w Wait, patient bool, hear func(Message), tell func(Change)) error {
	connected := false // ever
	up := false
	var lost, told time.Time
	pause := w.Least
	for {
		err := s.Session(ctx, func() {
			tell(Change{Up: true, First: !connected, After: since(lost)})
			connected, up, lost, pause = true, true, time.Time{}, w.Least
		}, hear)
		switch {
		case ctx.Err() != nil || errors.Is(err, io.EOF):
			return nil
		case !connected && !patient:
			return err
		}
		now := time.Now()
		if lost.IsZero() {
			lost = now
		}
		if up || told.IsZero() || now.Sub(told) >= remind {
			tell(Change{Cause: err})
			told = now
		}
		up = false
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(pause):
		}
		pause = min(2*pause, w.Most)
	}
}

func since(t time.Time) time.Duration {
	if t.IsZero() {
		return 0
	}
	return time.Since(t)
}
