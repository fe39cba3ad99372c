package cli

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// pageWidth is how many columns text for people may take.
const pageWidth = 80

// page collects text for people: plain, in 80 columns.
type page struct{ b strings.Builder }

func (p *page) text() string { return p.b.String() }

// line writes a line as it is.
func (p *page) line(text string) { p.b.WriteString(plain(text) + "\n") }

func (p *page) blank() { p.b.WriteString("\n") }

// para writes text broken at spaces, all lines indented and those after the
// first by hang more. A word wider than the page stays whole: most such words
// are paths, which people copy.
func (p *page) para(indent, hang int, text string) {
	pad, column := strings.Repeat(" ", indent), 0
	for _, word := range strings.Fields(plain(text)) {
		width := utf8.RuneCountInString(word)
		switch {
		case column == 0:
			p.b.WriteString(pad)
			column = indent
		case column+1+width > pageWidth:
			p.b.WriteString("\n" + pad + strings.Repeat(" ", hang))
			column = indent + hang
		default:
			p.b.WriteString(" ")
			column++
		}
		p.b.WriteString(word)
		column += width
	}
	p.b.WriteString("\n")
}

// table writes rows in columns two spaces apart, indented by two.
func (p *page) table(rows [][]string) {
	var width []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(plain(cell)))
		}
	}
	for _, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			cell = plain(cell)
			b.WriteString("  " + cell + strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell)))
		}
		p.b.WriteString(strings.TrimRight(b.String(), " ") + "\n")
	}
}

// explain writes what names stand for, in two columns of which the second is
// broken where it is too long.
func (p *page) explain(rows [][]string) {
	widest := 0
	for _, row := range rows {
		widest = max(widest, utf8.RuneCountInString(row[0]))
	}
	for _, row := range rows {
		var second page
		second.para(widest+4, 0, row[1])
		pad := strings.Repeat(" ", widest-utf8.RuneCountInString(row[0]))
		p.b.WriteString("  " + row[0] + pad + "  " + strings.TrimLeft(second.text(), " "))
	}
}

var ascii = strings.NewReplacer("±", "+-", "°", "deg", "–", "-", "—", "-", "−", "-", "…", "...", "²", "2", "³", "3")

// plain spells signs that terminals may lack in ASCII, and takes out control
// characters, with which a name could upset a terminal.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, ascii.Replace(text))
}
