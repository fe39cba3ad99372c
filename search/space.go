package search

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// Input is one thing that may vary in a design: a quantity or a count between
// two ends, or one of several words.
type Input struct {
	Path  string        `json:"path"`
	About string        `json:"about"`
	Kind  quantity.Kind `json:"kind,omitempty"` // "" for counts and words
	Count bool          `json:"count,omitempty"`
	Low   float64       `json:"low"`
	High  float64       `json:"high"`
	Step  float64       `json:"step"` // values are whole steps from Low
	Words []string      `json:"words,omitempty"`

	now  func(*design.Design) float64
	turn func(*design.Design, float64) error
	late int // inputs that lean on others are set after them
}

// Inputs that no key of a design holds: sizes that follow from two others
// there, and whether the plate closes the cup.
const (
	WallThickness = "stand.wall.thickness"
	CavityWidth   = "stand.wall.cavity_width"
	BaseThickness = "stand.base.thickness"
	Top           = "stand.top"
)

// Words of Top.
const (
	TopClosed = "closed"
	TopOpen   = "open"
)

// sizes are the inputs made of others. Setting one moves the outside of the
// body, not the cup.
var sizes = []Input{
	{Path: WallThickness, About: "from the cup to the outside; moves the outer diameter", late: 1,
		now: func(d *design.Design) float64 { return (d.Stand.OuterDiameter.SI - d.Stand.Cup.Diameter.SI) / 2 },
		turn: func(d *design.Design, v float64) error {
			return d.Set("stand.outer_diameter", tidy(d.Stand.Cup.Diameter.SI+2*v))
		}},
	{Path: CavityWidth, About: "of each air space of the wall; moves the outer diameter", late: 1,
		now: func(d *design.Design) float64 {
			return d.Stand.Wall.CavityWidth((d.Stand.OuterDiameter.SI - d.Stand.Cup.Diameter.SI) / 2)
		},
		turn: func(d *design.Design, v float64) error {
			w := &d.Stand.Wall
			if w.Cavities == 0 {
				return fmt.Errorf("%s needs a wall with cavities", CavityWidth)
			}
			n := float64(w.Cavities)
			return d.Set("stand.outer_diameter", tidy(d.Stand.Cup.Diameter.SI+2*(2*w.Skin.SI+(n-1)*w.Partition.SI+n*v)))
		}},
	{Path: BaseThickness, About: "from the cup's floor to the underside; moves the height", late: 1,
		now:  func(d *design.Design) float64 { return d.Stand.Height.SI - d.Stand.Cup.Depth.SI },
		turn: func(d *design.Design, v float64) error { return d.Set("stand.height", tidy(d.Stand.Cup.Depth.SI+v)) }},
}

// InputPaths are the inputs beyond the keys of a design.
func InputPaths() []string { return []string{WallThickness, CavityWidth, BaseThickness, Top} }

// NewRange is a quantity or a count of a design that may vary between two ends,
// SI. Lengths move in tenths of a millimetre, masses in grams, shares in whole
// per cent, all else in thousandths of the range: finer is no use on a bench.
func NewRange(d *design.Design, path string, low, high float64) (Input, error) {
	in := Input{Path: path}
	if i := slices.IndexFunc(sizes, func(s Input) bool { return s.Path == path }); i >= 0 {
		in = sizes[i]
		in.Kind = quantity.Length
	} else {
		k, err := d.FindKnob(path)
		if err != nil {
			return Input{}, err
		}
		in.About, in.Kind, in.Count, in.now, in.turn = k.About, k.Kind, k.Count, k.Value, k.Turn
	}
	in.Low, in.High = min(low, high), max(low, high)
	if !(in.High > in.Low) || math.IsInf(in.High-in.Low, 0) {
		return Input{}, fmt.Errorf("the range of %s is empty", path)
	}
	in.Step = stepOf(in)
	return in, nil
}

func stepOf(in Input) float64 {
	step := (in.High - in.Low) / 1000
	switch {
	case in.Count:
		return 1
	case in.Kind == quantity.Length:
		step = 0.1e-3
	case in.Kind == quantity.Mass:
		step = 1e-3
	case in.Kind == quantity.Fraction:
		step = 0.01
	}
	if step > (in.High-in.Low)/8 { // a narrow range
		step = (in.High - in.Low) / 1000
	}
	return step
}

// NewChoice is a word of a design that may be one of several.
func NewChoice(d *design.Design, path string, words []string) (Input, error) {
	if len(words) < 2 {
		return Input{}, fmt.Errorf("%s needs two words at least to choose from", path)
	}
	in := Input{Path: path, Words: words, High: float64(len(words) - 1), Step: 1}
	for i, w := range words {
		if slices.Contains(words[:i], w) {
			return Input{}, fmt.Errorf("%s names %s twice", path, w)
		}
	}
	if path == Top {
		for _, w := range words {
			if w != TopClosed && w != TopOpen {
				return Input{}, fmt.Errorf("%s cannot be %q: %s or %s", Top, w, TopClosed, TopOpen)
			}
		}
		in.About, in.late = "whether the plate closes the cup, or lies in it on the store and leaves a ring open", 2
		in.now = func(d *design.Design) float64 { return float64(slices.Index(words, topOf(d))) }
		in.turn = func(d *design.Design, v float64) error { return setTop(d, words[int(v)]) }
		return in, nil
	}
	w, err := d.FindWord(path)
	if err != nil {
		return Input{}, err
	}
	for _, word := range words { // each must be possible
		if err := w.Choose(d.Clone(), word); err != nil {
			return Input{}, err
		}
	}
	in.About = w.About
	in.now = func(d *design.Design) float64 { return float64(slices.Index(words, w.Value(d))) }
	in.turn = func(d *design.Design, v float64) error { return w.Choose(d, words[int(v)]) }
	return in, nil
}

