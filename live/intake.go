package live

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// Intake puts messages into a trial of a notebook as they come.
type Intake struct {
	Notebook *notebook.Notebook
	Trial    int64
	Source   string           // the port or the broker, as Series.Source says it
	Clock    *Clock           //
	Columns  []logfile.Column // what the user said of keys; others are guessed
	Rotors   []Rotor          // keys of pulses
	Stalling trial.Stalling   // what is known of the load
	Watch    bool             // for the stall
	Tell     func(string)     // a sentence for the user; may be nil
	Show     func(Status)     // the state, once a second; may be nil
	Kept     func(samples int)

	start     float64 // Unix s, of the trial
	begins    bool    // the trial has no start yet
	lines     map[string]*Lines
	channels  map[string]*channel // by key; nil: not recorded
	order     []*channel
	known     trial.Trial // with what it held before
	extents   []notebook.Extent
	pending   []waiting
	remarks   []remark
	status    Status
	trouble   bool // the notebook could not be written
	stall     stallWatch
	lastHeard float64
}

type waiting struct {
	channel *channel
	sample  trial.Sample
}

// Status is how things stand.
type Status struct {
	Values  []Value
	Kept    int     // samples on the disk
	Waiting int     // samples that the notebook could not take yet
	Bad     int     // lines that could not be read
	Losses  int     // of the connection
	Away    bool    // the connection is lost
	Age     float64 // of the last message, s; NaN: there was none
	Rate    float64 // messages per second, of late
	Stalled *trial.Event
}

// Value is the last reading of a channel.
type Value struct {
	Name     string
	Quantity trial.Quantity
	SI       float64
	Mark     trial.Mark
	Time     float64 // s from the trial's start
}

// Pauses of the intake.
const (
	beat       = time.Second
	retry      = time.Second
	mostAtOnce = 1000 // messages in one transaction
	mostKnown  = 200  // keys
)

// Run takes messages until the channel is closed or the context ends. All that
// came is on the disk when it returns, or the error says what is not. changes
// may be nil.
func (in *Intake) Run(ctx context.Context, messages <-chan Message, changes <-chan Change) error {
	if err := in.open(ctx); err != nil {
		return err
	}
	return in.listen(ctx, messages, changes)
}

func (in *Intake) listen(ctx context.Context, messages <-chan Message, changes <-chan Change) error {
	// What has come is kept even when the user ends it.
	lasting := context.WithoutCancel(ctx)
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		select {
		case m, more := <-messages:
			if !more {
				return in.finish(lasting)
			}
			in.take(m)
			in.takeWaiting(messages, mostAtOnce)
			in.keep(lasting)
		case c := <-changes:
			in.changed(c)
		case <-tick.C:
			in.pulse(lasting)
		case <-ctx.Done():
			in.takeWaiting(messages, cap(messages))
			return in.finish(lasting)
		}
	}
}

// takeWaiting takes what waits already, up to a number of messages.
func (in *Intake) takeWaiting(messages <-chan Message, most int) {
	for range most {
		select {
		case m, more := <-messages:
			if !more {
				return
			}
			in.take(m)
		default:
			return
		}
	}
}

// open looks up the trial; without a start, now is the start.
func (in *Intake) open(ctx context.Context) error {
	in.lines, in.channels = map[string]*Lines{}, map[string]*channel{}
	in.status.Age, in.lastHeard = math.NaN(), math.NaN()
	head, err := in.Notebook.Head(ctx, in.Trial)
	if err != nil {
		return err
	}
	if in.known, err = in.Notebook.Trial(ctx, in.Trial); err != nil {
		return err
	}
	in.extents = head.Series
	for i := range in.known.Events { // a stall that an earlier run of the program found
		if e := &in.known.Events[i]; e.Kind == trial.Stalled && (e.Source == trial.BySpeed || e.Source == trial.ByDifference) {
			in.stall.written = e
		}
	}
	in.start = in.known.Start
	if !math.IsNaN(in.start) {
		return nil
	}
	in.start, in.begins = in.Clock.Now(), true
	return nil
}

// begin gives a trial without a start the one it has now that there are
// samples.
func (in *Intake) begin(ctx context.Context) error {
	err := in.Notebook.ChangeTrial(ctx, in.Trial, func(t *trial.Trial) error {
		t.Start = in.start
		if t.Zone == "" {
			t.Zone = time.Now().Format("-07:00")
		}
		return nil
	})
	if err == nil {
		in.begins = false
		in.say("The trial had no start; it is when this program was started.")
	}
	return err
}

func (in *Intake) say(format string, args ...any) {
	if in.Tell != nil {
		in.Tell(fmt.Sprintf(format, args...))
	}
}

