package document

import (
	"bytes"
	"html"
	"regexp"
	"strings"
	"testing"

	"meltspan/quantity"
)

// A report in degF and inches holds no other unit but where the design stands as
// it was written and in what others wrote (sources, notes); and it is the same to
// the byte when made again.
func TestReportInTheUnitsChosen(t *testing.T) {
	s, err := source()
	if err != nil {
		t.Fatal(err)
	}
	if s.Units, err = quantity.ParseDisplay("degF,in"); err != nil {
		t.Fatal(err)
	}
	var pages, papers [2][]byte
	for i := range pages {
		d, err := Make(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		if pages[i], err = d.HTML(); err != nil {
			t.Fatal(err)
		}
		if papers[i], err = d.PDF(); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(pages[0], pages[1]) || !bytes.Equal(papers[0], papers[1]) {
		t.Error("two reports of one source in the same units differ")
	}
	if usual, err := wholeDocument(t).HTML(); err != nil || bytes.Equal(usual, pages[0]) {
		t.Error("the report is the same in other units", err)
	}
	reworded, err := wholeDocument(t).In(s.Units)
	if err != nil {
		t.Fatal(err)
	}
	if page, err := reworded.HTML(); err != nil || !bytes.Equal(page, pages[0]) {
		t.Error("a report that is reworded is not the one made in those units", err)
	}
	text := string(pages[0])
	for _, part := range []string{`(?s)<pre.*?</pre>`, `(?s)<h3[^>]*>Sources</h3>.*?</dl>`, `(?s)<style>.*?</style>`} {
		text = regexp.MustCompile(part).ReplaceAllString(text, "")
	}
	text = strings.NewReplacer("W/(m² K)", "", "W/(m K)", "", "J/(kg K)", "").Replace(html.UnescapeString(text))
	other := regexp.MustCompile(`.{0,60}(?:degC|°C|[0-9(] ?(?:K|mm|cm|cm²|m)(?:[^\w/²³]|$)).{0,20}`)
	for _, found := range other.FindAllString(text, 20) {
		t.Errorf("in degF and in there is %q", found)
	}
	if !strings.Contains(text, "°F") || !strings.Contains(text, " in") {
		t.Error("there is neither °F nor in")
	}
}
