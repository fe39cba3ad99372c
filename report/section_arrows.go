package report

import (
	"image/color"
	"math"
	"sort"

	"meltspan/report/sheet"
)

const (
	arrowApart    = 27.0 // pixels between the middles of arrows
	arrowLength   = 30.0 // of an arrow like most
	longestArrow  = 48.0
	shortestArrow = 4.0
)

// drawFlux draws arrows of the heat flux in the left half and returns the flux
// of the key's arrow, W/m2, and its length in pixels; 0 where no heat flows.
func (d *sectionDrawing) drawFlux() (key, length float64) {
	cells := d.arrowCells()
	sizes := make([]float64, len(cells))
	for i, c := range cells {
		sizes[i] = math.Hypot(d.field.flux(c))
	}
	sort.Float64s(sizes)
	largest, most := sizes[len(sizes)-1], sizes[len(sizes)*3/4]
	if !(largest > 1e-6) {
		return 0, 0
	}
	key = niceStep(max(most, largest/20))
	perFlux := min(arrowLength/key, longestArrow/largest)
	for _, c := range cells {
		r, z := d.field.flux(c)
		at := middle(d.section.Cells[c])
		x, y := 2*d.axis-d.x(at.r), d.y(at.z)
		dx, dy := -r*perFlux/2, -z*perFlux/2
		if 2*math.Hypot(dx, dy) >= shortestArrow {
			d.drawArrow(sheet.Point{X: x - dx, Y: y - dy}, sheet.Point{X: x + dx, Y: y + dy})
		}
	}
	return key, key * perFlux
}

// arrowCells chooses the cells that carry an arrow: those deepest within
// their part first, none near another.
func (d *sectionDrawing) arrowCells() []int {
	type candidate struct {
		cell  int
		depth float64
	}
	all := make([]candidate, len(d.spans))
	for i := range all {
		// Whole tenths of a millimetre, so that rounding decides nothing.
		all[i] = candidate{i, math.Round(1e4 * d.depth(i))}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].depth > all[b].depth })
	apart := arrowApart / d.perMetre
	var out []int
next:
	for _, c := range all {
		for _, o := range out {
			if middle(d.section.Cells[c.cell]).distance(middle(d.section.Cells[o])) < apart {
				continue next
			}
		}
		out = append(out, c.cell)
	}
	return out
}

// depth is how far a cell's middle lies from the nearest edge of its part,
// along the rows and columns, m.
func (l *lattice) depth(cell int) float64 {
	sp, mid := l.spans[cell], middle(l.section.Cells[cell])
	row, col := (sp.low+sp.high-1)/2, (sp.in+sp.out-1)/2
	walk := func(dr, dc int) (int, int) {
		r, c := row, col
		for l.cellAt(r, c) >= 0 {
			r, c = r+dr, c+dc
		}
		return r - dr, c - dc
	}
	up, _ := walk(1, 0)
	down, _ := walk(-1, 0)
	_, out := walk(0, 1)
	_, in := walk(0, -1)
	least := min(l.z[up+1]-mid.z, mid.z-l.z[down], l.r[out+1]-mid.r)
	if in > 0 || l.cellAt(row, 0) < 0 { // the axis is no edge
		least = min(least, mid.r-l.r[in])
	}
	return least
}

// drawArrow draws an arrow that stands out from dark and bright parts alike.
func (d *sectionDrawing) drawArrow(from, to sheet.Point) {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length == 0 {
		return
	}
	ux, uy := (to.X-from.X)/length, (to.Y-from.Y)/length
	head := min(5, 0.6*length)
	neck := sheet.Point{X: to.X - head*ux, Y: to.Y - head*uy}
	for _, pass := range []struct {
		colour color.Color
		more   float64
	}{{color.White, 1.6}, {color.Black, 0}} {
		shaft := sheet.Path{Stroke: pass.colour, Width: 1.1 + pass.more}
		shaft.Move(from.X, from.Y).Line(neck.X, neck.Y)
		d.sheet.Draw(shaft)
		tip := sheet.Path{Fill: pass.colour}
		if pass.more > 0 {
			tip.Stroke, tip.Width = pass.colour, pass.more
		}
		tip.Move(to.X, to.Y).Line(neck.X-0.5*head*uy, neck.Y+0.5*head*ux).Line(neck.X+0.5*head*uy, neck.Y-0.5*head*ux).Close()
		d.sheet.Draw(tip)
	}
}
