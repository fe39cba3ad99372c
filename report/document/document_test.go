package document

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/quantity"
)

func TestSameSourceGivesSameBytes(t *testing.T) {
	s, err := source()
	if err != nil {
		t.Fatal(err)
	}
	again, err := Make(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	for _, form := range []struct {
		name string
		of   func(*Document) ([]byte, error)
	}{{"HTML", (*Document).HTML}, {"PDF", (*Document).PDF}} {
		one, err := form.of(wholeDocument(t))
		if err != nil {
			t.Fatal(err)
		}
		two, err := form.of(again)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(one, two) {
			t.Errorf("two %s of one source differ", form.name)
		}
	}
}

func TestInterruptLeavesNoHalfReport(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	s, err := source()
	if err != nil {
		t.Fatal(err)
	}
	s.Samples = 2000
	s.Progress = func(_ string, done, of int) {
		if done > of/10 {
			cancel()
		}
	}
	if d, err := Make(ctx, s); d != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("an interrupt gave a document (%v), error %v", d != nil, err)
	}
	cancel()
}

func TestReportNeedsADesign(t *testing.T) {
	if _, err := Make(t.Context(), Source{}); err == nil {
		t.Error("no error without a design")
	}
}

// Every input of a design stands in exactly one of the tables of origins, with
// its source where it has one.
func TestInputsStandUnderTheirOrigin(t *testing.T) {
	d := parsed(t, string(design.Demo()))
	if err := d.State("store.mass", "111 g +- 0.2 g", quantity.Measured); err != nil {
		t.Fatal(err)
	}
	if err := d.State("model.still", "110 % +- 10 %", quantity.Fitted); err != nil {
		t.Fatal(err)
	}
	under := map[string][]string{}
	for _, s := range plain(t, d).sections {
		if s.title != groundsTitle {
			continue
		}
		for _, b := range s.blocks {
			if table, ok := b.(table); ok {
				for _, row := range table.rows {
					under[row[0]] = append(under[row[0]], table.caption)
				}
			}
		}
	}
	all := append(d.Statements(), d.Assumptions()...)
	for _, in := range all {
		if len(under[in.Key]) != 1 {
			t.Errorf("%s stands in %q", in.Key, under[in.Key])
		}
	}
	if len(under) != len(all) {
		t.Errorf("%d inputs listed, %d in the design", len(under), len(all))
	}
	for key, want := range map[string]string{"store.mass": "Measured", "model.still": "Fitted", "room.temperature": "Stated", "model.table": "Handbook",
		"store.freezer.water": "Guessed", "stand.emissivity": "Derived"} {
		if got := under[key]; len(got) != 1 || !strings.Contains(got[0], want) {
			t.Errorf("%s stands under %q, not %s", key, got, want)
		}
	}
}

// A design that cannot be printed is reported on all the same, with the reason.
func TestReportOfWhatCannotBePrinted(t *testing.T) {
	d := parsed(t, string(design.Demo()))
	d.Print.Clearance.SI = 50e-3 // so that the rim ring rests on nothing
	doc := plain(t, d)
	page, err := doc.HTML()
	if err != nil {
		t.Fatal(err)
	}
	if want := "print.clearance: a clearance of 50"; !bytes.Contains(page, []byte(want)) {
		t.Errorf("the page does not say %q", want)
	}
	if bytes.Contains(page, []byte("Bill of parts")) {
		t.Error("there is a bill of parts that cannot be made")
	}
}

func TestTextsBecomeBlocks(t *testing.T) {
	var p textpage.Page
	p.Para(2, 2, "a plate of 22 degC +- 0.5 K and 10 W/(m2 K)")
	p.Para(2, 2, "- one")
	p.Para(2, 2, "- two")
	p.Heading("Budget")
	p.Table("lrl", [][]string{{"wall", "2 Wh", "##"}, {"rim", "1 Wh", "#"}})
	p.Heading("Words")
	p.Para(2, 2, "text")
	p.Table("lr", [][]string{{"", "mean"}, {"x", "1"}})
	got := blocksOf(p.Blocks(), "About")
	want := []block{
		paragraph{"a plate of 22 °C ± 0.5 K and 10 W/(m² K)"},
		list{[]string{"one", "two"}},
		table{caption: "Budget", align: "lr", rows: [][]string{{"wall", "2 Wh"}, {"rim", "1 Wh"}}},
		heading{"Words"}, paragraph{"text"},
		table{caption: "About", align: "lr", head: []string{"", "mean"}, rows: [][]string{{"x", "1"}}},
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(paragraph{}, list{}, table{}, heading{})); diff != "" {
		t.Error(diff)
	}
}
