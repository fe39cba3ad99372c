package search

import (
	"fmt"
	"math"
	"strings"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/predict"
	"meltspan/printing"
	"meltspan/quantity"
	"meltspan/result"
)

// Limits are what must hold. SI; a size, time or mass of 0 sets no limit.
type Limits struct {
	EnvelopeDiameter float64 `json:"envelope_diameter_m,omitempty"` // both 0: the design's own envelope
	EnvelopeHeight   float64 `json:"envelope_height_m,omitempty"`
	Printable        bool    `json:"printable"`       // walls as thick as nozzle and watertightness need
	ComesOut         bool    `json:"ice_comes_out"`   // the block leaves cup and mould
	PlateBears       float64 `json:"least_bearing_m"` // all round, of a plate on the rim; one that goes into the cup has the clearance of moving parts
	Tray             bool    `json:"tray_holds"`      // melt and condensate
	DryAt            float64 `json:"dry_at"`          // relative humidity at which the outside must not sweat; 0: any
	PrintTime        float64 `json:"most_print_s"`    // of the stand
	FreezeTime       float64 `json:"most_freeze_s"`   // of the charge
	Material         float64 `json:"most_plastic_kg"` // of the stand
	RunTime          float64 `json:"least_run_s"`     // at the quantile searched for
}

// Breach is a limit that a design does not keep.
type Breach struct {
	Limit string  `json:"limit"`
	Words string  `json:"words"`
	By    float64 `json:"by"` // about relative to the limit
}

// breaches collects what does not hold.
type breaches []Breach

// over notes a value above its limit.
func (b *breaches) over(name string, value, limit float64, words string) {
	if !(value > limit) {
		return
	}
	by := 1.0
	if limit > 0 {
		by = value/limit - 1
	}
	*b = append(*b, Breach{name, words, by})
}

// rounding spares sizes that fit exactly, m.
const rounding = 1e-9

func mm(v float64) string { return quantity.Format(v, quantity.Length, 3) }

// shape checks what the drawing alone decides.
func (l *Limits) shape(d *design.Design, b *breaches) {
	s, e, p := &d.Stand, &d.Envelope, &d.Print
	high := s.Height.SI + s.Feet.Height.SI
	b.over("envelope", s.OuterDiameter.SI, e.Diameter.SI+rounding, fmt.Sprintf("%s wide, and the envelope %s", mm(s.OuterDiameter.SI), mm(e.Diameter.SI)))
	b.over("envelope", high, e.Height.SI+rounding, fmt.Sprintf("%s high, and the envelope %s", mm(high), mm(e.Height.SI)))
	if l.Printable {
		thin := func(what string, size, least float64, why string) {
			b.over("printable", least/math.Max(size, 1e-6), 1+rounding, fmt.Sprintf("%s of %s: %s needs %s", what, mm(size), why, mm(least)))
		}
		const water, line = "holding water", "the nozzle"
		thin("wall skin", s.Wall.Skin.SI, math.Max(p.WatertightWall.SI, p.Nozzle.SI), water)
		thin("base skin", s.Base.Skin.SI, math.Max(p.WatertightWall.SI, p.Nozzle.SI), water)
		for _, shell := range []struct {
			name  string
			of    *design.Shell
			thick float64
		}{{"wall", &s.Wall, (s.OuterDiameter.SI - s.Cup.Diameter.SI) / 2}, {"base", &s.Base, s.Height.SI - s.Cup.Depth.SI}} {
			if shell.of.Cavities > 1 {
				thin(shell.name+" partition", shell.of.Partition.SI, p.Nozzle.SI, line)
			}
			if shell.of.Cavities > 0 { // a gap narrower than a line closes up: common practice
				thin(shell.name+" cavity", shell.of.CavityWidth(shell.thick), p.Nozzle.SI, line)
			}
		}
		if s.Ribs.Count > 0 {
			thin("rib", s.Ribs.Thickness.SI, p.Nozzle.SI, line)
		}
		if s.Pegs.Count > 0 {
			thin("peg", s.Pegs.Diameter.SI, 2*p.Nozzle.SI, "two lines of the nozzle")
		}
		thin("rim", s.Rim.Thickness.SI, p.LayerHeight.SI, "a layer")
	}
	if l.PlateBears > 0 {
		bearing := (d.Load.BottomPlate.Diameter.SI - s.Cup.Diameter.SI) / 2
		least, words := l.PlateBears, fmt.Sprintf("the plate bears on %s of the rim all round, and needs %s", mm(bearing), mm(l.PlateBears))
		if bearing < 0 {
			least, bearing = p.Clearance.SI, -bearing
			words = fmt.Sprintf("the plate has %s of gap in the cup all round, and needs %s", mm(bearing), mm(least))
		}
		b.over("plate_bears", (least-bearing)/least, rounding, words)
	}
	if l.ComesOut && d.Store.Form == design.FormBlock {
		gap := (s.Cup.Diameter.SI - d.Store.Diameter.SI) / 2
		least := p.Clearance.SI
		b.over("ice_comes_out", (least-gap)/least, rounding, fmt.Sprintf("the block has %s of gap round it, and needs %s to come out", mm(gap), mm(least)))
	}
}

