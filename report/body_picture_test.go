package report

import (
	"bytes"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/solid"
)

// printed are the parts of a built-in design, in pieces or whole.
func printed(name string, whole bool) (*design.Design, []solid.Part, error) {
	text, err := design.DemoNamed(name)
	if err != nil {
		return nil, nil, err
	}
	d, err := design.Parse(name, text, nil)
	if err != nil {
		return nil, nil, err
	}
	if whole {
		d.Print.Bridge.SI, d.Stand.Ribs.Count = 0.5, 8
	}
	parts, err := solid.Sections(d)
	return d, parts, err
}

func init() {
	for _, name := range []string{"engine-on-ice", "generator-on-ice"} {
		for _, whole := range []bool{false, true} {
			key := "body " + name
			if whole {
				key += " whole"
			}
			pictures[key] = func(u quantity.Display) (*Picture, error) {
				d, parts, err := printed(name, whole)
				if err != nil {
					return nil, err
				}
				return BodyPicture(u, d.Name, d.Revision(), parts)
			}
		}
	}
}

// Every part is named in the picture, with its size.
func TestBodyPictureNamesEveryPart(t *testing.T) {
	d, parts, err := printed("engine-on-ice", false)
	if err != nil {
		t.Fatal(err)
	}
	p, err := BodyPicture(quantity.Display{}, d.Name, d.Revision(), parts)
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, text := range p.sheet.Texts() {
		words = append(words, text.Content)
	}
	all := strings.Join(words, "\n")
	for _, want := range []string{"outer shell", "cup", "rim ring", "lid", "tray", "mould", "Ø 116.0 mm x 36.4 mm, pla", d.Revision()} {
		if !strings.Contains(all, want) {
			t.Errorf("the picture says nothing of %q", want)
		}
	}
	if _, err := BodyPicture(quantity.Display{}, d.Name, d.Revision(), nil); err == nil {
		t.Error("no parts gave a picture")
	}
}

// Texts about parts keep within the page, lead with the worst, and name the
// filament of all copies.
func TestTextsOfParts(t *testing.T) {
	d, parts, err := printed("generator-on-ice", false)
	if err != nil {
		t.Fatal(err)
	}
	findings := []solid.Finding{
		{Check: "fits the bed", Part: "cup", Verdict: solid.Fine, Text: "it fits"},
		{Check: "thinnest wall", Part: "cup", Verdict: solid.Look, Text: "it is thin", Place: &solid.Point{R: 0.0355, Z: 0.012}},
		{Check: "stands", Verdict: solid.Fails, Text: "it falls over"},
	}
	items := solid.Bill(d, parts)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"bill":   func(b *bytes.Buffer) error { return BillText(b, quantity.Display{}, d.Name, "0123", items) },
		"checks": func(b *bytes.Buffer) error { return ChecksText(b, quantity.Display{}, d.Name, "0123", findings) },
		"both":   func(b *bytes.Buffer) error { return PartsText(b, quantity.Display{}, d.Name, "0123", items, findings) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		for line := range strings.SplitSeq(text, "\n") {
			if textpage.Columns(line) > textpage.Width {
				t.Errorf("%s: too wide: %s", name, line)
			}
		}
		if name != "bill" {
			fails, look := strings.Index(text, "falls over"), strings.Index(text, "it is thin")
			if fails < 0 || look < fails || !strings.Contains(text, "at radius 35.5 mm, height") {
				t.Errorf("%s:\n%s", name, text)
			}
			if !strings.Contains(strings.Join(strings.Fields(text), " "), "1 came out fine, 1 ask for a look, 1 say it won't do. Change the design") {
				t.Errorf("%s does not count:\n%s", name, text)
			}
		}
		if name != "checks" && !strings.Contains(text, "foot              3  petg") {
			t.Errorf("%s: three feet are missing:\n%s", name, text)
		}
		if name == "bill" && !strings.Contains(text, "metal foil") {
			t.Errorf("the lining is missing:\n%s", text)
		}
	}
}
