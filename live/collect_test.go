package live

import (
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"go.uber.org/goleak"
)

// heard collects what a source gives, and lets a test wait for it.
type heard struct {
	mutex    sync.Mutex
	messages []Message
	changes  []Change
	news     chan struct{}
}

func newHeard() *heard { return &heard{news: make(chan struct{}, 1)} }

func (h *heard) hear(m Message) { h.add(func() { h.messages = append(h.messages, m) }) }
func (h *heard) tell(c Change)  { h.add(func() { h.changes = append(h.changes, c) }) }

func (h *heard) add(f func()) {
	h.mutex.Lock()
	f()
	h.mutex.Unlock()
	select {
	case h.news <- struct{}{}:
	default:
	}
}

func (h *heard) texts() string {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	var out []string
	for _, m := range h.messages {
		out = append(out, m.Topic+m.Text)
	}
	return strings.Join(out, "|")
}

// until waits for a condition, which is only looked at when something came.
func (h *heard) until(t *testing.T, what string, is func() bool) {
	t.Helper()
	end := time.After(10 * time.Second)
	for {
		h.mutex.Lock()
		done := is()
		h.mutex.Unlock()
		if done {
			return
		}
		select {
		case <-h.news:
		case <-end:
			t.Fatalf("waited in vain for %s; heard %q, changes %v", what, h.texts(), h.changes)
		}
	}
}

// listening hears a source until the test ends, and then makes sure that no
// routine of it is left.
func listening(t *testing.T, s Source) *heard {
	t.Helper()
	before := goleak.IgnoreCurrent()
	h := newHeard()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		done <- Listen(ctx, s, Wait{5 * time.Millisecond, 50 * time.Millisecond}, false, h.hear, h.tell)
	}()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Errorf("listening ended with %v", err)
		}
		if err := goleak.Find(before); err != nil {
			t.Error(err)
		}
	})
	return h
}
