package quantity

// Origin says how a value came to be known.
type Origin string

// The origins, from best to least known.
const (
	Measured Origin = "measured" // read off an instrument by the user
	Stated   Origin = "stated"   // written in the design by the user
	Fitted   Origin = "fitted"   // inferred from trials
	Derived  Origin = "derived"  // worked out from other values
	Handbook Origin = "handbook" // taken from a published source
	Guessed  Origin = "guessed"  // common practice or judgement
)

// Value is one physical quantity as a design holds it.
type Value struct {
	SI     float64 // in the SI unit of its Kind
	Spread float64 // standard uncertainty in the same unit; 0 means taken as exact
	Origin Origin  // "" while absent from the file and not yet defaulted
	Source string  // where a default or a handbook value comes from
}

// Present reports whether the value was stated or has been given a default.
func (v Value) Present() bool { return v.Origin != "" }
