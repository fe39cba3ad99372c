package sweep

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"meltspan/search"
)

// job is a handful of candidates.
type job struct {
	Sweep string // names the sweep among all
	Task  string // key of the task
	Index int    // of the job in its sweep
	At    [][]float64
}

func (j *job) key() string { return fmt.Sprintf("%s.%d", j.Sweep, j.Index) }

// result is what came of a job.
type result struct {
	Index     int
	Worker    string
	Delivered int // to how many workers the job went, this one included
	Figures   []search.Figures
	Failure   string // why there are no figures
}

// Messages are in gob: both ends are this program, and figures that have no
// meaning (not a number) must arrive as they are.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(v); err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	return b.Bytes(), nil
}

func decode(data []byte, v any) error {
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(v); err != nil {
		return fmt.Errorf("sweep: a message cannot be read: %w", err)
	}
	return nil
}

// board is the server's side of a sweep: queue and buckets.
type board struct {
	conn  *nats.Conn
	js    jetstream.JetStream
	queue jetstream.Stream
	tasks jetstream.KeyValue
	done  jetstream.KeyValue
}

// open makes queue and buckets, or finds those that are there.
func open(ctx context.Context, conn *nats.Conn) (*board, error) {
	js, err := jetstream.New(conn)
	if err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	b := &board{conn: conn, js: js}
	b.queue, err = js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{
		Name: streamName, Subjects: []string{subjects}, Retention: jetstream.WorkQueuePolicy,
		Storage: jetstream.MemoryStorage, MaxAge: keep, Duplicates: 2 * time.Minute,
	})
	if err == nil {
		b.tasks, err = js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: taskBucket, TTL: keep, Storage: jetstream.MemoryStorage})
	}
	if err == nil {
		b.done, err = js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: doneBucket, TTL: keep, Storage: jetstream.MemoryStorage})
	}
	switch {
	case errors.Is(err, jetstream.ErrJetStreamNotEnabled) || errors.Is(err, jetstream.ErrJetStreamNotEnabledForAccount):
		return nil, errors.New("sweep: that NATS server has no JetStream; start it with JetStream, or use another")
	case err != nil:
		return nil, fmt.Errorf("sweep: %w", err)
	}
	return b, nil
}

// workers is the consumer that all workers share.
func (b *board) workers(ctx context.Context, ackWait time.Duration) (jetstream.Consumer, error) {
	c, err := b.queue.CreateOrUpdateConsumer(ctx, jetstream.ConsumerConfig{
		Durable: consumer, AckPolicy: jetstream.AckExplicitPolicy, AckWait: ackWait, MaxAckPending: 1 << 16,
	})
	if err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	return c, nil
}
