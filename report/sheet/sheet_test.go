package sheet

import (
	"bytes"
	"encoding/xml"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestSVGStaysWellFormedWhateverIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := New(100, 50)
		s.Title, s.Desc = rapid.String().Draw(t, "title"), rapid.String().Draw(t, "desc")
		s.Write(Text{X: 10, Y: 20, Size: 12, Colour: color.Black, Content: rapid.String().Draw(t, "text")})
		s.Draw(Path{Steps: Box(1, 2, 3, 4), Fill: color.White, Title: rapid.String().Draw(t, "tip"), Data: []Datum{{"name", rapid.String().Draw(t, "datum")}}})
		svg, err := s.SVG()
		if err != nil {
			t.Fatal(err)
		}
		var any struct{}
		if err := xml.Unmarshal(svg, &any); err != nil {
			t.Fatalf("%v in %s", err, svg)
		}
	})
}

func TestSVGKeepsTextAsText(t *testing.T) {
	s := New(100, 50)
	s.Write(Text{X: 10, Y: 20, Size: 12, Colour: color.Black, Content: "a < b"})
	svg, err := s.SVG()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(svg), ">a &lt; b</text>") {
		t.Errorf("no such text in %s", svg)
	}
}

func TestPNGPaintsWhereSVGSays(t *testing.T) {
	s := New(40, 20)
	s.Rect(10, 5, 20, 10, color.RGBA{0xD5, 0x5E, 0, 0xFF}, 1)
	data, err := s.PNG(2)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		x, y int
		in   bool
	}{{21, 11, true}, {58, 28, true}, {18, 11, false}, {62, 28, false}, {30, 8, false}, {30, 32, false}} {
		r, _, b, _ := img.At(c.x, c.y).RGBA()
		if in := r>>8 == 0xD5 && b == 0; in != c.in {
			t.Errorf("pixel %d, %d: painted %v, want %v", c.x, c.y, in, c.in)
		}
	}
}

func TestSizesThatCannotBeDrawnAreRefused(t *testing.T) {
	for _, s := range []*Sheet{New(0, 10), New(10, math.NaN()), New(1e9, 10)} {
		if _, err := s.SVG(); err == nil {
			t.Errorf("SVG of %g by %g: no error", s.Width, s.Height)
		}
		if _, err := s.PNG(1); err == nil {
			t.Errorf("PNG of %g by %g: no error", s.Width, s.Height)
		}
	}
	if _, err := New(10, 10).PNG(100); err == nil {
		t.Error("PNG at scale 100: no error")
	}
}

func TestWrapKeepsLinesWithinWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		width := rapid.Float64Range(20, 300).Draw(t, "width")
		for _, line := range Wrap(text, width, 12, false) {
			if w := TextWidth(line, 12, false); w > width+1e-9 {
				t.Fatalf("line %q is %g wide, limit %g", line, w, width)
			}
		}
	})
}

// Liberation Sans has the advance widths of Helvetica, whose published metrics
// give 0.556 em for a digit and 0.722 em for a capital A in bold (Adobe Font
// Metrics of Helvetica and Helvetica-Bold; from memory, page not verified).
func TestTextWidthFollowsHelveticaMetrics(t *testing.T) {
	if w := TextWidth("0", 1000, false); math.Abs(w-556) > 1 {
		t.Errorf("digit: %g", w)
	}
	if w := TextWidth("A", 1000, true); math.Abs(w-722) > 1 {
		t.Errorf("bold A: %g", w)
	}
}
