package document

import (
	"fmt"
	"io"
	"strings"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/report/drawing"
	"meltspan/solid"
)

// document words what was worked out.
func (c *contents) document() (*Document, error) {
	d := &Document{
		from:    c,
		Title:   c.Design.Name,
		Subject: "Report on a small passive thermal device: design, prediction, trials, and what they rest on.",
		Author:  c.Author,
		running: c.Design.Name + ", revision " + c.Design.Revision(),
		facts:   c.facts(),
	}
	answer := report.PartsOfAnswer(c.Units, c.answer, c.Design)
	for _, make := range []func(report.AnswerParts) (section, error){
		c.short, c.cautions, c.device, c.prediction, c.heat, c.temperatures, c.water, c.influences, c.printing, c.trials,
		c.taught, c.compared, c.grounds, c.written,
	} {
		s, err := make(answer)
		if err != nil {
			return nil, err
		}
		if len(s.blocks) > 0 {
			d.sections = append(d.sections, s)
		}
	}
	d.number()
	return d, nil
}

func (c *contents) facts() [][2]string {
	facts := [][2]string{{"Design", c.Design.Name}, {"Revision", c.Design.Revision()}}
	add := func(name, value string) {
		if value != "" {
			facts = append(facts, [2]string{name, value})
		}
	}
	add("File", c.File)
	add("Date", c.Date)
	add("Author", c.Author)
	add("Notebook", c.Notebook)
	var names []string
	for _, t := range c.Trials {
		names = append(names, fmt.Sprint(t.View.Number))
	}
	add("Trials", strings.Join(names, ", "))
	if c.Calibration != nil {
		add("Calibration", c.Calibration.words())
	}
	return append(facts, [2]string{"Samples", fmt.Sprintf("%d, seed %d", c.answer.Band.Samples, c.Seed)})
}

func (k *Calibration) words() string {
	words := fmt.Sprintf("result %d of the notebook", k.Number)
	var numbers []string
	for _, n := range k.Trials {
		numbers = append(numbers, fmt.Sprint(n))
	}
	switch len(numbers) {
	case 0:
	case 1:
		words += ", from trial " + numbers[0]
	default:
		words += ", from trials " + strings.Join(numbers, ", ")
	}
	if k.Code != "" {
		words += ", made by " + strings.Join(strings.Fields(k.Code), " ")
	}
	return words
}

// addPicture adds a picture to a section, or says why there is none.
func (s *section) addPicture(draw func() (*report.Picture, error)) {
	p, err := draw()
	if err != nil {
		s.blocks = append(s.blocks, paragraph{"There is no picture: " + strings.TrimPrefix(err.Error(), "report: ") + "."})
		return
	}
	s.blocks = append(s.blocks, figure{caption: typeset(p.Sheet().Title), sheet: p.Sheet()})
}

func (s *section) add(parts []textpage.Block, about string) {
	s.blocks = append(s.blocks, blocksOf(parts, about)...)
}

func (s *section) say(format string, args ...any) {
	s.blocks = append(s.blocks, paragraph{typeset(fmt.Sprintf(format, args...))})
}

func (s *section) head(text string) { s.blocks = append(s.blocks, heading{typeset(text)}) }

// addText adds what a writer of text says, less its first paragraphs.
func (s *section) addText(skip int, about string, write func(io.Writer) error) error {
	parts, err := report.Blocks(write)
	if err != nil {
		return err
	}
	s.add(without(skip, parts), about)
	return nil
}

func (c *contents) short(a report.AnswerParts) (section, error) {
	s := section{id: "in-short", title: "In short"}
	s.add(a.Headline, "")
	if c.learnt != nil {
		s.say("%s", c.learntWords())
	}
	for _, t := range c.Trials {
		if t.isRun() && t.View.Trial.Revision == c.Design.Revision() {
			s.say("%s of this design: run time %s, measured.", t.View.Title(), t.View.RunTimeText())
		}
	}
	if len(c.findings) > 0 {
		s.say("%s", report.ChecksSummary(c.findings))
	}
	s.say("What is predicted here is no measurement; which numbers were measured, fitted or guessed stands under %q.", groundsTitle)
	return s, nil
}

