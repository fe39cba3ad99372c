package design

import (
	"encoding/json"
	"reflect"
	"strconv"

	"github.com/invopop/jsonschema"

	"meltspan/quantity"
)

//go:generate go run ./internal/writeschema

// Schema returns the JSON Schema (draft 2020-12) of the design file, for
// editors that complete and check as one types. It follows from the same tags
// as the reader. It sees the form of a file, not whether the design can be
// built: ranges and geometry are the reader's.
func Schema() []byte {
	reflector := jsonschema.Reflector{
		Anonymous:                  true,
		ExpandedStruct:             true,
		FieldNameTag:               "yaml",
		RequiredFromJSONSchemaTags: true,
		Mapper: func(t reflect.Type) *jsonschema.Schema {
			if t == valueType {
				return &jsonschema.Schema{Type: "string"} // replaced below, by kind
			}
			return nil
		},
	}
	root := reflector.Reflect(&Design{})
	root.Title = "Meltspan design"
	root.Description = "One device: a load on a store in a stand, in a room."
	describe(root, root, layout(), map[reflect.Type]bool{})
	oneLoad(root.Definitions["Load"])
	text, err := json.MarshalIndent(root, "", "  ")
	if err != nil { // only strings, numbers and maps of them are in it
		panic("design: schema: " + err.Error())
	}
	return append(text, '\n')
}

// describe completes the schema of one section from its tags, then those of
// the sections in it, each type once.
func describe(root, s *jsonschema.Schema, of *section, done map[reflect.Type]bool) {
	if done[of.typ] {
		return
	}
	done[of.typ] = true
	for i := range of.fields {
		f := &of.fields[i]
		property, _ := s.Properties.Get(f.key)
		switch f.shape {
		case shapeSection, shapeOptional, shapeList:
			describe(root, root.Definitions[f.section.typ.Name()], f.section, done)
		case shapeQuantity:
			property = quantitySchema(f)
		case shapeCount:
			property.Type = "integer"
			if f.key == "meltspan" {
				property.Const = formatVersion
			}
			if f.limits.set {
				property.Minimum = json.Number(strconv.Itoa(int(f.limits.low)))
				property.Maximum = json.Number(strconv.Itoa(int(f.limits.high)))
			}
		case shapeText:
			property = textSchema(f)
		}
		property.Description = f.about
		if p := presetIndex()[f.preset]; p != nil {
			property.Default = presetJSON(f, p)
		}
		s.Properties.Set(f.key, property)
		switch {
		case f.need && f.unless == "":
			s.Required = append(s.Required, f.key)
		case f.need:
			s.AnyOf = append(s.AnyOf, &jsonschema.Schema{Required: []string{f.key}}, &jsonschema.Schema{Required: []string{f.unless}})
		}
	}
}

func quantitySchema(f *field) *jsonschema.Schema {
	text := &jsonschema.Schema{Type: "string", Pattern: quantity.Pattern(f.kind), Examples: []any{quantity.Example(f.kind)}}
	if f.kind != quantity.Fraction {
		return text
	}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Type: "number"}, text}}
}

func textSchema(f *field) *jsonschema.Schema {
	word := &jsonschema.Schema{Type: "string"}
	var offered []string
	switch f.names {
	case "":
		if len(f.choices) == 0 {
			return word
		}
		word.Enum = anySlice(f.choices)
		return word
	case "substance":
		offered = substanceNames()
	default:
		offered = solidNames(f.names)
	}
	// Names are offered, not demanded: other spellings are understood, and
	// materials may be the user's own.
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Enum: anySlice(offered)}, word}}
}

func anySlice(words []string) []any {
	list := make([]any, len(words))
	for i, word := range words {
		list[i] = word
	}
	return list
}

func presetJSON(f *field, p *preset) any {
	if f.shape == shapeCount {
		return json.Number(p.text)
	}
	return p.text
}

// oneLoad says what the tags cannot: exactly one load, and the plates that an
// engine or a generator needs.
func oneLoad(load *jsonschema.Schema) {
	load.DependentRequired = map[string][]string{}
	for _, key := range loadKeys {
		load.OneOf = append(load.OneOf, &jsonschema.Schema{Required: []string{key}})
	}
	for _, key := range []string{"engine", "generator"} {
		load.DependentRequired[key] = []string{"top_plate"}
	}
}
