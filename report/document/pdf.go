package document

import (
	"fmt"
	"strings"

	"meltspan/report/sheet"
)

// The page, mm, and sizes of type, points.
const (
	margin    = 16.0
	top       = 18.0
	bottom    = sheet.PageHeight - 20
	textWidth = sheet.PageWidth - 2*margin
	footRoom  = 5.0 // below the baseline of the foot; clear of the frame of a drawing

	titleSize   = 22.0
	sectionSize = 15.0
	headSize    = 11.0
	bodySize    = 9.5
	tableSize   = 8.5
	listingSize = 8.0
	footSize    = 7.5
)

// leading is the distance of baselines for a size of type, mm.
func leading(points float64) float64 { return points * 25.4 / 72 * 1.32 }

var (
	black = [3]int{0x22, 0x22, 0x22}
	soft  = [3]int{0x55, 0x55, 0x55}
	rule  = [3]int{0xb0, 0xb0, 0xb0}
	band  = [3]int{0xf3, 0xf3, 0xf5}
	link  = [3]int{0x00, 0x5a, 0x8c}
)

// PDF returns the document on A4 paper with a table of contents, page numbers
// and bookmarks; text is text, pictures are lines. The drawing that is to scale
// has a page of its own at full size. The same document gives the same bytes.
func (d *Document) PDF() ([]byte, error) {
	// Set twice: the first time says on which page everything is.
	var pageOf map[string]int
	pages := 0
	for {
		p := &press{d: d, b: sheet.NewBook(d.Title+": report", d.Subject, d.Author), pageOf: pageOf, pages: pages, found: map[string]int{}}
		p.front()
		for i, s := range d.sections {
			if err := p.section(i, s); err != nil {
				return nil, err
			}
		}
		p.foot()
		if pageOf != nil {
			return p.b.Bytes()
		}
		pageOf, pages = p.found, p.b.Pages()
	}
}

// press sets a document page by page.
type press struct {
	d      *Document
	b      *sheet.Book
	y      float64 // top of what comes next
	width  float64 // of the page
	height float64
	pageOf map[string]int // of the sections, from the time before
	pages  int            // in all, from the time before
	found  map[string]int
}

// newPage ends a page and begins the next.
func (p *press) newPage() { p.newSheet(sheet.PageWidth, sheet.PageHeight) }

// newSheet is newPage for a page of any size.
func (p *press) newSheet(width, height float64) {
	p.foot()
	p.b.AddPage(width, height)
	p.y, p.width, p.height = top, width, height
}

// foot writes name, revision and page number below a page, if there is one.
func (p *press) foot() {
	if n := p.b.Pages(); n > 0 {
		text := fmt.Sprintf("page %d of %d", n, p.pages)
		name := fit(p.d.running, p.width-2*margin-40, p.measure(footSize, sheet.Roman))
		p.b.Write(margin, p.height-footRoom, footSize, sheet.Roman, soft, name)
		p.b.Write(p.width-margin-p.b.Width(text, footSize, sheet.Roman), p.height-footRoom, footSize, sheet.Roman, soft, text)
	}
}

// fit is the first line of a text, in a place that has one line only.
func fit(text string, width float64, measure func(string) float64) string {
	lines := breakLines(text, width, measure)
	if len(lines) > 1 {
		return lines[0] + " …"
	}
	return lines[0]
}

// room begins a new page unless height is left on this one.
func (p *press) room(height float64) {
	if p.y+height > bottom && p.y > top {
		p.newPage()
	}
}

func (p *press) measure(points float64, face sheet.Face) func(string) float64 {
	return func(text string) float64 { return p.b.Width(text, points, face) }
}

// text sets lines one below the other, on further pages where they must.
func (p *press) text(x, width, points float64, face sheet.Face, colour [3]int, text string) {
	for _, line := range breakLines(text, width, p.measure(points, face)) {
		p.room(leading(points))
		p.y += leading(points)
		p.b.Write(x, p.y-0.3*leading(points), points, face, colour, line)
	}
}

