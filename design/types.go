// Package design reads, checks and completes the design file: one YAML text
// that states the load, the store, the stand, the room and the envelope.
package design

import (
	"meltspan/matter"
	"meltspan/quantity"
)

// The struct tags below are the one place where the design file is defined.
// The reader, the checks, the list of defaults and the JSON Schema all follow
// them.
//
//	yaml    key in the file
//	kind    what a quantity is (see quantity.Kind); it fixes the units allowed
//	range   interval of allowed values in file units, such as "(0 mm, 1 m]"
//	default key of the defaults table (defaults.go) used when the value is
//	        absent (and, of a material, when no handbook holds it either)
//	need    "yes" when the key must be present
//	unless  a key beside it that makes a needed key needless
//	choice  the words allowed
//	names   "solid", "filling" (a solid, or air) or "substance": whose names
//	        the word is taken from
//	own     "yes" when the value belongs to one trial (weighed, set up or
//	        measured anew each time), so two designs never share its error
//	about   what it means, for the schema and for messages

// Design is one device: what is to be kept running, on what store, in what
// stand, in what room. Lengths are metres, temperatures kelvins, and so on:
// every quantity is SI once read.
type Design struct {
	Format    int        `yaml:"meltspan" need:"yes" about:"version of the design file format; this program reads 1"`
	Name      string     `yaml:"name" need:"yes" about:"what you call this design"`
	Note      string     `yaml:"note" about:"free text"`
	Load      Load       `yaml:"load" need:"yes" about:"what must be kept running or cold"`
	Store     Store      `yaml:"store" need:"yes" about:"what takes up the heat (or, when hot, gives it)"`
	Stand     Stand      `yaml:"stand" need:"yes" about:"the printed body that insulates the store"`
	Room      Room       `yaml:"room" need:"yes" about:"air and surroundings"`
	Envelope  Envelope   `yaml:"envelope" about:"the space that the stand must fit into"`
	Print     Print      `yaml:"print" about:"how the stand is printed, and what the printer can do"`
	Materials []Material `yaml:"materials" about:"materials of your own, or handbook materials with your own values"`
	Model     Model      `yaml:"model" about:"factors on the handbook correlations; 1 unless calibrated"`

	// chosen holds, by path, where a word or a count that the file leaves out
	// came from; quantities carry their own origin. It is never written to
	// after reading, so clones share it.
	chosen map[string]choice

	stuff     *matter.Substance // of the store, looked up once
	stuffName string            // the name it was looked up by
}

// Load is exactly one of four consumers sitting on its lower plate.
type Load struct {
	BottomPlate Plate      `yaml:"bottom_plate" need:"yes" about:"the plate that faces the store"`
	TopPlate    *Plate     `yaml:"top_plate" about:"the plate that faces the room; needed by engine and generator"`
	Engine      *Engine    `yaml:"engine" about:"low-temperature-difference Stirling engine"`
	Generator   *Generator `yaml:"generator" about:"thermoelectric generator"`
	Leak        *Leak      `yaml:"leak" about:"a fixed heat flow into the lower plate"`
	Sample      *Sample    `yaml:"sample" about:"something to keep below a temperature"`
}

// Plate is a round plate.
type Plate struct {
	Diameter   quantity.Value `yaml:"diameter" kind:"length" need:"yes" range:"(0 mm, 1 m]" about:"plate diameter"`
	Thickness  quantity.Value `yaml:"thickness" kind:"length" default:"plate.thickness" range:"(0 mm, 50 mm]" about:"plate thickness"`
	Material   string         `yaml:"material" names:"solid" default:"plate.material" about:"plate material"`
	Emissivity quantity.Value `yaml:"emissivity" kind:"fraction" default:"plate.emissivity" range:"(0, 1]" about:"emissivity of its exposed face (bare metal about 0.1, painted or anodised about 0.9)"`
}