func (c *contents) cautions(a report.AnswerParts) (section, error) {
	s := section{id: "cautions", title: "Cautions"}
	for _, b := range blocksOf(a.Cautions, "") {
		if _, own := b.(heading); !own {
			s.blocks = append(s.blocks, b)
		}
	}
	s.say("Keep condensate, melt and spills away from mains leads and chargers, and put a tray under what sweats. Leave no heater and no hot water " +
		"unattended or within a child's reach. Water grows by 9 %% on freezing: leave headroom in any mould, and never freeze it in glass.")
	s.say("A prediction is no proof of safety. Local codes and rules come first, and so does a competent person's word.")
	return s, nil
}

func (c *contents) device(report.AnswerParts) (section, error) {
	s := section{id: "device", title: "The device"}
	if c.Design.Note != "" {
		s.say("%s", c.Design.Note)
	}
	if c.unprinted != "" {
		s.say("There is no drawing: the parts cannot be printed as they stand (%s).", c.Units.Restate(c.unprinted))
		return s, nil
	}
	sheet, err := drawing.Assembly(c.parts, drawing.Info{
		Title: c.Design.Name, Identification: c.Design.Revision(), Creator: c.Author, Date: c.Date, Number: 1, Of: 1, Paper: drawing.A4.Name, Units: c.Units,
	})
	s.addPicture(func() (*report.Picture, error) {
		return report.BodyPicture(c.Units, c.Design.Name, c.Design.Revision(), c.parts)
	})
	if err != nil {
		s.say("There is no section drawing on %s: %s.", drawing.A4.Name, strings.TrimPrefix(err.Error(), "drawing: "))
		return s, nil
	}
	s.blocks = append(s.blocks, figure{
		caption: typeset(sheet.Sheet.Title) + fmt.Sprintf(", drawn at %s for %s paper", sheet.Scale, sheet.Paper.Name),
		sheet:   sheet.Sheet, toScale: true,
	})
	return s, nil
}

func (c *contents) prediction(a report.AnswerParts) (section, error) {
	s := section{id: "prediction", title: "Prediction"}
	s.say("How the trial goes with all inputs nominal, and what the spreads of the inputs leave open.")
	s.addPicture(func() (*report.Picture, error) { return report.BandPicture(c.answer) })
	s.addPicture(func() (*report.Picture, error) {
		return report.Chart(c.Units, c.answer.Nominal, report.CourseOptions(c.answer, c.Design))
	})
	s.add(a.Load, "Load while it ran")
	return s, nil
}

func (c *contents) heat(a report.AnswerParts) (section, error) {
	s := section{id: "heat", title: "Where the heat goes"}
	s.add(a.Budget, "Heat budget")
	s.add(a.Ceiling, "Ceilings")
	s.addPicture(func() (*report.Picture, error) { return report.HeatFlow(c.answer.Nominal) })
	return s, nil
}

func (c *contents) temperatures(report.AnswerParts) (section, error) {
	s := section{id: "section", title: "Temperatures in the section"}
	run := c.section
	if run == nil || run.Section == nil || len(run.Section.Frames) == 0 {
		return section{}, nil
	}
	s.say("The same trial, with all inputs nominal, followed on a fine section through the body with cells no wider than %s.", c.Units.FormatShort(c.Spacing, quantity.Length, 3))
	middle := 0 // the frame nearest to half of the run
	for i, f := range run.Section.Frames {
		if abs(f.Time-run.RunTime/2) < abs(run.Section.Frames[middle].Time-run.RunTime/2) {
			middle = i
		}
	}
	s.addPicture(func() (*report.Picture, error) { return report.SectionPicture(c.Units, run, middle) })
	s.addPicture(func() (*report.Picture, error) { return report.OutsidePicture(c.Units, run, middle) })
	err := s.addText(1, "Network and section", func(w io.Writer) error { return report.DepthsText(w, c.Units, c.answer.Nominal, run) })
	return s, err
}

func abs(x float64) float64 { return max(x, -x) }

func (c *contents) water(a report.AnswerParts) (section, error) {
	s := section{id: "water", title: "Condensate and melt"}
	s.add(a.Condensate, "")
	s.add(a.Tray, "")
	return s, nil
}

func (c *contents) influences(a report.AnswerParts) (section, error) {
	s := section{id: "influences", title: "What matters most"}
	if len(a.Influences) > 0 {
		s.addPicture(func() (*report.Picture, error) { return report.Influences(c.Units, c.answer) })
	}
	s.add(a.Influences, "")
	return s, nil
}

