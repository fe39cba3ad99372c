package sheet

import (
	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-pdf/fpdf"
)

// The paper of a book: A4 (ISO 216), in millimetres.
const (
	PageWidth  = 210.0
	PageHeight = 297.0
)

// Face is one of the fonts of a book, in the order of faces.
type Face int

// The faces.
const (
	Roman Face = iota
	Bold
	Mono // all characters of one width
)

// monoFont names the face of even width inside a PDF.
const monoFont = "Liberation Mono"

// pointsPerMillimetre turns lengths on paper into sizes of type.
const pointsPerMillimetre = 72 / 25.4

// Book is a PDF of several pages, on which text and pictures are placed by
// whoever lays them out. Lengths are millimetres from the upper left corner of
// the page, sizes of type are points.
type Book struct {
	p      *fpdf.Fpdf
	places map[string]int // links, by name
}

// NewBook begins a book without pages, in English.
func NewBook(title, subject, author string) *Book {
	p := startPDF(title, subject, fpdf.SizeType{Wd: PageWidth, Ht: PageHeight}, true)
	p.AddUTF8FontFromBytes(monoFont, "", liberationmonoregular.TTF)
	if author != "" {
		p.SetAuthor(printable(author), true)
	}
	p.SetLang("en")
	return &Book{p: p, places: map[string]int{}}
}

// AddPage begins a page of that size, mm.
func (b *Book) AddPage(width, height float64) {
	b.p.AddPageFormat("P", fpdf.SizeType{Wd: width, Ht: height})
}

// Pages is how many pages there are.
func (b *Book) Pages() int { return b.p.PageNo() }

// Write sets one line of text with its baseline at (x, y).
func (b *Book) Write(x, y, points float64, face Face, colour [3]int, text string) {
	family, style := pdfFont, ""
	switch face {
	case Bold:
		style = "B"
	case Mono:
		family = monoFont
	}
	b.p.SetFont(family, style, points)
	b.p.SetTextColor(colour[0], colour[1], colour[2])
	b.p.Text(x, y, printable(text))
}

// Width is how wide a line of text is set, mm.
func (b *Book) Width(text string, points float64, face Face) float64 {
	return widthIn(faces()[face], printable(text), points) / pointsPerMillimetre
}

// Rule draws a thin line.
func (b *Book) Rule(x1, y1, x2, y2, width float64, colour [3]int) {
	b.p.SetDrawColor(colour[0], colour[1], colour[2])
	b.p.SetLineWidth(width)
	b.p.SetDashPattern(nil, 0)
	b.p.Line(x1, y1, x2, y2)
}

// Fill fills a rectangle.
func (b *Book) Fill(x, y, w, h float64, colour [3]int) {
	b.p.SetFillColor(colour[0], colour[1], colour[2])
	b.p.Rect(x, y, w, h, "F")
}

// Picture places a sheet with its upper left corner at (x, y), width wide.
func (b *Book) Picture(s *Sheet, x, y, width float64) error {
	if err := s.check(); err != nil {
		return err
	}
	s.onPDF(b.p, x, y, width/s.Width)
	return nil
}

// Mark makes the height y of this page a place that links lead to, and lists it
// in the reader's table of contents below the chapter above it.
func (b *Book) Mark(name, title string, level int, y float64) {
	b.p.SetLink(b.place(name), y, -1)
	b.p.SetFont(pdfFont, "", 10) // bookmarks are written in the encoding of the font in use
	b.p.Bookmark(printable(title), level, y)
}

// Link makes a rectangle lead to a place, which may be marked later.
func (b *Book) Link(x, y, w, h float64, name string) { b.p.Link(x, y, w, h, b.place(name)) }

func (b *Book) place(name string) int {
	if _, known := b.places[name]; !known {
		b.places[name] = b.p.AddLink()
	}
	return b.places[name]
}

// Bytes is the finished book. The same calls give the same bytes.
func (b *Book) Bytes() ([]byte, error) { return finishPDF(b.p) }
