package sheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"strconv"
	"strings"
)

// SVG returns the picture as a stand-alone SVG document. Text stays text. The
// same sheet gives the same bytes.
func (s *Sheet) SVG() ([]byte, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s" role="img" font-family="%s">`+"\n",
		num(s.Width), num(s.Height), num(s.Width), num(s.Height), families)
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escape(s.Title), escape(s.Desc))
	fmt.Fprintf(&b, "<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n")
	for _, it := range s.items {
		if it.path != nil {
			writePath(&b, it.path)
		} else {
			writeText(&b, it.text)
		}
	}
	b.WriteString("</svg>\n")
	return b.Bytes(), nil
}

func writePath(b *bytes.Buffer, p *Path) {
	b.WriteString(`<path d="`)
	for _, st := range p.Steps {
		b.WriteByte(byte(st.Op))
		for i, pt := range st.Points[:pointsOf(st.Op)] {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(pt.X) + "," + num(pt.Y))
		}
	}
	b.WriteByte('"')
	fmt.Fprintf(b, ` fill="%s"`, hex(p.Fill))
	if p.Fill != nil && p.Opacity > 0 && p.Opacity < 1 {
		fmt.Fprintf(b, ` fill-opacity="%s"`, num(p.Opacity))
	}
	if p.Stroke != nil {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, hex(p.Stroke), num(p.Width))
		if len(p.Dash) > 0 {
			parts := make([]string, len(p.Dash))
			for i, d := range p.Dash {
				parts[i] = num(d)
			}
			fmt.Fprintf(b, ` stroke-dasharray="%s"`, strings.Join(parts, " "))
		}
	}
	for _, d := range p.Data {
		fmt.Fprintf(b, ` data-%s="%s"`, d.Name, escape(d.Value))
	}
	if p.Title != "" {
		fmt.Fprintf(b, "><title>%s</title></path>\n", escape(p.Title))
		return
	}
	b.WriteString("/>\n")
}

func writeText(b *bytes.Buffer, t *Text) {
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" fill="%s"`, num(t.X), num(t.Y), num(t.Size), hex(t.Colour))
	if t.Anchor != Start {
		fmt.Fprintf(b, ` text-anchor="%s"`, t.Anchor)
	}
	if t.Bold {
		b.WriteString(` font-weight="bold"`)
	}
	if t.Upright {
		fmt.Fprintf(b, ` transform="rotate(-90 %s %s)"`, num(t.X), num(t.Y))
	}
	if t.Halo {
		b.WriteString(` stroke="#ffffff" stroke-width="3" stroke-linejoin="round" paint-order="stroke"`)
	}
	fmt.Fprintf(b, ">%s</text>\n", escape(t.Content))
}

func pointsOf(op Op) int {
	switch op {
	case MoveTo, LineTo:
		return 1
	case CurveTo:
		return 3
	}
	return 0
}

// num writes a length with three decimals at most: a thousandth of a pixel.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func hex(c color.Color) string {
	if c == nil {
		return "none"
	}
	r, g, b, _ := c.RGBA()
	return fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8)
}

// escape makes text safe in content and attributes; characters that XML
// forbids become the replacement character.
func escape(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return "" // a bytes.Buffer never fails
	}
	return b.String()
}
