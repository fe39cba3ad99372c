package calibrate

import (
	"slices"

	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/trial"
)

// Column is one unknown over all cases, a standard normal deviate beforehand.
type Column struct {
	Path  string          `json:"path"`         // of the design's input; Pace or StallShift for what the model gets wrong
	Of    string          `json:"of,omitempty"` // the design or trial that alone has it; empty when shared
	About string          `json:"about"`
	Kind  quantity.Kind   `json:"kind"`
	Value quantity.Value  `json:"value"`
	Own   bool            `json:"own,omitempty"`   // of one trial
	Store string          `json:"store,omitempty"` // substance of the design that it was first met in
	of    predict.Unknown // in that design
}

// Pace is the path of the columns that hold a relative error of all times.
const Pace = "pace"

// StallShift is the path of the columns that hold by how much the load of one
// trial stalls at another plate difference than the design's.
const StallShift = "stall_shift"

// Assumed reports whether a path is one of the discrepancy's, and not of a design.
func Assumed(path string) bool { return path == Pace || path == StallShift }

// assign gives the unknowns of all subjects their columns, after those that are
// there already: what is one unknown for package predict is one column here.
func assign(known []Column, subjects []*subject, a Discrepancy) ([]Column, error) {
	out := append([]Column(nil), known...)
	for _, s := range subjects {
		unknowns, err := predict.Unknowns(s.design)
		if err != nil {
			return nil, err
		}
		s.unknowns, s.columns = unknowns, nil
		for i := range unknowns {
			u := &unknowns[i]
			at := findColumn(out, u, s)
			if at < 0 {
				in := u.Input()
				c := Column{Path: in.Path, About: in.About, Kind: in.Kind, Value: in.Value, Own: in.Own, of: *u, Store: s.design.Store.Substance}
				if in.Own {
					c.Of = s.trial.Name
				}
				at, out = len(out), append(out, c)
			}
			s.columns = append(s.columns, at)
		}
		s.pace = [2]int{-1, -1}
		s.paceSize = [2]float64{a.Design, a.Repeat}
		for i := range out {
			switch {
			case out[i].Path != Pace:
			case !out[i].Own && out[i].Of == s.revision:
				s.pace[0] = i
			case out[i].Own && out[i].Of == s.trial.Name:
				s.pace[1] = i
			}
		}
		if s.pace[0] < 0 {
			s.pace[0] = len(out)
			out = append(out, paceColumn(s.revision, false, a.Design))
		}
		if s.pace[1] < 0 {
			s.pace[1] = len(out)
			out = append(out, paceColumn(s.trial.Name, true, a.Repeat))
		}
		s.shift, s.stallSize = -1, 0
		if stalls(s) && a.Stall > 0 {
			s.stallSize = a.Stall
			s.shift = slices.IndexFunc(out, func(c Column) bool { return c.Path == StallShift && c.Of == s.trial.Name })
			if s.shift < 0 {
				s.shift = len(out)
				out = append(out, Column{Path: StallShift, Of: s.trial.Name, Own: true, Kind: quantity.TemperatureDifference,
					About: "by how much its load stalls at another plate difference than the design's",
					Value: quantity.Value{Spread: a.Stall, Origin: quantity.Guessed, Source: "assumed discrepancy"}})
			}
		}
	}
	return out, nil
}

// stalls reports whether it is a plate difference that ends the subject's trial.
func stalls(s *subject) bool {
	return (s.trial.Kind == trial.Run || s.trial.Kind == "") && (s.design.Load.Engine != nil || s.design.Load.Generator != nil)
}

func paceColumn(of string, own bool, size float64) Column {
	about := "relative error of all times of this design"
	if own {
		about = "relative error of all times of this trial"
	}
	return Column{Path: Pace, Of: of, About: about, Kind: quantity.Fraction, Own: own,
		Value: quantity.Value{Spread: size, Origin: quantity.Guessed, Source: "assumed discrepancy"}}
}

// findColumn is the column that an unknown shares, -1 when it is a new one.
func findColumn(columns []Column, u *predict.Unknown, s *subject) int {
	in := u.Input()
	for i := range columns {
		c := &columns[i]
		switch {
		case c.Path != in.Path || c.Own != in.Own:
		case c.Own && c.Of == s.trial.Name, !c.Own && u.Shared(c.Store == s.design.Store.Substance):
			return i
		}
	}
	return -1
}
