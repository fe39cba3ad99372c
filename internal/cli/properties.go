package cli

import (
	"fmt"
	"strings"

	"meltspan/matter"
	"meltspan/quantity"
)

// property is one row about a material.
type property struct {
	matter.Property
	name string
	unit string        // SI, for JSON
	kind quantity.Kind // "" where people have no unit but SI
}

// material is what solids and substances have in common here.
type material struct {
	name, label, sort string
	aliases           []string
	note              string
	properties        []property // those that are stated
}

func solidMaterial(s matter.Solid) material {
	sort := "solid"
	if s.Printed {
		sort = "printed solid"
	}
	return material{s.Name, s.Label, sort, s.Aliases, s.Note, stated(
		property{s.Conductivity, "thermal conductivity", "W/(m K)", quantity.ThermalConductivity},
		property{s.Density, "density", "kg/m3", quantity.Density},
		property{s.SpecificHeat, "specific heat", "J/(kg K)", quantity.SpecificHeat},
		property{s.Emissivity, "emissivity", "1", quantity.Fraction},
		property{s.LayerRatio, "layer ratio", "1", quantity.Fraction},
		property{s.SofteningTemperature, "softening temperature", "K", quantity.Temperature},
	)}
}

func substanceMaterial(s matter.Substance) material {
	sort, melting := "substance of a store, melts and freezes", "melting temperature"
	if !s.HasPhaseChange {
		sort, melting = "substance of a store, liquid throughout", "begins to freeze at"
	}
	return material{s.Name, s.Label, sort, s.Aliases, s.Note, stated(
		property{s.Melting, melting, "K", quantity.Temperature},
		property{s.Latent, "latent heat", "J/kg", quantity.LatentHeat},
		property{s.SolidDensity, "density, solid", "kg/m3", quantity.Density},
		property{s.LiquidDensity, "density, liquid", "kg/m3", quantity.Density},
		property{s.SolidSpecificHeat, "specific heat, solid", "J/(kg K)", quantity.SpecificHeat},
		property{s.LiquidSpecificHeat, "specific heat, liquid", "J/(kg K)", quantity.SpecificHeat},
		property{s.SolidConductivity, "thermal conductivity, solid", "W/(m K)", quantity.ThermalConductivity},
		property{s.LiquidConductivity, "thermal conductivity, liquid", "W/(m K)", quantity.ThermalConductivity},
		property{s.LiquidViscosity, "viscosity, liquid", "Pa s", ""},
		property{s.LiquidExpansion, "thermal expansion, liquid", "1/K", ""},
	)}
}

func stated(all ...property) []property {
	var list []property
	for _, p := range all {
		if p.Stated() {
			list = append(list, p)
		}
	}
	return list
}

// value prints value and spread.
func (p property) value(u quantity.Display) string {
	if p.kind == "" {
		return fmt.Sprintf("%.3g %s +- %.2g %s", p.Value, p.unit, p.Spread, p.unit)
	}
	return u.FormatValue(quantity.Value{SI: p.Value, Spread: p.Spread, Origin: quantity.Handbook}, p.kind)
}

// span prints the published span, "" where none was seen.
func (p property) span(u quantity.Display) string {
	switch {
	case p.Low == 0 && p.High == 0:
		return ""
	case p.kind == "":
		return fmt.Sprintf("%.3g to %.3g %s", p.Low, p.High, p.unit)
	}
	return u.Format(p.Low, p.kind, 3) + " to " + u.Format(p.High, p.kind, 3)
}

// numbers prints value and spread without their unit, which a table's head
// holds.
func numbers(u quantity.Display, p matter.Property, kind quantity.Kind, unit string) string {
	if !p.Stated() {
		return "-"
	}
	text := property{Property: p, kind: kind}.value(u)
	return strings.TrimSuffix(strings.ReplaceAll(text, " "+unit, ""), " K")
}

// number prints a value alone.
func number(u quantity.Display, p matter.Property, kind quantity.Kind, unit string) string {
	if !p.Stated() {
		return "-"
	}
	return strings.TrimSuffix(u.FormatIn(p.Value, kind, unit, 4), " "+unit)
}
