package textpage

import (
	"fmt"
	"strings"
)

// Page collects text for people. The zero Page is empty and ready.
type Page struct {
	// CutLong keeps every line within Width: a word or a table too wide for
	// the page is cut. Otherwise it sticks out, as suits paths, which people
	// copy.
	CutLong bool

	b      strings.Builder
	blocks []Block
}

// String is the page as collected so far.
func (p *Page) String() string { return p.b.String() }

// Line writes a line as it is, but for what Plain takes out.
func (p *Page) Line(text string) {
	p.note(Block{Kind: Plainly, Text: text})
	p.b.WriteString(Plain(text) + "\n")
}

// Blank writes an empty line.
func (p *Page) Blank() { p.b.WriteString("\n") }

// Verbatim writes text that is laid out already.
func (p *Page) Verbatim(text string) {
	p.note(Block{Kind: Plainly, Text: text})
	p.b.WriteString(text)
}

// Heading starts a part of the page, below an empty line.
func (p *Page) Heading(text string) {
	p.note(Block{Kind: Title, Text: text})
	p.Blank()
	p.para(0, 2, text)
}

// Paraf formats text and writes it as Para does.
func (p *Page) Paraf(indent, hang int, format string, args ...any) {
	p.Para(indent, hang, fmt.Sprintf(format, args...))
}

// Para writes text broken at blanks, all lines indented and those after the
// first by hang more. Text without a word gives an empty line.
func (p *Page) Para(indent, hang int, text string) {
	p.note(Block{Kind: Paragraph, Text: text})
	p.para(indent, hang, text)
}

func (p *Page) para(indent, hang int, text string) {
	pad, line := strings.Repeat(" ", indent), ""
	flush := func() {
		p.b.WriteString(strings.TrimRight(pad+line, " ") + "\n")
		pad, line = strings.Repeat(" ", indent+hang), ""
	}
	for _, word := range words(text) {
		if line != "" && len(pad)+Columns(line)+1+Columns(word) > Width {
			flush()
		}
		for p.CutLong && len(pad)+Columns(word) > Width {
			runes, room := []rune(word), Width-len(pad)
			line, word = string(runes[:room]), string(runes[room:])
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	flush()
}

// Table writes rows in columns two blanks apart, indented by two. align has a
// letter for each column: l or r; columns beyond it are set to the left.
func (p *Page) Table(align string, rows [][]string) {
	p.note(Block{Kind: Rows, Align: align, Cells: rows})
	var width []int
	cells := make([][]string, len(rows))
	for i, row := range rows {
		for j, text := range row {
			text = strings.Join(strings.Fields(Plain(text)), " ")
			cells[i] = append(cells[i], text)
			if j == len(width) {
				width = append(width, 0)
			}
			width[j] = max(width[j], Columns(text))
		}
	}
	for p.CutLong && total(width)+2*len(width) > Width {
		width[widest(width)]--
	}
	for _, row := range cells {
		var line strings.Builder
		for j, text := range row {
			text = Cut(text, width[j])
			pad := strings.Repeat(" ", width[j]-Columns(text))
			if j < len(align) && align[j] == 'r' {
				text = pad + text
			} else {
				text += pad
			}
			line.WriteString("  " + text)
		}
		p.b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

func total(width []int) int {
	sum := 0
	for _, w := range width {
		sum += w
	}
	return sum
}

func widest(width []int) int {
	at := 0
	for i, w := range width {
		if w > width[at] {
			at = i
		}
	}
	return at
}

// Explain writes what names stand for, in two columns of which the second is
// broken where it is too long. Each row is a name and its explanation.
func (p *Page) Explain(rows [][]string) {
	p.note(Block{Kind: Explanation, Cells: rows})
	broadest := 0
	for _, row := range rows {
		broadest = max(broadest, Columns(row[0]))
	}
	for _, row := range rows {
		var second Page
		second.Para(broadest+4, 0, row[1])
		pad := strings.Repeat(" ", broadest-Columns(row[0]))
		p.b.WriteString("  " + row[0] + pad + "  " + strings.TrimLeft(second.String(), " "))
	}
}