func topOf(d *design.Design) string {
	if d.Load.BottomPlate.Diameter.SI < d.Stand.Cup.Diameter.SI {
		return TopOpen
	}
	return TopClosed
}

// setTop asks for a top: an open one presses the plate on the store. Sizes stay
// as they are, and must suit.
func setTop(d *design.Design, top string) error {
	if top == TopOpen {
		w, err := d.FindWord("stand.contact.mode")
		if err != nil {
			return err
		}
		if err := w.Choose(d, design.ContactPressed); err != nil {
			return err
		}
	}
	if topOf(d) != top {
		if top == TopOpen {
			return fmt.Errorf("an open top needs a cup wider than the lower plate")
		}
		return fmt.Errorf("a closed top needs a cup narrower than the lower plate")
	}
	return nil
}

// Label writes a value of the input as people write it in a design.
func (in *Input) Label(v float64) string {
	switch {
	case len(in.Words) > 0:
		if i := int(math.Round(v)); i >= 0 && i < len(in.Words) {
			return in.Words[i]
		}
		return "another"
	case in.Count:
		return strconv.Itoa(int(math.Round(v)))
	case math.IsNaN(v):
		return "not stated"
	}
	number, unit, found := strings.Cut(quantity.Format(v, in.Kind, 4), " ")
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if !found {
		return number
	}
	return number + " " + unit
}

// Now is the value that a design has: not a number where it has none, or a word
// that is not among those to choose from.
func (in *Input) Now(d *design.Design) float64 {
	v := in.now(d)
	if len(in.Words) > 0 && v < 0 {
		return math.NaN()
	}
	return v
}

func (in *Input) domain() Domain {
	return Domain{Low: in.Low, High: in.High, Step: in.Step, Choice: len(in.Words) > 0}
}

// Space is a design and what may vary in it.
type Space struct {
	Base   *design.Design
	Inputs []Input

	order []int // in which the inputs are set
	block float64
}

// NewSpace puts inputs together. It refuses two that turn the same size.
func NewSpace(d *design.Design, inputs []Input) (*Space, error) {
	s := &Space{Base: d, Inputs: inputs, block: math.NaN()}
	if len(inputs) == 0 {
		return nil, fmt.Errorf("nothing may vary")
	}
	has := func(path string) bool {
		return slices.ContainsFunc(inputs, func(in Input) bool { return in.Path == path })
	}
	for i, in := range inputs {
		if slices.ContainsFunc(inputs[:i], func(other Input) bool { return other.Path == in.Path }) {
			return nil, fmt.Errorf("%s is varied twice", in.Path)
		}
		s.order = append(s.order, i)
	}
	for _, clash := range [][]string{
		{"stand.outer_diameter", WallThickness, CavityWidth}, {"stand.height", BaseThickness}, {"stand.contact.mode", Top},
	} {
		var turned []string
		for _, path := range clash {
			if has(path) {
				turned = append(turned, path)
			}
		}
		if len(turned) > 1 {
			return nil, fmt.Errorf("%s all turn the same thing: vary one of them", strings.Join(turned, " and "))
		}
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return inputs[a].late - inputs[b].late })
	if !has("store.diameter") && d.Store.Form == design.FormBlock && d.Store.Diameter.Origin != quantity.Derived {
		s.block = d.Stand.Cup.Diameter.SI - d.Store.Diameter.SI
	}
	return s, nil
}

// Design makes the design of a candidate. A stated block keeps its clearance in
// the cup when the cup's diameter changes, and a size that varies with the cup
// (wall or base by its thickness) moves the outside. The error says why there
// can be no such design; the problems, where it is one, are all of them.
func (s *Space) Design(at []float64) (*design.Design, error) {
	d := s.Base.Clone()
	var failed error
	for _, i := range s.order {
		if err := s.Inputs[i].turn(d, tidy(at[i])); err != nil && failed == nil {
			failed = err
		}
	}
	if !math.IsNaN(s.block) && d.Stand.Cup.Diameter.SI != s.Base.Stand.Cup.Diameter.SI {
		if err := d.Set("store.diameter", tidy(d.Stand.Cup.Diameter.SI-s.block)); err != nil && failed == nil {
			failed = err
		}
	}
	if failed != nil {
		return d, failed
	}
	if problems := d.Check(); len(problems) > 0 {
		return d, problems
	}
	return d, nil
}

// tidy takes the rounding of steps off a number, so that files say 81.2 mm.
func tidy(v float64) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if err != nil { // not a number, or none that can be meant
		return v
	}
	return short
}

// Now is the base design as a candidate, within the space; false where the
// base lies outside it.
func (s *Space) Now() ([]float64, bool) {
	at, inside := make([]float64, len(s.Inputs)), true
	for i := range s.Inputs {
		in := &s.Inputs[i]
		v := in.Now(s.Base)
		if math.IsNaN(v) {
			v, inside = in.Low, false
		}
		inside = inside && v >= in.Low-1e-9 && v <= in.High+1e-9
		at[i] = min(max(v, in.Low), in.High)
	}
	return at, inside
}

func (s *Space) domains() []Domain {
	out := make([]Domain, len(s.Inputs))
	for i := range s.Inputs {
		out[i] = s.Inputs[i].domain()
	}
	return out
}
