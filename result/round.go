package result

// Round is what a run in three dimensions shows besides the section: the same
// frames in the plane through what stands round the axis, and level cuts.
type Round struct {
	Repeats int           `json:"repeats"` // of the pattern round the axis
	Around  string        `json:"around"`  // what stands there, in words
	Cells   int           `json:"cells"`   // of the whole model
	Through []SectionCell `json:"through"` // cells of the plane through it
	Slices  []Slice       `json:"slices"`
	Frames  []RoundFrame  `json:"frames"` // by frame of the section
}

// Slice is a level cut from the middle of a rib, peg or piece to half way to
// the next; the rest of the circle is its mirror image and their copies.
type Slice struct {
	Name  string      `json:"name"`
	Cells []SliceCell `json:"cells"`
}

// SliceCell is a part of a ring; radii in m, angles in rad.
type SliceCell struct {
	In   float64 `json:"in_m"`
	Out  float64 `json:"out_m"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// RoundFrame is the temperatures, K, of a frame of the section.
type RoundFrame struct {
	Through []float64   `json:"through_K"`
	Slices  [][]float64 `json:"slices_K"`
}

// ThroughSection is a run's section in the plane through what stands round the
// axis; nil unless the run is in three dimensions.
func (r *Run) ThroughSection() *Section {
	if r.Round == nil || r.Section == nil || len(r.Round.Frames) != len(r.Section.Frames) {
		return nil
	}
	s := *r.Section
	s.Cells = r.Round.Through
	s.Frames = append([]Frame(nil), s.Frames...)
	for i := range s.Frames {
		s.Frames[i].Temperature = r.Round.Frames[i].Through
	}
	return &s
}
