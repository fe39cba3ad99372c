package predict

import (
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/quantity"
	"meltspan/transfer"
)

// FreezingOf works out how long the charge takes to freeze, and what room it
// needs to grow. nil when the store is not frozen beforehand.
func FreezingOf(d *design.Design) *Freezing { return freezing(d, true) }

// FreezingNominal is FreezingOf without the ends of its time: quick enough for a
// search.
func FreezingNominal(d *design.Design) *Freezing { return freezing(d, false) }

func freezing(d *design.Design, band bool) *Freezing {
	s, ok := substanceOf(d)
	if !ok || !s.HasPhaseChange || d.Store.Form == design.FormLiquid ||
		d.Store.Temperature.SI > s.Melting.Value || !d.ColdStore() {
		return nil
	}
	f := &Freezing{Expansion: s.FreezingExpansion()}
	body := f.mould(d, s)
	f.Method = "Plank's equation for freezing, with cooling before and subcooling after it (Pham 1984); freezer air " +
		"and film as stated or assumed"

	freezer, film := d.Store.Freezer.Temperature, d.Store.Freezer.Film
	final := math.Max(d.Store.Temperature.SI, freezer.SI+1)
	substance := transfer.FreezingSubstance{
		Density: s.LiquidDensity.Value, FreezingPoint: s.Melting.Value, LatentHeat: s.Latent.Value,
		LiquidSpecificHeat: s.LiquidSpecificHeat.Value, LiquidConductivity: s.LiquidConductivity.Value,
		FrozenSpecificHeat: s.SolidSpecificHeat.Value, FrozenConductivity: s.SolidConductivity.Value,
	}
	time := func(film, air float64) float64 {
		return transfer.FreezingTime(body, substance, film, d.Store.Freezer.Water.SI, math.Max(final, air+1), air).Total()
	}
	f.Time = time(film.SI, freezer.SI)
	f.Low, f.High = math.NaN(), math.NaN()
	if !band {
		return f
	}
	// Film and freezer air are the two unknowns; their effects are combined as
	// independent relative errors, 90 % either way.
	const ninety = 1.645
	up := time(film.SI*math.Exp(ninety*film.Spread/film.SI), freezer.SI) / f.Time
	down := time(film.SI*math.Exp(-ninety*film.Spread/film.SI), freezer.SI) / f.Time
	colder := time(film.SI, freezer.SI-ninety*freezer.Spread) / f.Time
	warmer := time(film.SI, math.Min(freezer.SI+ninety*freezer.Spread, s.Melting.Value-1)) / f.Time
	f.Low = f.Time * math.Exp(-math.Hypot(math.Log(up), math.Log(colder)))
	f.High = f.Time * math.Exp(math.Hypot(math.Log(down), math.Log(warmer)))
	return f
}

// mould fills in the depths in the mould and returns the body that freezes.
func (f *Freezing) mould(d *design.Design, s matter.Substance) transfer.FreezingBody {
	mass := d.Store.Mass.SI
	volume := mass / s.LiquidDensity.Value
	if d.Store.Form != design.FormBlock {
		// Each piece freezes in a mould of its own, with room of its own.
		f.InMould = true
		f.Headroom = math.NaN()
		f.Poured, f.Frozen = math.NaN(), math.NaN()
		return transfer.FreezingBody{Shape: transfer.Ball, Half: d.Store.Edge.SI / 2}
	}
	stated := byUser(d.Store.Freezer.MouldDiameter) || byUser(d.Store.Freezer.MouldDepth)
	diameter, depth := d.Store.Diameter.SI, d.Stand.Cup.Depth.SI
	if d.Store.Freezer.MouldDiameter.Present() {
		diameter = d.Store.Freezer.MouldDiameter.SI
	}
	if d.Store.Freezer.MouldDepth.Present() {
		depth = d.Store.Freezer.MouldDepth.SI
	}
	area := math.Pi / 4 * diameter * diameter
	f.InMould = stated
	f.Poured = volume / area
	f.Frozen = mass / s.SolidDensity.Value / area
	f.Headroom = depth - f.Frozen
	return transfer.FreezingBody{Shape: transfer.ShortCylinder, Half: diameter / 2, Height: f.Poured}
}

// byUser reports whether a value was written in the design.
func byUser(v quantity.Value) bool {
	return v.Origin == quantity.Stated || v.Origin == quantity.Measured
}
