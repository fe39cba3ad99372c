package network

import (
	"meltspan/design"
	"meltspan/matter"
	"meltspan/transfer"
)

// The phases of the store.
type phase uint8

const (
	phaseSolid    phase = iota // all solid, below its melting point
	phaseMelting               // solid in its melt
	phaseLiquid                // all liquid
	phaseFreezing              // liquid at its melting point, solid growing on its faces
)

type contactMode uint8

const (
	contactPressed contactMode = iota
	contactOnRim
	contactNone
)

// Model is a design turned into nodes and links. It is made by Build and
// holds its own work space, so one Model serves one goroutine.
type Model struct {
	design  *design.Design
	drawn   bool // the design is a draw, and no revision of anything
	depth   string
	spacing float64 // m; infinite for the network
	cells   []Cell  // of the stand's section
	through []Cell  // in three dimensions: of the section through ribs, pegs or pieces
	slices  []slice // in three dimensions

	around placed // in three dimensions

	nodes []node
	links []link
	fixed []fixedLink

	cavities  []cavity
	radiants  []radiant
	films     []film
	faceCount int
	room      room
	store     store
	load      load

	cupRadius, cupArea, cupDepth float64
	pegHeight                    float64
	pegConductance               float64 // W/K, of all
	pegCoefficient               float64 // W/(m2 K), of one over its own area; 0 unless placed one by one
	plateArea                    float64 // of the lower plate over or beyond the cup
	plateStop                    float64 // plate height at which something other than the store carries it
	plateEmissivity              float64
	trayCapacity                 float64 // m3
	drains                       bool
	air                          matter.Fluid // in gaps and cavities, at the mean temperature
	vapourFactor, gapFactor      float64
	table, tableLink             int
	tableConductance             float64
	poolFactor                   float64
	pressure                     float64

	cup       cupLinks
	zones     []cupZone
	floor     []floorCell
	rim       []rimCell
	floorHalf float64 // m2 K/W from floor surface to its node

	warnings []string

	airPlate, poolPlate                 transfer.VerticalPlate
	lewis                               float64 // mass over heat transfer coefficient, m3 K/J
	rayleighGap                         float64 // per m3 and K
	rimTop                              float64 // height of rim and gasket above the cup floor, m
	cupEmissivity                       float64
	sun                                 []sunlit
	toleranceTemperature, toleranceMass float64

	firstPhase phase
	firstCast  bool
	runner     *runner
	phase      phase
	running    bool
	work       *workspace
}

// floorCell is a part of the cup's floor.
type floorCell struct {
	node              int
	share             float64 // of its ring
	ring, inside      float64 // m2 of the ring, all sectors together, and of the disc inside it
	pegs              float64 // share of its area under pegs, where those are placed
	cover             []float64
	toSolid, toLiquid int
}

// rimCell is a ring of the rim under the plate.
type rimCell struct {
	area, wet, half float64 // m2; W/(m2 K) where they touch; m2 K/W from surface to node
	link            int
}

// cupLinks are the links between store, plate and cup, whose flows follow
// from the geometry.
type cupLinks struct {
	plate                      []plateOverStore
	liquidSolid, liquidUnder   int
	openConvection, openLatent int
	drained                    int
}

// plateOverStore is a part of the lower plate over the cup, with its links and
// its weights among all that touch the solid and that face the liquid.
type plateOverStore struct {
	cell                  int // of the plate
	solid, liquid, vapour int
	cover                 []float64
}

// cupZone is one height band of the cup's inner wall.
type cupZone struct {
	node, plate       int     // and the plate's node that it faces
	low, high         float64 // above the cup floor, m
	around, share     float64 // m along the wall, and as a share of the circle
	half              float64 // m2 K/W from surface to node
	toLiquid, toSolid int
	toPlate           int
}

// store is the charge.
type store struct {
	node                                  int
	name                                  string
	melting                               float64 // K
	latent                                float64 // J/kg
	solidDensity, liquidDensity           float64
	solidHeat, liquidHeat                 float64
	solidConductivity, liquidConductivity float64
	emissivity                            float64
	evaporates, changesPhase, isWater     bool
	solidName                             string
	liquid                                matter.Fluid // at a temperature between store and room
	mass, temperature, radius             float64
	pieces                                pieces
	cast                                  bool // solid that fills the cup from wall to wall
	rests, held                           bool
	contact                               contactMode
	pressingMass                          float64
	startTop                              float64
	wet                                   float64 // W/(m2 K)
	film                                  float64 // kg/m2
}

// Cells lists the cells of the stand's section.
func (m *Model) Cells() []Cell { return m.cells }

// Cell is one cell of the stand's section, m from the axis and from the
// underside of the body, with its conductivities in W/(m K) and what heat it holds.
type Cell struct {
	Node, Sector       int
	In, Out, Low, High float64
	Outwards, Upwards  float64
	Capacity           float64 // heat capacity, J/K
}