// Engine is a low-temperature-difference Stirling engine between two plates.
type Engine struct {
	StallDifference  quantity.Value `yaml:"stall_difference" kind:"temperature difference" default:"engine.stall_difference" range:"(0 K, 80 K]" about:"plate difference below which it stops"`
	StartDifference  quantity.Value `yaml:"start_difference" kind:"temperature difference" range:"(0 K, 80 K]" about:"plate difference at which it can be started, not below the stall difference; 1.15 of that when absent"`
	StillConductance quantity.Value `yaml:"still_conductance" kind:"thermal conductance" range:"(0 W/K, 10 W/K]" about:"plate to plate when it stands still, ring wall and screws included; worked out from the parts below when absent"`
	IntakePerCycle   quantity.Value `yaml:"intake_per_cycle" kind:"heat per cycle and kelvin" default:"engine.intake_per_cycle" range:"[0 J/K, 10 J/K]" about:"extra heat carried from plate to plate in one turn, per kelvin of plate difference"`
	StallSpeed       quantity.Value `yaml:"stall_speed" kind:"frequency" default:"engine.stall_speed" range:"(0 rpm, 2000 rpm]" about:"speed just before it stalls"`
	SpeedSlope       quantity.Value `yaml:"speed_per_kelvin" kind:"frequency" default:"engine.speed_per_kelvin" range:"[0 rpm, 500 rpm]" about:"gain of speed for each kelvin of plate difference above stall"`
	ChamberHeight    quantity.Value `yaml:"chamber_height" kind:"length" default:"engine.chamber_height" range:"(0 mm, 200 mm]" about:"inside height between the plates"`
	ChamberDiameter  quantity.Value `yaml:"chamber_diameter" kind:"length" range:"(0 mm, 1 m]" about:"inside diameter of the ring wall; from the smaller plate when absent"`
	RingWall         quantity.Value `yaml:"ring_wall" kind:"length" default:"engine.ring_wall" range:"(0 mm, 50 mm]" about:"thickness of the ring wall between the plates"`
	RingMaterial     string         `yaml:"ring_material" names:"solid" default:"engine.ring_material" about:"material of the ring wall"`
	Screws           Screws         `yaml:"screws" about:"screws or pillars that join the plates"`
	Displacer        Displacer      `yaml:"displacer" about:"the displacer disc"`
	PowerSweptVolume quantity.Value `yaml:"power_swept_volume" kind:"volume" default:"engine.power_swept_volume" range:"(0 ml, 10 l]" about:"volume swept by the power piston or diaphragm"`
	ChargePressure   quantity.Value `yaml:"charge_pressure" kind:"pressure" range:"(0 kPa, 1 MPa]" about:"mean pressure of the working gas; the pressure of the room when absent"`
	DeadVolume       quantity.Value `yaml:"dead_volume" kind:"volume" default:"engine.dead_volume" range:"[0 ml, 10 l]" about:"gas volume that no piston sweeps"`
	Mass             quantity.Value `yaml:"mass" kind:"mass" default:"engine.mass" range:"[0 g, 50 kg]" about:"whole engine, for tipping and for pressing on the store"`
}

// Screws join the two plates and conduct heat past the chamber.
type Screws struct {
	Count    int            `yaml:"count" default:"engine.screws.count" range:"[0, 100]" about:"how many"`
	Diameter quantity.Value `yaml:"diameter" kind:"length" default:"engine.screws.diameter" range:"(0 mm, 50 mm]" about:"core diameter"`
	Material string         `yaml:"material" names:"solid" default:"engine.screws.material" about:"screw material"`
}

// Displacer is the disc that moves the gas between the plates.
type Displacer struct {
	Diameter  quantity.Value `yaml:"diameter" kind:"length" range:"(0 mm, 1 m]" about:"disc diameter; 0.96 of the chamber when absent"`
	Thickness quantity.Value `yaml:"thickness" kind:"length" range:"(0 mm, 200 mm]" about:"disc thickness; 0.6 of the chamber height when absent"`
	Material  string         `yaml:"material" names:"solid" default:"engine.displacer.material" about:"disc material"`
}

// Generator is a thermoelectric generator clamped between the plates.
type Generator struct {
	ThermalConductance quantity.Value `yaml:"thermal_conductance" kind:"thermal conductance" need:"yes" range:"(0 W/K, 100 W/K]" about:"plate to plate with no current"`
	Seebeck            quantity.Value `yaml:"seebeck" kind:"Seebeck coefficient" need:"yes" range:"(0 V/K, 1 V/K]" about:"open-circuit voltage of the whole module per kelvin"`
	InternalResistance quantity.Value `yaml:"internal_resistance" kind:"electric resistance" need:"yes" range:"(0 ohm, 1000 ohm]" about:"electric resistance of the module"`
	LoadResistance     quantity.Value `yaml:"load_resistance" kind:"electric resistance" range:"(0 ohm, 1000000 ohm]" about:"electric load; matched to the module when absent"`
	LeastDifference    quantity.Value `yaml:"least_difference" kind:"temperature difference" need:"yes" range:"(0 K, 100 K]" about:"plate difference below which it is of no use"`
}

