package report

import "meltspan/report/sheet"

// lineEnd is a label to stand beside the right end of a line.
type lineEnd struct {
	label  string
	stroke stroke
	x, y   float64 // where the line ends
}

const (
	elbowWidth  = 14.0
	sampleWidth = 24.0
	lineHeight  = 13.0
)

// drawLineEnds writes labels at the right of a plot, moved apart so that none
// overlap, each with a sample of its line and a leader from the line's end.
func drawLineEnds(s *sheet.Sheet, f frame, top, bottom float64, ends []lineEnd) {
	textX := f.right + elbowWidth + sampleWidth + 5
	want, height := make([]float64, len(ends)), make([]float64, len(ends))
	texts := make([][]string, len(ends))
	for i, e := range ends {
		texts[i] = sheet.Wrap(e.label, f.labels-textX, smallSize, false)
		want[i], height[i] = e.y, lineHeight*float64(max(1, len(texts[i])))+1
	}
	for i, y := range spread(want, height, top-6, bottom+6) {
		e := ends[i]
		if e.x < f.right-1 {
			s.Line(e.x, e.y, f.right, e.y, rule, 0.7, 1, 3)
		}
		s.Line(f.right+1, e.y, f.right+elbowWidth-1, y, rule, 0.7)
		s.Line(f.right+elbowWidth, y, f.right+elbowWidth+sampleWidth, y, e.stroke.colour, e.stroke.width, e.stroke.dash...)
		first := y - lineHeight*float64(len(texts[i])-1)/2 + 4
		writeLines(s, textX, first, lineHeight, sheet.Text{Size: smallSize, Colour: ink}, texts[i])
	}
}
