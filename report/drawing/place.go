package drawing

import (
	"fmt"
	"math"
	"slices"

	"meltspan/quantity"
	"meltspan/solid"
)

// Distances on paper, mm.
const (
	firstLevel = 10.0 // of a dimension line from the view
	nextLevel  = 7.0  // from one to the next
	mostLevels = 9
	past       = 2.0 // extension line beyond the dimension line
	above      = 0.9 // text over its line
	clear      = 0.4 // text from text
)

// Costs of a place for a dimension, in mm of detour.
const (
	costCrossed = 12.0 // text that a line runs through
	costBuried  = 8.0  // text on the hatching
	costTouched = 30.0 // text that an edge of the part runs through
)

// placer finds places for dimensions one after another, each the cheapest that
// is left.
type placer struct {
	v     *view
	room  box // on paper, for the view and all about it
	edges []stroke
	lines []stroke // of dimensions placed
	texts []box
}

// place lays out all dimensions of a part. It fails where one finds no place
// that is free of other texts.
func (p *placer) place(list []solid.Dimension, u quantity.Display) ([]Dimension, error) {
	shown := chosen(list, u)
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	// Diameters first, then heights, then what is thin; short before long.
	rank := func(d solid.Dimension) float64 {
		switch {
		case d.Kind == solid.Diameter:
			return d.Value()
		case upwards(d) && d.Kind == solid.Height:
			return 10 + d.Value()
		}
		return 20 + d.Value()
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if rank(list[a]) < rank(list[b]) {
			return -1
		}
		return 1
	})
	placed := make([]bool, len(list))
	for range passes {
		for _, i := range order {
			p.others(shown, placed, i)
			best, least := Dimension{}, math.Inf(1)
			p.candidates(list[i], shown[i], func(d Dimension, cost float64) {
				if cost += p.cost(&d); cost < least {
					best, least = d, cost
				}
			})
			if math.IsInf(least, 1) {
				return nil, fmt.Errorf("drawing: the dimension %q (%s) finds no place on the sheet", shown[i].Name, shown[i].Text)
			}
			shown[i], placed[i] = best, true
		}
	}
	p.others(shown, placed, -1)
	return shown, nil
}

// passes is how often each dimension is placed: again once the others are there.
const passes = 3

// others sets the texts and lines that a dimension has to live with.
func (p *placer) others(shown []Dimension, placed []bool, but int) {
	p.texts, p.lines = p.texts[:0], p.lines[:0]
	for i := range shown {
		if placed[i] && i != but {
			p.texts = append(p.texts, shown[i].text.box())
			p.lines = append(append(p.lines, shown[i].line), shown[i].strokes...)
		}
	}
}

// cost is what the place of a dimension costs by what is there already.
func (p *placer) cost(d *Dimension) float64 {
	b := d.text.box()
	room := b.grown(clear)
	if !room.within(p.room) || slices.ContainsFunc(p.texts, room.meets) {
		return math.Inf(1)
	}
	cost := 0.0
	for _, s := range p.edges {
		if b.grown(1.2).crossed(s) {
			cost += costTouched
		}
	}
	for _, s := range p.lines {
		if room.crossed(s) {
			cost += costCrossed
		}
	}
	for _, s := range append([]stroke{d.line}, d.strokes...) {
		if slices.ContainsFunc(p.texts, func(t box) bool { return t.crossed(s) }) {
			cost += costCrossed
		}
		end := box{min(s.a.x, s.b.x), min(s.a.y, s.b.y), max(s.a.x, s.b.x), max(s.a.y, s.b.y)}
		if !end.within(p.room) {
			return math.Inf(1)
		}
	}
	for _, q := range []at{{b.left, b.top}, {b.right, b.top}, {b.left, b.bottom}, {b.right, b.bottom}, {(b.left + b.right) / 2, (b.top + b.bottom) / 2}} {
		if r, z := p.v.back(q); p.v.body.inside(r, z) {
			cost += costBuried / 5
		}
	}
	return cost
}

// back is where a place on paper lies in the part, m.
func (v *view) back(q at) (r, z float64) {
	return (q.x - v.origin.x) / v.factor, (v.origin.y - q.y) / v.factor
}

// candidates offers places for a dimension, each with its own cost.
func (p *placer) candidates(d solid.Dimension, shown Dimension, offer func(Dimension, float64)) {
	switch {
	case d.Kind == solid.Diameter:
		p.level(d.From, solid.Point{R: -d.From.R, Z: d.From.Z}, shown, offer)
	case upwards(d):
		p.upright(d, shown, offer)
	default:
		p.across(d, shown, offer)
		p.level(d.From, d.To, shown, offer)
	}
}

// level offers level lines above and below the view for a horizontal size.
func (p *placer) level(from, to solid.Point, shown Dimension, offer func(Dimension, float64)) {
	e, b := p.v.extent(), p.v.body
	for i := range mostLevels {
		off := firstLevel + nextLevel*float64(i)
		for _, y := range []float64{e.top - off, e.bottom + off} {
			end := b.height
			if y > e.bottom {
				end = 0
			}
			cost := 2 * float64(i)
			for _, q := range []solid.Point{from, to} {
				cost += 1.5 * p.v.factor * b.buried(q.R, q.Z, q.R, end)
				cost += 0.05 * p.v.factor * abs(q.Z-end)
			}
			d := shown
			a, c := p.v.at(from.R, from.Z), p.v.at(to.R, to.Z)
			p.span(&d, at{a.x, y}, at{c.x, y}, a, c, func(d Dimension, more float64) { offer(d, cost+more) })
		}
	}
}

