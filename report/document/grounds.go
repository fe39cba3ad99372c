package document

import (
	"fmt"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/report"
)

const groundsTitle = "Measured, fitted, guessed"

// origins is the order in which inputs are listed, with what each is.
var origins = []struct {
	origin quantity.Origin
	title  string
}{
	{quantity.Measured, "Measured: read off an instrument"},
	{quantity.Fitted, "Fitted: inferred from trials"},
	{quantity.Stated, "Stated in the design by whoever wrote it"},
	{quantity.Handbook, "Handbook: from a published source"},
	{quantity.Derived, "Derived: worked out from other values, and moving with them"},
	{quantity.Guessed, "Guessed: common practice or judgement"},
}

// grounds lists every input by how it came to be known, and the sources.
func (c *contents) grounds(a report.AnswerParts) (section, error) {
	s := section{id: "grounds", title: groundsTitle}
	c.measured(&s)
	for _, b := range blocksOf(a.Grounds, "") {
		if _, own := b.(heading); !own {
			s.blocks = append(s.blocks, b)
		}
	}
	s.say("The tables hold every input of the design. After ±: one standard uncertainty; values without one are taken as exact, or move with what they are derived from. Numbers in brackets lead to the sources below.")
	sources := &sources{number: map[string]int{}}
	inputs := append(c.Design.Statements(), c.Design.Assumptions()...)
	for _, o := range origins {
		t := table{caption: o.title, align: "llll", head: []string{"input", "what it is", "taken as", "source"}}
		for _, in := range inputs {
			if in.Origin == o.origin {
				t.rows = append(t.rows, inputRow(c.Units, in, sources))
			}
		}
		if len(t.rows) > 0 {
			s.blocks = append(s.blocks, t)
		} else if o.origin == quantity.Measured || o.origin == quantity.Fitted {
			s.say("No input of the design is marked as %s.", o.origin)
		}
	}
	s.head("Sources")
	s.blocks = append(s.blocks, pairs{sources.rows})
	return s, nil
}

// measured says what of all this was measured, and where it stands.
func (c *contents) measured(s *section) {
	readings := 0
	for _, t := range c.Trials {
		for _, v := range t.View.Series {
			readings += v.Good
		}
	}
	if len(c.Trials) > 0 {
		s.say("Measured: the events of %d of the trials told of here, and %d good readings in their logs, each with its source or sensor as the trial states.", len(c.Trials), readings)
	} else {
		s.say("Measured: no trial stands in this report.")
	}
	if c.Calibration != nil {
		s.say("Fitted: the unknowns under “What the trials taught”, and the run time that is told with them. The band, the heat and the pictures under “Prediction” and after it do not use them.")
	} else {
		s.say("Fitted: nothing, but for inputs that the design itself marks so.")
	}
	s.say("Guessed and from handbooks: all that the tables below list as such; the band of the run time comes from their spreads.")
}

// sources numbers sources in the order in which they are first named: few
// serve many values.
type sources struct {
	number map[string]int
	rows   [][2]string
}

func (s *sources) mark(source string) string {
	if source == "" {
		return "as written"
	}
	if s.number[source] == 0 {
		s.number[source] = len(s.rows) + 1
		s.rows = append(s.rows, [2]string{fmt.Sprintf("[%d]", len(s.rows)+1), typeset(source)})
	}
	return fmt.Sprintf("[%d]", s.number[source])
}

func inputRow(u quantity.Display, in design.Assumption, s *sources) []string {
	value := in.Value
	if in.Spread != "" {
		value += " +- " + in.Spread
	}
	return []string{in.Key, typeset(u.Restate(in.About)), typeset(u.Restate(value)), s.mark(in.Source)}
}

// written is the design as it was written.
func (c *contents) written(report.AnswerParts) (section, error) {
	s := section{id: "design", title: "The design as it was written"}
	text := c.Text
	if len(text) == 0 {
		s.say("The text of the design is not at hand; this one means the same.")
		text = c.Design.YAML()
	}
	s.blocks = append(s.blocks, listing{string(text)})
	return s, nil
}
