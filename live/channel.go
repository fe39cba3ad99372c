package live

import (
	"fmt"
	"slices"

	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// Rotor says what a key of pulses tells, and how.
type Rotor struct {
	Key           string
	Form          trial.PulseForm
	PerRevolution int
	Tick          float64 // s, one unit of the sensor's numbers; 1 when they are seconds; of no use to counts
}

// channel is what becomes of the readings of one key.
type channel struct {
	column logfile.Column
	pulses *trial.Pulses
	tick   float64

	series int64 // in the notebook; 0: not opened yet
	count  int   // samples there and waiting
	recent []trial.Sample
	oddity map[string]bool // units that were told of
	all    *trial.Series   // as far as this run of the program knows it
}

// name is how the channel is called on a line.
func (c *channel) name() string {
	name := string(c.column.Quantity)
	if c.column.Place != "" {
		name += ", " + c.column.Place
	}
	return name
}

// si is the value of a field in the unit that it states, if that fits, else in
// the column's.
func (c *channel) si(f Field) (value float64, fits bool) {
	kind := c.column.Quantity.Measures()
	if f.Unit != "" {
		if factor, offset, ok := quantity.Scale(kind, f.Unit); ok {
			return f.Value*factor + offset, true
		}
	}
	if c.column.Unit == "1" { // a humidity as a share
		return f.Value, f.Unit == ""
	}
	factor, offset, _ := quantity.Scale(kind, c.column.Unit)
	return f.Value*factor + offset, f.Unit == ""
}

// remembered is how many samples are looked at again when a new one shows that
// they were a fault: a sensor's power-up value is known by the jump behind it.
const remembered = 8

// add takes a sample, marks it, and returns it with the marks that it changes
// of earlier samples.
func (c *channel) add(s trial.Sample) (marked trial.Sample, again []remark) {
	if n := len(c.recent); n > 0 && s.Time <= c.recent[n-1].Time {
		// Several lines in one read: they were sent one after another.
		s.Time = c.recent[n-1].Time + 1e-3
	}
	c.recent = append(c.recent, s)
	if len(c.recent) > remembered {
		c.recent = slices.Delete(c.recent, 0, len(c.recent)-remembered)
	}
	fresh := trial.Series{Quantity: c.column.Quantity, Samples: slices.Clone(c.recent)}
	for i := range fresh.Samples {
		fresh.Samples[i].Mark = trial.Good
	}
	logfile.MarkValues(&fresh)
	last := len(c.recent) - 1
	for i := c.judged(); i < last; i++ {
		was, is := c.recent[i].Mark, fresh.Samples[i].Mark
		if is == was || was != trial.Good && was != trial.Fault { // a mark by hand stays
			continue
		}
		again = append(again, remark{c, c.count - last + i, is})
		c.recent[i].Mark = is
		c.all.Samples[len(c.all.Samples)-last+i].Mark = is
	}
	c.recent[last].Mark = fresh.Samples[last].Mark
	c.count++
	c.all.Samples = append(c.all.Samples, c.recent[last])
	return c.recent[last], again
}

// judged is from where on the samples remembered can be judged anew: what is
// before the first of them is forgotten, so that of a value which stays the
// same it is not known for how long.
func (c *channel) judged() int {
	if len(c.recent) < remembered {
		return 0
	}
	i := 1
	for i < len(c.recent) && c.recent[i].Value == c.recent[0].Value {
		i++
	}
	return i
}

// remark is another mark for a sample that was kept already.
type remark struct {
	channel *channel
	number  int
	mark    trial.Mark
}

// newChannel makes the channel of a key, by what the user said or by its name.
// It is nil for a key that is not recorded; then why says so.
func (in *Intake) newChannel(key string) (c *channel, why string) {
	for i := range in.Rotors {
		if r := &in.Rotors[i]; r.Key == key {
			c := &channel{column: logfile.Column{Name: key, Quantity: trial.Speed, Unit: "Hz", Place: in.placeFor(key)}, tick: r.Tick}
			c.pulses = &trial.Pulses{Form: r.Form, PerRevolution: r.PerRevolution, Tick: r.Tick}
			return c, fmt.Sprintf("%q is taken as speed, from %ss, %d to a revolution", key, r.Form, r.PerRevolution)
		}
	}
	for _, column := range in.Columns {
		if column.Name != key {
			continue
		}
		if column.Quantity == "" {
			return nil, ""
		}
		if column.Unit == "" {
			guess := logfile.GuessColumn(key)
			column.Unit = guess.Unit
			if guess.Quantity.Measures() != column.Quantity.Measures() || column.Unit == "" {
				column.Unit = quantity.Units(column.Quantity.Measures())[0]
			}
		}
		return &channel{column: column}, told(column)
	}
	column := logfile.GuessColumn(key)
	if column.Quantity == "" {
		return nil, fmt.Sprintf("%q is not recorded, since its name does not tell what it is", key)
	}
	return &channel{column: column}, told(column) + ", by its name"
}

func (in *Intake) placeFor(key string) string {
	for _, column := range in.Columns {
		if column.Name == key {
			return column.Place
		}
	}
	return ""
}

func told(c logfile.Column) string {
	text := fmt.Sprintf("%q is taken as %s", c.Name, c.Quantity)
	if c.Place != "" {
		text += ", " + c.Place
	}
	if c.Unit == "1" {
		return text + ", as a share of 1"
	}
	return text + ", in " + c.Unit
}
