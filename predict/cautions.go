package predict

import (
	"fmt"
	"math"
	"strings"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/result"
)

// cautions lists what may go wrong or hurt, most important first: first people,
// then the trial, then how far the number can be trusted.
func cautions(d *design.Design, m *network.Model, a *Answer) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	safety(d, a, add)
	wet(a, add)
	freezerTrouble(d, a, add)
	behaviour(d, a, add)
	trust(a, add)
	if s, ok := matter.FindSubstance(d.Store.Substance); ok && s.Note != "" && s.Name != "water" {
		add("%s: %s.", s.Label, s.Note)
	}
	return append(out, m.Warnings()...)
}

// hottestPart is the highest temperature of any plate in the run, K.
func hottestPart(run *result.Run) float64 {
	hottest := 0.0
	for _, id := range []string{"top_plate", "bottom_plate"} {
		if c := run.Channel(id); c != nil {
			for _, t := range c.Values {
				hottest = max(hottest, t)
			}
		}
	}
	return hottest
}

type adder func(format string, args ...any)

// Burn thresholds for touching hot surfaces of any material: 43 degC for eight
// hours and more, 48 degC for ten minutes (ISO 13732-1:2006, from memory).
const (
	burnLong  = 43 + matter.IcePoint
	burnShort = 48 + matter.IcePoint
)

func safety(d *design.Design, a *Answer, add adder) {
	start, hottest := d.Store.Temperature.SI, hottestPart(a.Nominal)
	if leak := d.Load.Leak; leak != nil && leak.Power.SI > 0 {
		add("The load heats with %s and goes on when the store is spent: give it a cut-out of its own, keep it on mains-free "+
			"supply near water, and do not leave it unattended; local rules and a competent person come first.",
			quantity.Format(leak.Power.SI, quantity.Power, 3))
	}
	if start <= burnLong && hottest > burnLong {
		add("A plate reaches %s in this run: from 43 degC on it can burn on long contact, from 48 degC within minutes (ISO 13732-1).", celsius(hottest))
	}
	if start > burnLong {
		words := "can burn on long contact"
		if start > burnShort {
			words = "burns skin within minutes (ISO 13732-1: 48 degC for ten minutes), faster the hotter it is"
		}
		add("The store starts at %s: it %s. Pour it with care, keep it from children, and do not leave it "+
			"or any heater for it unattended; local rules and a competent person come first.", celsius(start), words)
	}
	if solid, ok := matter.FindSolid(d.Stand.Material); ok && solid.SofteningTemperature.Value > 0 {
		if soft := solid.SofteningTemperature.Value; max(start, hottest) > soft-10 {
			add("%s softens near %s and store or plate reach %s: the stand may sag, leak or tip.", solid.Label, celsius(soft), celsius(max(start, hottest)))
		}
	}
	if strings.Contains(d.Stand.Material, "glass") && start < matter.IcePoint {
		add("Do not freeze water in glass: it grows by 9 %% and can burst it.")
	}
	if strings.Contains(d.Stand.Material, "glass") && start > burnShort {
		add("Hot water can crack cold glass: warm it first, and keep clear.")
	}
	if start < -40+matter.IcePoint {
		add("At %s the store freezes skin on touch: wear gloves. Never close dry ice in a vessel, and air the room where it is used.", celsius(start))
	}
	if d.Room.Sun.SI > 0 {
		add("Sun on the plate makes it hotter than the room once the store is spent; do not leave lenses or mirrors about.")
	}
}

func wet(a *Answer, add adder) {
	for _, e := range a.Nominal.Events {
		if e.Kind == result.Overflow {
			if e.Detail != "" {
				add("Water drips from %s on and no tray is stated: lay something under it, away from mains leads.", quantity.FormatDuration(e.Time))
			} else {
				add("The tray overflows after %s: empty it in time or make it larger, and keep mains leads away.", quantity.FormatDuration(e.Time))
			}
		}
	}
	first, names := math.Inf(1), []string(nil)
	for _, f := range a.Nominal.Faces {
		if !math.IsNaN(f.FirstSweat) && strings.HasPrefix(f.Name, "side") {
			names = append(names, strings.TrimPrefix(f.Name, "side, "))
			first = math.Min(first, f.FirstSweat)
		}
	}
	if len(names) > 0 {
		add("The outside sweats from %s on (%s).", quantity.FormatDuration(first), strings.Join(names, "; "))
	}
}

