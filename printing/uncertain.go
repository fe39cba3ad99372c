package printing

import (
	"fmt"
	"math"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// uncertain lists the values with a spread that bear on the estimates.
func uncertain(d *design.Design) []string {
	density := "materials." + d.Stand.Material + ".density"
	var paths []string
	for _, in := range d.Quantities() {
		size := in.Kind == quantity.Length || strings.HasSuffix(in.Path, ".infill")
		if in.Path == density || size && strings.HasPrefix(in.Path, "stand.") {
			paths = append(paths, in.Path)
		}
	}
	return append(paths, "print.outer_speed", "print.fill_speed", "print.travel_share", "print.layer_change", "print.preparation")
}

// Cautions says where the part as printed may differ from the part as drawn:
// skins that are no whole number of lines or layers, and walls that the lines
// along their two faces do not fill.
func Cautions(d *design.Design) []string {
	s, p := &d.Stand, &d.Print
	var out []string
	mm := func(x float64) string { return quantity.FormatIn(x, quantity.Length, "mm", 3) }
	upright := func(name string, thickness float64) {
		lines := thickness / p.LineWidth.SI
		whole := max(math.Round(lines), 1)
		printed := whole * p.LineWidth.SI
		if math.Abs(printed-thickness) > 0.1*thickness {
			out = append(out, fmt.Sprintf("%s: %s is no whole number of lines of %s; it may come out as %s.", name, mm(thickness), mm(p.LineWidth.SI), mm(printed)))
		}
		if most := 2 * float64(p.WallLines); whole > most {
			out = append(out, fmt.Sprintf("%s: %s is more than the %d lines along each face fill; set %.0f wall lines, or fill it solid, or it prints lighter than it is reckoned.",
				name, mm(thickness), p.WallLines, math.Ceil(whole/2)))
		}
	}
	flat := func(name string, thickness float64) {
		layers := max(math.Round(thickness/p.LayerHeight.SI), 1)
		if printed := layers * p.LayerHeight.SI; math.Abs(printed-thickness) > 0.1*thickness {
			out = append(out, fmt.Sprintf("%s: %s is no whole number of layers of %s; it may come out as %s.", name, mm(thickness), mm(p.LayerHeight.SI), mm(printed)))
		}
	}
	upright("stand.wall.skin", s.Wall.Skin.SI)
	if s.Wall.Cavities > 1 {
		upright("stand.wall.partition", s.Wall.Partition.SI)
	}
	if s.Wall.Cavities > 0 && s.Ribs.Count > 0 {
		upright("stand.ribs.thickness", s.Ribs.Thickness.SI)
	}
	flat("stand.base.skin", s.Base.Skin.SI)
	if s.Base.Cavities > 1 {
		flat("stand.base.partition", s.Base.Partition.SI)
	}
	flat("stand.rim.thickness", s.Rim.Thickness.SI)
	return out
}
