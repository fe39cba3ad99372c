package sheet

import (
	"bytes"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sample is a sheet of 100 by 50 mm with a filled square and words.
func sample() *Sheet {
	const u = PixelsPerMillimetre
	s := New(100*u, 50*u)
	s.Title = "a sample"
	s.Rect(10*u, 5*u, 20*u, 10*u, color.RGBA{0xD5, 0x5E, 0, 0xFF}, 1)
	s.Line(10*u, 40*u, 90*u, 40*u, color.Black, 0.5*u, 3*u, u)
	s.Write(Text{X: 50 * u, Y: 20 * u, Size: 5 * u, Anchor: Middle, Colour: color.Black, Content: "Ø80 ± 0,2 °"})
	s.Write(Text{X: 95 * u, Y: 45 * u, Size: 5 * u, Upright: true, Bold: true, Colour: color.Black, Content: "upright"})
	return s
}

func TestPDFIsTheSameEveryTime(t *testing.T) {
	a, err := sample().PDF()
	if err != nil {
		t.Fatal(err)
	}
	b, err := sample().PDF()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) || !bytes.HasPrefix(a, []byte("%PDF-")) {
		t.Error("two PDFs of one sheet differ, or are none")
	}
}

// reader finds a program of poppler-utils.
func reader(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("SKIPPED: %s is missing (Debian package poppler-utils)", name)
	}
	return path
}

func TestPDFByAnIndependentReader(t *testing.T) {
	text, paint := reader(t, "pdftotext"), reader(t, "pdftoppm")
	data, err := sample().PDF()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	words, err := exec.Command(text, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Ø80 ± 0,2 °", "upright"} {
		if !strings.Contains(string(words), want) {
			t.Errorf("%q is missing from %q", want, words)
		}
	}
	painted, err := exec.Command(paint, "-png", "-r", "254", file).Output() // 10 pixels a millimetre
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(painted))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 1000 || b.Dy() != 500 {
		t.Errorf("the page is %v, want 1000 by 500", b)
	}
	for _, c := range []struct {
		x, y int
		in   bool
	}{{103, 53, true}, {296, 146, true}, {97, 100, false}, {303, 100, false}, {200, 47, false}, {200, 153, false}} {
		r, _, b, _ := img.At(c.x, c.y).RGBA()
		if in := r>>8 > 0xC0 && b>>8 < 0x40; in != c.in {
			t.Errorf("pixel %d, %d: painted %v, want %v", c.x, c.y, in, c.in)
		}
	}
}

// Whatever a design is called, its PDF is made: no character stops it.
func TestPDFTakesAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := New(100, 50)
		s.Title, s.Desc = rapid.String().Draw(t, "title"), rapid.String().Draw(t, "desc")
		s.Write(Text{X: 10, Y: 20, Size: 12, Colour: color.Black, Content: rapid.String().Draw(t, "text"), Upright: rapid.Bool().Draw(t, "upright")})
		if data, err := s.PDF(); err != nil || len(data) == 0 {
			t.Fatal(err)
		}
	})
}

func TestPDFTakesAwkwardText(t *testing.T) {
	for _, text := range []string{"\U0001F9CA ice", "\xff\xfe", "a\x00b", "(\\)", "\u202e", strings.Repeat("x", 5000)} {
		s := New(100, 50)
		s.Title = text
		s.Write(Text{X: 10, Y: 20, Size: 12, Bold: true, Colour: color.Black, Content: text})
		if _, err := s.PDF(); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func BenchmarkPDF(b *testing.B) {
	s := sample()
	for b.Loop() {
		if _, err := s.PDF(); err != nil {
			b.Fatal(err)
		}
	}
}