// front is the first page: title, facts and contents.
func (p *press) front() {
	p.newPage()
	p.y += 12
	p.text(margin, textWidth, titleSize, sheet.Bold, black, p.d.Title)
	p.y += 2
	p.text(margin, textWidth, bodySize, sheet.Roman, soft, p.d.Subject)
	p.y += 5
	p.pairs(p.d.facts)
	p.y += 8
	p.room(20)
	p.text(margin, textWidth, sectionSize, sheet.Bold, black, "Contents")
	p.y += 2
	for i, s := range p.d.sections {
		number := fmt.Sprint(p.pageOf[s.id])
		from := p.y
		p.text(margin, textWidth-20, 10.5, sheet.Roman, link, fmt.Sprintf("%d. %s", i+1, s.title))
		p.b.Write(margin+textWidth-p.b.Width(number, 10.5, sheet.Roman), p.y-0.3*leading(10.5), 10.5, sheet.Roman, black, number)
		p.b.Link(margin, from, textWidth, p.y-from, s.id)
		p.y += 0.6
	}
	p.newPage()
}

func (p *press) section(i int, s section) error {
	p.y += 6
	need := 45.0 // the title, and something below it
	for i, before := 0, 20.0; i < len(s.blocks); i++ {
		if f, ok := s.blocks[i].(figure); ok && f.flows() {
			need = min(p.figureHeight(f)+before, bottom-top)
		}
		if text, ok := s.blocks[i].(paragraph); ok {
			before += p.paragraphHeight(text.text)
		} else if _, ok := s.blocks[i].(heading); ok {
			before += 10
		} else {
			break
		}
	}
	p.room(need)
	if p.y > top+6 {
		p.b.Rule(margin, p.y, margin+textWidth, p.y, 0.4, rule)
	}
	p.y += 3
	title := fmt.Sprintf("%d. %s", i+1, s.title)
	p.found[s.id] = p.b.Pages()
	p.b.Mark(s.id, title, 0, max(p.y-6, 0))
	p.text(margin, textWidth, sectionSize, sheet.Bold, black, title)
	p.y += 2
	for j, b := range s.blocks {
		var next block
		if j+1 < len(s.blocks) {
			next = s.blocks[j+1]
		}
		if err := p.block(b, next); err != nil {
			return err
		}
	}
	return nil
}

func (p *press) block(b, next block) error {
	switch b := b.(type) {
	case heading:
		p.y += 3
		need := 26.0
		if f, ok := next.(figure); ok && f.flows() {
			need = min(p.figureHeight(f)+12, bottom-top)
		}
		p.room(need)
		p.text(margin, textWidth, headSize, sheet.Bold, black, b.text)
		p.y += 1
	case paragraph:
		p.paragraph(margin, textWidth, b.text)
	case list:
		for _, item := range b.items {
			p.room(2 * leading(bodySize))
			p.b.Write(margin+1, p.y+0.7*leading(bodySize), bodySize, sheet.Roman, black, "•")
			p.paragraph(margin+5, textWidth-5, item)
		}
	case pairs:
		p.pairs(b.rows)
	case listing:
		p.listing(b.text)
	case table:
		p.table(b)
	case figure:
		return p.figure(b)
	}
	return nil
}

func (p *press) paragraphHeight(text string) float64 {
	return float64(len(breakLines(text, textWidth, p.measure(bodySize, sheet.Roman))))*leading(bodySize) + 1.6
}

// paragraph keeps its first two lines together.
func (p *press) paragraph(x, width float64, text string) {
	p.room(2 * leading(bodySize))
	p.text(x, width, bodySize, sheet.Roman, black, text)
	p.y += 1.6
}

