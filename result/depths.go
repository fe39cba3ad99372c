package result

// Depths is the same trial followed at several depths of the model, nil where
// one was not asked for.
type Depths struct {
	Network *Run `json:"network"`
	Section *Run `json:"section,omitempty"`
	Round   *Run `json:"round,omitempty"` // in three dimensions
}
