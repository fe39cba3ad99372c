package result

// Depths is the same trial followed at several depths of the model, nil where
// one was not asked for.
type Depths struct {
	Network *Run `json:"network"`
	Section *Run `json:"section,omitempty"`
	Round   *Run `json:"round,omitempty"` // in three dimensions
}

// Runs are those that there are, the coarsest first.
func (d *Depths) Runs() []*Run {
	var runs []*Run
	for _, run := range []*Run{d.Network, d.Section, d.Round} {
		if run != nil {
			runs = append(runs, run)
		}
	}
	return runs
}
