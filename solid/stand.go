package solid

import (
	"errors"

	"meltspan/design"
)

// ring is one solid ring of the wall, m from the axis.
type ring struct{ in, out float64 }

// slab is one solid layer of the base, m over the underside.
type slab struct{ low, high float64 }

// stand gathers what the pieces of the stand's body need from one another.
type stand struct {
	d *design.Design

	cup, outer float64 // radii
	floor      float64 // height of the cup's floor
	rim, top   float64 // underside and top of the rim
	foot       float64 // top of the lowest layer, up to which the wall is closed
	wall       []ring  // from the cup outwards; one ring when there is no cavity
	base       []slab  // from the table upwards; one slab when there is no cavity
	clearance  float64
	width      float64 // of a line

	cupApart, rimApart bool
	cores              []Core // where wall or base are infilled
	pegs               []Feature
	drains             *Feature
}

// Sections works out the printed parts of a design, the stand's body first. It
// fails on a design whose pegs find no place; everything else that a checked
// design can state has a section.
func Sections(d *design.Design) ([]Part, error) {
	s, err := newStand(d)
	if err != nil {
		return nil, err
	}
	parts := s.pieces()
	if d.Stand.Feet.Height.SI > 0 {
		parts = append(parts, s.feet())
	}
	if d.Stand.Tray.Capacity.SI > 0 {
		parts = append(parts, s.tray())
	}
	parts = append(parts, s.lid())
	if frozenInMould(d) {
		parts = append(parts, s.mould())
	}
	return parts, nil
}

func newStand(d *design.Design) (*stand, error) {
	s := &stand{
		d: d, cup: d.Stand.Cup.Diameter.SI / 2, outer: d.Stand.OuterDiameter.SI / 2,
		floor: d.Stand.BaseThickness(), top: d.Stand.Height.SI, rim: d.Stand.Height.SI - d.Stand.RimHeight(),
		clearance: d.Print.Clearance.SI, width: d.Print.LineWidth.SI,
	}
	if s.outer <= s.cup || s.floor <= 0 || s.rim <= s.floor {
		return nil, errors.New("solid: the body leaves no room for wall, base or rim")
	}
	s.cutWall()
	s.cutBase()
	s.decideSplit()
	s.addDrains()
	if err := errors.Join(s.ribsFit(), s.ringFits()); err != nil {
		return nil, err
	}
	return s, s.addPegs()
}

// cutWall turns the wall's layers into rings.
func (s *stand) cutWall() {
	r := s.cup
	for _, l := range s.d.Stand.Wall.Layers(s.outer - s.cup) {
		if l.Infilled {
			// The core between the skins, up to the rim and down to the foot.
			core := rectangle("infilled wall", false, r, r+l.Thickness, 0, s.top)
			s.cores = append(s.cores, Core{core, s.d.Stand.Wall.Infill.SI})
		}
		if n := len(s.wall); n > 0 && s.d.Stand.Wall.Cavities == 0 {
			s.wall[n-1].out = r + l.Thickness
		} else {
			s.wall = append(s.wall, ring{r, r + l.Thickness})
		}
		r += l.Thickness + l.Cavity
	}
	s.wall[len(s.wall)-1].out = s.outer // against rounding
}

// cutBase turns the base's layers, which count downwards, into slabs.
func (s *stand) cutBase() {
	layers := s.d.Stand.Base.Layers(s.floor)
	z := s.floor
	for i, l := range layers {
		low := z - l.Thickness
		if i == len(layers)-1 {
			low, s.foot = 0, z // against rounding
		}
		if l.Infilled {
			core := rectangle("infilled base", false, 0, s.cup, low, z)
			s.cores = append(s.cores, Core{core, s.d.Stand.Base.Infill.SI})
		}
		if i > 0 && s.d.Stand.Base.Cavities == 0 {
			s.base[0].low = low
		} else {
			s.base = append([]slab{{low, z}}, s.base...)
		}
		z = low - l.Cavity
	}
	// The infill of the wall ends at the closed rows of foot and rim.
	for i := range s.cores {
		if s.cores[i].Loop.Name == "infilled wall" {
			for k := range s.cores[i].Loop.Points {
				p := &s.cores[i].Loop.Points[k]
				p.Z = min(max(p.Z, s.foot), s.rim)
			}
		}
	}
}

// decideSplit says which pieces the body is printed in. It is whole where every
// roof over a cavity is short enough to be bridged and nothing has to be put into
// the cavities before they close.
func (s *stand) decideSplit() {
	bridge, st := s.d.Print.Bridge.SI, &s.d.Stand
	filled := func(shell *design.Shell) bool {
		return shell.Cavities > 0 && (shell.Filling != design.FillingAir || lined(s.d, shell))
	}
	wide := st.Wall.Cavities > 0 && st.Wall.CavityWidth(s.outer-s.cup) > bridge
	// The cup comes out with the wall's innermost skin, so there must be one.
	s.cupApart = st.Wall.Cavities > 0 && st.Base.Cavities > 0 && (2*s.cup > bridge || filled(&st.Base))
	s.rimApart = s.cupApart || filled(&st.Wall) || wide
}

// lined reports whether a shell's cavities are brighter than its material
// prints: somebody has to line them with foil.
func lined(d *design.Design, shell *design.Shell) bool {
	return shell.Emissivity.SI < d.MaterialByName(d.Stand.Material).Emissivity.SI-foilContrast
}

// foilContrast is how much less than the printed face a lining emits: paints and
// plastics differ by less, metal foils by more (common practice).
const foilContrast = 0.2

// leadIn is the chamfer, at 45 degrees, on edges over which parts are slid
// (common practice: about a line).
const leadIn = 0.4e-3 // m

// mouth is the chamfer at the mouth of the cup: small beside the rim and the
// skin it is cut from.
func (s *stand) mouth() float64 {
	return min(leadIn, (s.top-s.rim)/4, (s.wall[0].out-s.wall[0].in)/3)
}
