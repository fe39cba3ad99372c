package network

import (
	"meltspan/design"
	"meltspan/matter"
	"meltspan/transfer"
)

// Air in the cells of an infill, which are too small for convection, near
// 10 degC and 1 atm (matter.DryAir).
const (
	cellAir = 0.025 // W/(m K)
	airHeat = 1250  // J/(m3 K)
)

// An infill is a grid of printed lines.
const widestCell = 10e-3 // m

// cellConductivity is what the cells of an infill conduct, W/(m K): still air,
// and radiation from side to side. Lines of width w (line, m) in two directions that
// fill a share f stand 2 w/f apart.
func cellConductivity(infill, emissivity, line float64) float64 {
	cell := min(2*line/max(infill, 1e-3), widestCell)
	const temperature = 283.0 // K, as for the air
	return cellAir + transfer.ExchangeParallel(emissivity, emissivity)*transfer.RadiationCoefficient(temperature, temperature)*cell
}

// airFilling is the filling of an empty cavity.
const airFilling = "air"

// layer is one solid layer of a shell, counted from the cup outwards (wall)
// or downwards (base).
type layer struct {
	thickness float64
	through   float64 // conductivity along the way from cup to outside, W/(m K)
	inPlane   float64 // conductivity in the plane of the shell
	heat      float64 // volumetric heat capacity, J/(m3 K)
	cavity    float64 // width of the cavity that follows it; 0 when the next layer touches
	part      int     // of the shell, before refinement
	last      bool    // belongs to the outermost part
}

// shellLayers divides a shell of the given whole thickness into solid layers.
// upright tells a wall, whose heat crosses it along the printed layers, from
// a base, whose heat crosses it from layer to layer.
func shellLayers(d *design.Design, s design.Shell, thickness float64, upright bool) []layer {
	solid := layerOf(d, 0, 1, upright)
	var layers []layer
	for _, part := range s.Layers(thickness) {
		l := solid
		if part.Infilled {
			l = layerOf(d, 0, s.Infill.SI, upright)
		}
		l.thickness, l.cavity = part.Thickness, part.Cavity
		layers = append(layers, l)
	}
	return layers
}

func withThickness(l layer, thickness float64) layer {
	l.thickness = thickness
	return l
}

// layerOf gives a layer of the stand's material its conductivities.
func layerOf(d *design.Design, thickness, infill float64, upright bool) layer {
	material := d.MaterialByName(d.Stand.Material)
	ratio := 1.0
	if material.Across.Present() {
		ratio = material.Across.SI
	}
	k := material.Conductivity.SI
	along, across := k, k*ratio
	if infill < 1 {
		fill := cellConductivity(infill, material.Emissivity.SI, d.Print.LineWidth.SI)
		along, _, _ = matter.PrintedConductivity(k, fill, infill, matter.Along, ratio)
		across, _, _ = matter.PrintedConductivity(k, fill, infill, matter.Across, ratio)
		along, across = along*d.Model.Infill.SI, across*d.Model.Infill.SI
	}
	l := layer{thickness: thickness, heat: infill*material.Density.SI*material.SpecificHeat.SI + (1-infill)*airHeat}
	bypass := d.Model.Bypass.SI
	if upright {
		l.through, l.inPlane = along, across*bypass
	} else {
		l.through, l.inPlane = across, along*bypass
	}
	return l
}
