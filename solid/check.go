package solid

import (
	"meltspan/design"
	"meltspan/quantity"
	"meltspan/result"
)

// Verdict is what a check comes to.
type Verdict string

// The verdicts, from good to bad.
const (
	Fine  Verdict = "fine"
	Look  Verdict = "look"
	Fails Verdict = "won't do"
)

// Finding is the outcome of one check of one part, or of the whole.
type Finding struct {
	Check   string  `json:"check"`
	Part    string  `json:"part,omitempty"` // its name; "" for the whole
	Verdict Verdict `json:"verdict"`
	Text    string  `json:"text"`            // what was found, and what would be right
	Place   *Point  `json:"place,omitempty"` // in the part's section, m
	Value   float64 `json:"value"`           // SI; what is compared
	Limit   float64 `json:"limit"`           // SI; with what

	said quantity.Sentence
}

// In is the finding's text in the units of a reader.
func (f *Finding) In(u quantity.Display) string {
	if f.said.String() == f.Text {
		return f.said.In(u)
	}
	return u.Restate(f.Text) // made by others, or read back
}

// The checks, by name.
const (
	CheckMesh      = "closed surface"
	CheckWall      = "thinnest wall"
	CheckOverhang  = "overhangs and bridges"
	CheckCavity    = "closed cavities"
	CheckBed       = "fits the bed"
	CheckEnvelope  = "fits the envelope"
	CheckFit       = "parts go together"
	CheckMould     = "ice comes out"
	CheckExpansion = "room to freeze"
	CheckTipping   = "stands"
	CheckOverflow  = "holds the melt"
	CheckSafety    = "safety"
)

// checker gathers findings.
type checker struct {
	d   *design.Design
	run *result.Run // nil: not known what condenses
	out []Finding
}

func (c *checker) find(check, part string, v Verdict, at *Point, value, limit float64, format string, args ...any) {
	said := quantity.Say(format, args...)
	c.out = append(c.out, Finding{check, part, v, said.String(), at, value, limit, said})
}

// Check looks at the parts before anything is printed. The run of the same design
// says what condenses; it may be nil.
func Check(d *design.Design, pieces []Piece, run *result.Run) []Finding {
	c := &checker{d: d, run: run}
	for _, p := range pieces {
		c.mesh(p)
		c.walls(p.Part)
		c.overhangs(p.Part)
		c.cavities(p.Part)
		c.bed(p.Part)
	}
	parts := make([]*Part, len(pieces))
	for i := range pieces {
		parts[i] = pieces[i].Part
	}
	c.joined(parts)
	c.envelope(parts)
	c.fit(parts)
	c.mould(parts)
	c.expansion(parts)
	c.tipping(parts)
	c.overflow(parts)
	c.safety()
	return c.out
}

// Worst is the worst verdict of all.
func Worst(findings []Finding) Verdict {
	worst := Fine
	for _, f := range findings {
		if f.Verdict == Fails || f.Verdict == Look && worst == Fine {
			worst = f.Verdict
		}
	}
	return worst
}

func (c *checker) mesh(p Piece) {
	name := p.Part.Name
	if err := p.Mesh.Closed(); err != nil {
		c.find(CheckMesh, name, Fails, nil, 0, 0, "the surface is not closed: %v", err)
		return
	}
	if v := p.Mesh.Volume(); v <= 0 {
		c.find(CheckMesh, name, Fails, nil, v, 0, "the surface is turned inside out")
		return
	}
	if pairs, at := p.Mesh.SelfIntersections(); pairs > 0 {
		c.find(CheckMesh, name, Fails, nil, float64(pairs), 0, "%d pairs of faces cut each other, first at x %s, y %s, z %s",
			pairs, long(at[0]), long(at[1]), long(at[2]))
		return
	}
	c.find(CheckMesh, name, Fine, nil, 0, 0, "watertight, faces turned outwards, none cuts another")
}

// long is a length for people.
func long(m float64) quantity.Amount {
	return quantity.Amount{SI: m, Kind: quantity.Length, Unit: "mm", Digits: 3}
}

func volume(si float64) string { return quantity.Format(si, quantity.Volume, 3) }
