package drawing

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/solid"
)

// foot is what stands at the bottom of a sheet: the title block and the notes.
type foot struct {
	top    float64 // of all of it
	fields []field
	lines  []text // of the notes
}

// field is one of the title block.
type field struct {
	box     box
	name    string
	content string
	height  float64
}

// Sizes of the title block, mm (ISO 7200: 180 wide).
const (
	blockWidth = 180.0
	rowHeight  = 9.0
)

// layFoot lays out title block and notes. It fails where the notes leave no
// room for the view.
func layFoot(of *subject, info Info, paper Paper, scale Scale) (*foot, error) {
	p := of.part
	f := paper.frame()
	out := &foot{}
	number := ""
	if info.Number > 0 {
		number = fmt.Sprintf("%d/%d", info.Number, max(info.Of, info.Number))
	}
	left, top := f.right-blockWidth, f.bottom-5*rowHeight
	row := func(i int, widths []float64, cells ...field) {
		x, y := left, top+float64(i)*rowHeight
		for k, c := range cells {
			c.box = box{x, y, x + widths[k], y + rowHeight}
			if c.height == 0 {
				c.height = small
			}
			out.fields = append(out.fields, c)
			x += widths[k]
		}
	}
	row(0, []float64{60, 50, 45, 25}, field{name: "Legal owner", content: info.Owner}, field{name: "Document type", content: "Section drawing"},
		field{name: "Date of issue", content: info.Date}, field{name: "Sheet", content: number})
	row(1, []float64{110, 70}, field{name: "Title", content: info.Title, height: large},
		field{name: "Identification number", content: info.Identification + "-" + p.Name})
	row(2, []float64{110, 45, 25}, field{name: "Supplementary title", content: p.Label + copies(p.Count)},
		field{name: "Scale", content: scale.String(), height: large}, field{name: "Paper", content: paper.Name})
	row(3, []float64{60, 50, 70}, field{name: "Creator", content: info.Creator}, field{name: "Approved by"},
		field{name: "Material", content: material(p.Material)})
	row(4, []float64{110, 70}, field{name: "General tolerances, as printed", content: tolerances(info.Units)}, field{name: "Dimensions in", content: info.Units.Symbol(quantity.Length)})

	box := box{f.left + 2, top, left - 4, f.bottom}
	if paper == A4 {
		box.right = f.right - 2
	}
	lines := noted(of, info, box.right-box.left)
	high := float64(len(lines))*noteLine + 3
	box.top = f.bottom - high
	if paper == A4 {
		box.top = top - high
	}
	if out.top = min(top, box.top) - 2; out.top < f.top+80 {
		return nil, errors.New("drawing: the notes leave no room for the part")
	}
	for i, l := range lines {
		out.lines = append(out.lines, text{at: at{box.left, box.top + float64(i+1)*noteLine}, height: small, content: l})
	}
	return out, nil
}

// tolerances are twice the standard uncertainties with which designs are
// predicted (design/spreads.go).
func tolerances(u quantity.Display) string {
	if !metric(u) {
		return "lengths ±0.008, walls ±0.004 (common practice)" // 0.2 mm and 0.1 mm
	}
	return "lengths ±0.2, walls ±0.1 (common practice)"
}

// noteLine is from line to line, mm.
const noteLine = 4.2

// noted are the notes of a part, wrapped to a width in mm.
func noted(of *subject, info Info, width float64) []string {
	p := of.part
	var notes []string
	if !of.assembled() {
		notes = append(features(p, info.Units), chamfers(p, info.Units)...)
	}
	if p.Turned {
		notes = append(notes, "Printed upside down.")
	}
	for _, c := range p.Cores {
		if n := fmt.Sprintf("Within the narrow outline: %s, %.0f %% solid.", c.Loop.Name, 100*c.Infill); !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	for _, n := range info.Notes {
		notes = append(notes, info.Units.Restate(n))
	}
	for i, m := range info.Marks {
		notes = append(notes, fmt.Sprintf("(%d) %s", i+1, info.Units.Restate(m.Text)))
	}
	var lines []string
	for _, n := range notes {
		for i, l := range sheet.Wrap(n, (width-4)*unit, small/ascent*unit, false) {
			if i > 0 {
				l = "   " + l
			}
			lines = append(lines, l)
		}
	}
	return lines
}

// features says in words what stands round the axis: the section shows each
// kind turned into its plane.
func features(p *solid.Part, u quantity.Display) []string {
	var out []string
	for i := range p.Features {
		f := &p.Features[i]
		high := number(u, f.High-f.Low)
		what := fmt.Sprintf("%d × %s: ", f.Count, f.Meaning)
		switch f.Kind {
		case solid.Rib, solid.Pad:
			what += fmt.Sprintf("%s thick, from Ø%s to Ø%s, %s high", number(u, f.Thickness), number(u, 2*f.In), number(u, 2*f.Out), high)
		default:
			what += fmt.Sprintf("Ø%s, %s high", number(u, f.Diameter), high)
			if f.Centre > 0 {
				what += fmt.Sprintf(", on Ø%s", number(u, 2*f.Centre))
			} else {
				what += ", on the axis"
			}
		}
		out = append(out, what+".")
	}
	return out
}

// material is how a drawing names one: the names of plastics are short forms.
func material(name string) string {
	if strings.Contains(name, " ") {
		return name
	}
	return strings.ToUpper(name)
}

// chamfers lists the sizes of edges broken at 45 degrees, which are too small
// for dimensions of their own.
func chamfers(p *solid.Part, u quantity.Display) []string {
	var out []string
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			dr, dz := abs(a.R-b.R), abs(a.Z-b.Z)
			if dr < 1e-6 || abs(dr-dz) > 1e-6 || dr > 2e-3 {
				continue
			}
			if n := fmt.Sprintf("Chamfer %s × 45°.", number(u, dr)); !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
}

func copies(n int) string {
	if n <= 1 {
		return ""
	}
	return fmt.Sprintf(", %d of them", n)
}

func (f *foot) draw(pn pen) {
	var whole box
	for i, c := range f.fields {
		pn.box(c.box, narrow)
		if i == 0 {
			whole = c.box
		}
		whole = box{min(whole.left, c.box.left), min(whole.top, c.box.top), max(whole.right, c.box.right), max(whole.bottom, c.box.bottom)}
		pn.text(text{at: at{c.box.left + 1, c.box.top + 2.6}, height: tiny, content: c.name})
		room := c.box.right - c.box.left - 2
		content := sheet.Clip(c.content, room*unit, c.height/ascent*unit, false)
		pn.text(text{at: at{c.box.left + 1.5, c.box.bottom - 1.6}, height: c.height, content: content})
	}
	pn.box(whole, border)
	for _, l := range f.lines {
		pn.text(l)
	}
}
