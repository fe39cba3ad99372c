package report

import (
	"io"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
)

// Blocks returns what a text of this package says in parts, for those who set
// it other than for a terminal: write calls one of the writers of text.
func Blocks(write func(io.Writer) error) ([]textpage.Block, error) {
	var to taker
	err := write(&to)
	return to.blocks, err
}

// taker is a writer that takes pages in parts rather than laid out.
type taker struct{ blocks []textpage.Block }

func (t *taker) Write(p []byte) (int, error) {
	t.blocks = append(t.blocks, textpage.Block{Kind: textpage.Plainly, Text: string(p)})
	return len(p), nil
}

// AnswerParts is the text of an answer, part by part. What does not apply is
// empty.
type AnswerParts struct {
	Headline, Budget, Load, Condensate, Tray, Freezing, Ceiling, Influences, Cautions, Grounds []textpage.Block
}

// PartsOfAnswer returns the parts of Text. The design lends the words, as there.
func PartsOfAnswer(u quantity.Display, a *predict.Answer, d *design.Design) AnswerParts {
	words := wordsFor(d, u)
	part := func(write func(p *textpage.Page)) []textpage.Block {
		var p textpage.Page
		write(&p)
		return p.Blocks()
	}
	return AnswerParts{
		Headline:   part(func(p *textpage.Page) { headlineText(p, a, words) }),
		Budget:     part(func(p *textpage.Page) { budgetText(p, a.Nominal, words) }),
		Load:       part(func(p *textpage.Page) { loadText(p, a, words) }),
		Condensate: part(func(p *textpage.Page) { sweatText(p, u, a.Nominal) }),
		Tray:       part(func(p *textpage.Page) { trayText(p, a.Nominal) }),
		Freezing:   part(func(p *textpage.Page) { freezingText(p, u, a.Freezing) }),
		Ceiling:    part(func(p *textpage.Page) { ceilingText(p, a) }),
		Influences: part(func(p *textpage.Page) { influencesText(p, u, a) }),
		Cautions:   part(func(p *textpage.Page) { cautionsText(p, u, a) }),
		Grounds:    part(func(p *textpage.Page) { groundsText(p, a, d) }),
	}
}
