package design

import (
	"testing"

	"meltspan/quantity"
)

// What the file says and what it leaves out are two lists without a key in
// common, and what was set as measured or fitted is listed so.
func TestStatementsAndAssumptionsShareNoKey(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.State("model.still", "110 % +- 10 %", quantity.Fitted); err != nil {
		t.Fatal(err)
	}
	found := map[string]Assumption{}
	for _, a := range append(d.Statements(), d.Assumptions()...) {
		if _, twice := found[a.Key]; twice {
			t.Errorf("%s is listed twice", a.Key)
		}
		if a.About == "" {
			t.Errorf("%s: nothing says what it means", a.Key)
		}
		found[a.Key] = a
	}
	for key, want := range map[string]quantity.Origin{
		"store.mass": quantity.Stated, "store.substance": quantity.Stated, "stand.pegs.count": quantity.Stated, "model.still": quantity.Fitted,
		"model.table": quantity.Handbook, "load.top_plate.thickness": quantity.Guessed,
	} {
		if found[key].Origin != want {
			t.Errorf("%s is %q, want %q", key, found[key].Origin, want)
		}
	}
	for _, key := range []string{"name", "note", "meltspan", "stand.ribs.thickness"} {
		if a, ok := found[key]; ok {
			t.Errorf("%s has no bearing, and is listed as %v", key, a)
		}
	}
}
