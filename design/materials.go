package design

import (
	"slices"
	"sync"

	"meltspan/matter"
	"meltspan/quantity"
)

// handbook holds the solids of package matter by name, worked out once.
var handbook = sync.OnceValue(func() map[string]matter.Solid {
	byName := map[string]matter.Solid{}
	for _, s := range matter.Solids() {
		byName[s.Name] = s
	}
	return byName
})

// materialUse is one place where a design names a material.
type materialUse struct {
	path string
	name string
}

// materialUses lists where this design names materials, in the order of the
// file, those without a bearing left out on request.
func (d *Design) materialUses(idleToo bool) []materialUse {
	var uses []materialUse
	add := func(path, name string) {
		if name != "" && name != FillingAir && (idleToo || !d.idle(path)) {
			uses = append(uses, materialUse{path, name})
		}
	}
	l, s := &d.Load, &d.Stand
	add("load.bottom_plate.material", l.BottomPlate.Material)
	if l.TopPlate != nil {
		add("load.top_plate.material", l.TopPlate.Material)
	}
	if l.Engine != nil {
		add("load.engine.ring_material", l.Engine.RingMaterial)
		add("load.engine.screws.material", l.Engine.Screws.Material)
		add("load.engine.displacer.material", l.Engine.Displacer.Material)
	}
	add("stand.material", s.Material)
	add("stand.wall.filling", s.Wall.Filling)
	add("stand.base.filling", s.Base.Filling)
	add("stand.rim.gasket_material", s.Rim.GasketMaterial)
	return uses
}

// usedMaterials names the materials that have a bearing on this design.
func (d *Design) usedMaterials() []string {
	var names []string
	for _, use := range d.materialUses(false) {
		if !slices.Contains(names, use.name) {
			names = append(names, use.name)
		}
	}
	return names
}

// MaterialByName returns the material as this design uses it, the user's own
// values before those of the handbook; the zero Material if the design names
// no such material.
func (d *Design) MaterialByName(name string) Material {
	for i := range d.Materials {
		if d.Materials[i].Name == name {
			return d.Materials[i]
		}
	}
	return Material{}
}

// completeMaterials gives every material that the design names an entry with
// all its values.
func (d *Design) completeMaterials() {
	for _, use := range d.materialUses(true) {
		if !slices.ContainsFunc(d.Materials, func(m Material) bool { return m.Name == use.name }) {
			d.Materials = append(d.Materials, Material{Name: use.name})
		}
	}
	for i := range d.Materials {
		d.Materials[i].complete()
	}
}

func (m *Material) complete() {
	solid := handbook()[m.Name] // without properties when it is the user's own
	fill(&m.Conductivity, solid.Conductivity, "")
	fill(&m.Density, solid.Density, "")
	fill(&m.SpecificHeat, solid.SpecificHeat, "")
	fill(&m.Emissivity, solid.Emissivity, "material.emissivity")
	fill(&m.Across, solid.LayerRatio, "material.layer_ratio")
}

func fill(v *quantity.Value, p matter.Property, preset string) {
	switch {
	case v.Present():
	case p.Stated():
		*v = quantity.Value{SI: p.Value, Spread: p.Spread, Origin: quantity.Handbook, Source: p.Source}
	case preset != "":
		*v = presetValues()[preset]
	}
}
