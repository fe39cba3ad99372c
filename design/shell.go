package design

// Layer is one solid layer of a shell, counted from the cup outwards (wall) or
// downwards (base).
type Layer struct {
	Thickness float64 // m
	Cavity    float64 // width, m, of the cavity that follows it; 0 when the next layer touches
	Infilled  bool    // printed with the shell's infill, not solid
}

// hollowInfill is the infill from which on a shell counts as solid through.
const hollowInfill = 0.995

// Layers divides a shell of the given whole thickness (m) into its solid
// layers: the one place where the models of heat and the printed body learn
// what the shell is made of. A shell without cavities is a core in two halves
// between two skins, which give its surfaces their own temperature.
func (s *Shell) Layers(thickness float64) []Layer {
	if n := s.Cavities; n > 0 {
		width := s.CavityWidth(thickness)
		layers := make([]Layer, n+1)
		for i := range layers {
			layers[i].Thickness = s.Skin.SI
			if i > 0 && i < n {
				layers[i].Thickness = s.Partition.SI
			}
			if i < n {
				layers[i].Cavity = width
			}
		}
		return layers
	}
	skin, infilled := min(s.Skin.SI, 0.15*thickness), false
	if s.Infill.SI < hollowInfill && thickness > 2.2*s.Skin.SI {
		skin, infilled = s.Skin.SI, true
	}
	core := Layer{Thickness: (thickness - 2*skin) / 2, Infilled: infilled}
	return []Layer{{Thickness: skin}, core, core, {Thickness: skin}}
}

// WallThickness is from cup to outside, in m.
func (s *Stand) WallThickness() float64 { return (s.OuterDiameter.SI - s.Cup.Diameter.SI) / 2 }

// BaseThickness is from the underside of the body to the cup's floor, in m.
func (s *Stand) BaseThickness() float64 { return s.Height.SI - s.Cup.Depth.SI }

// RimHeight is the height, in m, of the closed ring at the top of the wall: it
// reaches down to half of the cup at most.
func (s *Stand) RimHeight() float64 { return min(s.Rim.Thickness.SI, s.Cup.Depth.SI/2) }
