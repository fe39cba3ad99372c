package sheet

import (
	"bytes"
	"fmt"
	"image/color"
	"slices"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/sfnt"
)

// PixelsPerMillimetre makes sheets that are drawn to scale: a CSS pixel is
// 1/96 inch, so that browsers print an SVG at its size.
const PixelsPerMillimetre = 96 / 25.4

// pdfFont names the embedded face inside a PDF.
const pdfFont = "Liberation Sans"

// pdfMoment stands in every PDF as the moment of its making: there is no clock
// here, so that the same sheet gives the same bytes.
var pdfMoment = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// PDF returns the picture as a PDF of one page of the sheet's size, 96 pixels
// to the inch, drawn with lines and with text that can be searched and copied.
// The same sheet gives the same bytes. Halos of texts and titles of paths are
// left out; characters that the font does not hold become question marks.
func (s *Sheet) PDF() ([]byte, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	const mm = 1 / PixelsPerMillimetre
	bold := slices.ContainsFunc(s.items, func(it item) bool { return it.text != nil && it.text.Bold })
	p := startPDF(s.Title, s.Desc, fpdf.SizeType{Wd: s.Width * mm, Ht: s.Height * mm}, bold)
	p.AddPage()
	s.onPDF(p, 0, 0, mm)
	return finishPDF(p)
}

// startPDF begins a PDF in millimetres whose bytes do not depend on the moment
// of its making, with the font registered as pdfFont.
func startPDF(title, subject string, size fpdf.SizeType, bold bool) *fpdf.Fpdf {
	p := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: size})
	p.SetCatalogSort(true)
	p.SetCreationDate(pdfMoment)
	p.SetModificationDate(pdfMoment)
	p.SetProducer("Meltspan", true)
	p.SetTitle(printable(title), true)
	p.SetSubject(printable(subject), true)
	p.SetMargins(0, 0, 0)
	p.SetAutoPageBreak(false, 0)
	p.AddUTF8FontFromBytes(pdfFont, "", liberationsansregular.TTF)
	if bold {
		p.AddUTF8FontFromBytes(pdfFont, "B", liberationsansbold.TTF)
	}
	return p
}

func finishPDF(p *fpdf.Fpdf) ([]byte, error) {
	var b bytes.Buffer
	if err := p.Output(&b); err != nil {
		return nil, fmt.Errorf("sheet: writing PDF: %v", err)
	}
	return b.Bytes(), nil
}

// onPDF draws the sheet with its corner at (x0, y0), a pixel being mm wide. It
// shifts every point itself: the library loses count of fonts and colours
// where the page's own coordinates are shifted and put back.
func (s *Sheet) onPDF(p *fpdf.Fpdf, x0, y0, mm float64) {
	p.SetLineJoinStyle("round")
	w := pdfPen{p, x0, y0, mm}
	for _, it := range s.items {
		if it.path != nil {
			w.path(it.path)
		} else {
			w.text(it.text)
		}
	}
}

type pdfPen struct {
	*fpdf.Fpdf
	x0, y0, mm float64
}

func (p pdfPen) at(q Point) (x, y float64) { return p.x0 + q.X*p.mm, p.y0 + q.Y*p.mm }

func (p pdfPen) path(path *Path) {
	how := ""
	if path.Fill != nil {
		r, g, b := rgb(path.Fill)
		p.SetFillColor(r, g, b)
		how = "F"
	}
	if path.Stroke != nil && path.Width > 0 {
		r, g, b := rgb(path.Stroke)
		p.SetDrawColor(r, g, b)
		p.SetLineWidth(path.Width * p.mm)
		dash := make([]float64, len(path.Dash))
		for i, d := range path.Dash {
			dash[i] = d * p.mm
		}
		p.SetDashPattern(dash, 0)
		how += "D"
	}
	if how == "" {
		return
	}
	faint := path.Fill != nil && path.Opacity > 0 && path.Opacity < 1
	if faint {
		p.SetAlpha(path.Opacity, "Normal")
	}
	for _, st := range path.Steps {
		q := st.Points
		switch st.Op {
		case MoveTo:
			p.MoveTo(p.at(q[0]))
		case LineTo:
			p.LineTo(p.at(q[0]))
		case CurveTo:
			ax, ay := p.at(q[0])
			bx, by := p.at(q[1])
			cx, cy := p.at(q[2])
			p.CurveBezierCubicTo(ax, ay, bx, by, cx, cy)
		case Close:
			p.ClosePath()
		}
	}
	p.DrawPath(how)
	if faint {
		p.SetAlpha(1, "Normal")
	}
}

func (p pdfPen) text(t *Text) {
	content := printable(t.Content)
	if t.Colour == nil || content == "" {
		return
	}
	style := ""
	if t.Bold {
		style = "B"
	}
	p.SetFont(pdfFont, style, t.Size*p.mm*pointsPerMillimetre)
	r, g, b := rgb(t.Colour)
	p.SetTextColor(r, g, b)
	shift := 0.0
	switch w := TextWidth(content, t.Size, t.Bold) * p.mm; t.Anchor {
	case Middle:
		shift = -w / 2
	case End:
		shift = -w
	}
	x, y := p.at(Point{t.X, t.Y})
	if t.Upright {
		p.TransformBegin()
		p.TransformRotate(90, x, y)
		defer p.TransformEnd()
	}
	p.Text(x+shift, y, content)
}

// printable puts a question mark for what the font does not hold, which the
// library cannot write, and blanks for control characters.
func printable(text string) string {
	f := fontOf(false)
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		switch i, err := f.GlyphIndex(&buf, r); {
		case unicode.IsControl(r):
			return ' '
		case r > 0xffff || err != nil || i == 0:
			return '?'
		}
		return r
	}, text)
}

func rgb(c color.Color) (r, g, b int) {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	return int(n.R), int(n.G), int(n.B)
}