func (c *contents) printing(a report.AnswerParts) (section, error) {
	s := section{id: "printing", title: "Freezing and printing"}
	if c.unprinted != "" {
		s.add(a.Freezing, "")
		s.say("The parts cannot be printed as they stand: %s.", c.Units.Restate(c.unprinted))
		return s, nil
	}
	name, revision := c.Design.Name, c.Design.Revision()
	if err := s.addText(1, "Printing", func(w io.Writer) error { return report.EstimateText(w, c.Units, c.estimates, c.Design) }); err != nil {
		return s, err
	}
	c.checks(&s)
	s.head("Bill of parts")
	err := s.addText(1, "Parts to print", func(w io.Writer) error { return report.BillText(w, c.Units, name, revision, c.bill) })
	return s, err
}

// checks lists what was checked before printing, the worst first.
func (c *contents) checks(s *section) {
	s.head("Checks before printing")
	s.say("%s", report.ChecksSummary(c.findings))
	t := table{caption: "Checks before printing", align: "llll", head: []string{"verdict", "check", "part", "found"}}
	for _, v := range []solid.Verdict{solid.Fails, solid.Look, solid.Fine} {
		for _, f := range c.findings {
			if f.Verdict == v {
				t.rows = append(t.rows, typesetRow([]string{string(v), f.Check, f.Part, report.FindingText(c.Units, f)}))
			}
		}
	}
	s.blocks = append(s.blocks, t)
	s.say("%s", report.ChecksGrounds(c.Units))
}

func (c *contents) trials(report.AnswerParts) (section, error) {
	s := section{id: "trials", title: "Trials"}
	if len(c.Trials) == 0 {
		s.say("No trial of this design was taken into this report: nothing in it was measured but what the design states.")
	}
	for _, t := range c.Trials {
		s.head(t.View.Title())
		if len(t.View.Trial.Series) > 0 {
			s.addPicture(func() (*report.Picture, error) { return report.TrialPicture(c.Units, t.View) })
		}
		if err := s.addText(1, "Series", func(w io.Writer) error { return report.TrialText(w, c.Units, t.View) }); err != nil {
			return s, err
		}
	}
	return s, nil
}

func (c *contents) learntWords() string {
	return fmt.Sprintf("With what the trials taught, a trial to come of this design runs %s.", report.RunTimeInterval(c.learnt.Posterior))
}

func (c *contents) taught(report.AnswerParts) (section, error) {
	s := section{id: "taught", title: "What the trials taught"}
	if c.Calibration == nil {
		s.say("No calibration was taken into this report: every factor of the model stands as the design has it.")
		return s, nil
	}
	s.say("The calibration is %s. %s", c.Calibration.words(), c.learntWords())
	p := c.Calibration.Posterior
	s.addPicture(func() (*report.Picture, error) { return report.PosteriorPicture(c.Units, p) })
	s.addPicture(func() (*report.Picture, error) {
		return report.LearntRunTimes([]*calibrate.Prediction{c.learnt}, nil)
	})
	err := s.addText(1, "Unknowns", func(w io.Writer) error { return report.CalibrationText(w, c.Units, p, c.learnt) })
	return s, err
}

func (c *contents) compared(report.AnswerParts) (section, error) {
	s := section{id: "compared", title: "Trials compared"}
	if len(c.Trials) == 0 {
		return section{}, nil
	}
	if c.comparison != nil {
		s.addPicture(func() (*report.Picture, error) { return report.ComparisonPicture(c.Units, c.comparison) })
		err := s.addText(0, "Trials", func(w io.Writer) error { return report.ComparisonText(w, c.Units, c.comparison) })
		return s, err
	}
	s.say("The trials are not brought to common conditions: %s. Their run times as they were seen:", c.uncompared)
	t := table{caption: "Run times as seen, each in its own room", align: "llrr", head: []string{"trial", "design", "run time seen", "times the network's"}}
	for _, x := range c.Trials {
		if x.isRun() {
			t.rows = append(t.rows, typesetRow([]string{x.View.Title(), x.View.Trial.Design, x.View.RunTimeText(), x.View.RatioText()}))
		}
	}
	if len(t.rows) > 0 {
		s.blocks = append(s.blocks, t)
	}
	return s, nil
}