// Leak is a constant heat flow into the lower plate (negative: out of it).
type Leak struct {
	Power quantity.Value `yaml:"power" kind:"power" need:"yes" range:"[-1 kW, 1 kW]" about:"heat flow into the plate"`
	Limit quantity.Value `yaml:"limit" kind:"temperature" need:"yes" range:"[-80 degC, 150 degC]" about:"plate temperature that ends the run (upper limit on a cold store, lower on a hot one)"`
}

// Sample is a body on the lower plate that must stay below (on a hot store:
// above) a temperature.
type Sample struct {
	Mass         quantity.Value `yaml:"mass" kind:"mass" need:"yes" range:"(0 g, 10 kg]" about:"sample and its vessel"`
	SpecificHeat quantity.Value `yaml:"specific_heat" kind:"specific heat" default:"sample.specific_heat" range:"(0 J/(kg K), 10 kJ/(kg K)]" about:"of the sample"`
	Contact      quantity.Value `yaml:"contact" kind:"thermal conductance" need:"yes" range:"(0 W/K, 1000 W/K]" about:"between sample and lower plate"`
	ExposedArea  quantity.Value `yaml:"exposed_area" kind:"area" need:"yes" range:"[0 cm2, 1 m2]" about:"face of the sample or its cover that meets the room"`
	Cover        quantity.Value `yaml:"cover" kind:"heat transfer coefficient" range:"(0 W/(m2 K), 1000 W/(m2 K)]" about:"heat transfer coefficient of a lid or cover over that face, in series with its air film; bare when absent"`
	Limit        quantity.Value `yaml:"limit" kind:"temperature" need:"yes" range:"[-80 degC, 150 degC]" about:"sample temperature that ends the run"`
	Temperature  quantity.Value `yaml:"temperature" kind:"temperature" own:"yes" range:"[-80 degC, 150 degC]" about:"at the start; as the room when absent"`
}

// The forms a store can take.
const (
	FormBlock   = "block"
	FormCubes   = "cubes"
	FormCrushed = "crushed"
	FormLiquid  = "liquid"
)

// What carries a solid store in its cup.
const (
	SupportFloats = "floats" // free to rise on its melt; rests on floor or pegs until it floats
	SupportRests  = "rests"  // kept down on floor or pegs
	SupportHeld   = "held"   // kept at its starting height, or against the plate
)

// Store is what takes up the heat.
type Store struct {
	Substance    string         `yaml:"substance" names:"substance" need:"yes" about:"ice, water, brine or a phase-change material"`
	Form         string         `yaml:"form" about:"block, cubes, crushed or liquid; block for what is frozen at the start, liquid otherwise" choice:"block,cubes,crushed,liquid"`
	Mass         quantity.Value `yaml:"mass" kind:"mass" need:"yes" own:"yes" range:"(0 g, 20 kg]" about:"weighed charge"`
	Temperature  quantity.Value `yaml:"temperature" kind:"temperature" need:"yes" own:"yes" range:"[-80 degC, 99 degC]" about:"when the load is set on it"`
	MeltingPoint quantity.Value `yaml:"melting_point" kind:"temperature" range:"[-80 degC, 99 degC]" about:"of the substance; from the handbook when absent"`
	LatentHeat   quantity.Value `yaml:"latent_heat" kind:"latent heat" range:"(0 kJ/kg, 1000 kJ/kg]" about:"of melting; from the handbook when absent"`
	Diameter     quantity.Value `yaml:"diameter" kind:"length" range:"(0 mm, 1 m]" about:"of the block; 1 mm less than the cup when absent"`
	Edge         quantity.Value `yaml:"edge" kind:"length" range:"(0 mm, 200 mm]" about:"edge of one cube, or mean grain of crushed ice"`
	Packing      quantity.Value `yaml:"packing" kind:"fraction" default:"store.packing" range:"(0 %, 100 %]" about:"solid share of a bed of cubes or crushed ice"`
	Support      string         `yaml:"support" default:"store.support" about:"floats, rests or held" choice:"floats,rests,held"`
	Freezer      Freezer        `yaml:"freezer" about:"how the charge is frozen"`
}

