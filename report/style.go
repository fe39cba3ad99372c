package report

import (
	"image/color"

	"meltspan/report/sheet"
)

// The qualitative colours of Okabe & Ito, "Color Universal Design" (2008), made
// to be told apart with any common colour vision. Yellow is left to filled
// areas: as a line it is too pale on white.
var (
	orange     = color.RGBA{0xE6, 0x9F, 0x00, 0xFF}
	skyBlue    = color.RGBA{0x56, 0xB4, 0xE9, 0xFF}
	green      = color.RGBA{0x00, 0x9E, 0x73, 0xFF}
	yellow     = color.RGBA{0xF0, 0xE4, 0x42, 0xFF}
	blue       = color.RGBA{0x00, 0x72, 0xB2, 0xFF}
	vermillion = color.RGBA{0xD5, 0x5E, 0x00, 0xFF}
	purple     = color.RGBA{0xCC, 0x79, 0xA7, 0xFF}
)

// Greys for text, axes and grid.
var (
	ink   = color.RGBA{0x22, 0x22, 0x22, 0xFF}
	muted = color.RGBA{0x55, 0x55, 0x55, 0xFF}
	rule  = color.RGBA{0x88, 0x88, 0x88, 0xFF}
	grid  = color.RGBA{0xE4, 0xE4, 0xE4, 0xFF}
	shade = color.RGBA{0xE8, 0xE8, 0xEC, 0xFF}
)

// Text sizes in pixels.
const (
	titleSize = 16.0
	textSize  = 12.0
	smallSize = 11.0
)

// stroke is how a line looks: the dash tells lines apart where colour cannot.
type stroke struct {
	colour color.Color
	width  float64
	dash   []float64
}

// writeLines lays text down in lines under each other and returns the
// baseline of the line that would follow.
func writeLines(s *sheet.Sheet, x, y, leading float64, t sheet.Text, lines []string) float64 {
	for _, l := range lines {
		t.X, t.Y, t.Content = x, y, l
		s.Write(t)
		y += leading
	}
	return y
}

// heading writes the title and the line under it, and returns where the
// picture may begin.
func heading(s *sheet.Sheet, title, under string) float64 {
	s.Write(sheet.Text{X: 16, Y: 26, Size: titleSize, Bold: true, Colour: ink, Content: sheet.Clip(title, s.Width-32, titleSize, true)})
	s.Write(sheet.Text{X: 16, Y: 44, Size: textSize, Colour: muted, Content: sheet.Clip(under, s.Width-32, textSize, false)})
	return 54
}

// caption writes wrapped text below a picture and fits the sheet's height to
// it.
func caption(s *sheet.Sheet, y float64, text string) {
	lines := sheet.Wrap(text, s.Width-32, smallSize, false)
	end := writeLines(s, 16, y+smallSize, 15, sheet.Text{Size: smallSize, Colour: muted}, lines)
	s.Height = end
}