// pairs sets names in one column and what they stand for in the other.
func (p *press) pairs(rows [][2]string) {
	names := 0.0
	for _, r := range rows {
		names = max(names, p.b.Width(r[0], bodySize, sheet.Roman))
	}
	names = min(names, textWidth*0.4)
	for _, r := range rows {
		left := breakLines(r[0], names, p.measure(bodySize, sheet.Roman))
		right := breakLines(r[1], textWidth-names-5, p.measure(bodySize, sheet.Roman))
		p.room(min(float64(max(len(left), len(right))), 6) * leading(bodySize))
		for i := range max(len(left), len(right)) {
			p.room(leading(bodySize))
			p.y += leading(bodySize)
			at := p.y - 0.3*leading(bodySize)
			if i < len(left) {
				p.b.Write(margin, at, bodySize, sheet.Roman, soft, left[i])
			}
			if i < len(right) {
				p.b.Write(margin+names+5, at, bodySize, sheet.Roman, black, right[i])
			}
		}
		p.y += 0.5
	}
	p.y += 1.5
}

// shrink is to what part of its size a picture may be set where that saves a
// page: 11 pixels become 5.3 points.
const shrink = 0.88

// captionRoom is what a figure takes beside its picture.
func (p *press) captionRoom(f figure) float64 {
	return float64(len(breakLines(f.caption, textWidth, p.measure(tableSize, sheet.Bold))))*leading(tableSize) + 5.5
}

// figureHeight is how tall a figure is on paper at least, with its caption.
func (p *press) figureHeight(f figure) float64 {
	_, height := figureSize(f, 0)
	return height + p.captionRoom(f)
}

// figureSize is how large a picture is set where so much height is left: as
// wide as the text, or somewhat less where it then fits.
func figureSize(f figure, left float64) (width, height float64) {
	width = min(textWidth, f.sheet.Width/sheet.PixelsPerMillimetre)
	height = width * f.sheet.Height / f.sheet.Width
	if most := bottom - top - 24; height > most { // leaves room for heading and caption
		width, height = width*most/height, most
	}
	if height > left {
		part := max(shrink, left/height)
		return width * part, height * part
	}
	return width, height
}

// broadest is the width, mm, beyond which a picture's text would be too small
// to read in the width of the text: 11 pixels become 5.9 points.
const broadest = textWidth * 1.4

// flows reports whether a figure stands in the text, not on a page of its own.
func (f figure) flows() bool {
	return !f.toScale && f.sheet.Width/sheet.PixelsPerMillimetre <= broadest
}

func (p *press) figure(f figure) error {
	width, height := f.sheet.Width/sheet.PixelsPerMillimetre, f.sheet.Height/sheet.PixelsPerMillimetre
	switch {
	case f.toScale:
		p.newSheet(width, height)
		p.y = p.height // full
		p.captionAbove(f.caption + "; to scale when printed at 100 %")
		return p.b.Picture(f.sheet, 0, 0, width)
	case !f.flows(): // across
		p.newSheet(sheet.PageHeight, sheet.PageWidth)
		scale := min(1, (p.width-2*margin)/width, (p.height-2*top-10)/height)
		if err := p.b.Picture(f.sheet, (p.width-width*scale)/2, p.y, width*scale); err != nil {
			return err
		}
		p.y += height*scale + 1.5
		p.text(margin, p.width-2*margin, tableSize, sheet.Bold, soft, f.caption)
		p.y = sheet.PageHeight
		return nil
	}
	p.room(p.figureHeight(f))
	width, height = figureSize(f, bottom-p.y-p.captionRoom(f))
	if err := p.b.Picture(f.sheet, margin+(textWidth-width)/2, p.y, width); err != nil {
		return err
	}
	p.y += height + 1.5
	p.text(margin, textWidth, tableSize, sheet.Bold, soft, f.caption)
	p.y += 4
	return nil
}

// captionAbove writes a caption in the margin of a sheet with a frame of its
// own, left of the centring mark, in two lines at most; the sheet's title block
// says the same.
func (p *press) captionAbove(caption string) {
	const size, least = 7.0, 4.0
	measure := p.measure(size, sheet.Bold)
	lines := breakLines(caption, p.width/2-margin-least, measure)
	if len(lines) > 2 {
		lines = []string{lines[0], fit(strings.Join(lines[1:], " "), p.width/2-margin-2*least, measure)}
	}
	for i, line := range lines {
		p.b.Write(margin, 6.2+2.9*float64(i), size, sheet.Bold, soft, line)
	}
}