// Freezer says how the charge is frozen beforehand.
type Freezer struct {
	Temperature   quantity.Value `yaml:"temperature" kind:"temperature" default:"freezer.temperature" range:"[-80 degC, -1 degC]" about:"air in the freezer"`
	Film          quantity.Value `yaml:"film" kind:"heat transfer coefficient" default:"freezer.film" range:"(0 W/(m2 K), 500 W/(m2 K)]" about:"from mould to freezer air, radiation included; from the air speed when that is stated"`
	AirSpeed      quantity.Value `yaml:"air_speed" kind:"velocity" range:"[0 m/s, 20 m/s]" about:"past the mould, 0 in a still chest; unused when film is stated"`
	Water         quantity.Value `yaml:"water" kind:"temperature" default:"freezer.water" range:"[0 degC, 99 degC]" about:"water as poured"`
	MouldDiameter quantity.Value `yaml:"mould_diameter" kind:"length" range:"(0 mm, 1 m]" about:"inside of the mould; as the block when absent"`
	MouldDepth    quantity.Value `yaml:"mould_depth" kind:"length" range:"(0 mm, 1 m]" about:"inside depth of the mould; as the cup when absent"`
}

// How the lower plate meets the store.
const (
	ContactPressed = "pressed"    // store kept against the plate while any is left
	ContactOnRim   = "on_rim"     // plate rests on the rim (on the store while that stands proud)
	ContactNone    = "no_contact" // plate held clear of the store by pegs or a grill
)

// Stand is the printed body, round about its axis.
type Stand struct {
	Material      string         `yaml:"material" names:"solid" default:"stand.material" about:"what it is printed from"`
	OuterDiameter quantity.Value `yaml:"outer_diameter" kind:"length" need:"yes" range:"(0 mm, 1 m]" about:"of the body"`
	Height        quantity.Value `yaml:"height" kind:"length" need:"yes" range:"(0 mm, 1 m]" about:"of the body"`
	Cup           Cup            `yaml:"cup" need:"yes" about:"the hollow that holds the store"`
	Wall          Shell          `yaml:"wall" about:"between cup and outside"`
	Base          Shell          `yaml:"base" about:"between cup floor and table"`
	Rim           Rim            `yaml:"rim" about:"top edge of the wall"`
	Ribs          Ribs           `yaml:"ribs" about:"radial ribs that bridge the wall's cavities"`
	Pegs          Pegs           `yaml:"pegs" about:"pegs on the cup floor that carry the store"`
	Feet          Feet           `yaml:"feet" about:"feet under the base"`
	Tray          Tray           `yaml:"tray" about:"catches what drips and overflows"`
	Contact       Contact        `yaml:"contact" about:"between lower plate and store"`
	Emissivity    quantity.Value `yaml:"emissivity" kind:"fraction" range:"(0, 1]" about:"of the outside; from the material when absent"`
}

// Cup is the cylindrical hollow for the store.
type Cup struct {
	Diameter quantity.Value `yaml:"diameter" kind:"length" need:"yes" range:"(0 mm, 1 m]" about:"inside diameter"`
	Depth    quantity.Value `yaml:"depth" kind:"length" need:"yes" range:"(0 mm, 1 m]" about:"from rim to floor"`
	Drains   bool           `yaml:"drains" about:"true when melt runs out of the cup into the tray"`
}

// Shell is a wall or a base: two skins with cavities between, or solid (or
// infilled) when it has none. Its whole thickness follows from the body and
// the cup.
type Shell struct {
	Cavities   int            `yaml:"cavities" default:"shell.cavities" range:"[0, 6]" about:"air spaces one behind the other; 0 is solid or infilled"`
	Skin       quantity.Value `yaml:"skin" kind:"length" default:"shell.skin" range:"(0 mm, 100 mm]" about:"thickness of each outermost skin of a hollow shell, or of the closed skin round an infill"`
	Partition  quantity.Value `yaml:"partition" kind:"length" default:"shell.partition" range:"(0 mm, 100 mm]" about:"thickness of each partition between cavities"`
	Infill     quantity.Value `yaml:"infill" kind:"fraction" default:"shell.infill" range:"[0 %, 100 %]" about:"solid share between the skins when there is no cavity"`
	Filling    string         `yaml:"filling" names:"filling" default:"shell.filling" about:"what fills the cavities: air, or an insulating material"`
	Emissivity quantity.Value `yaml:"cavity_emissivity" kind:"fraction" range:"(0, 1]" about:"of the faces in the cavities (a metal foil lining about 0.05); from the material when absent"`
}

