package design

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func TestSchemaFileIsCurrent(t *testing.T) {
	kept, err := os.ReadFile("design.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(kept, Schema()) {
		t.Error("design.schema.json is stale; run: go generate ./design")
	}
}

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("design.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("design.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func validate(t *testing.T, schema *jsonschema.Schema, text string) error {
	t.Helper()
	asJSON, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(asJSON))
	if err != nil {
		t.Fatal(err)
	}
	return schema.Validate(value)
}

func TestDemosFollowTheSchema(t *testing.T) {
	schema := compiledSchema(t)
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(t, schema, string(text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaSeesMistakesOfForm(t *testing.T) {
	schema := compiledSchema(t)
	if err := validate(t, schema, base); err != nil {
		t.Fatalf("the base itself: %v", err)
	}
	for _, c := range []struct{ name, old, new string }{
		{"unknown key", "name: bench", "name: bench\ncolour: red"},
		{"missing key", "    depth: 28 mm\n", ""},
		{"missing unit", "skin: 1.2 mm", "skin: 1.2"},
		{"wrong dimension", "skin: 1.2 mm", "skin: 1.2 g"},
		{"wrong choice", "  substance: ice", "  substance: ice\n  support: float"},
		{"count out of range", "skin: 1.2 mm", "skin: 1.2 mm\n    cavities: 7"},
		{"count with a fraction", "skin: 1.2 mm", "skin: 1.2 mm\n    cavities: 1.5"},
		{"two loads", "  engine: {}", "  engine: {}\n  leak: {power: 1 W, limit: 8 degC}"},
		{"no load", "  engine: {}\n", ""},
		{"no top plate", "  top_plate:\n    diameter: 92 mm\n", ""},
		{"neither temperature nor log", "  temperature: 22 degC\n", ""},
		{"list for a section", "    skin: 1.2 mm", "    - skin: 1.2 mm"},
		{"yes for true", "    depth: 28 mm", "    depth: 28 mm\n    drains: \"yes\""},
		{"other format", "meltspan: 1", "meltspan: 2"},
	} {
		if strings.Count(base, c.old) != 1 {
			t.Fatalf("%q must stand once in the base", c.old)
		}
		if validate(t, schema, strings.Replace(base, c.old, c.new, 1)) == nil {
			t.Errorf("%s passes", c.name)
		}
	}
}
