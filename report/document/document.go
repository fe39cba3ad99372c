// Package document makes the report to hand on: one document of a design, its
// prediction, its trials and what they taught, as a web page that needs nothing
// beside itself and as a PDF.
//
// It computes no physics of its own: package predict, network, solid and
// calibrate do, and package report words and draws it. Nothing here depends on
// the moment: the same source gives the same bytes.
package document

import (
	"fmt"

	"meltspan/quantity"
	"meltspan/report/sheet"
)

// Document is a finished report, not yet set as a page or on paper.
type Document struct {
	Title    string
	Subject  string // one sentence on what it is
	Author   string // "" when not told
	running  string // at the foot of every page
	facts    [][2]string
	sections []section
	from     *contents
}

// section is a chapter.
type section struct {
	id, title string
	blocks    []block
}

// block is one of the types below.
type block interface{ isBlock() }

type (
	heading   struct{ text string } // below the section's own
	paragraph struct{ text string }
	list      struct{ items []string }
	pairs     struct{ rows [][2]string } // names and what they stand for
	listing   struct{ text string }      // set as it was written

	// table has a letter for each column in align: l or r.
	table struct {
		caption string
		align   string
		head    []string // nil: none
		rows    [][]string
	}

	// figure is a picture; one that is to scale takes a page of its own on paper.
	figure struct {
		caption string
		sheet   *sheet.Sheet
		toScale bool
	}
)

func (heading) isBlock()   {}
func (paragraph) isBlock() {}
func (list) isBlock()      {}
func (pairs) isBlock()     {}
func (listing) isBlock()   {}
func (table) isBlock()     {}
func (figure) isBlock()    {}

// number gives tables and figures their numbers.
func (d *Document) number() {
	tables, figures := 0, 0
	for i := range d.sections {
		blocks := d.sections[i].blocks
		for j := range blocks {
			switch b := blocks[j].(type) {
			case table:
				tables++
				b.caption = fmt.Sprintf("Table %d: %s", tables, b.caption)
				blocks[j] = b
			case figure:
				figures++
				b.caption = fmt.Sprintf("Figure %d: %s", figures, b.caption)
				blocks[j] = b
			}
		}
	}
}

// In words the same report in the units of another reader; nothing is worked out
// anew.
func (d *Document) In(u quantity.Display) (*Document, error) {
	source, c := *d.from.Source, *d.from
	source.Units, c.Source = u, &source
	return c.document()
}

// Headings are the titles of the sections, in order.
func (d *Document) Headings() []string {
	var out []string
	for _, s := range d.sections {
		out = append(out, s.title)
	}
	return out
}
