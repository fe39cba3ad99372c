package textpage

import "slices"

// Kind is what a block of a page is.
type Kind int

// The kinds of blocks.
const (
	Paragraph   Kind = iota // Text
	Title                   // Text of a heading
	Rows                    // Cells, of which Align sets the columns
	Explanation             // Cells, two to a row: a name and what it stands for
	Plainly                 // Text laid out already
)

// Block is a part of a page as it was asked for, before it was laid out: with
// it the same words can be set other than for a terminal. Its texts hold the
// signs that Plain would spell out.
type Block struct {
	Kind  Kind
	Text  string
	Align string
	Cells [][]string
}

// Blocks are the parts of the page in order, empty lines left out.
func (p *Page) Blocks() []Block { return slices.Clone(p.blocks) }

func (p *Page) note(b Block) { p.blocks = append(p.blocks, b) }
