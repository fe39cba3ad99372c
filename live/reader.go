package live

import (
	"context"
	"fmt"
	"io"
)

// Reader is a source that reads lines to their end: standard input, a file, a
// pipe. It connects once.
type Reader struct {
	Label string
	From  io.Reader
	Clock *Clock
}

// Name is the label.
func (r *Reader) Name() string { return r.Label }

// Session reads to the end. A read that waits for ever cannot be called off:
// it is left to itself when the context ends.
func (r *Reader) Session(ctx context.Context, up func(), hear func(Message)) error {
	up()
	chunks, failed := make(chan []byte), make(chan error, 1)
	go func() {
		for {
			chunk := make([]byte, 4096)
			n, err := r.From.Read(chunk)
			if n > 0 {
				select {
				case chunks <- chunk[:n]:
				case <-ctx.Done():
					return
				}
			}
			if err != nil {
				failed <- err
				return
			}
		}
	}()
	lines := newSplitter(r.Clock, true, hear)
	for {
		select {
		case <-ctx.Done():
			return nil
		case chunk := <-chunks:
			lines.add(chunk)
		case err := <-failed:
			if err == io.EOF {
				lines.add([]byte("\n")) // the last line may lack its end
				return io.EOF
			}
			return fmt.Errorf("reading %s: %w", r.Label, err)
		}
	}
}
