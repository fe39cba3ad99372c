package design

import (
	"math"

	"meltspan/quantity"
	"meltspan/transfer"
)

// Ratios and clearances that hold where the file states nothing else.
const (
	startOverStall       = 1.15 // start difference over stall difference; common practice
	displacerOverChamber = 0.96 // diameters; common practice: some 2 mm of gap round a palm-size disc
	displacerOverHeight  = 0.6  // displacer thickness over chamber height; common practice
	blockClearance       = 1e-3 // m, cup diameter less block diameter; common practice
)

// Rederive works out anew the values that follow from others and that the
// file does not state (their origin is Derived). Call it after changing
// values through an Accessor; Set calls it by itself. A derived value has no
// spread of its own: it moves with what it follows from.
func (d *Design) Rederive() {
	d.deriveLoad()
	d.deriveStand()
	d.deriveStore()
	derive(&d.Print.LineWidth, lineOverNozzle*d.Print.Nozzle.SI, "1.05 of the nozzle; "+common)
	derive(&d.Room.Radiant, d.Room.Temperature.SI, "as the air")
	derive(&d.Envelope.Diameter, d.Stand.OuterDiameter.SI, "as the body")
	derive(&d.Envelope.Height, d.Stand.Height.SI+d.Stand.Feet.Height.SI, "as the body on its feet")
}

func derive(v *quantity.Value, si float64, source string) {
	if v.Origin == "" || v.Origin == quantity.Derived {
		*v = quantity.Value{SI: si, Origin: quantity.Derived, Source: source}
	}
}

func (d *Design) deriveLoad() {
	if e := d.Load.Engine; e != nil {
		derive(&e.StartDifference, startOverStall*e.StallDifference.SI, "1.15 of the stall difference; "+common)
		plate := d.Load.BottomPlate.Diameter.SI
		if d.Load.TopPlate != nil {
			plate = min(plate, d.Load.TopPlate.Diameter.SI)
		}
		derive(&e.ChamberDiameter, plate-2*e.RingWall.SI, "the smaller plate less the ring wall")
		derive(&e.Displacer.Diameter, displacerOverChamber*e.ChamberDiameter.SI, "0.96 of the chamber; "+common)
		derive(&e.Displacer.Thickness, displacerOverHeight*e.ChamberHeight.SI, "0.6 of the chamber's height; "+common)
		derive(&e.ChargePressure, d.Room.Pressure.SI, "as the air of the room")
	}
	if g := d.Load.Generator; g != nil {
		derive(&g.LoadResistance, g.InternalResistance.SI, "matched to the module")
	}
	if s := d.Load.Sample; s != nil {
		derive(&s.Temperature, d.Room.Temperature.SI, "as the air of the room")
	}
}

func (d *Design) deriveStand() {
	s := &d.Stand
	emissivity := d.MaterialByName(s.Material).Emissivity.SI
	derive(&s.Emissivity, emissivity, "of the stand's material")
	derive(&s.Wall.Emissivity, emissivity, "of the stand's material")
	derive(&s.Base.Emissivity, emissivity, "of the stand's material")
}

func (d *Design) deriveStore() {
	s, cup := &d.Store, &d.Stand.Cup
	if s.Form == FormBlock {
		derive(&s.Diameter, cup.Diameter.SI-blockClearance, "1 mm less than the cup; "+common)
	} else {
		derive(&s.Diameter, cup.Diameter.SI, "as the cup")
	}
	derive(&s.Freezer.MouldDiameter, s.Diameter.SI, "as the block")
	poured := s.Mass.SI / (d.meltDensity() * discArea(s.Freezer.MouldDiameter.SI))
	derive(&s.Freezer.MouldDepth, max(cup.Depth.SI, poured), "as the cup, or as deep as the water in it")
	if f := &s.Freezer; f.AirSpeed.Present() && s.MeltingPoint.Present() {
		derive(&f.Film, d.freezerFilm(), "from the air speed past the mould, and radiation")
	}
	switch d.Stand.Contact.Mode {
	case ContactOnRim:
		derive(&d.Stand.Contact.StartingGap, cup.Depth.SI+d.Stand.Rim.Gasket.SI-d.StoreTop(), "from cup, gasket, pegs and charge")
	case ContactPressed:
		derive(&d.Stand.Contact.StartingGap, 0, "the store is pressed to the plate")
	}
}

// mouldEmissivity is that of plastics, rubber and glass (common practice).
const mouldEmissivity = 0.9

// freezerFilm is the film about the charge in the freezer by its air speed,
// W/(m2 K): about a block in its mould, or about one cube or grain.
func (d *Design) freezerFilm() float64 {
	s, f := &d.Store, &d.Store.Freezer
	diameter, height := f.MouldDiameter.SI, f.MouldDepth.SI
	if s.Form == FormCubes || s.Form == FormCrushed {
		diameter, height = s.Edge.SI, s.Edge.SI
	}
	return transfer.FreezerFilm(f.AirSpeed.SI, f.Temperature.SI, s.MeltingPoint.SI, diameter, height, mouldEmissivity, d.Room.Pressure.SI)
}

// CavityWidth is the width, in m, of each cavity of a shell of that whole
// thickness (m): what skins and partitions leave, shared alike. It is 0 for a
// shell without cavities, and negative where skins and partitions do not fit,
// which Check refuses.
func (s *Shell) CavityWidth(thickness float64) float64 {
	if s.Cavities == 0 {
		return 0
	}
	n := float64(s.Cavities)
	return (thickness - 2*s.Skin.SI - (n-1)*s.Partition.SI) / n
}

// StoreHeight is the height, in m, of the charge before anything melts: of
// the block, of the bed of cubes, or of the liquid in a cup without pegs.
func (d *Design) StoreHeight() float64 {
	volume := d.Store.Mass.SI / d.storeDensity()
	switch d.Store.Form {
	case FormBlock:
		return volume / discArea(d.Store.Diameter.SI)
	case FormCubes, FormCrushed:
		return volume / (d.Store.Packing.SI * discArea(d.Stand.Cup.Diameter.SI))
	}
	return volume / discArea(d.Stand.Cup.Diameter.SI)
}

// StoreTop is how high, in m, the top of the charge stands above the cup's
// floor before anything melts: a solid rests on the pegs, a liquid surrounds
// them.
func (d *Design) StoreTop() float64 {
	pegs := &d.Stand.Pegs
	if pegs.Count == 0 {
		return d.StoreHeight()
	}
	if d.Store.Form == FormLiquid {
		return d.StoreHeight() + d.pegVolume()/discArea(d.Stand.Cup.Diameter.SI)
	}
	return d.StoreHeight() + pegs.Height.SI
}

// pegVolume is the volume of all pegs together, in m3.
func (d *Design) pegVolume() float64 {
	pegs := &d.Stand.Pegs
	return float64(pegs.Count) * discArea(pegs.Diameter.SI) * pegs.Height.SI
}

func discArea(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

// KeepDifference is the plate difference, K, that keeps an engine or generator
// going; 0 for other loads.
func (d *Design) KeepDifference() float64 {
	switch {
	case d.Load.Engine != nil:
		return d.Load.Engine.StallDifference.SI
	case d.Load.Generator != nil:
		return d.Load.Generator.LeastDifference.SI
	}
	return 0
}
