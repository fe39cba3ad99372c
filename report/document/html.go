package document

import (
	"fmt"
	"html"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// policy lets the page load nothing, not even from where it lies, and run
// nothing (W3C Content Security Policy Level 3).
const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"

// HTML returns the document as one page that needs nothing beside itself:
// pictures are inline SVG with title and description, there is no script, and
// nothing is asked for from anywhere. The same document gives the same bytes.
func (d *Document) HTML() ([]byte, error) {
	w := &page{}
	w.line(`<!DOCTYPE html>`)
	w.line(`<html lang="en">`)
	w.line(`<head>`)
	w.line(`<meta charset="utf-8">`)
	w.line(`<meta http-equiv="Content-Security-Policy" content="%s">`, policy)
	w.line(`<meta name="viewport" content="width=device-width, initial-scale=1">`)
	w.line(`<meta name="description" content="%s">`, escape(d.Subject))
	if d.Author != "" {
		w.line(`<meta name="author" content="%s">`, escape(d.Author))
	}
	w.line(`<meta name="generator" content="Meltspan">`)
	w.line(`<title>%s: report</title>`, escape(d.Title))
	w.line("<style>\n%s</style>", style)
	w.line(`</head>`)
	w.line(`<body>`)
	w.line(`<a class="skip" href="#%s">To the text</a>`, d.sections[0].id)
	w.line(`<header>`)
	w.line(`<h1>%s</h1>`, escape(d.Title))
	w.line(`<p class="about">%s</p>`, escape(d.Subject))
	w.pairs(d.facts)
	w.line(`</header>`)
	w.line(`<nav aria-labelledby="contents">`)
	w.line(`<h2 id="contents">Contents</h2>`)
	w.line(`<ol>`)
	for _, s := range d.sections {
		w.line(`<li><a href="#%s">%s</a></li>`, s.id, escape(s.title))
	}
	w.line(`</ol>`)
	w.line(`</nav>`)
	w.line(`<main>`)
	for i, s := range d.sections {
		w.line(`<section aria-labelledby="%s">`, s.id)
		w.line(`<h2 id="%s">%d. %s</h2>`, s.id, i+1, escape(s.title))
		for _, b := range s.blocks {
			if err := w.block(b); err != nil {
				return nil, err
			}
		}
		w.line(`</section>`)
	}
	w.line(`</main>`)
	w.line(`<footer><p>Made by Meltspan from the design and the notebook named above; the same design, notebook and program give the same document, to the byte.</p></footer>`)
	w.line(`</body>`)
	w.line(`</html>`)
	return []byte(w.String()), nil
}

// page collects lines of HTML.
type page struct{ strings.Builder }

func (w *page) line(format string, args ...any) {
	fmt.Fprintf(w, format, args...)
	w.WriteByte('\n')
}

// escape makes text of any kind fit for HTML, characters out that XML and HTML
// forbid.
func escape(text string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case unicode.IsControl(r) || r == 0xfffe || r == 0xffff:
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "\ufffd")))
}

func (w *page) pairs(rows [][2]string) {
	const short = 12 // characters of a name that leave room beside it on a phone
	class := ""
	if slices.ContainsFunc(rows, func(r [2]string) bool { return utf8.RuneCountInString(r[0]) > short }) {
		class = ` class="long"`
	}
	w.line(`<dl%s>`, class)
	for _, r := range rows {
		w.line(`<dt>%s</dt><dd>%s</dd>`, escape(r[0]), escape(r[1]))
	}
	w.line(`</dl>`)
}

func (w *page) block(b block) error {
	switch b := b.(type) {
	case heading:
		w.line(`<h3>%s</h3>`, escape(b.text))
	case paragraph:
		w.line(`<p>%s</p>`, escape(b.text))
	case list:
		w.line(`<ul>`)
		for _, item := range b.items {
			w.line(`<li>%s</li>`, escape(item))
		}
		w.line(`</ul>`)
	case pairs:
		w.pairs(b.rows)
	case listing:
		w.line(`<pre tabindex="0" role="group" aria-label="text of the design">%s</pre>`, escape(b.text))
	case table:
		w.table(b)
	case figure:
		return w.figure(b)
	}
	return nil
}

// table writes a table that scrolls within itself where it is too wide. The
// first cell of a row is its head.
func (w *page) table(t table) {
	w.line(`<div class="wide" role="group" tabindex="0" aria-label="%s">`, escape(t.caption))
	w.line(`<table>`)
	w.line(`<caption>%s</caption>`, escape(t.caption))
	class := func(j int, text string) string {
		switch {
		case j < len(t.align) && t.align[j] == 'r':
			return ` class="r"`
		case utf8.RuneCountInString(text) < 25 && strings.ContainsFunc(text, unicode.IsDigit):
			return ` class="n"` // a number stays with its unit
		}
		return ""
	}
	if t.head != nil {
		w.WriteString(`<thead><tr>`)
		for j, text := range t.head {
			if text == "" {
				fmt.Fprintf(w, `<td%s></td>`, class(j, text)) // an empty head tells nothing
				continue
			}
			fmt.Fprintf(w, `<th scope="col"%s>%s</th>`, class(j, text), escape(text))
		}
		w.line(`</tr></thead>`)
	}
	w.line(`<tbody>`)
	for _, row := range t.rows {
		w.WriteString(`<tr>`)
		for j, text := range row {
			if j == 0 {
				fmt.Fprintf(w, `<th scope="row"%s>%s</th>`, class(j, text), escape(text))
				continue
			}
			fmt.Fprintf(w, `<td%s>%s</td>`, class(j, text), escape(text))
		}
		w.line(`</tr>`)
	}
	w.line(`</tbody>`)
	w.line(`</table>`)
	w.line(`</div>`)
}

// svgSize is the size that a stand-alone SVG states; here the page says how
// large it is shown.
var svgSize = regexp.MustCompile(`^(<svg [^>]*?) width="[^"]*" height="[^"]*"`)

// figure puts a picture into the page. Its SVG has no ids that could collide.
func (w *page) figure(f figure) error {
	svg, err := f.sheet.SVG()
	if err != nil {
		return err
	}
	class := "picture"
	if f.sheet.Height > f.sheet.Width {
		class += " upright"
	}
	w.line(`<figure>`)
	w.line(`<div class="%s" role="group" tabindex="0" aria-label="%s">`, class, escape(f.caption))
	w.Write(svgSize.ReplaceAll(svg, []byte("$1")))
	w.line(`</div>`)
	w.line(`<figcaption>%s</figcaption>`, escape(f.caption))
	w.line(`</figure>`)
	return nil
}
