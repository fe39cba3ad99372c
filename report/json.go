package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
)

// JSON writes v as indented JSON, with numbers that are undefined or infinite
// as null: JSON has no others, and encoding/json refuses them. Struct tags
// count as they do there. The same value gives the same bytes.
func JSON(w io.Writer, v any) error {
	var b, indented bytes.Buffer
	if err := encode(&b, reflect.ValueOf(v)); err != nil {
		return fmt.Errorf("report: JSON: %w", err)
	}
	if err := json.Indent(&indented, b.Bytes(), "", "  "); err != nil {
		return fmt.Errorf("report: JSON: %w", err)
	}
	indented.WriteByte('\n')
	if _, err := w.Write(indented.Bytes()); err != nil {
		return fmt.Errorf("report: writing JSON: %w", err)
	}
	return nil
}

var marshaler = reflect.TypeFor[json.Marshaler]()

// encode writes structs, lists and maps itself, so that it meets every number
// in them, and leaves all else to encoding/json.
func encode(b *bytes.Buffer, v reflect.Value) error {
	if !v.IsValid() {
		b.WriteString("null")
		return nil
	}
	if v.Type().Implements(marshaler) {
		return encodePlain(b, v)
	}
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		if !finite(v.Float()) {
			b.WriteString("null")
			return nil
		}
	case reflect.Pointer, reflect.Interface:
		return encode(b, v.Elem())
	case reflect.Struct:
		return encodeStruct(b, v)
	case reflect.Slice:
		if v.IsNil() {
			b.WriteString("null")
			return nil
		}
		if v.Type().Elem().Kind() != reflect.Uint8 {
			return encodeList(b, v)
		}
	case reflect.Array:
		return encodeList(b, v)
	case reflect.Map:
		return encodeMap(b, v)
	}
	return encodePlain(b, v)
}

func encodePlain(b *bytes.Buffer, v reflect.Value) error {
	text, err := json.Marshal(v.Interface())
	if err != nil {
		return err
	}
	b.Write(text)
	return nil
}

func encodeStruct(b *bytes.Buffer, v reflect.Value) error {
	b.WriteByte('{')
	first := true
	if err := encodeFields(b, &first, v); err != nil {
		return err
	}
	b.WriteByte('}')
	return nil
}

// encodeFields writes the members of a struct; those of a struct embedded in it
// stand among them, as encoding/json has it.
func encodeFields(b *bytes.Buffer, first *bool, v reflect.Value) error {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if embeds(f) {
			if err := encodeFields(b, first, v.Field(i)); err != nil {
				return err
			}
			continue
		}
		key, omitEmpty, ok := jsonKey(f)
		if !ok || omitEmpty && emptyJSON(v.Field(i)) {
			continue
		}
		if err := encodeMember(b, first, key, v.Field(i)); err != nil {
			return err
		}
	}
	return nil
}

// embeds reports whether a field is an embedded struct without a name of its
// own in JSON.
func embeds(f reflect.StructField) bool {
	return f.Anonymous && f.Type.Kind() == reflect.Struct && f.Tag.Get("json") == ""
}

// jsonKey returns a field's name in JSON; ok is false where it has none.
func jsonKey(f reflect.StructField) (key string, omitEmpty, ok bool) {
	tag := f.Tag.Get("json")
	if !f.IsExported() || tag == "-" {
		return "", false, false
	}
	key, options, _ := strings.Cut(tag, ",")
	if key == "" {
		key = f.Name
	}
	return key, slices.Contains(strings.Split(options, ","), "omitempty"), true
}

// emptyJSON is encoding/json's notion of empty.
func emptyJSON(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map, reflect.String, reflect.Array:
		return v.Len() == 0
	case reflect.Struct:
		return false
	}
	return v.IsZero()
}

func encodeMember(b *bytes.Buffer, first *bool, key string, v reflect.Value) error {
	if !*first {
		b.WriteByte(',')
	}
	*first = false
	if err := encodePlain(b, reflect.ValueOf(key)); err != nil {
		return err
	}
	b.WriteByte(':')
	if err := encode(b, v); err != nil {
		return fmt.Errorf("%s: %w", key, err)
	}
	return nil
}

func encodeList(b *bytes.Buffer, v reflect.Value) error {
	b.WriteByte('[')
	for i := range v.Len() {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := encode(b, v.Index(i)); err != nil {
			return err
		}
	}
	b.WriteByte(']')
	return nil
}

func encodeMap(b *bytes.Buffer, v reflect.Value) error {
	if v.IsNil() {
		b.WriteString("null")
		return nil
	}
	if v.Type().Key().Kind() != reflect.String {
		return fmt.Errorf("a map with keys of type %s has no place in a report; use strings", v.Type().Key())
	}
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, c reflect.Value) int { return strings.Compare(a.String(), c.String()) })
	b.WriteByte('{')
	first := true
	for _, k := range keys {
		if err := encodeMember(b, &first, k.String(), v.MapIndex(k)); err != nil {
			return err
		}
	}
	b.WriteByte('}')
	return nil
}
