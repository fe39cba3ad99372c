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
	f.Film = d.Store.Freezer.Film.SI
	f.Method = "Plank's equation for freezing, with cooling before and subcooling after it (Pham 1984)"
	if d.Store.Freezer.Film.Origin == quantity.Derived {
		f.FilmFrom = "worked out from an air speed of " + quantity.Format(d.Store.Freezer.AirSpeed.SI, quantity.Velocity, 2) + " and radiation"
	} else if byUser(d.Store.Freezer.Film) {
		f.FilmFrom = "as stated"
	} else {
		f.FilmFrom = "assumed"
	}

	freezer := d.Store.Freezer.Temperature
	final := math.Max(d.Store.Temperature.SI, freezer.SI+1)
	substance := transfer.FreezingSubstance{
		Density: s.LiquidDensity.Value, FreezingPoint: s.Melting.Value, LatentHeat: s.Latent.Value,
		LiquidSpecificHeat: s.LiquidSpecificHeat.Value, LiquidConductivity: s.LiquidConductivity.Value,
		FrozenSpecificHeat: s.SolidSpecificHeat.Value, FrozenConductivity: s.SolidConductivity.Value,
	}
	time := func(film, water, air float64) float64 {
		air = math.Min(air, s.Melting.Value-1)
		return transfer.FreezingTime(body, substance, film, water, math.Max(final, air+1), air).Total()
	}
	water := d.Store.Freezer.Water
	f.Time = time(f.Film, water.SI, freezer.SI)
	f.Low, f.High = math.NaN(), math.NaN()
	if !band {
		return f
	}
	// Film, freezer air, water and the method itself are independent relative
	// errors, 90 % either way.
	change := func(film, water, air float64) float64 { return math.Log(time(film, water, air) / f.Time) }
	strong, weak := filmBand(d)
	colder, warmer := ninety*freezer.Spread, ninety*freezer.Spread
	short := math.Hypot(change(strong, water.SI, freezer.SI), change(f.Film, water.SI, freezer.SI-colder))
	long := math.Hypot(change(weak, water.SI, freezer.SI), change(f.Film, water.SI, freezer.SI+warmer))
	rest := math.Hypot(freezingMethod, change(f.Film, water.SI+ninety*water.Spread, freezer.SI))
	f.Low = f.Time * math.Exp(-math.Hypot(short, rest))
	f.High = f.Time * math.Exp(math.Hypot(long, rest))
	return f
}

// ninety is how many standard uncertainties hold 90 % of a normal distribution.
const ninety = 1.645

// freezingMethod is the error of the method, 90 % either way, as a share: Pham
// 1984 reports some 10 % against experiments (from memory, page not verified).
const freezingMethod = 0.1

// filmBand is the strongest and the weakest film about the mould, 90 % either
// way, W/(m2 K): of the film itself or, where it follows from the air speed, of
// that and of the correlations.
func filmBand(d *design.Design) (strong, weak float64) {
	film, speed := d.Store.Freezer.Film, d.Store.Freezer.AirSpeed
	if film.Origin != quantity.Derived {
		share := ninety * film.Spread / film.SI
		return film.SI * math.Exp(share), film.SI * math.Exp(-share)
	}
	at := func(speed float64) float64 {
		moved := d.Clone()
		moved.Store.Freezer.AirSpeed.SI = speed
		moved.Rederive()
		return math.Log(moved.Store.Freezer.Film.SI / film.SI)
	}
	factor := 1.0 // a still chest stays still
	if speed.SI > 0 {
		factor = math.Exp(ninety * speed.Spread / speed.SI)
	}
	share := ninety * transfer.FreezerFilmSpread
	return film.SI * math.Exp(math.Hypot(at(speed.SI*factor), share)), film.SI * math.Exp(-math.Hypot(at(speed.SI/factor), share))
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
