package drawing

import (
	"errors"
	"fmt"
	"strings"

	"meltspan/solid"
)

// subject is what a sheet shows: one part, or several put together.
type subject struct {
	part   *solid.Part // whose outlines and dimensions are drawn; of an assembly, all in one
	pieces []solid.Part
}

func (s *subject) assembled() bool { return s.pieces != nil }

// Assembly draws all parts of a stand in their places, each with a hatching and
// an item number of its own, and lists them. What is not part of the stand in
// use (the mould for the charge) is listed only.
func Assembly(parts []solid.Part, info Info) (*Drawing, error) {
	whole := solid.Part{Name: "assembly", Label: "assembly", Material: "see list", Count: 1}
	s := &subject{part: &whole}
	lowest, widest := 0.0, 0.0
	for i := range parts {
		if r, _ := parts[i].Bounds(); parts[i].Simulated {
			widest = max(widest, r)
		}
		if inUse(&parts[i]) {
			lowest = min(lowest, parts[i].Lift)
		}
	}
	if widest == 0 {
		return nil, errors.New("drawing: there is no body to put parts to")
	}
	info.Marks = nil
	for i := range parts {
		p := &parts[i]
		item := p.Label + copies(p.Count) + ", " + strings.ToUpper(p.Material)
		if !inUse(p) {
			info.Notes = append(info.Notes, "Not shown: "+item+".")
			continue
		}
		put := moved(p, p.Lift-lowest, widest)
		s.pieces = append(s.pieces, put)
		whole.Loops = append(whole.Loops, put.Loops...)
		whole.Features = append(whole.Features, put.Features...)
		info.Marks = append(info.Marks, Mark{Text: item})
	}
	whole.Dimensions = overAll(&whole)
	return on(info, func(paper Paper, scale Scale) (*Drawing, error) {
		here := info
		here.Marks = append([]Mark(nil), info.Marks...)
		for i := range s.pieces {
			at, err := middleOf(&s.pieces[i], 1e3*scale.Factor())
			if err != nil {
				return nil, err
			}
			here.Marks[i].At = at
		}
		return draw(s, here, paper, scale)
	})
}

// overAll are the largest diameter and the whole height, from where they are
// reached.
func overAll(p *solid.Part) []solid.Dimension {
	reach, high := p.Bounds()
	widest, top := solid.Point{}, solid.Point{}
	for _, l := range p.Loops {
		for _, q := range l.Points {
			if q.R > reach-1e-9 {
				widest = q
			}
			if q.Z > high-1e-9 && q.R > top.R {
				top = q
			}
		}
	}
	return []solid.Dimension{
		{Kind: solid.Diameter, Name: "over all", From: widest, To: solid.Point{R: -widest.R, Z: widest.Z}},
		{Kind: solid.Height, Name: "over all", From: solid.Point{R: top.R}, To: top},
	}
}

// inUse reports whether a part belongs to the stand with its store.
func inUse(p *solid.Part) bool { return p.Name != "mould" }

// moved is a part lifted to its place; several copies stand near the edge of a
// body of that radius, m, and are turned into the section.
func moved(p *solid.Part, lift, edge float64) solid.Part {
	out := solid.Part{Name: p.Name, Label: p.Label, Material: p.Material, Count: p.Count}
	aside := 0.0
	if reach, _ := p.Bounds(); p.Count > 1 {
		aside = edge - reach
	}
	for _, l := range p.Loops {
		points := make([]solid.Point, 0, 2*len(l.Points))
		for _, q := range l.Points {
			points = append(points, solid.Point{R: q.R + aside, Z: q.Z + lift})
		}
		if aside > 0 { // the other half of a part with an axis of its own
			for k := len(l.Points) - 1; k >= 0; k-- {
				points = append(points, solid.Point{R: aside - l.Points[k].R, Z: l.Points[k].Z + lift})
			}
			points = tidied(points, aside)
		}
		out.Loops = append(out.Loops, solid.Loop{Name: l.Name, Void: l.Void, Points: points})
	}
	for _, f := range p.Features {
		f.Low, f.High = f.Low+lift, f.High+lift
		out.Features = append(out.Features, f)
	}
	return out
}

// tidied drops the points on a part's own axis, where its halves join.
func tidied(points []solid.Point, axis float64) []solid.Point {
	var out []solid.Point
	for _, q := range points {
		if abs(q.R-axis) > 1e-9 {
			out = append(out, q)
		}
	}
	return out
}

// middleOf is a place well inside a part's material, on the right of the axis:
// the middle of its longest line of hatching.
func middleOf(p *solid.Part, factor float64) (solid.Point, error) {
	v := &view{part: p, body: newBody(p), factor: factor}
	best, long := solid.Point{}, 0.0
	for _, h := range v.hatch(hatching{spacing: 0.5}, nil) {
		r, z := v.back(at{(h.a.x + h.b.x) / 2, (h.a.y + h.b.y) / 2})
		if r > 0 && h.length() > long {
			best, long = solid.Point{R: r, Z: z}, h.length()
		}
	}
	if long == 0 {
		return best, fmt.Errorf("drawing: the part %s has no material to point at", p.Label)
	}
	return best, nil
}

// hatchings are the lines of all pieces, neighbours in the list leaning to
// different sides and set at different distances.
func (s *subject) hatchings(v *view, behind []box) []stroke {
	if !s.assembled() {
		return v.hatch(hatching{spacing: spacing(v)}, behind)
	}
	var out []stroke
	for i := range s.pieces {
		own := &view{part: &s.pieces[i], body: newBody(&s.pieces[i]), origin: v.origin, factor: v.factor}
		out = append(out, own.hatch(hatching{spacing: 1.2 + 0.4*float64(i%3), falling: i%2 == 1}, behind)...)
	}
	return out
}