// spare is the share of its frozen height that a mould should have left, so
// that a charge poured a little too full does not jam.
const spare = 0.02

func freezerTrouble(d *design.Design, a *Answer, add adder) {
	f := a.Freezing
	if f == nil || math.IsNaN(f.Headroom) {
		return
	}
	where := "its mould"
	if !f.InMould {
		where = "the cup, if that serves as mould"
	}
	switch {
	case f.Headroom < 0:
		add("The frozen charge stands %s proud of %s: it spills or jams. Pour less, or use a deeper mould.",
			quantity.Format(-f.Headroom, quantity.Length, 2), where)
	case f.Headroom < spare*f.Frozen:
		add("Freezing leaves only %s of headroom in %s: a slightly fuller mould spills or jams.",
			quantity.Format(f.Headroom, quantity.Length, 2), where)
	}
	if d.Store.Temperature.SI < d.Store.Freezer.Temperature.SI-0.5 {
		add("The store is said to start at %s, colder than the freezer at %s.",
			celsius(d.Store.Temperature.SI), celsius(d.Store.Freezer.Temperature.SI))
	}
}

func behaviour(d *design.Design, a *Answer, add adder) {
	for _, e := range a.Nominal.Events {
		if e.Kind == result.ContactLost {
			add("Store and plate part after %s; the gap then grows to %s and the load gets less.",
				quantity.FormatDuration(e.Time), quantity.Format(a.Nominal.LargestGap, quantity.Length, 2))
		}
	}
	if restarts := count(a.Nominal.Events, result.Restarted); restarts > 0 && d.Load.Engine != nil {
		add("It stalls and is set going again %d times in this run; an engine needs a push each time, so somebody must be there.", restarts)
	}
	switch {
	case a.Nominal.End == result.EndNeverStarted:
		add("As designed it never reaches its start difference. Better contact or less leak at the plate may help.")
	case a.Band.NeverStarted > 0.02:
		add("In %.0f %% of the samples it never starts.", 100*a.Band.NeverStarted)
	}
	if a.StalledEarly > 0.05 {
		add("In %.0f %% of the samples it stalls long before the store is spent: the plate difference has too little "+
			"to spare. Better contact, or a smaller gap as the store sinks, buys more than insulation.", 100*a.StalledEarly)
	}
	if a.Band.StillRunning > 0.02 {
		add("In %.0f %% of the samples it was still running when the time simulated ran out: the band's upper end is a lower bound.", 100*a.Band.StillRunning)
	}
	if keep := d.KeepDifference(); keep > 0 && a.Nominal.MeanDifference > 0 {
		if margin := a.Nominal.MeanDifference / keep; margin < 1.25 {
			add("The mean plate difference is only %.2f times what keeps it going: small changes decide whether it runs.", margin)
		}
	}
}

func count(events []result.Event, kind result.EventKind) int {
	n := 0
	for _, e := range events {
		if e.Kind == kind {
			n++
		}
	}
	return n
}

// fewSamples is the number below which a low-discrepancy sequence in some
// seventy dimensions is not yet even: the ends of a band are then rough.
const fewSamples = 300

func tooFew(samples int) string {
	return fmt.Sprintf("Only %d samples: the ends of the bands are rough below some %d.", samples, fewSamples)
}

func trust(a *Answer, add adder) {
	if a.Band.Samples > 0 && a.Band.Samples < fewSamples {
		add("%s", tooFew(a.Band.Samples))
	}
	if a.Band.Median > 0 {
		if half := (a.Band.High - a.Band.Low) / 2 / a.Band.Median; half > 0.2 {
			add("The band is +-%.0f %%: handbook values alone say no more. One logged trial, or a heater of known "+
				"power on the upper plate, narrows it; comparing two designs on the same unknowns is far sharper.", 100*half)
		}
	}
}

func celsius(kelvin float64) string { return quantity.Format(kelvin, quantity.Temperature, 3) }
