package predict

import (
	"math"
	"testing"

	"meltspan/design"
)

func TestDeviateUndoesAt(t *testing.T) {
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	unknowns, err := Unknowns(d)
	if err != nil || len(unknowns) < 20 {
		t.Fatalf("%d unknowns, %v", len(unknowns), err)
	}
	for _, u := range unknowns {
		for _, z := range []float64{-0.7, 0, 0.4} {
			value := u.At(z)
			if value == u.v.Low || value == u.v.High {
				continue // held at an end of its range
			}
			if got := u.Deviate(value); math.Abs(got-z) > 1e-9 {
				t.Errorf("%s: deviate %g came back as %g", u.Input().Path, z, got)
			}
		}
		u.Set(d, 0.4)
		if get, _ := design.Accessor(u.Input().Path); get(d).SI != u.At(0.4) {
			t.Errorf("%s was not set", u.Input().Path)
		}
	}
}
