package network

// slice is a level cut through a model in three dimensions.
type slice struct {
	name  string
	cells []sliceCell
	row   int // of the section; -1 for a plate
}

type sliceCell struct {
	node              int
	in, out, from, to float64
}

// show keeps a cell for pictures: all of a section; in three dimensions those of
// the planes through the things round the axis and midway between them, and of
// the slices.
func (b *builder) show(c Cell, row int) {
	m := b.m
	if !b.round() {
		m.cells = append(m.cells, c)
		return
	}
	if c.Sector == 0 {
		m.through = append(m.through, c)
	}
	if c.Sector == len(b.sectors)-1 {
		m.cells = append(m.cells, c)
	}
	for i := range m.slices {
		if s := &m.slices[i]; s.row == row {
			at := b.sectors[c.Sector]
			s.cells = append(s.cells, sliceCell{c.Node, c.In, c.Out, at.from, at.to})
		}
	}
}

// chooseSlices picks the rows that are shown from above.
func (b *builder) chooseSlices() {
	if !b.round() {
		return
	}
	row := func(height float64) int {
		for i, r := range b.rows {
			if r.high > height {
				return i
			}
		}
		return len(b.rows) - 1
	}
	b.m.slices = []slice{
		{name: "floor of the cup", row: b.rowOf(0)},
		{name: "half way up the cup", row: row(b.base + b.m.cupDepth/2)},
		{name: "rim", row: len(b.rows) - 1},
	}
}

// slicePlate shows the lower plate from above.
func (b *builder) slicePlate() {
	if !b.round() {
		return
	}
	s := slice{name: "lower plate", row: -1}
	for _, c := range b.m.load.lower.cells {
		s.cells = append(s.cells, sliceCell{c.node, c.ring.in, c.ring.out, c.sector.from, c.sector.to})
	}
	b.m.slices = append(b.m.slices, s)
}