// now is the present time of the trial, s.
func (in *Intake) now() float64 { return in.Clock.Now() - in.start }

// take reads a message into samples.
func (in *Intake) take(m Message) {
	in.lastHeard = m.Time
	in.status.Rate += 1 / rateWindow
	for line := range strings.SplitSeq(strings.ReplaceAll(m.Text, "\r", "\n"), "\n") {
		reader := in.lines[m.Topic]
		if reader == nil {
			reader = &Lines{}
			in.lines[m.Topic] = reader
		}
		fields, err := reader.Read(line)
		if err != nil {
			in.bad(m.Topic, err)
			continue
		}
		for _, f := range fields {
			f.Key = keyOf(m.Topic, f.Key, len(fields))
			in.field(m.Time-in.start, f)
		}
	}
}

// keyOf names a reading by its topic and its own key, if it has one.
func keyOf(topic, key string, fields int) string {
	switch {
	case topic == "":
		return key
	case fields == 1 && key == "column 1":
		return topic
	}
	return topic + "/" + key
}

// bad tells of lines that are none: the first few, then every hundredth.
func (in *Intake) bad(topic string, err error) {
	in.status.Bad++
	if n := in.status.Bad; n <= 3 || n%100 == 0 {
		where := ""
		if topic != "" {
			where = topic + ": "
		}
		in.say("Line not read (%d so far): %s%v.", n, where, err)
	}
}

// field puts one reading into its channel.
func (in *Intake) field(at float64, f Field) {
	c, seen := in.channels[f.Key]
	if !seen {
		if len(in.channels) >= mostKnown {
			return
		}
		var why string
		if c, why = in.newChannel(f.Key); why != "" {
			in.say("%s.", why)
		}
		in.channels[f.Key] = c
		if c != nil {
			in.adopt(c)
		}
	}
	if c == nil {
		return
	}
	if c.pulses != nil {
		if speed, ok := c.pulses.Add(at, f.Value*orOne(c.tick, c.pulses.Form)); ok {
			in.sample(c, trial.Sample{Time: at, Value: speed})
		}
		return
	}
	value, fits := c.si(f)
	if !fits && !c.oddity[f.Unit] {
		if c.oddity == nil {
			c.oddity = map[string]bool{}
		}
		c.oddity[f.Unit] = true
		in.say("%s writes %q behind its numbers, which is no unit of %s; they are taken as %s.", f.Key, f.Unit, c.column.Quantity, c.column.Unit)
	}
	in.sample(c, trial.Sample{Time: at, Value: value})
}

// orOne is the factor from a sensor's numbers to seconds, or to pulses.
func orOne(tick float64, form trial.PulseForm) float64 {
	if form == trial.PulseCount || tick == 0 {
		return 1
	}
	return tick
}

func (in *Intake) sample(c *channel, s trial.Sample) {
	marked, again := c.add(s)
	in.pending = append(in.pending, waiting{c, marked})
	in.remarks = append(in.remarks, again...)
}

// adopt lets a channel go on with the series of an earlier run of the program.
func (in *Intake) adopt(c *channel) {
	in.order = append(in.order, c)
	c.all = &trial.Series{Quantity: c.column.Quantity, Place: c.column.Place, Source: in.Source + ", " + c.column.Name,
		Uncertainty: spread(c.column), Emissivity: c.column.Emissivity}
	for i := range in.known.Series {
		s := &in.known.Series[i]
		if s.Quantity != c.all.Quantity || s.Place != c.all.Place || s.Source != c.all.Source {
			continue
		}
		c.series, c.count = in.extents[i].ID, len(s.Samples)
		c.recent = append(c.recent, s.Samples[max(0, len(s.Samples)-remembered):]...)
		c.all.Samples = s.Samples
	}
}

// spread is the standard uncertainty that a mapping file states, SI; 0: none.
func spread(c logfile.Column) float64 {
	kind := c.Quantity.Measures()
	if kind == quantity.Temperature {
		kind = quantity.TemperatureDifference
	}
	v, err := quantity.Parse(c.Uncertainty, kind)
	if err != nil { // none stated: files are checked when they are read
		return 0
	}
	return v.SI
}

// finish keeps what is left and settles the stall.
func (in *Intake) finish(ctx context.Context) error {
	for attempt := 0; ; attempt++ {
		err := in.keep(ctx)
		if err == nil {
			break
		}
		if attempt == 3 {
			return fmt.Errorf("%d samples could not be kept: %w", len(in.pending), err)
		}
		time.Sleep(retry)
	}
	in.settle(ctx)
	in.show()
	return nil
}
