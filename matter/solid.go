package matter

import (
	"slices"
	"strings"
)

// Solid is a solid material of which parts are made.
type Solid struct {
	Name         string   // as designs write it, such as "petg"
	Label        string   // as reports print it, such as "PETG"
	Aliases      []string // other names FindSolid knows
	Conductivity Property // W/(m K); of a printed polymer: along the layers, no voids
	Density      Property // kg/m3
	SpecificHeat Property // J/(kg K)
	Emissivity   Property // of the bare surface, thermal infrared, total hemispherical
	LayerRatio   Property // conductivity across printed layers over that along them; 1 if not printed
	Printed      bool     // whether the part is built in layers
	// SofteningTemperature in K, above which the part loses its shape: the
	// glass transition of an amorphous polymer. Not stated for metals and
	// glass.
	SofteningTemperature Property
	Note                 string // what a designer should know; may be empty
}

// Solids returns all solids, in the order of the tables; the caller may
// change what it gets.
func Solids() []Solid {
	all := slices.Concat(printedSolids(), denseSolids(), insulatingSolids())
	for i := range all {
		if !all[i].LayerRatio.Stated() {
			all[i].LayerRatio = known(1, 0, "not printed in layers")
		}
	}
	return all
}

// SolidNames returns the names of all solids in the order of Solids.
func SolidNames() []string {
	var names []string
	for _, s := range Solids() {
		names = append(names, s.Name)
	}
	return names
}

// FindSolid looks a solid up by name, label or alias, whatever the case and
// with spaces or hyphens for underscores.
func FindSolid(name string) (Solid, bool) {
	for _, s := range Solids() {
		if named(name, s.Name, s.Label, s.Aliases) {
			return s, true
		}
	}
	return Solid{}, false
}

// named reports whether the name asked for is one of a material's names.
func named(asked, name, label string, aliases []string) bool {
	key := plainName(asked)
	return key == plainName(name) || key == plainName(label) ||
		slices.ContainsFunc(aliases, func(alias string) bool { return key == plainName(alias) })
}

func plainName(name string) string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(name)))
}
