package design

import (
	"fmt"
	"math"

	"meltspan/quantity"
)

// Check looks for what cannot be built or cannot be meant, in a completed
// design. Problems carry the path of the key at fault but no place; Parse
// adds the place. It does not look at single values on their own: the ranges
// of the tags do.
func (d *Design) Check() Problems {
	c := &checker{d: d}
	c.body()
	c.shell("wall", &d.Stand.Wall, c.wallRoom())
	c.shell("base", &d.Stand.Base, d.Stand.Height.SI-d.Stand.Cup.Depth.SI)
	c.fittings()
	c.store()
	c.contact()
	c.load()
	c.print()
	return c.problems
}

type checker struct {
	d        *Design
	problems Problems
}

func (c *checker) fault(key, what, right string) {
	c.problems = append(c.problems, Problem{Key: key, What: what, Right: right})
}

// slack spares geometry that fits exactly from rounding, in m.
const slack = 1e-9

func (c *checker) wallRoom() float64 {
	return (c.d.Stand.OuterDiameter.SI - c.d.Stand.Cup.Diameter.SI) / 2
}

// body checks cup in body in envelope.
func (c *checker) body() {
	s, e := &c.d.Stand, &c.d.Envelope
	if c.wallRoom() <= 0 {
		c.fault("stand.cup.diameter", fmt.Sprintf("the cup (%s) leaves no wall in a body of %s", mm(s.Cup.Diameter.SI), mm(s.OuterDiameter.SI)),
			fmt.Sprintf("less than %s, with room for the wall", mm(s.OuterDiameter.SI)))
	}
	if s.Cup.Depth.SI >= s.Height.SI {
		c.fault("stand.cup.depth", fmt.Sprintf("the cup is %s deep in a body of only %s height", mm(s.Cup.Depth.SI), mm(s.Height.SI)),
			fmt.Sprintf("less than %s, with room for the base", mm(s.Height.SI)))
	}
	if s.OuterDiameter.SI > e.Diameter.SI+slack {
		c.fault("stand.outer_diameter", fmt.Sprintf("the body (%s) is wider than the envelope (%s)", mm(s.OuterDiameter.SI), mm(e.Diameter.SI)),
			"up to "+mm(e.Diameter.SI))
	}
	if high := s.Height.SI + s.Feet.Height.SI; high > e.Height.SI+slack {
		c.fault("stand.height", fmt.Sprintf("body and feet (%s) are higher than the envelope (%s)", mm(high), mm(e.Height.SI)),
			"up to "+mm(e.Height.SI-s.Feet.Height.SI))
	}
}

// leastCavity is the least width of a cavity, in m; less cannot be printed
// (common practice: a quarter of a line).
const leastCavity = 0.1e-3

// shell checks that skins and partitions fit the thickness there is.
func (c *checker) shell(name string, s *Shell, room float64) {
	if room <= 0 {
		return // reported by body
	}
	key := "stand." + name + ".skin"
	skins := 2 * s.Skin.SI
	if s.Cavities == 0 {
		if skins > room+slack {
			c.fault(key, fmt.Sprintf("the %s has %s; two skins of %s need %s", name, mm(room), mm(s.Skin.SI), mm(skins)),
				fmt.Sprintf("a skin up to %s (then it is solid through), or a thicker %s", mm(room/2), name))
		}
		return
	}
	if width := s.CavityWidth(room); width < leastCavity-slack {
		cavities := float64(s.Cavities)
		left := cavities * width
		need := room - left + cavities*leastCavity
		c.fault(key, fmt.Sprintf("the %s has %s; two skins of %s and %s of %s need %s and leave %s for %s", name, mm(room),
			mm(s.Skin.SI), counted(s.Cavities-1, "partition"), mm(s.Partition.SI), mm(room-left), mm(max(left, 0)), counted(s.Cavities, "cavity")),
			fmt.Sprintf("thinner skins, fewer cavities, or a %s of %s at least", name, atLeast(need, quantity.Length)))
	}
}

// fittings checks rim, ribs and pegs.
func (c *checker) fittings() {
	s := &c.d.Stand
	if s.Rim.Thickness.SI >= s.Height.SI {
		c.fault("stand.rim.thickness", fmt.Sprintf("the rim (%s) takes up the whole height of the body (%s)", mm(s.Rim.Thickness.SI), mm(s.Height.SI)),
			"less than "+mm(s.Height.SI))
	}
	round := math.Pi * s.Cup.Diameter.SI
	if need := float64(s.Ribs.Count) * s.Ribs.Thickness.SI; need >= round {
		c.fault("stand.ribs.count", fmt.Sprintf("%d ribs of %s need %s, and the cup is %s round", s.Ribs.Count, mm(s.Ribs.Thickness.SI), mm(need), mm(round)),
			"fewer or thinner ribs")
	}
	c.pegs()
}

// densestDiscs is the most of a plane that equal discs can cover, pi/sqrt(12)
// (Lagrange, Thue).
const densestDiscs = 0.9069

func (c *checker) pegs() {
	p, cup := &c.d.Stand.Pegs, &c.d.Stand.Cup
	if p.Count == 0 {
		return
	}
	if p.Diameter.SI > cup.Diameter.SI {
		c.fault("stand.pegs.diameter", fmt.Sprintf("a peg (%s) is wider than the cup (%s)", mm(p.Diameter.SI), mm(cup.Diameter.SI)), "less than "+mm(cup.Diameter.SI))
	} else if covered := float64(p.Count) * discArea(p.Diameter.SI) / discArea(cup.Diameter.SI); p.Count > 1 && covered > densestDiscs {
		most := int(densestDiscs * discArea(cup.Diameter.SI) / discArea(p.Diameter.SI))
		c.fault("stand.pegs.count", fmt.Sprintf("%d pegs of %s do not fit a floor of %s", p.Count, mm(p.Diameter.SI), mm(cup.Diameter.SI)),
			fmt.Sprintf("at most %d, or thinner pegs", max(most, 1)))
	}
	if p.Height.SI >= cup.Depth.SI {
		c.fault("stand.pegs.height", fmt.Sprintf("the pegs (%s) reach out of the cup (%s deep)", mm(p.Height.SI), mm(cup.Depth.SI)), "less than "+mm(cup.Depth.SI))
	}
}

// mm prints a length for a message, to the nanometre.
func mm(si float64) string { return show(math.Round(si*1e9)/1e9, quantity.Length) }

// show prints a number for a message: four digits, and no idle zeros.
func show(si float64, kind quantity.Kind) string {
	return trimZeros(quantity.Format(si, kind, 4))
}

// atLeast and atMost print a limit so that what is written does keep it: the
// fourth digit is rounded to the safe side. The units used for lengths,
// volumes and masses are all powers of ten of the SI unit, so rounding there
// is rounding in print.
func atLeast(si float64, kind quantity.Kind) string { return show(roundDigits(si, math.Ceil), kind) }

func atMost(si float64, kind quantity.Kind) string { return show(roundDigits(si, math.Floor), kind) }

func roundDigits(si float64, round func(float64) float64) float64 {
	if si <= 0 {
		return si
	}
	step := math.Pow(10, math.Floor(math.Log10(si))-3)
	steps := si / step
	if nearest := math.Round(steps); math.Abs(steps-nearest) < 1e-6 {
		return nearest * step
	}
	return round(steps) * step
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	if noun == "cavity" {
		return fmt.Sprintf("%d cavities", n)
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
