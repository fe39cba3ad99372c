package report

import (
	"encoding/json"
	"fmt"
	"reflect"
)

// ReadJSON reads what JSON wrote into v, which must be a pointer. A null where
// a number belongs becomes NaN, so that what had no meaning when it was
// written has none when it is read (an infinite number comes back as NaN too).
func ReadJSON(data []byte, v any) error {
	if err := json.Unmarshal(data, v); err != nil {
		return fmt.Errorf("report: reading JSON: %w", err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		return fmt.Errorf("report: reading JSON: %w", err)
	}
	restore(reflect.ValueOf(v), tree)
	return nil
}

// restore walks a decoded value beside the tree it came from and sets numbers
// that were null to NaN.
func restore(v reflect.Value, tree any) {
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		if tree == nil && v.CanSet() {
			v.SetFloat(nan)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			restore(v.Elem(), tree)
		}
	case reflect.Struct:
		members, _ := tree.(map[string]any)
		for i := range v.NumField() {
			if embeds(v.Type().Field(i)) {
				restore(v.Field(i), tree)
				continue
			}
			if key, _, ok := jsonKey(v.Type().Field(i)); ok {
				if member, present := members[key]; present {
					restore(v.Field(i), member)
				}
			}
		}
	case reflect.Slice, reflect.Array:
		list, _ := tree.([]any)
		for i := range min(v.Len(), len(list)) {
			restore(v.Index(i), list[i])
		}
	}
}
