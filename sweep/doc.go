// Package sweep screens the candidates of a search on several machines, as jobs
// on NATS JetStream.
//
// The coordinator puts the task (design, space, limits, scenario) into a bucket
// and one message for each handful of candidates into a work queue. Workers come
// and go: each takes a job, works it out, writes the result under the job's own
// key, which can be made only once, and then acknowledges the job. A job whose
// worker died is not acknowledged and goes to another after the time to
// acknowledge; a result that comes twice is written once. So no job is lost, and
// none counts twice.
//
// The server is either one of the user's, by URL and credentials, or one that
// this program runs itself, on the loopback interface unless told otherwise.
package sweep

import "time"

// Names on the server. They hold the version of what is sent.
const (
	streamName = "MELTSPAN_SWEEP_1"
	subjects   = "meltspan.sweep1.>"
	subject    = "meltspan.sweep1."
	consumer   = "workers"
	taskBucket = "meltspan-sweep1-tasks"
	doneBucket = "meltspan-sweep1-results"
)

// keep is how long the server holds what a coordinator left behind.
const keep = 24 * time.Hour

// DefaultAckWait is after what time of silence a worker counts as gone. A worker
// that is busy says so well before.
const DefaultAckWait = 20 * time.Second

// mostDeliveries is how many workers may fail at one job before the job counts
// as at fault.
const mostDeliveries = 5