// estimates checks printing and freezing.
func (l *Limits) estimates(d *design.Design, e printing.Estimate, f *predict.Freezing, b *breaches) {
	if l.PrintTime > 0 {
		b.over("print_time", e.Time.Value, l.PrintTime, fmt.Sprintf("prints in %s, more than %s", quantity.FormatDuration(e.Time.Value), quantity.FormatDuration(l.PrintTime)))
	}
	if l.Material > 0 {
		b.over("material", e.Mass.Value, l.Material, fmt.Sprintf("takes %s of plastic, more than %s",
			quantity.Format(e.Mass.Value, quantity.Mass, 3), quantity.Format(l.Material, quantity.Mass, 3)))
	}
	if f == nil {
		return
	}
	if l.FreezeTime > 0 {
		b.over("freeze_time", f.Time, l.FreezeTime, fmt.Sprintf("freezes in %s, more than %s", quantity.FormatDuration(f.Time), quantity.FormatDuration(l.FreezeTime)))
	}
	if l.ComesOut && !math.IsNaN(f.Headroom) && f.Frozen > 0 {
		b.over("ice_comes_out", -f.Headroom/f.Frozen, rounding, fmt.Sprintf("the frozen charge stands %s proud of its mould and jams", mm(-f.Headroom)))
	}
}

// run checks what a run shows.
func (l *Limits) run(d *design.Design, run *result.Run, b *breaches) {
	if l.Tray {
		b.over("tray_holds", -run.TrayLeft/volumeOfCharge(d), 1e-4, fmt.Sprintf("%s more runs off than the tray holds",
			quantity.Format(-run.TrayLeft, quantity.Volume, 2)))
	}
	if l.DryAt > 0 {
		coldest, name := coldestOutside(run)
		dew := matter.DewPoint(d.Room.Temperature.SI, l.DryAt)
		const scale = 10.0 // K: a face that much below the dew point counts as much as one limit missed altogether
		b.over("dry_at", (dew-coldest)/scale, rounding, fmt.Sprintf("the outside (%s) gets down to %s, and at %.0f %% it sweats below %s", name,
			quantity.Format(coldest, quantity.Temperature, 3), 100*l.DryAt, quantity.Format(dew, quantity.Temperature, 3)))
	}
}

// coldestOutside is the lowest temperature of the stand's side over the run,
// and where.
func coldestOutside(run *result.Run) (coldest float64, name string) {
	coldest = math.Inf(1)
	for _, f := range run.Faces {
		if strings.HasPrefix(f.Name, "side") && f.Coldest < coldest {
			coldest, name = f.Coldest, f.Name
		}
	}
	return coldest, name
}

// volumeOfCharge is about that of the melt, m3; it only scales a breach.
func volumeOfCharge(d *design.Design) float64 { return d.Store.Mass.SI / 1000 }
