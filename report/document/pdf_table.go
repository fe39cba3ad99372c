package document

import (
	"slices"
	"strings"

	"meltspan/report/sheet"
)

// gap is left between the columns of a table, mm.
const gap = 3.5

// shortTable is the height, mm, up to which a table is not divided.
const shortTable = 60.0

// table sets a table, its head anew on every page that it goes over.
func (p *press) table(t table) {
	wide := make([]float64, len(t.align))
	for _, row := range append([][]string{t.head}, t.rows...) {
		for j, text := range row {
			wide[j] = max(wide[j], p.b.Width(text, tableSize, sheet.Bold))
		}
	}
	width := columnWidths(wide, textWidth-gap*float64(len(wide)-1))
	height := func(row []string, face sheet.Face) float64 {
		lines := 1
		for j, text := range row {
			lines = max(lines, len(breakLines(text, width[j]+0.01, p.measure(tableSize, face))))
		}
		return float64(lines)*leading(tableSize) + 0.8
	}
	all := gap * float64(len(width)-1)
	for _, w := range width {
		all += w
	}
	head := func() {
		if t.head == nil {
			p.b.Rule(margin, p.y, margin+all, p.y, 0.3, black)
			return
		}
		p.row(t, t.head, width, sheet.Bold)
		p.b.Rule(margin, p.y, margin+all, p.y, 0.3, black)
	}
	p.y += 1.5
	first, whole := 0.0, 0.0 // two rows at least go below the head, a short table stays whole
	for i, row := range t.rows {
		h := height(row, sheet.Roman)
		if whole += h; i < 2 {
			first += h
		}
	}
	if whole < shortTable {
		first = whole
	}
	caption := breakLines(t.caption, textWidth, p.measure(tableSize, sheet.Bold))
	p.room(float64(len(caption))*leading(tableSize) + height(t.head, sheet.Bold) + first + 2)
	p.text(margin, textWidth, tableSize, sheet.Bold, soft, t.caption)
	p.y += 0.8
	head()
	for _, row := range t.rows {
		if h := height(row, sheet.Roman); p.y+h > bottom {
			p.newPage()
			p.text(margin, textWidth, tableSize, sheet.Bold, soft, t.caption+", continued")
			p.y += 0.8
			head()
		}
		p.row(t, row, width, sheet.Roman)
		p.b.Rule(margin, p.y, margin+all, p.y, 0.1, rule)
	}
	p.y += 4
}

// row sets one row; where it ends is the top of the next.
func (p *press) row(t table, row []string, width []float64, face sheet.Face) {
	measure := p.measure(tableSize, face)
	from, low := p.y+0.4, p.y
	x := margin
	for j, text := range row {
		y := from
		for _, line := range breakLines(text, width[j]+0.01, measure) {
			y += leading(tableSize)
			at := x
			if t.align[j] == 'r' {
				at = x + width[j] - measure(line)
			}
			p.b.Write(at, y-0.3*leading(tableSize), tableSize, face, black, line)
		}
		low = max(low, y)
		x += width[j] + gap
	}
	p.y = low + 0.4
}

// listing sets text as it was written, in a face of even width, on a band; a
// line too long goes on further in.
func (p *press) listing(text string) {
	measure := p.measure(listingSize, sheet.Mono)
	columns := int((textWidth - 4) / measure("0"))
	for _, line := range listingLines(text, columns) {
		p.room(leading(listingSize))
		p.b.Fill(margin, p.y, textWidth, leading(listingSize)+0.05, band)
		p.y += leading(listingSize)
		if strings.TrimSpace(line) != "" {
			p.b.Write(margin+2, p.y-0.3*leading(listingSize), listingSize, sheet.Mono, black, line)
		}
	}
	p.y += 4
}

// listingLines are the lines of a text, no longer than columns; what a line
// has too much goes on below it, further in, broken at a blank where it can be.
func listingLines(text string, columns int) []string {
	var out []string
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		runes := []rune(strings.ReplaceAll(strings.TrimRight(line, "\r"), "\t", "    "))
		indent := 0
		for indent < len(runes) && runes[indent] == ' ' {
			indent++
		}
		further := []rune(strings.Repeat(" ", min(indent+4, columns/2)))
		for len(runes) > columns {
			cut := columns
			for i := columns; i > columns/2; i-- {
				if runes[i] == ' ' {
					cut = i
					break
				}
			}
			out = append(out, string(runes[:cut]))
			runes = slices.Concat(further, []rune(strings.TrimLeft(string(runes[cut:]), " ")))
		}
		out = append(out, string(runes))
	}
	return out
}
