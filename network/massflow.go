package network

// massFlow carries water (or another store) from one mass state to another
// without melting it: condensate onto a face, vapour across the gap, a spill.
// Its rate is taken as linear in the state it leaves, with slope decay, so
// that a small amount that runs off fast needs no short steps.
type massFlow struct {
	from, to int     // mass states
	rate     float64 // kg/s
	decay    float64 // 1/s, of the rate with the mass it leaves; 0 when it does not depend on it
	oneWay   bool    // what has left does not come back
}

// The flows, in the order in which they are solved: a state is left by one
// flow only, after everything that enters it. The faces' flows come first, one
// for each.
const (
	flowFilm  = iota // after the faces: from the plate to the liquid
	flowOpen         // vapour from the room onto an uncovered store
	flowSpill        // from the cup to the tray
	flowCount
)

// outsideState stands for the room's vapour: what leaves a state for it
// is booked there with its sign.
const outsideState = stateVapour

func newMassFlows(m *Model) []massFlow {
	flows := make([]massFlow, m.faceCount+flowCount)
	for i := range m.faceCount {
		flows[i] = massFlow{from: stateCount + i, to: outsideState}
	}
	rest := flows[m.faceCount:]
	rest[flowFilm] = massFlow{from: stateFilm, to: stateLiquid}
	rest[flowOpen] = massFlow{from: outsideState, to: stateLiquid}
	rest[flowSpill] = massFlow{from: stateLiquid, to: stateTray, oneWay: true}
	return flows
}

// massRates adds a stage's mass flows to the rates k of the mass states, which
// hold the melt already, and keeps each flow's stage value in out; first holds
// those of the first stage when the second is worked out. Decays are those of
// the first stage, as the whole Jacobian is.
func (m *Model) massRates(k, out, first []float64, h float64) {
	w := m.work
	for i := range w.massFlows {
		f := &w.massFlows[i]
		rate := f.rate
		if first != nil {
			rate -= 2 * first[i]
		}
		if f.from != outsideState {
			implicit := gamma * h * w.first.decay[i]
			rate += implicit * (k[f.from] - rate) / (1 + implicit)
		}
		if f.oneWay {
			// A store that empties faster than the step foresees would draw it
			// back. The two stages count as 3/2 and 1/2.
			least := 0.0
			if first != nil {
				least = -3 * first[i]
			}
			rate = max(rate, least)
		}
		out[i] = rate
		if f.from == outsideState {
			// The room's vapour is counted as what came in.
			k[outsideState] += rate
			k[f.to] += rate
			continue
		}
		k[f.from] -= rate
		if f.to == outsideState {
			k[outsideState] -= rate
		} else {
			k[f.to] += rate
		}
	}
}
