package report

import (
	"image/color"
	"math"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// whole is a coordinate on whole pixels: boxes that touch there leave no
// hairline between them.
func whole(v float64) float64 { return math.Round(v) }

// box is a patch in pixels: left, top, width, height.
func (d *sectionDrawing) box(p patch) (x, y, w, h float64) {
	x, y = whole(d.x(d.r[p.in])), whole(d.y(d.z[p.high]))
	return x, y, whole(d.x(d.r[p.out])) - x, whole(d.y(d.z[p.low])) - y
}

// mirrored is a box's other half: its left.
func (d *sectionDrawing) mirrored(x, w float64) float64 { return 2*d.axis - x - w }

func (d *sectionDrawing) drawCells() {
	steps := make([]sheet.Path, colourSteps)
	d.patches(func(row, col int) int {
		if c := d.cellAt(row, col); c >= 0 {
			return d.scale.index(d.frame.Temperature[c])
		}
		return -1
	}, func(index int, p patch) {
		x, y, w, h := d.box(p)
		if w <= 0 || h <= 0 {
			return
		}
		path := &steps[index]
		if p.in == 0 { // both halves at once
			path.Steps = append(path.Steps, sheet.Box(d.mirrored(x, w), y, 2*w, h)...)
			return
		}
		path.Steps = append(path.Steps, sheet.Box(x, y, w, h)...)
		path.Steps = append(path.Steps, sheet.Box(d.mirrored(x, w), y, w, h)...)
	})
	for i := range steps {
		if len(steps[i].Steps) > 0 {
			steps[i].Fill = stepColour(i)
			d.sheet.Draw(steps[i])
		}
	}
}

// hatch lines are drawn so far apart, pixels.
const hatchGap = 7.0

var hatchGrey = color.RGBA{0xCC, 0xCC, 0xCC, 0xFF}

// drawCavities hatches the hollows of the body and names them, where the word
// fits, in the left half.
func (d *sectionDrawing) drawCavities() {
	hatch := sheet.Path{Stroke: hatchGrey, Width: 0.7}
	type room struct{ x, y, w, h float64 }
	var rooms []room
	d.patches(func(row, col int) int {
		if d.hollow(row, col) {
			return 0
		}
		return -1
	}, func(_ int, p patch) {
		x, y, w, h := d.box(p)
		left := d.mirrored(x, w)
		if p.in == 0 {
			hatchBox(&hatch, left, y, 2*w, h)
			rooms = append(rooms, room{left, y, 2 * w, h})
			return
		}
		hatchBox(&hatch, x, y, w, h)
		hatchBox(&hatch, left, y, w, h)
		rooms = append(rooms, room{left, y, w, h})
	})
	d.sheet.Draw(hatch)
	const word, size = "cavity", 10.0
	for _, r := range rooms {
		t := sheet.Text{X: r.x + r.w/2, Y: r.y + r.h/2 + 0.35*size, Size: size, Anchor: sheet.Middle, Colour: muted, Halo: true, Content: word}
		long := sheet.TextWidth(word, size, false) + 6
		switch {
		case r.w >= long && r.h >= size+2:
		case r.h >= long && r.w >= size+2:
			t.X, t.Y, t.Upright = r.x+r.w/2+0.35*size, r.y+r.h/2, true
		default:
			continue
		}
		d.sheet.Write(t)
	}
}

// hatchBox adds the hatch of one rectangle: parts of lines that run on from
// one rectangle into the next.
func hatchBox(p *sheet.Path, x, y, w, h float64) {
	first := math.Ceil((x + y) / hatchGap)
	for k := first; k*hatchGap <= x+w+y+h; k++ {
		sum := k * hatchGap // of x and y, along a line
		from, to := max(x, sum-(y+h)), min(x+w, sum-y)
		if to > from {
			p.Move(from, sum-from).Line(to, sum-to)
		}
	}
}

// drawOutlines draws the edges of the printed parts.
func (d *sectionDrawing) drawOutlines() {
	solid := func(row, col int) bool { return d.cellAt(row, col) >= 0 }
	out := sheet.Path{Stroke: ink, Width: 0.8}
	both := func(x1, y1, x2, y2 float64) {
		out.Move(x1, y1).Line(x2, y2)
		out.Move(2*d.axis-x1, y1).Line(2*d.axis-x2, y2)
	}
	for row := 0; row <= d.rows(); row++ {
		for col := 0; col < d.columns(); col++ {
			from := col
			for col < d.columns() && solid(row, col) != solid(row-1, col) {
				col++
			}
			if col > from {
				both(whole(d.x(d.r[from])), whole(d.y(d.z[row])), whole(d.x(d.r[col])), whole(d.y(d.z[row])))
			}
		}
	}
	for col := 1; col <= d.columns(); col++ {
		for row := 0; row < d.rows(); row++ {
			from := row
			for row < d.rows() && solid(row, col) != solid(row, col-1) {
				row++
			}
			if row > from {
				both(whole(d.x(d.r[col])), whole(d.y(d.z[from])), whole(d.x(d.r[col])), whole(d.y(d.z[row])))
			}
		}
	}
	d.sheet.Draw(out)
}

// disc draws a body that reaches from the axis to a radius, in the colour of
// its one temperature.
func (d *sectionDrawing) disc(radius, low, high, kelvin float64, title string) rect {
	x, y := whole(d.x(radius)), whole(d.y(high))
	h := max(whole(d.y(low))-y, 2)
	d.sheet.Draw(sheet.Path{Steps: sheet.Box(2*d.axis-x, y, 2*(x-d.axis), h), Fill: d.scale.colour(kelvin),
		Stroke: ink, Width: 0.8, Title: title + " " + degrees(d.units, kelvin)})
	return rect{2*d.axis - x, y, x, y + h}
}

// plate draws a plate that stands at a height, ring by ring where it is divided.
func (d *sectionDrawing) plate(p result.SectionPlate, low, kelvin float64, rings []float64, title string) rect {
	whole := d.disc(p.Radius, low, low+p.Thickness, kelvin, title)
	if len(rings) != len(p.Rings) {
		return whole
	}
	for i := len(rings) - 1; i >= 0; i-- { // the inner over the outer
		x := min(max(d.x(p.Rings[i]), d.axis), whole.x1)
		d.sheet.Draw(sheet.Path{Steps: sheet.Box(2*d.axis-x+0.4, whole.y0+0.4, 2*(x-d.axis)-0.8, whole.y1-whole.y0-0.8), Fill: d.scale.colour(rings[i])})
	}
	return whole
}

// drawStore draws the liquid up to its level and the solid in it.
func (d *sectionDrawing) drawStore() {
	f, floor := d.frame, d.section.Floor
	if hasLiquid(f) {
		d.disc(d.section.CupRadius, floor, floor+f.Level, f.Store, "liquid")
	}
	if hasSolid(f) {
		d.disc(min(f.SolidRadius, d.section.CupRadius), floor+f.SolidBottom, floor+f.SolidTop, f.Solid, d.solidName())
	}
	if p := d.section.Pegs; p > leastDrawn {
		y := d.y(floor + p)
		d.sheet.Line(d.x(-d.section.CupRadius), y, d.x(d.section.CupRadius), y, rule, 0.8, 2, 3)
	}
}

func (d *sectionDrawing) solidName() string {
	if c := d.run.Channel("solid"); c != nil && c.Label != "" {
		return c.Label
	}
	return "solid"
}

// partLabel is a text to stand beside the section, with where it points to.
type partLabel struct {
	lines []string
	r, z  float64
}

// drawPlates draws both plates and returns what to write beside them.
func (d *sectionDrawing) drawPlates() []partLabel {
	s, f := d.section, d.frame
	under := s.Floor + f.PlateHeight
	d.plates = append(d.plates, d.plate(s.Lower, under, f.LowerPlate, f.LowerRings, "lower plate"))
	lower := []string{"lower plate " + degrees(d.units, f.LowerPlate)}
	if gap, over := d.gap(); gap > leastDrawn {
		lower = append(lower, d.units.Format(gap, quantity.Length, 2)+" of air over the "+over)
	}
	if c := d.run.Channel("top_plate"); s.Upper == nil && finite(f.UpperPlate) && c != nil {
		lower = append(lower, c.Label+" on it "+degrees(d.units, f.UpperPlate))
	}
	labels := []partLabel{{lower, s.Lower.Radius, under + s.Lower.Thickness/2}}
	if s.Upper != nil && finite(f.UpperPlate) {
		z := under + s.Upper.Above
		d.plates = append(d.plates, d.plate(*s.Upper, z, f.UpperPlate, f.UpperRings, "upper plate"))
		labels = append(labels, partLabel{[]string{"upper plate " + degrees(d.units, f.UpperPlate)}, s.Upper.Radius, z + s.Upper.Thickness/2})
	}
	return labels
}

// gap is the height between the plate and the store, and what lies under it.
func (d *sectionDrawing) gap() (height float64, over string) {
	f := d.frame
	top, over := 0.0, "floor"
	if hasLiquid(f) {
		top, over = f.Level, "liquid"
	}
	if hasSolid(f) && f.SolidTop > top {
		top, over = f.SolidTop, d.solidName()
	}
	return f.PlateHeight - top, over
}

// drawTable draws what the body stands on.
func (d *sectionDrawing) drawTable(radius float64) {
	y := whole(d.ground) + 1
	x0, x1 := d.x(-radius)-beyondTheBody, d.x(radius)+beyondTheBody
	d.sheet.Line(x0, y, x1, y, ink, 2)
	d.sheet.Write(sheet.Text{X: x0, Y: y + 13, Size: smallSize, Colour: muted, Content: "table"})
	s := d.sheet
	s.Line(d.axis, y+4, d.axis, y+15, muted, 1)
	s.Write(sheet.Text{X: d.axis + 5, Y: y + 14, Size: smallSize, Colour: muted, Content: "axis"})
}

// writeStore writes the temperatures of solid and liquid into them and returns
// what must stand beside the section because it does not fit.
func (d *sectionDrawing) writeStore() (beside []partLabel) {
	f, floor, cup := d.frame, d.section.Floor, d.section.CupRadius
	solid, liquid := hasSolid(f), hasLiquid(f)
	write := func(kelvin, from, to, low, high float64, text string) bool {
		w := sheet.TextWidth(text, textSize, false)
		if (to-from)*d.perMetre < w+6 || (high-low)*d.perMetre < textSize+2 {
			return false
		}
		d.sheet.Write(sheet.Text{X: d.x((from + to) / 2), Y: d.y(floor+(low+high)/2) + 0.35*textSize, Size: textSize, Anchor: sheet.Middle,
			Colour: legibleOn(d.scale.colour(kelvin)), Content: text})
		return true
	}
	if text := d.solidName() + " " + degrees(d.units, f.Solid); solid && !write(f.Solid, -f.SolidRadius, f.SolidRadius, f.SolidBottom, f.SolidTop, text) {
		beside = append(beside, partLabel{[]string{text}, f.SolidRadius, floor + (f.SolidBottom+f.SolidTop)/2})
	}
	if !liquid {
		return beside
	}
	text, fits := "liquid "+degrees(d.units, f.Store), false
	if solid {
		fits = write(f.Store, -cup, cup, 0, min(f.SolidBottom, f.Level), text) ||
			write(f.Store, f.SolidRadius, cup, 0, f.Level, text) ||
			write(f.Store, -cup, cup, f.SolidTop, f.Level, text)
	} else {
		fits = write(f.Store, -cup, cup, 0, f.Level, text)
	}
	if !fits {
		r := cup
		if solid && f.SolidBottom < f.Level {
			r = (f.SolidRadius + cup) / 2
		}
		beside = append(beside, partLabel{[]string{text}, r, floor + f.Level/2})
	}
	return beside
}

// writeLabels writes the labels of the plates at the right, moved apart, each
// with a leader to its plate.
func (d *sectionDrawing) writeLabels(labels []partLabel, radius, top float64) {
	s := d.sheet
	from := d.x(radius) + beyondTheBody
	textX := from + 14
	want, height := make([]float64, len(labels)), make([]float64, len(labels))
	lines := make([][]string, len(labels))
	for i, l := range labels {
		for _, line := range l.lines {
			lines[i] = append(lines[i], sheet.Wrap(line, s.Width-8-textX, smallSize, false)...)
		}
		want[i], height[i] = d.y(l.z), lineHeight*float64(len(lines[i]))+4
	}
	for i, y := range spread(want, height, top-6, d.ground) {
		l := labels[i]
		s.Line(d.x(l.r), d.y(l.z), from, d.y(l.z), rule, 0.7)
		s.Line(from, d.y(l.z), textX-3, y, rule, 0.7)
		writeLines(s, textX, y-lineHeight*float64(len(lines[i])-1)/2+4, lineHeight, sheet.Text{Size: smallSize, Colour: ink}, lines[i])
	}
}
