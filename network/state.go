package network

// The state is one slice: first the energy of every node (J, counted from the
// store's melting point; the liquid store's from liquid at the melting
// point), then the masses (kg) and the block's radius (m), then the water held
// by each face (kg).
const (
	stateSolid     = iota // solid store
	stateLiquid           // liquid store in the cup
	stateFilm             // water hanging on the lower plate
	stateTray             // drained and overflowed
	stateRadius           // of the block
	stateFrozenTop        // solid grown under the plate or surface, phaseFreezing only
	stateFrozenSide
	stateFrozenFloor
	stateVapour // water that came in as vapour less what left
	stateCount
)

// evaluation is what evaluate found for the state that a step starts from.
type evaluation struct {
	q, g, capacity []float64
	rate, decay    []float64 // of the mass flows
	side           float64
}

// ends are a link's two ends as they are in the present phase.
type ends struct{ a, b int }

// workspace holds everything a run needs, so that a step allocates nothing.
type workspace struct {
	temperature           []float64         // by node
	capacity              []float64         // by node
	inverse               []float64         // of the capacity
	q, g                  []float64         // by link: flow and its conductance
	dewPoint              float64           // K, of the room at the moment evaluated
	fresh                 bool              // the state that a step starts from is being evaluated
	lag                   [lagCount]float64 // see pool.go
	massFlows             []massFlow
	massStage, massSecond []float64 // stage values of the mass flows
	geometry              geometry
	wet                   wetting

	y, trial, k1, k2           []float64
	stage1, stage2             []float64 // by link: flows of the two stages
	energy                     []float64 // by link: heat since the start
	atStall                    []float64 // copy at the latest stall
	stateAtStart, stateAtStall []float64
	rhs, z, zFirst             []float64 // zFirst: of the latest first stage, a guess for the next
	linear                     linear
	ends                       []ends // by link
	radiusFirst                float64
	first                      evaluation
}

func newWorkspace(m *Model) *workspace {
	nodes, links := len(m.nodes), len(m.links)
	size := nodes + stateCount + m.faceCount
	w := &workspace{
		temperature: make([]float64, nodes), capacity: make([]float64, nodes), inverse: make([]float64, nodes),
		q: make([]float64, links), g: make([]float64, links),
		massFlows: newMassFlows(m), massStage: make([]float64, m.faceCount+flowCount), massSecond: make([]float64, m.faceCount+flowCount),
		stateAtStart: make([]float64, size), stateAtStall: make([]float64, size),
		y: make([]float64, size), trial: make([]float64, size),
		k1: make([]float64, size), k2: make([]float64, size),
		stage1: make([]float64, links), stage2: make([]float64, links),
		energy: make([]float64, links), atStall: make([]float64, links),
		rhs: make([]float64, nodes), z: make([]float64, nodes), zFirst: make([]float64, nodes),
		first: evaluation{q: make([]float64, links), g: make([]float64, links),
			rate: make([]float64, m.faceCount+flowCount), decay: make([]float64, m.faceCount+flowCount), capacity: make([]float64, nodes)},
		ends:   make([]ends, links),
		linear: newLinear(m),
	}
	for i, n := range m.nodes {
		w.capacity[i], w.inverse[i] = n.capacity, 1/n.capacity
	}
	return w
}

// clinging is the share of the charge that always moves with the liquid's
// temperature, so that the first drops have a heat capacity.
const clinging = 0.005

// start sets the state at the moment the load is set on the store: stand and
// load at room temperature, store as it left the freezer or kettle.
func (m *Model) start() {
	w, s := m.work, &m.store
	clear(w.y)
	clear(w.energy)
	clear(w.atStall)
	clear(w.lag[:])
	clear(w.z)
	clear(w.zFirst)
	air, _, _ := m.room.at(0)
	for i, n := range m.nodes {
		w.y[i] = n.capacity * (air - s.melting)
	}
	if m.load.kind == loadSample {
		sample := m.load.upper.cells[0].node
		w.y[sample] = m.nodes[sample].capacity * (m.load.top0 - s.melting)
	}
	masses := w.y[len(m.nodes):]
	heat := s.liquidHeat
	if m.phase == phaseLiquid {
		masses[stateLiquid] = s.mass
	} else {
		masses[stateSolid] = s.mass
		heat = s.solidHeat
	}
	masses[stateRadius] = s.radius
	w.y[s.node] = s.mass * heat * (s.temperature - s.melting)
	if m.phase == phaseMelting {
		w.y[s.node] = 0
	}
	copy(w.stateAtStart, w.y)
}

// setTemperatures works temperatures and the store's capacity out of a state.
func (m *Model) setTemperatures(y []float64) {
	w := m.work
	m.setStoreCapacity(y)
	for i, inverse := range w.inverse {
		w.temperature[i] = m.store.melting + y[i]*inverse
	}
}

// glance is setTemperatures for plates and store only.
func (m *Model) glance(y []float64) {
	w := m.work
	m.setStoreCapacity(y)
	at := func(i int) { w.temperature[i] = m.store.melting + y[i]*w.inverse[i] }
	for i := range m.load.lower.cells {
		at(m.load.lower.cells[i].node)
	}
	for i := range m.load.upper.cells {
		at(m.load.upper.cells[i].node)
	}
	at(m.store.node)
}

func (m *Model) setStoreCapacity(y []float64) {
	w, s := m.work, &m.store
	masses := y[len(m.nodes):]
	liquid := max(masses[stateLiquid], 0)
	var capacity float64
	switch m.phase {
	case phaseSolid:
		capacity = s.solidHeat * max(masses[stateSolid], clinging*s.mass)
	default:
		capacity = s.liquidHeat * max(liquid, clinging*s.mass)
	}
	w.capacity[s.node], w.inverse[s.node] = capacity, 1/capacity
}

// setPhase changes the phase, and with it where the links of the store end.
func (m *Model) setPhase(p phase) {
	m.phase = p
	for i, l := range m.links {
		m.work.ends[i] = ends{m.end(l.a), m.end(l.b)}
	}
}

// end turns the number at one end of a link into a node, or a negative number
// where the end has a fixed temperature.
func (m *Model) end(number int) int {
	switch {
	case number == body && (m.phase == phaseSolid || m.phase == phaseLiquid):
		return m.store.node
	case number == m.store.node && m.phase == phaseFreezing:
		return body
	}
	return number
}
