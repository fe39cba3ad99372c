package quantity

import "fmt"

// Amount is a number in a sentence that shall be said exactly in any reader's
// units: unlike one that is printed, and then restated.
type Amount struct {
	SI     float64
	Kind   Kind
	Unit   string // "" for the one that suits its size
	Digits int
}

// In is the amount as a reader has it.
func (a Amount) In(u Display) string {
	if a.Unit == "" {
		return u.Format(a.SI, a.Kind, a.Digits)
	}
	return u.FormatIn(a.SI, a.Kind, a.Unit, a.Digits)
}

// String is the amount in the usual units.
func (a Amount) String() string { return a.In(Display{}) }

// Sentence is text with amounts in it, worded by fmt.Sprintf for each reader.
type Sentence struct {
	format string
	args   []any
}

// Say makes a sentence. Amounts go into it with %s.
func Say(format string, args ...any) Sentence { return Sentence{format, args} }

// In words the sentence for a reader; amounts that stand in its format are
// restated.
func (s Sentence) In(u Display) string {
	args := make([]any, len(s.args))
	for i, arg := range s.args {
		if a, ok := arg.(Amount); ok {
			arg = a.In(u)
		}
		args[i] = arg
	}
	return u.Restate(fmt.Sprintf(s.format, args...))
}

// String is the sentence in the usual units.
func (s Sentence) String() string { return s.In(Display{}) }
