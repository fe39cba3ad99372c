package document

import (
	"bytes"
	"encoding/xml"
	"io"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
)

// element is what a test wants to know of one.
type element struct {
	name string
	attr map[string]string
	text string // of itself and all below it
	path []string
}

// elements reads a page. Its void elements are those of HTML; all else must be
// closed in order.
func elements(t interface{ Fatal(...any) }, page []byte) []*element {
	d := xml.NewDecoder(bytes.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var all, open []*element
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := &element{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			for _, o := range open {
				e.path = append(e.path, o.name)
			}
			all, open = append(all, e), append(open, e)
		case xml.EndElement:
			if last := open[len(open)-1]; last.name != x.Name.Local {
				t.Fatal("</" + x.Name.Local + "> closes <" + last.name + ">")
			}
			open = open[:len(open)-1]
		case xml.CharData:
			for _, o := range open {
				o.text += string(x)
			}
		}
	}
	if len(open) > 0 {
		t.Fatal("<" + open[0].name + "> is not closed")
	}
	return all
}

func TestPageNeedsNothingBesideItself(t *testing.T) {
	page, err := wholeDocument(t).HTML()
	if err != nil {
		t.Fatal(err)
	}
	ids, links := map[string]bool{}, []string{}
	for _, e := range elements(t, page) {
		switch e.name {
		case "script", "img", "iframe", "object", "embed", "link", "base", "form", "use", "image":
			t.Errorf("the page holds a %s", e.name)
		case "style":
			if strings.Contains(e.text, "url(") || strings.Contains(e.text, "@import") {
				t.Error("the style asks for something")
			}
		}
		for name, value := range e.attr {
			switch {
			case name == "id":
				if ids[value] {
					t.Errorf("two elements have the id %q", value)
				}
				ids[value] = true
			case name == "href":
				links = append(links, value)
			case name == "src" || strings.HasPrefix(name, "on") || strings.Contains(value, "url("):
				t.Errorf("<%s %s=%q>", e.name, name, value)
			}
		}
	}
	for _, l := range links {
		if !strings.HasPrefix(l, "#") || !ids[l[1:]] {
			t.Errorf("a link leads to %q, which is not in the page", l)
		}
	}
	if len(links) < 10 {
		t.Errorf("only %d links: where are the contents?", len(links))
	}
}

// What a screen reader goes by: one title, headings in order, names of
// pictures and tables, cells with heads.
func TestPageCanBeReadAloud(t *testing.T) {
	page, err := wholeDocument(t).HTML()
	if err != nil {
		t.Fatal(err)
	}
	level, pictures, tables := 0, 0, 0
	all := elements(t, page)
	for i, e := range all {
		switch e.name {
		case "html":
			if e.attr["lang"] != "en" {
				t.Error("the language is not told")
			}
		case "h1", "h2", "h3":
			now := int(e.name[1] - '0')
			if now > level+1 || strings.TrimSpace(e.text) == "" {
				t.Errorf("%s %q follows a heading of level %d", e.name, e.text, level)
			}
			level = now
		case "svg":
			pictures++
			if e.attr["role"] != "img" || e.attr["viewBox"] == "" || e.attr["width"] != "" {
				t.Errorf("picture %d: %v", pictures, e.attr)
			}
			if all[i+1].name != "title" || all[i+2].name != "desc" || strings.TrimSpace(all[i+1].text) == "" || strings.TrimSpace(all[i+2].text) == "" {
				t.Errorf("picture %d has no title or description", pictures)
			}
		case "table":
			tables++
			if all[i+1].name != "caption" || strings.TrimSpace(all[i+1].text) == "" {
				t.Errorf("table %d has no caption", tables)
			}
		}
	}
	if pictures < 10 || tables < 10 {
		t.Errorf("%d pictures and %d tables", pictures, tables)
	}
}

// Every section is there, and so is the design to the letter.
func TestPageHoldsAllSections(t *testing.T) {
	d := wholeDocument(t)
	page, err := d.HTML()
	if err != nil {
		t.Fatal(err)
	}
	var titles []string
	text := ""
	for _, e := range elements(t, page) {
		if e.name == "h2" {
			titles = append(titles, e.text)
		}
		if e.name == "pre" {
			text = e.text
		}
	}
	for i, h := range []string{
		"In short", "Cautions", "The device", "Prediction", "Where the heat goes", "Temperatures in the section", "Condensate and melt",
		"What matters most", "Freezing and printing", "Trials", "What the trials taught", "Trials compared", groundsTitle, "The design as it was written",
	} {
		if i >= len(d.Headings()) || d.Headings()[i] != h || !slices.ContainsFunc(titles, func(s string) bool { return strings.HasSuffix(s, ". "+h) }) {
			t.Errorf("section %d is not %q in %q", i+1, h, titles)
		}
	}
	s, err := source()
	if err != nil {
		t.Fatal(err)
	}
	if text != string(s.Text) {
		t.Error("the design does not stand there as it was written")
	}
}

// Whatever a design and its trials are called, the page stays whole.
func TestPageTakesAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"</pre><script>", "\"'&<>", "\x00\xff", "]]>", "<!--"}))
		d := &Document{Title: text.Draw(t, "title"), Subject: text.Draw(t, "subject"), Author: text.Draw(t, "author"), facts: [][2]string{{"a", text.Draw(t, "fact")}},
			sections: []section{{id: "a", title: text.Draw(t, "section"), blocks: []block{
				heading{text.Draw(t, "heading")}, paragraph{text.Draw(t, "paragraph")}, list{[]string{text.Draw(t, "item")}}, listing{text.Draw(t, "listing")},
				table{caption: text.Draw(t, "caption"), align: "l", head: []string{text.Draw(t, "head")}, rows: [][]string{{text.Draw(t, "cell")}}},
			}}}}
		page, err := d.HTML()
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(elements(t, page), func(e *element) bool { return e.name == "script" }) {
			t.Fatalf("a script came in: %s", page)
		}
	})
}

// Every example gives a report, also where there is no engine and nothing
// freezes.
func TestEveryExampleHasAReport(t *testing.T) {
	for _, name := range design.DemoNames() {
		text, err := design.DemoNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		d := plain(t, parsed(t, string(text)))
		page, err := d.HTML()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if bytes.Contains(page, []byte("There is no picture")) || bytes.Contains(page, []byte("NaN")) {
			t.Errorf("%s: a picture or a number is missing", name)
		}
	}
}
