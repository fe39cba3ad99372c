package design

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"meltspan/quantity"
)

// Input is one uncertain value of a design.
type Input struct {
	Path  string // such as "stand.wall.skin" or "materials.pla.conductivity"
	About string // what it means
	Kind  quantity.Kind
	Value quantity.Value
	Own   bool // belongs to one trial: two designs never share its error

	// The range that its key allows, in SI. A draw beyond it has no meaning:
	// an emissivity above 1, a contact below 0. Either end may itself be
	// excluded, as 0 is for a thickness.
	Low, High float64
}

// Quantities lists the values that have a spread and a bearing on the design,
// in the order of the file. Derived values have none: they move with what
// they follow from. How the stand is printed has no bearing on the heat.
func (d *Design) Quantities() []Input {
	var inputs []Input
	d.eachInUse(func(path string, f *field, v reflect.Value) {
		if f.shape != shapeQuantity || strings.HasPrefix(path, "print.") {
			return
		}
		if val := v.Interface().(quantity.Value); val.Spread > 0 {
			inputs = append(inputs, Input{path, f.about, f.kind, val, f.own, f.limits.low, f.limits.high})
		}
	})
	return inputs
}

// eachInUse visits every key except those that have no bearing on this
// design, such as the diameter of pegs that are not there.
func (d *Design) eachInUse(visit func(path string, f *field, v reflect.Value)) {
	used := d.usedMaterials()
	walk(reflect.ValueOf(d).Elem(), layout(), "", func(path string, f *field, v reflect.Value) bool {
		if name, ok := strings.CutPrefix(path, "materials."); ok {
			name, _, _ = strings.Cut(name, ".")
			if !slices.Contains(used, name) {
				return false
			}
		}
		if f.section == nil && d.idle(path) || f.key == "layer_ratio" && notLayered(v) {
			return false
		}
		visit(path, f, v)
		return true
	})
}

// notLayered reports whether a material conducts alike in all directions for
// certain, so that its layer ratio is no news.
func notLayered(v reflect.Value) bool {
	ratio := v.Interface().(quantity.Value)
	return ratio.SI == 1 && ratio.Spread == 0
}

// idle reports whether a key has no bearing, given counts and modes.
func (d *Design) idle(path string) bool {
	s, form, mode := &d.Stand, d.Store.Form, d.Stand.Contact.Mode
	switch path {
	case "stand.pegs.diameter", "stand.pegs.height":
		return s.Pegs.Count == 0
	case "stand.ribs.thickness":
		return s.Ribs.Count == 0 || s.Wall.Cavities == 0
	case "stand.rim.gasket_material":
		return s.Rim.Gasket.SI == 0
	case "load.engine.screws.diameter", "load.engine.screws.material":
		return d.Load.Engine.Screws.Count == 0
	case "stand.wall.infill":
		return s.Wall.Cavities > 0
	case "stand.wall.partition":
		return s.Wall.Cavities < 2
	case "stand.wall.filling", "stand.wall.cavity_emissivity":
		return s.Wall.Cavities == 0
	case "stand.base.infill":
		return s.Base.Cavities > 0
	case "stand.base.partition":
		return s.Base.Cavities < 2
	case "stand.base.filling", "stand.base.cavity_emissivity":
		return s.Base.Cavities == 0
	case "model.still":
		return d.Load.Engine == nil || d.Load.Engine.StillConductance.Present()
	case "model.infill":
		return (s.Wall.Cavities > 0 || s.Wall.Infill.SI == 1) && (s.Base.Cavities > 0 || s.Base.Infill.SI == 1)
	case "model.cavity":
		return s.Wall.Cavities == 0 && s.Base.Cavities == 0
	case "store.melting_point", "store.latent_heat":
		return !d.substance().HasPhaseChange
	case "load.engine.mass":
		return mode != ContactPressed // its weight acts only where it presses on the store
	case "store.packing", "store.edge":
		return form != FormCubes && form != FormCrushed
	case "store.diameter":
		return form != FormBlock
	case "store.support":
		return form == FormLiquid
	case "stand.contact.starting_gap", "stand.contact.retained_film":
		return mode == ContactPressed
	case "room.sun_absorptivity":
		return d.Room.Sun.SI == 0
	}
	if strings.HasPrefix(path, "store.freezer.") {
		unused := path == "store.freezer.air_speed" && d.Store.Freezer.Film.Origin != quantity.Derived
		return form == FormLiquid || unused
	}
	return false
}

// Accessor returns a function that finds the value of a path in any design,
// or nil where that design has none (no engine, no such material). It is
// quick: the path is resolved once. After writing through the pointer, call
// Rederive.
func Accessor(path string) (func(*Design) *quantity.Value, error) {
	if rest, ok := strings.CutPrefix(path, "materials."); ok {
		return materialAccessor(path, rest)
	}
	s, index := layout(), []int(nil)
	keys := strings.Split(path, ".")
	for i, key := range keys {
		f := s.find(key)
		if f == nil {
			return nil, noPath(path, oneOf(key, s.keys()))
		}
		index = append(index, f.index)
		if f.shape == shapeQuantity && i == len(keys)-1 {
			return func(d *Design) *quantity.Value {
				v, err := reflect.ValueOf(d).Elem().FieldByIndexErr(index)
				if err != nil { // a section that this design does not have
					return nil
				}
				return v.Addr().Interface().(*quantity.Value)
			}, nil
		}
		if f.shape != shapeSection && f.shape != shapeOptional {
			return nil, noPath(path, key+" holds no quantity")
		}
		s = f.section
	}
	return nil, noPath(path, "a section; allowed in it: "+strings.Join(s.keys(), ", "))
}