// upright offers vertical lines beside the view, and inside its hollows.
func (p *placer) upright(d solid.Dimension, shown Dimension, offer func(Dimension, float64)) {
	e, b := p.v.extent(), p.v.body
	try := func(side, x, own float64) {
		a, c := p.v.at(side*d.From.R, d.From.Z), p.v.at(side*d.To.R, d.To.Z)
		r, _ := p.v.back(at{x, a.y})
		cost := own
		for _, q := range []solid.Point{d.From, d.To} {
			cost += 1.5 * p.v.factor * b.buried(side*q.R, q.Z, r, q.Z)
			cost += 0.05 * p.v.factor * abs(side*q.R-r)
		}
		if long := p.v.factor * d.Value(); long > 3*arrowLength {
			cost += 1.5 * p.v.factor * b.buried(r, d.From.Z, r, d.To.Z)
		}
		p.span(&shown, at{x, a.y}, at{x, c.y}, a, c, func(d Dimension, more float64) { offer(d, cost+more) })
	}
	for i := range mostLevels {
		off := firstLevel + nextLevel*float64(i)
		try(1, e.right+off, 2*float64(i))
		try(-1, e.left-off, 2*float64(i)+3)
	}
	for i := 1; i < 20; i++ {
		r := b.reach * (float64(i)/10 - 1)
		if i == 10 {
			continue // the centre line
		}
		q := p.v.at(r, 0)
		try(math.Copysign(1, r), q.x, 4)
	}
}

// across offers level lines inside the view for a size along the radius.
func (p *placer) across(d solid.Dimension, shown Dimension, offer func(Dimension, float64)) {
	b := p.v.body
	middle, thick := (d.From.R+d.To.R)/2, b.inside((d.From.R+d.To.R)/2, d.From.Z)
	for i := -20; i <= 20; i++ {
		z := d.From.Z + 2*float64(i)/p.v.factor // every 2 mm of paper
		if z < 0 || z > b.height || b.inside(middle, z) != thick ||
			b.buried(d.From.R, min(z, d.From.Z), d.From.R, max(z, d.From.Z)) > 0 {
			continue
		}
		for _, side := range []float64{1, -1} {
			a, c := p.v.at(side*d.From.R, z), p.v.at(side*d.To.R, z)
			cost := 0.3 * abs(float64(i))
			p.span(&shown, a, c, a, c, func(d Dimension, more float64) { offer(d, cost+more) })
		}
	}
}

// span offers ways to draw a dimension line between two places on paper that
// lie level or upright, with extension lines from the two points measured.
func (p *placer) span(shown *Dimension, a, c, from, to at, offer func(Dimension, float64)) {
	level := a.y == c.y
	if level && a.x > c.x || !level && a.y < c.y {
		a, c, from, to = c, a, to, from // from left to right, or from below upwards
	}
	d := *shown
	d.line = stroke{a, c}
	d.strokes, d.arrows = nil, nil
	for _, s := range []stroke{{from, a}, {to, c}} {
		if long := s.length(); long > 0.5 {
			k := (long + past) / long
			d.strokes = append(d.strokes, stroke{s.a, at{s.a.x + k*(s.b.x-s.a.x), s.a.y + k*(s.b.y-s.a.y)}})
		}
	}
	long, wideText := d.line.length(), widthOf(d.Text, large)
	// along moves by x along the line, up by y to the side where text stands.
	along := func(x, y float64) at {
		if level {
			return at{a.x + x, a.y - y}
		}
		return at{a.x - y, a.y - x}
	}
	letter := func(middle float64) text {
		return text{at: along(middle, above), height: large, content: d.Text, anchor: "middle", upright: !level}
	}
	if long >= 2*arrowLength+1 {
		d.arrows = []stroke{{a, c}, {c, a}}
		if wideText+1 <= long {
			for _, shift := range []float64{0, -0.2, 0.2, -0.35, 0.35} {
				if abs(shift)*long+wideText/2 > long/2-0.5 {
					continue
				}
				e := d
				e.text = letter(long/2 + shift*long)
				offer(e, 5*abs(shift))
			}
			return
		}
	} else {
		// Arrows from outside, on short ends of the line.
		d.arrows = []stroke{{a, along(-1, 0)}, {c, along(long+1, 0)}}
		d.strokes = append(slices.Clone(d.strokes), stroke{along(-arrowLength-1.5, 0), a}, stroke{c, along(long+arrowLength+1.5, 0)})
		if wideText+0.6 <= long {
			e := d
			e.text = letter(long / 2)
			offer(e, 1)
		}
	}
	// The text beside the line, over its lengthened end.
	reach := wideText + 1.5
	if long < 2*arrowLength+1 {
		reach += arrowLength + 0.5
	}
	for _, end := range []float64{1, -1} {
		e := d
		tip, far := along(long, 0), along(long+reach, 0)
		e.text = letter(long + reach - wideText/2 - 0.5)
		if end < 0 {
			tip, far = a, along(-reach, 0)
			e.text = letter(-reach + wideText/2 + 0.5)
		}
		e.strokes = append(slices.Clone(d.strokes), stroke{tip, far})
		offer(e, 2+(1-end)/4)
	}
}
