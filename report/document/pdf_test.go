package document

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// reader runs a program of poppler-utils, the independent reader of PDF files.
func reader(t *testing.T, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("SKIPPED: %s is missing (Debian package poppler-utils)", name)
	}
	out, err := exec.Command(path, args...).Output()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return string(out)
}

func pdfFile(t *testing.T, d *Document) string {
	t.Helper()
	data, err := d.PDF()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func blanks(text string) string { return strings.Join(strings.Fields(text), " ") }

// The contents name the page on which each section begins, every page has its
// number, and captions and figures are there.
func TestPDFByAnIndependentReader(t *testing.T) {
	d := wholeDocument(t)
	file := pdfFile(t, d)
	info := reader(t, "pdfinfo", file)
	count := regexp.MustCompile(`Pages: +(\d+)`).FindStringSubmatch(info)
	if count == nil || !strings.Contains(info, "stand 1: report") || !strings.Contains(info, "A. Builder") {
		t.Fatalf("pdfinfo says %s", info)
	}
	pages := strings.Split(strings.TrimSuffix(reader(t, "pdftotext", "-layout", file, "-"), "\f"), "\f")
	if fmt.Sprint(len(pages)) != count[1] || len(pages) < 10 {
		t.Fatalf("%d pages of text, %s pages", len(pages), count[1])
	}
	for i, p := range pages {
		if want := fmt.Sprintf("page %d of %d", i+1, len(pages)); !strings.Contains(blanks(p), want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
	}
	for i, h := range d.Headings() {
		title := fmt.Sprintf("%d. %s", i+1, h)
		entry := regexp.MustCompile(`(?m)^ *` + regexp.QuoteMeta(title) + ` +(\d+)$`).FindStringSubmatch(pages[0])
		if entry == nil {
			t.Errorf("the contents do not list %q:\n%s", title, pages[0])
			continue
		}
		on, err := strconv.Atoi(entry[1])
		if err != nil || on < 2 || on > len(pages) || !strings.Contains(blanks(pages[on-1]), title) {
			t.Errorf("%q is not on page %s", title, entry[1])
		}
	}
	all := blanks(strings.Join(pages, " "))
	tables, figures := 0, 0
	for _, s := range d.sections {
		for _, b := range s.blocks {
			caption := ""
			switch b := b.(type) {
			case table:
				caption = b.caption
				tables++
			case figure:
				caption = b.caption
				figures++
			}
			if head, _, _ := strings.Cut(caption, ":"); caption != "" && !strings.Contains(all, head+":") {
				t.Errorf("%q is missing", caption)
			}
		}
	}
	if tables < 10 || figures < 10 {
		t.Errorf("%d tables, %d figures", tables, figures)
	}
}

// No word sticks out of its page, nor out of what printers reach of it.
func TestNoTextIsClipped(t *testing.T) {
	boxes := reader(t, "pdftotext", "-bbox", pdfFile(t, wholeDocument(t)), "-")
	page := regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)"`)
	word := regexp.MustCompile(`<word xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">(.*)</word>`)
	numbers := func(m []string) (out []float64) {
		for _, text := range m {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, v)
		}
		return out
	}
	var width, height float64
	words := 0
	for line := range strings.SplitSeq(boxes, "\n") {
		if m := page.FindStringSubmatch(line); m != nil {
			size := numbers(m[1:])
			width, height = size[0], size[1]
		} else if m := word.FindStringSubmatch(line); m != nil {
			words++
			const least = 4 / 25.4 * 72 // common printers reach so far (common practice)
			if b := numbers(m[1:5]); b[0] < least-1 || b[1] < least-1 || b[2] > width-least+1 || b[3] > height-3/25.4*72 {
				t.Errorf("%q at %v sticks out of a page of %g by %g", m[5], b, width, height)
			}
		}
	}
	if words < 2000 {
		t.Errorf("only %d words", words)
	}
}

// A name without blanks, and a table of long cells, are broken and not cut.
func TestLongWordsAreBrokenOnPaper(t *testing.T) {
	long := strings.Repeat("Langschwert", 40)
	d := &Document{Title: long, Subject: "x", facts: [][2]string{{long, long}}, sections: []section{{id: "a", title: long, blocks: []block{
		paragraph{long}, list{[]string{long}}, listing{long},
		table{caption: long, align: "lrl", head: []string{"a", "b", "c"}, rows: [][]string{{long, long, long}, {"1", "2", "3"}}},
	}}}}
	got := strings.Join(strings.Fields(reader(t, "pdftotext", "-raw", pdfFile(t, d), "-")), "")
	// Title, fact twice, entry of the contents, heading, paragraph, item, listing,
	// caption and three cells.
	if n := strings.Count(got, "L"); n < 12*40 {
		t.Errorf("%d of %d words came through", n, 12*40)
	}
}

