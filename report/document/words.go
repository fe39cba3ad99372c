package document

import (
	"regexp"
	"strings"
	"unicode"

	"meltspan/internal/textpage"
)

// On paper and on a page units are written as SI writes them; terminals may
// lack the signs.
var (
	signs  = strings.NewReplacer("degC", "°C", "degF", "°F", "+-", "±", "W/m2K", "W/(m² K)")
	powers = regexp.MustCompile(`\b(m|cm|mm|in|ft|s)([23])\b`)
)

func typeset(text string) string {
	return powers.ReplaceAllStringFunc(signs.Replace(text), func(s string) string {
		return strings.NewReplacer("2", "²", "3", "³").Replace(s)
	})
}

func typesetRow(row []string) []string {
	out := make([]string, len(row))
	for i := range row {
		out[i] = typeset(row[i])
	}
	return out
}

// blocksOf turns the parts of a text for terminals into blocks. A heading right
// above a table becomes its caption; a table without heading is captioned by
// about.
func blocksOf(parts []textpage.Block, about string) []block {
	var out []block
	caption := ""
	for i, p := range parts {
		next := textpage.Kind(-1)
		if i+1 < len(parts) {
			next = parts[i+1].Kind
		}
		switch p.Kind {
		case textpage.Title:
			if next == textpage.Rows {
				caption = typeset(p.Text)
			} else {
				out = append(out, heading{typeset(p.Text)})
			}
		case textpage.Paragraph:
			out = appendParagraph(out, typeset(p.Text))
		case textpage.Rows:
			if caption == "" {
				caption = about
			}
			out = append(out, tableOf(p, caption))
			caption = ""
		case textpage.Explanation:
			var rows [][2]string
			for _, r := range p.Cells {
				rows = append(rows, [2]string{typeset(r[0]), typeset(r[1])})
			}
			out = append(out, pairs{rows})
		case textpage.Plainly:
			if text := strings.TrimSpace(p.Text); next == textpage.Explanation || next == textpage.Rows {
				out = append(out, heading{typeset(text)})
			} else {
				out = appendParagraph(out, typeset(text))
			}
		}
	}
	return out
}

// appendParagraph adds a paragraph, or to the list before it where it is an
// item.
func appendParagraph(out []block, text string) []block {
	item, isItem := strings.CutPrefix(text, "- ")
	switch {
	case strings.TrimSpace(text) == "":
		return out
	case !isItem:
		return append(out, paragraph{text})
	}
	if n := len(out); n > 0 {
		if l, ok := out[n-1].(list); ok {
			out[n-1] = list{append(l.items, item)}
			return out
		}
	}
	return append(out, list{[]string{item}})
}

// tableOf makes a table of rows, the first of which is its head unless its
// second cell holds a number. A last column of bars is left out: a picture
// shows the same.
func tableOf(p textpage.Block, caption string) table {
	t := table{caption: caption, align: p.Align}
	width := 0
	for _, r := range p.Cells {
		t.rows = append(t.rows, typesetRow(r))
		width = max(width, len(r))
	}
	if bars(t.rows, width) {
		width--
	}
	for i := range t.rows {
		for len(t.rows[i]) < width {
			t.rows[i] = append(t.rows[i], "")
		}
		t.rows[i] = t.rows[i][:width]
	}
	for len(t.align) < width {
		t.align += "l"
	}
	t.align = t.align[:width]
	if len(t.rows) > 1 && width > 1 && !strings.ContainsFunc(t.rows[0][1], unicode.IsDigit) {
		t.head, t.rows = t.rows[0], t.rows[1:]
	}
	return t
}

// bars reports whether the last column holds nothing but bars of characters.
func bars(rows [][]string, width int) bool {
	found := false
	for _, r := range rows {
		if len(r) < width {
			continue
		}
		if strings.Trim(r[width-1], "#-") != "" {
			return false
		}
		found = found || strings.HasPrefix(r[width-1], "#")
	}
	return found
}

// without leaves out the first paragraphs of a text: its title.
func without(n int, parts []textpage.Block) []textpage.Block {
	for n > 0 && len(parts) > 0 && parts[0].Kind == textpage.Paragraph {
		parts, n = parts[1:], n-1
	}
	return parts
}
