package network

// A node stores heat. Ends of links that are not nodes have negative numbers.
const (
	outside = -1 // the room, the sun, the mechanical output: across the boundary
	body    = -2 // the two-phase body at the melting point
)

// Groups of parts, as the heat-flow diagram shows them.
const (
	groupRoom        = "room"
	groupTopPlate    = "top plate"
	groupBottomPlate = "bottom plate"
	groupEngine      = "engine"
	groupRim         = "rim"
	groupWall        = "wall"
	groupBase        = "base"
	groupStore       = "store"
	groupWork        = "work"
	groupTray        = "tray"
	groupStored      = "stored heat"
)

// Paths by which heat reaches the lower plate and the store.
const (
	pathStill    = "still"
	pathCycle    = "cycle"
	pathEdge     = "plate edge"
	pathRim      = "rim"
	pathWall     = "wall"
	pathBase     = "base"
	pathOpen     = "open ring"
	pathStored   = "plate stored"
	pathWork     = "work"
	pathDrained  = "drained"
	pathLoadHeat = "load heat"
)

// pathLabel is what people read for each path.
var pathLabel = map[string]string{
	pathStill:    "load, standing still",
	pathCycle:    "load, carried by its cycle",
	pathEdge:     "lower plate's own edge",
	pathRim:      "rim under the plate",
	pathWall:     "wall",
	pathBase:     "base and table",
	pathOpen:     "open ring beside the plate",
	pathStored:   "lower plate's own heat",
	pathWork:     "work or electricity taken out",
	pathDrained:  "carried off by drained melt",
	pathLoadHeat: "heat of the load itself",
}

type node struct {
	name     string
	group    string
	capacity float64 // J/K; the store's is worked out from its state
}

// A link carries heat from a to b.
type link struct {
	a, b      int
	from, to  string // groups
	mechanism string
	path      string // set when the link enters the plate or the store
}

// PathOfLoad reports whether a path of the budget is heat that the load takes
// or gives, not a leak.
func PathOfLoad(id string) bool {
	return id == pathStill || id == pathCycle || id == pathLoadHeat || id == pathWork
}

// pathOrder orders the budget.
var pathOrder = []string{
	pathStill, pathCycle, pathLoadHeat, pathWork, pathEdge, pathStored, pathRim, pathWall, pathBase, pathOpen, pathDrained,
}

func (m *Model) addNode(name, group string, capacity float64) int {
	m.nodes = append(m.nodes, node{name, group, capacity})
	return len(m.nodes) - 1
}

// addLink adds a link whose flow is worked out anew at every evaluation.
func (m *Model) addLink(a, b int, from, to, mechanism, path string) int {
	m.links = append(m.links, link{a, b, from, to, mechanism, path})
	return len(m.links) - 1
}

type fixedLink struct {
	link        int
	a, b        int
	conductance float64
}

// lookBack is how many links back a parallel one is looked for: parts are
// joined one after the other.
const lookBack = 64

// addFixed adds a link of constant conductance, W/K, between two nodes.
// Parallel ones between the same two nodes become one.
func (m *Model) addFixed(a, b int, conductance float64, mechanism, path string) int {
	for i := len(m.fixed) - 1; i >= max(0, len(m.fixed)-lookBack); i-- {
		f := &m.fixed[i]
		if l := &m.links[f.link]; f.a == a && f.b == b && l.mechanism == mechanism && l.path == path {
			f.conductance += conductance
			return f.link
		}
	}
	l := m.addLink(a, b, m.nodes[a].group, m.nodes[b].group, mechanism, path)
	m.fixed = append(m.fixed, fixedLink{l, a, b, conductance})
	return l
}

func series(conductances ...float64) float64 {
	resistance := 0.0
	for _, g := range conductances {
		if g <= 0 {
			return 0
		}
		resistance += 1 / g
	}
	return 1 / resistance
}
