package drawing

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// balloon is the number of a mark in a circle, with a leader to its place.
type balloon struct {
	number  int
	centre  at
	pointed at
}

const balloonRadius = 3.0

func (b balloon) box() box {
	return box{b.centre.x - balloonRadius, b.centre.y - balloonRadius, b.centre.x + balloonRadius, b.centre.y + balloonRadius}
}

// placeMarks finds places for the numbers, near what they mark and clear of
// texts.
func (p *placer) placeMarks(marks []Mark) ([]balloon, error) {
	var out []balloon
	for i, m := range marks {
		spot := p.v.at(m.At.R, m.At.Z)
		best, least := balloon{}, math.Inf(1)
		for ring := 1; ring <= 14; ring++ {
			for k := range 24 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 12)
				away := 5 + 5*float64(ring)
				b := balloon{i + 1, at{spot.x + away*cos, spot.y - away*sin}, spot}
				room := b.box().grown(clear)
				if !room.within(p.room) || slices.ContainsFunc(p.texts, room.meets) {
					continue
				}
				cost := away
				if r, z := p.v.back(b.centre); p.v.body.inside(r, z) {
					cost += 20
				}
				leader := stroke{spot, b.centre}
				for _, t := range p.texts {
					if t.crossed(leader) {
						cost += costTouched
					}
				}
				for _, s := range append(p.edges, p.lines...) {
					if room.crossed(s) {
						cost += 6
					}
				}
				if k%6 == 0 {
					cost += 2 // leaders lean, so that they are no edges
				}
				if cost < least {
					best, least = b, cost
				}
			}
		}
		if math.IsInf(least, 1) {
			return nil, fmt.Errorf("drawing: mark %d finds no place on the sheet", i+1)
		}
		out = append(out, best)
		p.texts = append(p.texts, best.box())
	}
	return out, nil
}

func (b balloon) draw(pn pen) {
	d := math.Hypot(b.pointed.x-b.centre.x, b.pointed.y-b.centre.y)
	k := balloonRadius / d
	pn.line(stroke{b.pointed, at{b.centre.x + k*(b.pointed.x-b.centre.x), b.centre.y + k*(b.pointed.y-b.centre.y)}}, narrow)
	pn.dot(b.pointed)
	pn.circle(b.centre, balloonRadius, nil, narrow)
	pn.text(text{at: at{b.centre.x, b.centre.y + small/2}, height: small, content: strconv.Itoa(b.number), anchor: "middle"})
}
