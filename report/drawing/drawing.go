package drawing

import (
	"errors"
	"fmt"
	"math"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/solid"
)

// Info is what a drawing carries beside the part. Texts that are too long for
// their field are cut.
type Info struct {
	Title          string // of the design
	Identification string // revision of the design
	Owner          string // left blank to be filled in by hand
	Creator        string
	Date           string // of issue, as it shall stand; blank to be filled in
	Number, Of     int    // of the sheet
	Paper          string // A4 or A3; "" chooses
	Units          quantity.Display
	Notes          []string
	Marks          []Mark
}

// Mark is a place to look at, such as the verdict of a check.
type Mark struct {
	At   solid.Point // in the part
	Text string      // with the verdict first
}

// Drawing is one sheet.
type Drawing struct {
	Part       string
	Paper      Paper
	Scale      Scale
	Dimensions []Dimension
	Sheet      *sheet.Sheet
	balloons   []box // of the marks
}

// Part draws a part in section, on the smaller sheet unless the larger one shows
// it larger. It fails where not even the smallest scale has room.
func Part(p *solid.Part, info Info) (*Drawing, error) {
	if len(p.Loops) == 0 {
		return nil, errors.New("drawing: the part has no section")
	}
	return on(info, func(paper Paper, scale Scale) (*Drawing, error) { return draw(&subject{part: p}, info, paper, scale) })
}

// on tries papers and scales, the largest scale first and the smaller paper
// before the larger.
func on(info Info, try func(Paper, Scale) (*Drawing, error)) (*Drawing, error) {
	papers := []Paper{A4, A3}
	switch info.Paper {
	case "":
	case A4.Name:
		papers = papers[:1]
	case A3.Name:
		papers = papers[1:]
	default:
		return nil, fmt.Errorf("drawing: there is no paper %q here; right: A4 or A3", info.Paper)
	}
	var last error
	for _, s := range scales {
		for _, paper := range papers {
			d, err := try(paper, s)
			if err == nil {
				return d, nil
			}
			last = err
		}
	}
	return nil, last
}

// Least room about a view for its dimensions, mm of paper; whether that is
// enough the placing says.
const (
	roomBeside = 15.0
	roomAbove  = 15.0
)

// draw draws a subject on one paper at one scale, or says why that has no room.
func draw(of *subject, info Info, paper Paper, scale Scale) (*Drawing, error) {
	p := of.part
	b := newBody(p)
	factor := 1e3 * scale.Factor()
	foot, err := layFoot(of, info, paper, scale)
	if err != nil {
		return nil, err
	}
	f := paper.frame()
	room := box{f.left + 2, f.top + 6, f.right - 2, foot.top - 2}
	width, height := 2*b.reach*factor, b.height*factor
	if width+2*roomBeside > room.right-room.left || height+2*roomAbove > room.bottom-room.top {
		return nil, fmt.Errorf("drawing: a part of %.3g mm by %.3g mm does not fit %s at %s", 2e3*b.reach, 1e3*b.height, paper.Name, scale)
	}
	v := &view{part: p, body: b, factor: factor, origin: at{(room.left + room.right) / 2, (room.top + room.bottom + height) / 2}}
	pl := &placer{v: v, room: room, edges: append(v.edges(), v.axis())}
	dimensions, err := pl.place(p.Dimensions, info.Units)
	if err != nil {
		return nil, err
	}
	marks, err := pl.placeMarks(info.Marks)
	if err != nil {
		return nil, err
	}

	s := sheet.New(paper.Width*unit, paper.Height*unit)
	s.Title = fmt.Sprintf("%s, %s: section", info.Title, p.Label)
	s.Desc = fmt.Sprintf("Section drawing of the part %s at %s, dimensions in %s.", p.Label, scale, map[bool]string{true: "millimetres", false: "inches"}[metric(info.Units)])
	pn := pen{s}
	paper.drawFrame(pn)
	foot.draw(pn)
	for _, h := range of.hatchings(v, textBoxes(dimensions, marks)) {
		pn.line(h, narrow)
	}
	for _, e := range v.edges() {
		pn.line(e, wide)
	}
	for _, c := range p.Cores { // limits of an infill
		for _, l := range v.mirrored([][]solid.Point{c.Loop.Points}) {
			for i, a := range l {
				if s := (stroke{a, l[(i+1)%len(l)]}); !v.onAxis(s) {
					pn.line(s, narrow)
				}
			}
		}
	}
	pn.line(v.axis(), narrow, chain...)
	for i := range dimensions {
		dimensions[i].draw(pn, scale)
	}
	out := &Drawing{Part: p.Name, Paper: paper, Scale: scale, Dimensions: dimensions, Sheet: s}
	for _, m := range marks {
		m.draw(pn)
		out.balloons = append(out.balloons, m.box())
	}
	return out, nil
}

// spacing of the hatching, mm: half of the mean thickness of the material on
// paper, so that thin walls still show it and thick ones are not black.
func spacing(v *view) float64 {
	area, edge := 0.0, 0.0
	for _, l := range v.body.loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			area += (a.R*b.Z - b.R*a.Z) / 2
			edge += math.Hypot(a.R-b.R, a.Z-b.Z)
		}
	}
	return min(max(v.factor*area/edge, 1.2), 3)
}

// textBoxes are what the hatching is left out behind.
func textBoxes(dimensions []Dimension, marks []balloon) []box {
	var out []box
	for i := range dimensions {
		out = append(out, dimensions[i].text.box().grown(0.6))
	}
	for _, m := range marks {
		out = append(out, m.box())
	}
	return out
}

// draw lays a dimension on the sheet. Its line carries what it measures, so that
// programs can read it back.
func (d *Dimension) draw(pn pen, scale Scale) {
	name := d.Name
	if d.Auxiliary {
		name += " (follows from others)"
	}
	pn.draw(sheet.Path{Stroke: ink, Width: narrow * unit, Data: []sheet.Datum{
		{Name: "dimension", Value: d.Name}, {Name: "key", Value: d.Key}, {Name: "value-mm", Value: fmt.Sprintf("%.4f", d.Value)},
		{Name: "scale", Value: scale.String()},
		{Name: "from-mm", Value: fmt.Sprintf("%.4f %.4f", d.line.a.x, d.line.a.y)}, {Name: "to-mm", Value: fmt.Sprintf("%.4f %.4f", d.line.b.x, d.line.b.y)},
	}, Title: name}, d.line.a, d.line.b)
	for _, s := range d.strokes {
		pn.line(s, narrow)
	}
	for _, a := range d.arrows {
		pn.arrow(a.a, a.b)
	}
	pn.text(d.text)
}
