package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// textWidth is how many columns text for a terminal may take.
const textWidth = 80

// page collects text for a terminal.
type page struct{ b strings.Builder }

// ascii replaces the signs that plain terminals may lack.
var ascii = strings.NewReplacer("±", "+-", "°", "deg", "–", "-", "—", "-", "−", "-", "…", "...", "²", "2", "³", "3")

// para writes text wrapped to the page, each line indented, those after the
// first by hang more.
func (p *page) para(indent, hang int, text string) {
	pad, room := strings.Repeat(" ", indent), textWidth-indent
	line := ""
	flush := func() {
		p.b.WriteString(pad + line + "\n")
		pad, room, line = strings.Repeat(" ", indent+hang), textWidth-indent-hang, ""
	}
	for _, word := range words(text) {
		if line != "" && columns(line)+1+columns(word) > room {
			flush()
		}
		for columns(word) > room { // nowhere to break at: cut
			runes := []rune(word)
			line, word = string(runes[:room]), string(runes[room:])
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" {
		flush()
	}
}

// words splits text where a line may break: at spaces, but never between a
// number and its per cent sign.
func words(text string) []string {
	var out []string
	for _, w := range strings.Fields(clean(text)) {
		if strings.HasPrefix(w, "%") && len(out) > 0 {
			out[len(out)-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// clean makes text plain: signs that terminals may lack are spelled in ASCII,
// and control characters, with which a design's name could upset a terminal,
// become spaces.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, ascii.Replace(text))
}

func columns(text string) int { return utf8.RuneCountInString(text) }

func (p *page) paraf(indent, hang int, format string, args ...any) {
	p.para(indent, hang, fmt.Sprintf(format, args...))
}

// heading starts a part of the page.
func (p *page) heading(text string) {
	p.b.WriteString("\n")
	p.para(0, 2, text)
}

// table writes rows in columns two spaces apart, indented by two. align has a
// letter for each column: l or r. Cells that make a row too wide are cut, the
// widest column first.
func (p *page) table(align string, rows [][]string) {
	width := make([]int, len(align))
	for _, row := range rows {
		for i := range row {
			row[i] = strings.Join(strings.Fields(clean(row[i])), " ")
			width[i] = max(width[i], columns(row[i]))
		}
	}
	for total(width)+2*len(width) > textWidth {
		width[widest(width)]--
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			line.WriteString("  ")
			cell = cut(cell, width[i])
			pad := strings.Repeat(" ", width[i]-columns(cell))
			if align[i] == 'r' {
				line.WriteString(pad + cell)
			} else {
				line.WriteString(cell + pad)
			}
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

func cut(text string, width int) string {
	runes := []rune(text)
	switch {
	case len(runes) <= width:
		return text
	case width <= 3:
		return string(runes[:width])
	}
	return string(runes[:width-3]) + "..."
}

func (p *page) writeTo(w io.Writer) error {
	_, err := io.WriteString(w, p.b.String())
	if err != nil {
		return fmt.Errorf("report: writing text: %w", err)
	}
	return nil
}