// Rim joins the skins of the wall at the top.
type Rim struct {
	Thickness      quantity.Value `yaml:"thickness" kind:"length" default:"rim.thickness" range:"(0 mm, 100 mm]" about:"height of the closed ring at the top of the wall"`
	Contact        quantity.Value `yaml:"contact" kind:"heat transfer coefficient" default:"rim.contact" range:"(0 W/(m2 K), 10000 W/(m2 K)]" about:"between plate and rim where they touch"`
	Gasket         quantity.Value `yaml:"gasket" kind:"length" default:"rim.gasket" range:"[0 mm, 20 mm]" about:"thickness of foam or cork laid on the rim; 0 for none"`
	GasketMaterial string         `yaml:"gasket_material" names:"solid" default:"rim.gasket_material" about:"what the gasket is made of"`
}

// Ribs bridge the wall's cavities over their whole height.
type Ribs struct {
	Count     int            `yaml:"count" default:"ribs.count" range:"[0, 200]" about:"how many round the axis"`
	Thickness quantity.Value `yaml:"thickness" kind:"length" default:"ribs.thickness" range:"(0 mm, 50 mm]" about:"of each"`
}

// Pegs stand on the cup floor.
type Pegs struct {
	Count    int            `yaml:"count" default:"pegs.count" range:"[0, 500]" about:"how many"`
	Diameter quantity.Value `yaml:"diameter" kind:"length" default:"pegs.diameter" range:"(0 mm, 100 mm]" about:"of each"`
	Height   quantity.Value `yaml:"height" kind:"length" default:"pegs.height" range:"(0 mm, 200 mm]" about:"of each"`
}

// Feet hold the base clear of the table.
type Feet struct {
	Height quantity.Value `yaml:"height" kind:"length" default:"feet.height" range:"[0 mm, 200 mm]" about:"gap under the base; 0 stands flat on the table"`
}

// Tray catches condensate, overflow and drained melt.
type Tray struct {
	Capacity quantity.Value `yaml:"capacity" kind:"volume" default:"tray.capacity" range:"[0 ml, 10 l]" about:"what it holds before it spills"`
}

// Contact is what lies between the lower plate and the store.
type Contact struct {
	Mode        string         `yaml:"mode" default:"contact.mode" about:"pressed, on_rim or no_contact" choice:"pressed,on_rim,no_contact"`
	StartingGap quantity.Value `yaml:"starting_gap" kind:"length" default:"contact.starting_gap" own:"yes" range:"[-20 mm, 200 mm]" about:"from store to plate when the load is set on; negative when the store stands proud of the rim; used by on_rim and no_contact. On a rim it follows from cup, pegs and charge when absent"`
	Wet         quantity.Value `yaml:"wet_coefficient" kind:"heat transfer coefficient" default:"contact.wet_coefficient" range:"(0 W/(m2 K), 50000 W/(m2 K)]" about:"between plate and melting store where they touch"`
	Film        quantity.Value `yaml:"retained_film" kind:"mass per area" default:"contact.retained_film" range:"[0 kg/m2, 2 kg/m2]" about:"water left hanging on the plate when contact is lost"`
}

// Room is the air and the surroundings.
type Room struct {
	Temperature  quantity.Value `yaml:"temperature" kind:"temperature" need:"yes" unless:"log" own:"yes" range:"[-40 degC, 60 degC]" about:"air, as the mean over the trial"`
	Humidity     quantity.Value `yaml:"humidity" kind:"fraction" default:"room.humidity" own:"yes" range:"[0 %, 100 %]" about:"relative humidity of the air"`
	AirSpeed     quantity.Value `yaml:"air_speed" kind:"velocity" default:"room.air_speed" own:"yes" range:"[0 m/s, 10 m/s]" about:"past the device"`
	Radiant      quantity.Value `yaml:"radiant_temperature" kind:"temperature" own:"yes" range:"[-60 degC, 100 degC]" about:"mean radiant temperature; as the air when absent"`
	Sun          quantity.Value `yaml:"sun" kind:"heat flux" default:"room.sun" range:"[0 W/m2, 1400 W/m2]" about:"sun on the upper plate, before its absorptivity"`
	Absorptivity quantity.Value `yaml:"sun_absorptivity" kind:"fraction" default:"room.sun_absorptivity" range:"[0, 1]" about:"share of the sun that the upper plate takes in"`
	Pressure     quantity.Value `yaml:"pressure" kind:"pressure" default:"room.pressure" range:"[50 kPa, 110 kPa]" about:"air pressure"`
	Daily        *Daily         `yaml:"daily" about:"a daily swing about the mean"`
	Log          string         `yaml:"log" about:"CSV file beside the design with columns time_s, temperature_degC and humidity_percent; replaces temperature and humidity"`
	Series       []RoomSample   `yaml:"-"`
}

