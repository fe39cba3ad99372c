package quantity

// unit is one way to write a quantity: SI = number*factor + offset.
type unit struct {
	symbol string   // as printed; "W/(m2 K)" stands for all its usual spellings, see expression
	factor float64  // SI units in one of this unit
	offset float64  // added after scaling; only temperatures have one
	also   []string // further spellings, taken literally
}

// kindUnits is the one table of what may be written for a kind.
type kindUnits struct {
	kind    Kind
	article string // "a" or "an", for messages
	example string // the number in an example, written with units[0]
	units   []unit // the first is the one that messages and examples use
}

// The inch, foot, pound and ounce are exact by definition (NIST Special
// Publication 811, Appendix B); so are the standard atmosphere and the
// Fahrenheit scale.
const (
	inch       = 0.0254
	foot       = 12 * inch
	pound      = 0.45359237
	ounce      = pound / 16
	minute     = 60.0
	hour       = 60 * minute
	day        = 24 * hour
	atmosphere = 101325.0
	iceOffset  = 273.15 // K at 0 degC
	fahrenheit = 5.0 / 9.0
	degree     = 3.141592653589793 / 180
)

var (
	celsiusSpellings    = []string{"°C", "ºC", "C"}
	fahrenheitSpellings = []string{"°F", "ºF", "F"}
)

