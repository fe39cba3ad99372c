package sheet

import (
	"strings"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// families names the face measured here first, then faces of the same widths,
// so that browsers without it break no layout.
const families = "'Liberation Sans', Arial, Helvetica, sans-serif"

var faces = sync.OnceValue(func() [3]*opentype.Font {
	var out [3]*opentype.Font
	for i, ttf := range [3][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationmonoregular.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic("sheet: the embedded font cannot be read: " + err.Error())
		}
		out[i] = f
	}
	return out
})

func fontOf(bold bool) *opentype.Font {
	if bold {
		return faces()[1]
	}
	return faces()[0]
}

// TextWidth returns the width of one line of text, in pixels.
func TextWidth(text string, size float64, bold bool) float64 {
	return widthIn(fontOf(bold), text, size)
}

func widthIn(f *opentype.Font, text string, size float64) float64 {
	em := fixed.Int26_6(f.UnitsPerEm())
	var buf sfnt.Buffer
	total := fixed.Int26_6(0)
	for _, r := range text {
		// A missing glyph is drawn as the font's empty box, index 0.
		i, err := f.GlyphIndex(&buf, r)
		if err != nil {
			i = 0
		}
		if a, err := f.GlyphAdvance(&buf, i, em, font.HintingNone); err == nil {
			total += a
		}
	}
	return float64(total) / float64(em) * size
}

// Wrap breaks text at spaces into lines no wider than width. A single word
// that is wider is cut, with an ellipsis.
func Wrap(text string, width, size float64, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		word = Clip(word, width, size, bold)
		switch {
		case line == "":
			line = word
		case TextWidth(line+" "+word, size, bold) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Clip shortens text to width, with an ellipsis where it cuts.
func Clip(text string, width, size float64, bold bool) string {
	if TextWidth(text, size, bold) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 {
		runes = runes[:len(runes)-1]
		if cut := strings.TrimRight(string(runes), " ") + "…"; TextWidth(cut, size, bold) <= width {
			return cut
		}
	}
	return ""
}