// Daily is a sinusoidal swing of the air temperature.
type Daily struct {
	Swing   quantity.Value `yaml:"swing" kind:"temperature difference" need:"yes" range:"[0 K, 30 K]" about:"half of the span from coolest to warmest"`
	Warmest quantity.Value `yaml:"warmest_after" kind:"time" need:"yes" range:"[0 h, 24 h]" about:"from setting on the load to the warmest moment"`
}

// RoomSample is one row of a logged room.
type RoomSample struct {
	Time        float64 // s from setting on the load
	Temperature float64 // K
	Humidity    float64 // 0 to 1
}

// Envelope is the space that the stand must fit into.
type Envelope struct {
	Diameter quantity.Value `yaml:"diameter" kind:"length" range:"(0 mm, 2 m]" about:"largest diameter; as the body when absent"`
	Height   quantity.Value `yaml:"height" kind:"length" range:"(0 mm, 2 m]" about:"largest height; as the body when absent"`
}

// Material is a material as this design uses it.
type Material struct {
	Name         string         `yaml:"name" need:"yes" about:"a handbook material to change, or a new name"`
	Conductivity quantity.Value `yaml:"conductivity" kind:"thermal conductivity" range:"(0 W/(m K), 500 W/(m K)]" about:"thermal conductivity of the solid"`
	Density      quantity.Value `yaml:"density" kind:"density" range:"(0 kg/m3, 25000 kg/m3]" about:"density of the solid"`
	SpecificHeat quantity.Value `yaml:"specific_heat" kind:"specific heat" range:"(0 J/(kg K), 10 kJ/(kg K)]" about:"specific heat of the solid"`
	Emissivity   quantity.Value `yaml:"emissivity" kind:"fraction" default:"material.emissivity" range:"(0, 1]" about:"total hemispherical emissivity of its face"`
	Across       quantity.Value `yaml:"layer_ratio" kind:"fraction" default:"material.layer_ratio" range:"(0, 1]" about:"conductivity across printed layers over that along them"`
}

// Model holds factors on the published correlations. They stand at 1 with the
// scatter that their authors report, until trials say better.
type Model struct {
	SideFilm  quantity.Value `yaml:"side_film" kind:"fraction" default:"model.side_film" range:"(0, 10]" about:"natural convection on vertical outer faces"`
	TopFilm   quantity.Value `yaml:"top_film" kind:"fraction" default:"model.top_film" range:"(0, 10]" about:"natural convection on the upper plate"`
	Cavity    quantity.Value `yaml:"cavity" kind:"fraction" default:"model.cavity" range:"(0, 10]" about:"convection in closed cavities"`
	Radiation quantity.Value `yaml:"radiation" kind:"fraction" default:"model.radiation" range:"(0, 10]" about:"long-wave radiation to the room (surroundings not black, not at one temperature)"`
	Vapour    quantity.Value `yaml:"vapour" kind:"fraction" default:"model.vapour" range:"(0, 10]" about:"condensation and evaporation by the heat-mass analogy"`
	Pool      quantity.Value `yaml:"pool" kind:"fraction" default:"model.pool" range:"(0, 10]" about:"heat transfer in the meltwater"`
	Table     quantity.Value `yaml:"table" kind:"fraction" default:"model.table" range:"(0, 10]" about:"heat from the table into the base"`
	Gap       quantity.Value `yaml:"gap" kind:"fraction" default:"model.gap" range:"(0, 10]" about:"heat across the gap between plate and store"`
	Bypass    quantity.Value `yaml:"bypass" kind:"fraction" default:"model.bypass" range:"(0, 10]" about:"conduction along walls, rim and ribs"`
	Still     quantity.Value `yaml:"still" kind:"fraction" default:"model.still" range:"(0, 10]" about:"still conductance of an engine as worked out from its parts"`
	Infill    quantity.Value `yaml:"infill" kind:"fraction" default:"model.infill" range:"(0, 10]" about:"conductivity of an infill as worked out from bounds"`
}
