package sheet

import (
	"bytes"
	"image/color"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// book has two pages: words in three faces, and a picture further in.
func book() *Book {
	b := NewBook("a book", "for a test", "nobody")
	b.AddPage(PageWidth, PageHeight)
	b.Mark("one", "Chapter Ω", 0, 10)
	b.Write(20, 30, 10, Roman, [3]int{}, "roman ± °")
	b.Write(20, 40, 10, Bold, [3]int{}, "bold")
	b.Write(20, 50, 10, Mono, [3]int{}, "mono")
	b.Link(20, 45, 20, 6, "two")
	b.AddPage(100, 80)
	b.Mark("two", "Further", 1, 10)
	s := New(100, 50)
	s.Rect(0, 0, 100, 50, color.RGBA{0xD5, 0x5E, 0, 0xFF}, 1)
	s.Write(Text{X: 50, Y: 25, Size: 10, Anchor: Middle, Colour: color.Black, Content: "inside"})
	if err := b.Picture(s, 40, 20, 50); err != nil {
		panic(err)
	}
	b.Write(20, 70, 10, Roman, [3]int{}, "after")
	return b
}

func TestBookIsTheSameEveryTime(t *testing.T) {
	one, err := book().Bytes()
	if err != nil {
		t.Fatal(err)
	}
	two, err := book().Bytes()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one, two) {
		t.Error("two books of the same calls differ")
	}
}

// The advance widths of the face of even width are those of Courier, 0.6 em
// (Adobe Font Metrics of Courier; from memory, page not verified).
func TestMonoFollowsCourierMetrics(t *testing.T) {
	got, want := NewBook("", "", "").Width("0000000000", 72, Mono), 10*0.6*25.4
	if math.Abs(got-want) > 0.1 {
		t.Errorf("ten digits are %.3f mm wide, want %.3f", got, want)
	}
}

func TestBookByAnIndependentReader(t *testing.T) {
	text, info := reader(t, "pdftotext"), reader(t, "pdfinfo")
	data, err := book().Bytes()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(info, "-l", "2", file).Output()
	if err != nil {
		t.Fatal(err)
	}
	// Sizes in points: 210 mm by 297 mm, and 100 mm by 80 mm.
	for _, want := range []string{"Pages:           2", "595.28 x 841.89", "283.46 x 226.77", "a book", "nobody"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q is missing from %s", want, out)
		}
	}
	words, err := exec.Command(text, file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"roman ± °", "bold", "mono", "inside", "after"} {
		if !strings.Contains(string(words), want) {
			t.Errorf("%q is missing from %q", want, words)
		}
	}
	// The word in the picture stands where the picture was placed: its middle at
	// 40 + 25 mm, its baseline at 20 + 12.5 mm.
	boxes, err := exec.Command(text, "-bbox", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(string(boxes), "\n") {
		if !strings.Contains(line, ">inside<") {
			continue
		}
		f := strings.Split(line, `"`)
		x0, x1, y1 := number(t, f[1]), number(t, f[5]), number(t, f[7])
		const mm = 25.4 / 72
		if middle := (x0 + x1) / 2 * mm; math.Abs(middle-65) > 0.5 || math.Abs(y1*mm-32.5) > 2 {
			t.Errorf("the word stands at %.1f mm, %.1f mm; want 65, 32.5", middle, y1*mm)
		}
		return
	}
	t.Error("the picture's word was not found")
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
