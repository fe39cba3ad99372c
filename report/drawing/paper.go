package drawing

import (
	"fmt"
	"strconv"
)

// Paper is a sheet of ISO 216.
type Paper struct {
	Name          string
	Width, Height float64 // mm
}

// The sheets, as ISO 5457 turns them.
var (
	A4 = Paper{"A4", 210, 297}
	A3 = Paper{"A3", 420, 297}
)

// Margins of the frame, mm (ISO 5457).
const (
	filing = 20.0 // left
	margin = 10.0
)

func (p Paper) frame() box { return box{filing, margin, p.Width - margin, p.Height - margin} }

// drawFrame draws frame, centring marks and, on A3, grid references.
func (p Paper) drawFrame(pn pen) {
	f := p.frame()
	pn.box(f, border)
	middleX, middleY := p.Width/2, p.Height/2
	for _, s := range []stroke{
		{at{middleX, 5}, at{middleX, f.top + 5}}, {at{middleX, p.Height - 5}, at{middleX, f.bottom}}, // the title block is there
		{at{5, middleY}, at{f.left + 5, middleY}}, {at{p.Width - 5, middleY}, at{f.right - 5, middleY}},
	} {
		pn.line(s, border)
	}
	if p != A3 {
		return
	}
	const field = 50.0
	grid := f.grown(5)
	pn.box(grid, narrow)
	letter := func(i int) string { return string(rune('A' + i)) }
	p.references(f.left, f.right, middleX, field, func(i int, from, to float64) {
		for _, y := range []float64{grid.top, f.bottom} {
			pn.line(stroke{at{to, y}, at{to, y + 5}}, narrow)
			pn.text(text{at: at{(from + to) / 2, y + 3.7}, height: small, content: strconv.Itoa(i + 1), anchor: "middle"})
		}
	})
	p.references(f.top, f.bottom, middleY, field, func(i int, from, to float64) {
		for _, x := range []float64{grid.left, f.right} {
			pn.line(stroke{at{x, to}, at{x + 5, to}}, narrow)
			pn.text(text{at: at{x + 2.5, (from+to)/2 + small/2}, height: small, content: letter(i), anchor: "middle"})
		}
	})
}

// references divides a side into fields counted from the centring mark, so that
// the first and the last take what is left.
func (p Paper) references(from, to, middle, field float64, mark func(i int, from, to float64)) {
	var edges []float64
	for x := middle; x > from; x -= field {
		edges = append([]float64{x}, edges...)
	}
	for x := middle + field; x < to; x += field {
		edges = append(edges, x)
	}
	// A rest of less than a third of a field belongs to its neighbour.
	for len(edges) > 0 && edges[0]-from < field/3 {
		edges = edges[1:]
	}
	for len(edges) > 0 && to-edges[len(edges)-1] < field/3 {
		edges = edges[:len(edges)-1]
	}
	edges = append(edges, to)
	for i, x := range edges {
		mark(i, from, x)
		from = x
	}
}

// Scale is paper over part.
type Scale struct{ Paper, Part int }

func (s Scale) String() string { return fmt.Sprintf("%d:%d", s.Paper, s.Part) }

// Factor is millimetres of paper for a millimetre of the part.
func (s Scale) Factor() float64 { return float64(s.Paper) / float64(s.Part) }

// scales are those of ISO 5455 that suit parts of this kind, largest first.
var scales = []Scale{{5, 1}, {2, 1}, {1, 1}, {1, 2}, {1, 5}, {1, 10}, {1, 20}, {1, 50}}
