// Package trial holds what is known of one trial at the bench: what it was
// set up with, its logged series, its events. It computes on them and does
// nothing else; reading and keeping them is the work of other packages. All
// values are SI (K, kg, s, W, revolutions per second, shares of 1), times are
// seconds from the trial's start.
package trial

// Kind says what was run.
type Kind string

const (
	// Run is a device running on its store.
	Run Kind = "run"
	// WarmPlate is a load alone on a plate of controlled temperature.
	WarmPlate Kind = "warm plate"
	// PlateHeater is a device with a heater of known power on its upper plate.
	PlateHeater Kind = "plate heater"
	// BlankMelt is a stand without its load, whose melt is weighed.
	BlankMelt Kind = "blank melt"
)

// Quantity is what a series measures.
type Quantity string

// The quantities of series.
const (
	BottomPlate Quantity = "bottom plate" // K
	TopPlate    Quantity = "top plate"    // K
	Room        Quantity = "room"         // K
	Humidity    Quantity = "humidity"     // relative, 0 to 1
	Wall        Quantity = "wall"         // K, of the stand's outside
	Water       Quantity = "water"        // K, of the store's liquid
	Speed       Quantity = "speed"        // revolutions per second
	Weight      Quantity = "weight"       // kg
	HeaterPower Quantity = "heater power" // W
	Spot        Quantity = "spot"         // K, read once or now and then at a place
)

// Mark says why a sample is doubtful. Doubtful samples are kept and left out
// of computations.
type Mark string

// The marks.
const (
	Good       Mark = ""
	Fault      Mark = "sensor fault"  // a value that sensors give when they fail
	Missing    Mark = "missing"       // an empty cell or not a number
	Repeated   Mark = "repeated time" // a second row of the same time
	Disordered Mark = "out of order"  // a row earlier than the one before it
	Excluded   Mark = "excluded by hand"
)

// Sample is one reading.
type Sample struct {
	Time  float64 `json:"time_s"`
	Value float64 `json:"value"` // SI; NaN when missing
	Mark  Mark    `json:"mark,omitempty"`
}

// Series is what one sensor gave.
type Series struct {
	Quantity    Quantity `json:"quantity"`
	Place       string   `json:"place,omitempty"`       // where, in the user's words
	Source      string   `json:"source,omitempty"`      // the file and column, port or topic
	Uncertainty float64  `json:"uncertainty,omitempty"` // one standard uncertainty, SI; 0: not stated
	Emissivity  float64  `json:"emissivity,omitempty"`  // set on a thermal camera; 0: not one
	Samples     []Sample `json:"samples"`               // as they came; those without a mark rise in time
}

// EventKind names something that happened at a moment.
type EventKind string

// The events of trials.
const (
	LoadSet EventKind = "load set"
	Started EventKind = "started"
	Stalled EventKind = "stalled"
	IceGone EventKind = "ice gone"
	Drip    EventKind = "drip seen"
	Stopped EventKind = "stopped by hand" // while still running
)

// Event is one moment of a trial.
type Event struct {
	Kind        EventKind `json:"kind"`
	Time        float64   `json:"time_s"`
	Uncertainty float64   `json:"uncertainty_s"`    // one standard uncertainty
	Source      string    `json:"source,omitempty"` // by hand, speed, plate difference, pictures
	Note        string    `json:"note,omitempty"`
}

// Setting is one input of the design as it was in this trial, in the design's
// own notation: store.mass, "119.4 g +- 0.2 g".
type Setting struct {
	Path  string `json:"path"`
	Value string `json:"value"`
}

// Trial is one run of one revision of a design in a real room.
type Trial struct {
	Name     string    `json:"name"`
	Kind     Kind      `json:"kind"`
	Design   string    `json:"design,omitempty"`   // its name
	Revision string    `json:"revision,omitempty"` // of the design
	Start    float64   `json:"start_unix_s"`       // when the load was set on, Unix time; NaN: not known
	Zone     string    `json:"zone,omitempty"`     // offset or name of the time zone it was written in
	Settings []Setting `json:"settings,omitempty"`
	Series   []Series  `json:"series,omitempty"`
	Events   []Event   `json:"events,omitempty"`
	Note     string    `json:"note,omitempty"`
}

// Event returns the last event of a kind, or nil.
func (t *Trial) Event(kind EventKind) *Event {
	var last *Event
	for i := range t.Events {
		if e := &t.Events[i]; e.Kind == kind && (last == nil || e.Time >= last.Time) {
			last = e
		}
	}
	return last
}

// Find returns the first series of a quantity, or nil.
func (t *Trial) Find(q Quantity) *Series {
	for i := range t.Series {
		if t.Series[i].Quantity == q {
			return &t.Series[i]
		}
	}
	return nil
}

// Good returns the times and values of the samples that bear no mark.
func (s *Series) Good() (times, values []float64) {
	for _, x := range s.Samples {
		if x.Mark == Good {
			times, values = append(times, x.Time), append(values, x.Value)
		}
	}
	return times, values
}
