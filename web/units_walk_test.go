package web

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Images of the frames of a section.
const (
	sectionImage = "#section-out .frames .picture:nth-child(1) img"
	outsideImage = "#section-out .frames .picture:nth-child(2) img"
)

// picturesOf lets the page be asked for the SVG that an image, or a box, shows.
const picturesOf = `{
	const made = new Map(), make = URL.createObjectURL;
	URL.createObjectURL = (b) => { const u = make.call(URL, b); made.set(u, b); return u; };
	window.shown = async (e) => e?.querySelector('svg')?.outerHTML ?? (made.has(e?.src) ? made.get(e.src).text() : '');
}`

// shows waits until an image shows a picture with certain words.
func (b *browser) shows(selector, words string) {
	b.t.Helper()
	deadline := time.Now().Add(60 * time.Second)
	for {
		svg := evaluate[string](b, "shown(document.querySelector("+quoted(selector)+"))", chromedp.EvalAwaitPromise)
		if strings.Contains(svg, words) {
			return
		}
		if time.Now().After(deadline) {
			b.t.Fatalf("%s never showed %q", selector, words)
		}
		time.Sleep(30 * time.Millisecond)
	}
}

// Whoever switches the units sees every picture and text follow, in each view, and
// what was worked out is not worked out anew.
func TestSwitchOfUnits(t *testing.T) {
	chromium(t)
	b := open(t, served(t, Options{Folder: t.TempDir()}))
	evaluate[chromedp.Void](b, picturesOf)
	b.until("document.querySelector('#chart svg')")
	look := func(view string) { // the other walk has each view checked
		if b.shots != "" {
			b.look("units-" + view)
		}
	}
	choose := func(units string) { b.set("units", units, "change") }

	b.set("input-room-temperature", "295.3", "input")
	b.shows("#chart", "temperature (°C)")
	b.set("samples", "200", "change")
	b.click("#predict")
	b.until("document.querySelectorAll('#predict-out .picture').length === 4")
	choose("degF,in")
	b.shows("#chart", "temperature (°F)")
	b.shows("#predict-out .picture:nth-of-type(1) img", "temperature (°F)")
	b.until("document.querySelector('#predict-out pre').textContent.includes('degF') && !document.querySelector('#predict-out pre').textContent.includes('degC')")
	b.until("document.querySelector('#predict-out .command code').textContent.endsWith(' --units degF,in')")
	b.until("document.querySelector('#design-command code').textContent.endsWith(' --units degF,in')")
	b.until("document.querySelector('[data-path=\"stand.height\"] output').textContent.endsWith(' in')")
	b.until("document.getElementById('run-more').textContent.includes('degF')")
	look("design")

	b.view("section")
	b.until("document.getElementById('section-grid').textContent === '0.0394 in'")
	b.until("document.querySelector('#around option').textContent === '0.118 in'")
	b.click("#section-start")
	b.shows(sectionImage, "contours every 5 °F, in °F")
	choose("degC,mm")
	b.shows(sectionImage, "°C")
	b.shows(outsideImage, "height over the table (mm)")
	choose("degF,in")
	b.shows(outsideImage, "height over the table (in)")
	b.shows(sectionImage, "temperature (°F)")
	look("section")

	b.view("body")
	b.click("#body-start")
	b.until("document.getElementById('body-text').textContent.includes(' in ')")
	choose("degF,mm")
	b.until("document.getElementById('body-text').textContent.includes(' mm ')")
	choose("degF,in")
	b.until("!document.getElementById('body-text').textContent.includes(' mm ')")
	look("body")

	b.view("trials")
	b.click("#examples")
	b.until("document.querySelectorAll('#trials tbody tr').length > 4")
	b.click("#trials tbody tr:first-child button")
	b.shows("#trial-picture", "temperature (°F)")
	choose("degC,in")
	b.shows("#trial-picture", "temperature (°C)")
	choose("degF,in")
	b.shows("#trial-picture", "temperature (°F)")
	b.until("document.getElementById('trial-text').textContent.includes('degF')")
	look("trials")

	// A result that the notebook keeps follows, too.
	b.view("design")
	b.click("#predict")
	b.until("document.querySelector('#predict-out .kept')?.textContent.includes('Kept in the notebook')")
	b.view("results")
	b.click("#results tbody tr:first-child td button")
	b.shows("#result-out .picture:nth-of-type(1) img", "temperature (°F)")
	choose("degC,mm")
	b.shows("#result-out .picture:nth-of-type(1) img", "temperature (°C)")
	b.until("!document.querySelector('#result-out pre').textContent.includes('degF')")
	choose("degF,in")
	b.until("document.querySelector('#result-out .command code').textContent.endsWith(' --units degF,in')")
	look("results")
	if b.shots == "" {
		return // what follows takes long, and goes the way of the prediction
	}

	b.view("learn")
	b.until("document.querySelector('#learn-trials input')")
	b.click("#learn-trials input")
	b.click("#calibrate")
	b.until("document.querySelector('#calibrate-out pre')")
	b.click("#next")
	b.until("document.querySelector('#next-out pre')")
	look("learn")
	b.view("search")
	b.set("candidates", "500", "change")
	b.click("#search")
	b.until("document.querySelector('.front-plot circle')")
	b.until("document.querySelector('.front-table').textContent.includes(' in')")
	look("search")
}
