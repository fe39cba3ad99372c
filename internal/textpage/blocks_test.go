package textpage

import (
	"reflect"
	"testing"
)

// What was asked for can be set anew, with the signs a terminal may lack.
func TestBlocksAreWhatWasAskedFor(t *testing.T) {
	var p Page
	p.Heading("Head")
	p.Paraf(2, 2, "%d ± 1", 3)
	p.Blank()
	p.Table("lr", [][]string{{"a", "1"}})
	p.Explain([][]string{{"b", "c"}})
	p.Line("end")
	want := []Block{
		{Kind: Title, Text: "Head"}, {Kind: Paragraph, Text: "3 ± 1"}, {Kind: Rows, Align: "lr", Cells: [][]string{{"a", "1"}}},
		{Kind: Explanation, Cells: [][]string{{"b", "c"}}}, {Kind: Plainly, Text: "end"},
	}
	if got := p.Blocks(); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
