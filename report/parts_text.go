package report

import (
	"fmt"
	"io"
	"strconv"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/solid"
)

// BillText writes the bill of parts in 80 columns of plain text.
func BillText(w io.Writer, u quantity.Display, name, revision string, items []solid.Item) error {
	p := &textpage.Page{}
	p.Para(0, 2, nameOf(name, revision)+": bill of parts")
	printedTable(p, u, items)
	p.Para(2, 2, "Filament as the parts are drawn, one of each: no supports, no brims. Have the program that cuts the parts into "+
		"layers fill what is solid with 100 %, unless a part says otherwise below.")
	p.Blank()
	p.Line("How they go together")
	var rows, rest [][]string
	for _, i := range items {
		if i.Kind == "printed" {
			rows = append(rows, []string{i.Name, u.Restate(i.Note)})
		} else {
			rest = append(rest, []string{i.Name, otherWords(u, i)})
		}
	}
	p.Explain(rows)
	p.Blank()
	p.Line("Not printed")
	p.Explain(rest)
	return writeText(w, p)
}

// printedTable lists the parts to print.
func printedTable(p *textpage.Page, u quantity.Display, items []solid.Item) {
	printed := [][]string{{"to print", "copies", "of", "width", "height", "filament"}}
	var total float64
	for _, i := range items {
		if i.Kind != "printed" {
			continue
		}
		total += float64(i.Count) * i.Mass
		printed = append(printed, []string{
			i.Name, strconv.Itoa(i.Count), i.Material, sizeText(u, i.Width), sizeText(u, i.Height),
			quantity.FormatIn(i.Mass, quantity.Mass, "g", 3),
		})
	}
	p.Blank()
	p.Table("lrlrrr", append(printed, []string{"all", "", "", "", "", quantity.FormatIn(total, quantity.Mass, "g", 3)}))
}

// PartsText writes what is to be printed, what asks for a look before that, and
// no more; the rest stands in the files.
func PartsText(w io.Writer, u quantity.Display, name, revision string, items []solid.Item, findings []solid.Finding) error {
	p := &textpage.Page{}
	p.Para(0, 2, nameOf(name, revision)+": parts to print")
	printedTable(p, u, items)
	p.Blank()
	p.Para(2, 2, ChecksSummary(findings))
	for _, v := range []solid.Verdict{solid.Fails, solid.Look} {
		for _, f := range findings {
			if f.Verdict == v {
				p.Para(2, 4, string(v)+": "+findingWords(u, f))
			}
		}
	}
	return writeText(w, p)
}

// sizeText prints the size of a part, in mm whatever it is.
func sizeText(u quantity.Display, m float64) string { return u.FormatIn(m, quantity.Length, "mm", 3) }

// otherWords says how much of something not printed it takes.
func otherWords(u quantity.Display, i solid.Item) string {
	words := ""
	add := func(text string) {
		if words != "" {
			words += ", "
		}
		words += text
	}
	if i.Material != "" {
		add(i.Material)
	}
	if i.Mass > 0 {
		add(quantity.Format(i.Mass, quantity.Mass, 3))
	}
	if i.Volume > 0 {
		add(quantity.Format(i.Volume, quantity.Volume, 3))
	}
	if i.Area > 0 {
		add(u.FormatIn(i.Area, quantity.Area, "cm2", 3))
	}
	if i.Width > 0 {
		add(sizeText(u, i.Width) + " wide")
	}
	if i.Note != "" {
		add(u.Restate(i.Note))
	}
	return words
}

// ChecksText writes what was checked before printing, the worst first.
func ChecksText(w io.Writer, u quantity.Display, name, revision string, findings []solid.Finding) error {
	p := &textpage.Page{}
	p.Para(0, 2, nameOf(name, revision)+": checks before printing")
	p.Blank()
	p.Para(2, 2, ChecksSummary(findings))
	for _, v := range []struct {
		verdict solid.Verdict
		heading string
	}{
		{solid.Fails, "Won't do"}, {solid.Look, "Look"}, {solid.Fine, "Fine"},
	} {
		first := true
		for _, f := range findings {
			if f.Verdict != v.verdict {
				continue
			}
			if first {
				p.Heading(v.heading)
				first = false
			}
			p.Para(2, 4, findingWords(u, f))
		}
	}
	p.Blank()
	p.Para(0, 0, ChecksGrounds(u))
	return writeText(w, p)
}

func findingWords(u quantity.Display, f solid.Finding) string {
	words := f.Check
	if f.Part != "" {
		words += ", " + f.Part
	}
	return words + ": " + FindingText(u, f)
}

// FindingText says what a check found and, where it is not in order, at what
// place.
func FindingText(u quantity.Display, f solid.Finding) string {
	if f.Place == nil || f.Verdict == solid.Fine {
		return f.In(u)
	}
	return fmt.Sprintf("%s (at radius %s, height %s)", f.In(u), sizeText(u, f.Place.R), sizeText(u, f.Place.Z))
}

// ChecksGrounds says what the places and limits of checks are.
func ChecksGrounds(u quantity.Display) string {
	symbol := u.Symbol(quantity.Length)
	return "Places are " + symbol + " from the axis and " + symbol + " up from the part's underside, as drawn; of the whole, from the underside of the " +
		"stand. Limits come from the section print of the design, or are common practice; none of this was measured."
}

// ChecksSummary counts the verdicts in words.
func ChecksSummary(findings []solid.Finding) string {
	count := map[solid.Verdict]int{}
	for _, f := range findings {
		count[f.Verdict]++
	}
	words := fmt.Sprintf("Of %d checks, %d came out fine, %d ask for a look, %d say it won't do.",
		len(findings), count[solid.Fine], count[solid.Look], count[solid.Fails])
	if count[solid.Fails] > 0 {
		return words + " Change the design before printing."
	}
	return words
}