func materialAccessor(path, rest string) (func(*Design) *quantity.Value, error) {
	name, key, _ := strings.Cut(rest, ".")
	s := layout().find("materials").section
	f := s.find(key)
	if f == nil || f.shape != shapeQuantity {
		return nil, noPath(path, oneOf(key, s.keys()))
	}
	return func(d *Design) *quantity.Value {
		for i := range d.Materials {
			if d.Materials[i].Name == name {
				return reflect.ValueOf(&d.Materials[i]).Elem().Field(f.index).Addr().Interface().(*quantity.Value)
			}
		}
		return nil
	}, nil
}

func noPath(path, why string) error {
	return fmt.Errorf("there is no quantity %q in a design: %s", path, why)
}

// Set gives the value of a path a new SI number, keeps its spread, and works
// out anew what follows from it. A value that was a default or derived counts
// as stated from then on. It fails on a path that the design does not have
// and on a number out of the key's range; the design then stays as it was.
func (d *Design) Set(path string, si float64) error {
	get, err := Accessor(path)
	if err != nil {
		return err
	}
	v := get(d)
	if v == nil {
		return noPath(path, "this design has no such part")
	}
	f := fieldAt(path)
	if math.IsNaN(si) || !f.limits.holds(si) {
		return fmt.Errorf("%s cannot be %s: it must be %s", path, show(si, f.kind), f.limits)
	}
	v.SI = si
	if v.Origin != quantity.Measured && v.Origin != quantity.Fitted {
		v.Origin, v.Source = quantity.Stated, ""
	}
	d.Rederive()
	return nil
}

// fieldAt finds the field of a path that Accessor has accepted.
func fieldAt(path string) *field {
	s := layout()
	if rest, ok := strings.CutPrefix(path, "materials."); ok {
		_, path, _ = strings.Cut(rest, ".")
		s = s.find("materials").section
	}
	var f *field
	for key := range strings.SplitSeq(path, ".") {
		f = s.find(key)
		s = f.section
	}
	return f
}

// Clone returns a copy that shares nothing that can change.
func (d *Design) Clone() *Design {
	c := *d
	c.Load.TopPlate = copied(d.Load.TopPlate)
	c.Load.Engine = copied(d.Load.Engine)
	c.Load.Generator = copied(d.Load.Generator)
	c.Load.Leak = copied(d.Load.Leak)
	c.Load.Sample = copied(d.Load.Sample)
	c.Room.Daily = copied(d.Room.Daily)
	c.Room.Series = slices.Clone(d.Room.Series)
	c.Materials = slices.Clone(d.Materials)
	return &c
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	c := *p
	return &c
}

// Knob is a key of the design that can be turned: a quantity or a count.
type Knob struct {
	Path  string
	About string
	Kind  quantity.Kind // "" for a count
	Count bool
	get   func(*Design) *quantity.Value
	count func(*Design) *int
}

// FindKnob finds the quantity or count of a path in a design.
func (d *Design) FindKnob(path string) (Knob, error) {
	s, index := layout(), []int(nil)
	keys := strings.Split(path, ".")
	for i, key := range keys {
		f := s.find(key)
		if f == nil || strings.HasPrefix(path, "materials.") {
			break
		}
		index = append(index, f.index)
		if f.shape == shapeCount && i == len(keys)-1 && path != "meltspan" {
			k := Knob{Path: path, About: f.about, Count: true, count: func(d *Design) *int {
				v, err := reflect.ValueOf(d).Elem().FieldByIndexErr(index)
				if err != nil { // a section that this design does not have
					return nil
				}
				return v.Addr().Interface().(*int)
			}}
			if k.count(d) == nil {
				return Knob{}, noPath(path, "this design has no such part")
			}
			return k, nil
		}
		if f.section == nil {
			break
		}
		s = f.section
	}
	get, err := Accessor(path)
	if err != nil {
		return Knob{}, err
	}
	if get(d) == nil {
		return Knob{}, noPath(path, "this design has no such part")
	}
	f := fieldAt(path)
	return Knob{Path: path, About: f.about, Kind: f.kind, get: get}, nil
}

// Value is what the knob stands at; NaN for a quantity that the design neither
// states nor takes a default for.
func (k Knob) Value(d *Design) float64 {
	if k.Count {
		return float64(*k.count(d))
	}
	if v := k.get(d); v.Present() {
		return v.SI
	}
	return math.NaN()
}

// relative reports whether a quantity is known to a share of itself, as
// conductances and factors are, and not to so many millimetres or kelvins.
func (k Knob) relative() bool {
	switch k.Kind {
	case quantity.Length, quantity.Mass, quantity.Temperature, quantity.TemperatureDifference:
		return false
	case quantity.Fraction:
		return strings.HasPrefix(k.Path, "model.")
	}
	return true
}

// Turn sets the knob and works out anew what follows. The spread of a quantity
// stays: in proportion where the quantity is known to a share of itself. The
// design is then to be checked.
func (k Knob) Turn(d *Design, value float64) error {
	if k.Count {
		*k.count(d) = int(math.Round(value))
		d.Rederive()
		return nil
	}
	before := *k.get(d)
	if err := d.Set(k.Path, value); err != nil {
		return err
	}
	if k.relative() && before.SI > 0 && value > 0 {
		k.get(d).Spread = before.Spread * value / before.SI
	}
	return nil
}
