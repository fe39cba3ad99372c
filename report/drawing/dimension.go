package drawing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/quantity"
	"meltspan/solid"
)

// Dimension is one as drawn.
type Dimension struct {
	Name, Key string
	Value     float64 // mm
	Auxiliary bool    // in brackets: it follows from others
	Text      string
	line      stroke   // between the two points that it measures
	strokes   []stroke // extension lines and what sticks out beyond arrows
	arrows    []stroke // tips, and where they come from
	text      text
}

// Bounds is the box of its text on paper, mm: left, top, right, bottom.
func (d *Dimension) Bounds() (left, top, right, bottom float64) {
	b := d.text.box()
	return b.left, b.top, b.right, b.bottom
}

// number prints a length, m: in mm with two decimals at most, in inches with
// three, which is as fine as their tolerances need (a thousandth is 0.025 mm).
// Decimal inches keep their last zeros (common practice).
func number(u quantity.Display, m float64) string {
	if !metric(u) {
		return strconv.FormatFloat(u.Of(m, quantity.Length), 'f', 3, 64)
	}
	s := strconv.FormatFloat(1e3*m, 'f', 2, 64)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

func metric(u quantity.Display) bool { return u.Symbol(quantity.Length) == "mm" }

// chosen puts dimensions in the order in which they define the part, those of
// the design first, and marks those that follow from others: they would close a
// chain. Heights join two levels, thicknesses two radii, diameters a radius
// and the axis.
func chosen(list []solid.Dimension, u quantity.Display) []Dimension {
	ordered := slices.Clone(list)
	slices.SortStableFunc(ordered, func(a, b solid.Dimension) int {
		switch {
		case (a.Key != "") == (b.Key != ""):
			return 0
		case a.Key != "":
			return -1
		}
		return 1
	})
	levels, radii := chains{}, chains{}
	var out []Dimension
	for _, d := range ordered {
		shown := Dimension{Name: d.Name, Key: d.Key, Value: 1e3 * d.Value(), Text: number(u, d.Value())}
		switch {
		case d.Kind == solid.Diameter:
			shown.Text = "Ø" + shown.Text
			shown.Auxiliary = !radii.join(0, abs(d.From.R))
		case upwards(d):
			shown.Auxiliary = !levels.join(d.From.Z, d.To.Z)
		default:
			shown.Auxiliary = !radii.join(d.From.R, d.To.R)
		}
		if shown.Auxiliary {
			shown.Text = "(" + shown.Text + ")"
		}
		out = append(out, shown)
	}
	// Back in the order given, so that the two lists go together.
	back := make([]Dimension, len(list))
	for i, d := range ordered {
		j := slices.Index(list, d)
		back[j] = out[i]
	}
	return back
}

// upwards reports whether a dimension is measured along the axis.
func upwards(d solid.Dimension) bool { return abs(d.From.R-d.To.R) < abs(d.From.Z-d.To.Z) }

// chains keeps which coordinates hang together by dimensions, to a micrometre.
type chains map[int64]int64

func (c chains) root(x float64) int64 {
	k := int64(math.Round(x * 1e6))
	for {
		next, ok := c[k]
		if !ok || next == k {
			return k
		}
		k = next
	}
}

// join reports whether the two did not hang together before.
func (c chains) join(a, b float64) bool {
	ra, rb := c.root(a), c.root(b)
	if ra == rb {
		return false
	}
	c[ra] = rb
	return true
}