// A table of more rows than a page holds has its head on every page.
func TestTablesGoOverPages(t *testing.T) {
	t1 := table{caption: "Table 1: long", align: "lr", head: []string{"name", "number"}}
	for i := range 150 {
		t1.rows = append(t1.rows, []string{fmt.Sprintf("row-%d", i), "1"})
	}
	text := reader(t, "pdftotext", "-layout", pdfFile(t, &Document{Title: "x", Subject: "y", sections: []section{{id: "a", title: "z", blocks: []block{t1}}}}), "-")
	pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")[1:]
	if len(pages) < 3 {
		t.Fatalf("%d pages", len(pages))
	}
	for i, p := range pages {
		if !strings.Contains(p, "number") || (i > 0) != strings.Contains(p, "continued") {
			t.Errorf("page %d: %.100q", i+1, p)
		}
	}
	for i := range 150 {
		if strings.Count(text, fmt.Sprintf("row-%d ", i)) != 1 {
			t.Errorf("row %d is missing or double", i)
		}
	}
}

func TestPDFTakesAwkwardText(t *testing.T) {
	for _, text := range []string{"", "\U0001F9CA", "\xff\xfe", "a\x00b", "(\\)", "\u202e", "\n\n\t"} {
		d := &Document{Title: text, Subject: text, Author: text, running: text, facts: [][2]string{{text, text}}, sections: []section{{id: "a", title: text, blocks: []block{
			heading{text}, paragraph{text}, list{[]string{text}}, pairs{[][2]string{{text, text}}}, listing{text},
			table{caption: text, align: "l", rows: [][]string{{text}}}, table{caption: text},
		}}}}
		if _, err := d.PDF(); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// count measures a text by its characters.
func count(text string) float64 { return float64(utf8.RuneCountInString(text)) }

func TestLinesKeepAllCharactersAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z._/%°]{1,30} ?){0,12}`).Draw(t, "text")
		width := float64(rapid.IntRange(1, 40).Draw(t, "width"))
		lines := breakLines(text, width, count)
		bare := strings.NewReplacer(" ", "")
		if got := bare.Replace(strings.Join(lines, "")); got != bare.Replace(text) {
			t.Fatalf("%q became %q", text, lines)
		}
		for _, l := range lines {
			if count(l) > width {
				t.Fatalf("%q is wider than %g", l, width)
			}
		}
	})
}

func TestListingsKeepAllCharactersAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([ ]{0,30}[a-z: ]{0,60}\n){0,6}`).Draw(t, "text")
		columns := rapid.IntRange(8, 40).Draw(t, "columns")
		lines := listingLines(text, columns)
		bare := strings.NewReplacer(" ", "", "\n", "")
		if got := bare.Replace(strings.Join(lines, "")); got != bare.Replace(text) {
			t.Fatalf("%q became %q", text, lines)
		}
		for _, l := range lines {
			if utf8.RuneCountInString(l) > columns {
				t.Fatalf("%q is longer than %d", l, columns)
			}
		}
	})
}

// Columns fill no more than there is, get what they ask for where there is
// room, and none vanishes.
func TestColumnsShareTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide := rapid.SliceOfN(rapid.Float64Range(0.1, 300), 1, 9).Draw(t, "wide")
		got := columnWidths(wide, 178)
		sum, asked := 0.0, 0.0
		for i := range got {
			sum += got[i]
			asked += wide[i]
			if got[i] < min(wide[i], 178/float64(len(wide))/2)-1e-9 || got[i] > wide[i]+1e-9 {
				t.Fatalf("column %d of %v got %g", i, wide, got[i])
			}
		}
		if sum > 178+1e-9 || asked <= 178 && sum < asked-1e-9 {
			t.Fatalf("%v got %v", wide, got)
		}
	})
}

func BenchmarkPDF(b *testing.B) {
	d, err := whole()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := d.PDF(); err != nil {
			b.Fatal(err)
		}
	}
}
