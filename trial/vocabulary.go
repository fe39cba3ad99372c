package trial

import "meltspan/quantity"

// Quantities lists what a series may measure.
func Quantities() []Quantity {
	return []Quantity{BottomPlate, TopPlate, Room, Humidity, Wall, Water, Speed, Weight, HeaterPower, Spot}
}

// Kinds lists what may be run.
func Kinds() []Kind { return []Kind{Run, WarmPlate, PlateHeater, BlankMelt} }

// EventKinds lists the events of trials, in the order in which they happen.
func EventKinds() []EventKind { return []EventKind{LoadSet, Started, Drip, IceGone, Stalled, Stopped} }

// Measures is the kind of quantity that a series of q holds.
func (q Quantity) Measures() quantity.Kind {
	switch q {
	case Humidity:
		return quantity.Fraction
	case Speed:
		return quantity.Frequency
	case Weight:
		return quantity.Mass
	case HeaterPower:
		return quantity.Power
	}
	return quantity.Temperature
}