var table = []kindUnits{
	{Length, "a", "120", []unit{
		{"mm", 1e-3, 0, nil}, {"m", 1, 0, nil}, {"cm", 1e-2, 0, nil}, {"um", 1e-6, 0, nil},
		{"in", inch, 0, []string{"inch", "inches"}}, {"ft", foot, 0, []string{"foot", "feet"}},
	}},
	{Area, "an", "50", []unit{
		{"cm2", 1e-4, 0, nil}, {"m2", 1, 0, nil}, {"mm2", 1e-6, 0, nil},
		{"in2", inch * inch, 0, nil}, {"ft2", foot * foot, 0, nil},
	}},
	{Volume, "a", "120", []unit{
		{"ml", 1e-6, 0, []string{"mL"}}, {"l", 1e-3, 0, []string{"L", "litre", "litres"}},
		{"cm3", 1e-6, 0, nil}, {"mm3", 1e-9, 0, nil}, {"dm3", 1e-3, 0, nil}, {"m3", 1, 0, nil},
		{"in3", inch * inch * inch, 0, nil},
	}},
	{Mass, "a", "120", []unit{
		{"g", 1e-3, 0, nil}, {"kg", 1, 0, nil}, {"mg", 1e-6, 0, nil},
		{"oz", ounce, 0, nil}, {"lb", pound, 0, []string{"lbs"}},
	}},
	{Time, "a", "90", []unit{
		{"min", minute, 0, []string{"minute", "minutes"}}, {"s", 1, 0, []string{"sec", "second", "seconds"}},
		{"h", hour, 0, []string{"hr", "hour", "hours"}}, {"d", day, 0, []string{"day", "days"}},
	}},
	{Temperature, "a", "24", []unit{
		{"degC", 1, iceOffset, celsiusSpellings}, {"K", 1, 0, nil},
		{"degF", fahrenheit, iceOffset - 32*fahrenheit, fahrenheitSpellings},
	}},
	{TemperatureDifference, "a", "6.5", []unit{
		{"K", 1, 0, nil}, {"mK", 1e-3, 0, nil},
		{"degC", 1, 0, celsiusSpellings}, {"degF", fahrenheit, 0, fahrenheitSpellings},
	}},
	{Fraction, "a", "50", []unit{{"%", 1e-2, 0, nil}}},
	{Angle, "an", "45", []unit{{"deg", degree, 0, []string{"°"}}, {"rad", 1, 0, nil}}},
	{ThermalConductance, "a", "0.10", []unit{{"W/K", 1, 0, nil}, {"mW/K", 1e-3, 0, nil}, {"kW/K", 1e3, 0, nil}}},
	{HeatTransferCoefficient, "a", "8", []unit{
		{"W/(m2 K)", 1, 0, nil}, {"mW/(cm2 K)", 10, 0, nil}, {"W/(cm2 K)", 1e4, 0, nil},
	}},
	{ThermalConductivity, "a", "0.20", []unit{
		{"W/(m K)", 1, 0, nil}, {"mW/(m K)", 1e-3, 0, nil}, {"W/(cm K)", 100, 0, nil},
	}},
	{SpecificHeat, "a", "1800", []unit{
		{"J/(kg K)", 1, 0, nil}, {"kJ/(kg K)", 1e3, 0, nil}, {"J/(g K)", 1e3, 0, nil},
	}},
	{Density, "a", "1240", []unit{
		{"kg/m3", 1, 0, nil}, {"g/cm3", 1e3, 0, nil}, {"g/ml", 1e3, 0, []string{"g/mL"}},
		{"kg/l", 1e3, 0, []string{"kg/L"}}, {"g/l", 1, 0, []string{"g/L"}},
	}},
	{LatentHeat, "a", "334", []unit{
		{"kJ/kg", 1e3, 0, nil}, {"J/kg", 1, 0, nil}, {"J/g", 1e3, 0, nil}, {"MJ/kg", 1e6, 0, nil},
	}},
	{Power, "a", "2", []unit{
		{"W", 1, 0, nil}, {"mW", 1e-3, 0, nil}, {"uW", 1e-6, 0, nil}, {"kW", 1e3, 0, nil},
	}},
	{Energy, "an", "11", []unit{
		{"Wh", 3600, 0, []string{"W h", "W·h"}}, {"J", 1, 0, nil}, {"mJ", 1e-3, 0, nil}, {"kJ", 1e3, 0, nil},
		{"MJ", 1e6, 0, nil}, {"mWh", 3.6, 0, nil}, {"kWh", 3.6e6, 0, nil},
	}},
	{HeatFlux, "a", "50", []unit{
		{"W/m2", 1, 0, nil}, {"mW/cm2", 10, 0, nil}, {"W/cm2", 1e4, 0, nil}, {"kW/m2", 1e3, 0, nil},
	}},
	{Velocity, "a", "0.1", []unit{
		{"m/s", 1, 0, nil}, {"cm/s", 1e-2, 0, nil}, {"mm/s", 1e-3, 0, nil}, {"km/h", 1000 / hour, 0, nil},
	}},
	{Pressure, "a", "1013", []unit{
		{"hPa", 100, 0, nil}, {"Pa", 1, 0, nil}, {"kPa", 1e3, 0, nil}, {"MPa", 1e6, 0, nil},
		{"bar", 1e5, 0, nil}, {"mbar", 100, 0, nil}, {"atm", atmosphere, 0, nil},
	}},
	{Frequency, "a", "60", []unit{
		{"rpm", 1 / minute, 0, []string{"/min"}}, {"Hz", 1, 0, []string{"/s"}},
	}},
	{HeatPerCycle, "a", "0.01", []unit{{"J/K", 1, 0, nil}, {"mJ/K", 1e-3, 0, nil}, {"uJ/K", 1e-6, 0, nil}}},
	// The ohm sign and the Greek capital omega look the same.
	{ElectricResistance, "an", "4", []unit{
		{"ohm", 1, 0, []string{"\u03a9", "\u2126"}}, {"mohm", 1e-3, 0, []string{"m\u03a9", "m\u2126"}},
		{"kohm", 1e3, 0, []string{"k\u03a9", "k\u2126"}},
	}},
	{SeebeckCoefficient, "a", "50", []unit{{"mV/K", 1e-3, 0, nil}, {"V/K", 1, 0, nil}, {"uV/K", 1e-6, 0, nil}}},
	{MassPerArea, "a", "200", []unit{{"g/m2", 1e-3, 0, nil}, {"kg/m2", 1, 0, nil}, {"g/cm2", 10, 0, nil}}},
}

// Kinds lists every kind, in the order of the table of units.
func Kinds() []Kind {
	kinds := make([]Kind, len(table))
	for i, k := range table {
		kinds[i] = k.kind
	}
	return kinds
}

// Units lists the symbols that may be written for a kind, the preferred one
// first; it is empty for a kind that does not exist.
func Units(kind Kind) []string {
	k, ok := find(kind)
	if !ok {
		return nil
	}
	symbols := make([]string, len(k.units))
	for i, u := range k.units {
		symbols[i] = u.symbol
	}
	return symbols
}

// Example returns a well-written quantity of the kind, such as "120 mm"; it
// is empty for a kind that does not exist.
func Example(kind Kind) string {
	k, ok := find(kind)
	if !ok {
		return ""
	}
	return k.example + " " + k.units[0].symbol
}

func find(kind Kind) (kindUnits, bool) {
	for _, k := range table {
		if k.kind == kind {
			return k, true
		}
	}
	return kindUnits{}, false
}
