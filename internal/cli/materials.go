package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/matter"
	"meltspan/quantity"
	"meltspan/report"
)

func (s *session) materialsCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "materials [NAME]",
		Short: "show the properties of solids and substances, with sources",
		Long: "Lists the solids and substances that designs can name, or shows all that is known about one: each " +
			"property with one standard uncertainty, the published span, and the source.",
		Example: "  meltspan materials\n  meltspan materials petg\n",
		Args:    arguments(0, 1, "one material", `"meltspan materials petg"; names of several words with _ or in quotes`),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				if asJSON {
					return report.JSON(s.out, materialItems(allMaterials()))
				}
				fmt.Fprint(s.out, materialsTable(s.units))
				return nil
			}
			m, err := findMaterial(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				return report.JSON(s.out, materialItems([]material{m})[0])
			}
			fmt.Fprint(s.out, materialText(m, s.units))
			return nil
		},
	}
	jsonFlag(c.Flags(), &asJSON)
	return c
}

func allMaterials() []material {
	var all []material
	for _, s := range matter.Solids() {
		all = append(all, solidMaterial(s))
	}
	for _, s := range matter.Substances() {
		all = append(all, substanceMaterial(s))
	}
	return all
}

func findMaterial(name string) (material, error) {
	if s, ok := matter.FindSolid(name); ok {
		return solidMaterial(s), nil
	}
	if s, ok := matter.FindSubstance(name); ok {
		return substanceMaterial(s), nil
	}
	names := append(matter.SolidNames(), matter.SubstanceNames()...)
	return material{}, wrong(choice(name, names), "there is no material %s", quoted(name))
}

func materialsTable(u quantity.Display) string {
	var p textpage.Page
	p.Line("Solids")
	rows := [][]string{
		{"", "conductivity", "density", "specific heat", "emissivity"},
		{"", "W/(m K)", "kg/m3", "J/(kg K)", "%"},
	}
	for _, s := range matter.Solids() {
		rows = append(rows, []string{
			s.Name, numbers(u, s.Conductivity, quantity.ThermalConductivity, "W/(m K)"), numbers(u, s.Density, quantity.Density, "kg/m3"),
			numbers(u, s.SpecificHeat, quantity.SpecificHeat, "J/(kg K)"), numbers(u, s.Emissivity, quantity.Fraction, "%"),
		})
	}
	p.Table("", rows)
	p.Blank()
	p.Line("Substances of a store")
	rows = [][]string{
		{"", "melts at", "latent heat", "solid", "liquid"},
		{"", u.Symbol(quantity.Temperature), "kJ/kg", "kg/m3", "kg/m3"},
	}
	for _, s := range matter.Substances() {
		rows = append(rows, []string{
			s.Name, numbers(u, s.Melting, quantity.Temperature, u.Symbol(quantity.Temperature)), numbers(u, s.Latent, quantity.LatentHeat, "kJ/kg"),
			number(u, s.SolidDensity, quantity.Density, "kg/m3"), number(u, s.LiquidDensity, quantity.Density, "kg/m3"),
		})
	}
	p.Table("", rows)
	p.Blank()
	p.Para(0, 0, `After +-: one standard uncertainty. Polymers: along the printed layers, without voids. A substance without `+
		`latent heat stays liquid; the temperature is where it begins to freeze. "meltspan materials NAME" shows all `+
		`properties of one, with spans and sources.`)
	return p.String()
}

func materialText(m material, u quantity.Display) string {
	var p textpage.Page
	p.Para(0, 2, fmt.Sprintf("%s: %s, %s", m.name, m.label, m.sort))
	if len(m.aliases) > 0 {
		p.Para(2, 2, "also "+strings.Join(m.aliases, ", "))
	}
	if m.note != "" {
		p.Para(2, 2, "note: "+u.Restate(m.note))
	}
	for _, property := range m.properties {
		p.Blank()
		line := property.name + ": " + property.value(u)
		if span := property.span(u); span != "" {
			line += "; published " + span
		}
		p.Para(2, 2, line)
		p.Para(6, 0, property.Source)
	}
	p.Blank()
	p.Para(0, 0, "After +-: one standard uncertainty.")
	return p.String()
}

// materialItem is the JSON form, in SI.
type materialItem struct {
	Name       string         `json:"name"`
	Label      string         `json:"label"`
	Sort       string         `json:"sort"`
	Aliases    []string       `json:"aliases,omitempty"`
	Note       string         `json:"note,omitempty"`
	Properties []propertyItem `json:"properties"`
}

type propertyItem struct {
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	Value  float64 `json:"value"`
	Spread float64 `json:"spread"`         // one standard uncertainty
	Low    float64 `json:"low,omitempty"`  // published span
	High   float64 `json:"high,omitempty"` // published span
	Source string  `json:"source"`
}

func materialItems(list []material) []materialItem {
	items := make([]materialItem, len(list))
	for i, m := range list {
		items[i] = materialItem{Name: m.name, Label: m.label, Sort: m.sort, Aliases: m.aliases, Note: m.note}
		for _, p := range m.properties {
			items[i].Properties = append(items[i].Properties, propertyItem{p.name, p.unit, p.Value, p.Spread, p.Low, p.High, p.Source})
		}
	}
	return items
}
