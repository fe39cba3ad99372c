package design

import (
	"reflect"
	"strings"
)

// Words lists the keys that hold one of several words and have a bearing on the
// design, in the order of the file.
func (d *Design) Words() []Word {
	var out []Word
	d.eachInUse(func(path string, f *field, v reflect.Value) {
		if strings.HasPrefix(path, "materials.") {
			return // what a name means there, not which is taken
		}
		if w, err := d.FindWord(path); err == nil {
			out = append(out, w)
		}
	})
	return out
}
