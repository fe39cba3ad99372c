package designtest

import (
	"testing"

	"meltspan/design"
)

// Demo reads a built-in design and applies edits to it.
func Demo(t testing.TB, name string, edits ...func(*design.Design)) *design.Design {
	t.Helper()
	text, err := design.DemoNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := design.Parse(name, text, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, edit := range edits {
		edit(d)
	}
	if len(edits) > 0 {
		d.Rederive()
	}
	return d
}
