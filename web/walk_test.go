package web

import (
	"archive/zip"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"meltspan/calibrate/demo"
	"meltspan/record"
	"meltspan/trial"
)

// The main path, as someone at the bench walks it.
func TestWalk(t *testing.T) {
	chromium(t)
	folder := t.TempDir()
	log, err := demo.Files.ReadFile("trial-1.csv")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "bench.csv")
	if err := os.WriteFile(file, log, 0o644); err != nil {
		t.Fatal(err)
	}
	b := open(t, served(t, Options{Folder: folder, Poll: 200 * time.Millisecond, Forecast: time.Second}))

	// The demo is open and answered.
	b.until("document.querySelector('#chart svg')")
	before := b.text("run-time")

	// A slider moves: the run time changes, and the text with it.
	b.do(chromedp.Focus(chromedp.CSS("#input-store-mass")))
	b.set("input-store-mass", "0.09", "input")
	b.until("document.getElementById('run-time').textContent !== " + quoted(before))
	b.until("document.getElementById('text').value.includes('mass: 90 g')")
	t.Logf("from a move of the slider to the picture: %.0f ms (median of 20)", evaluate[float64](b, `(async () => {
		const s = document.getElementById('input-store-mass'), chart = document.getElementById('chart'), times = [];
		for (let i = 0; i < 20; i++) {
			const before = chart.firstChild, start = performance.now();
			s.value = 0.09 + 0.0005 * ((i + 1) % 20);
			s.dispatchEvent(new Event('input'));
			while (chart.firstChild === before) await new Promise((r) => setTimeout(r));
			times.push(performance.now() - start);
			await new Promise((r) => setTimeout(r, 30));
		}
		return times.sort((a, b) => a - b)[10];
	})()`, chromedp.EvalAwaitPromise))
	b.until("document.getElementById('text').value.includes('mass: 90 g')")
	b.look("design")

	// A mistake is told at its line; the text is mended.
	evaluate[chromedp.Void](b, `{
		const t = document.getElementById('text');
		window.whole = t.value;
		t.value = t.value.replace('mass: 90 g', 'mass: 90 parsecs');
		t.dispatchEvent(new Event('input'));
	}`)
	b.until("document.getElementById('mistakes').textContent.includes('Line')")
	b.look("mistake")
	evaluate[chromedp.Void](b, `{ const t = document.getElementById('text'); t.value = whole; t.dispatchEvent(new Event('input')); }`)
	b.until("!document.getElementById('mistakes').textContent")

	// Saved under a name of its own.
	b.click("#save")
	b.visible("#name-dialog")
	b.set("name", "bench", "input")
	b.look("save")
	b.click("#name-form button[value=save]")
	b.until("document.getElementById('saved').textContent === 'saved'")
	b.until("document.getElementById('made-command').textContent.includes('meltspan amend demo store.mass')")
	if text, err := os.ReadFile(filepath.Join(folder, "bench.yaml")); err != nil || !strings.Contains(string(text), "mass: 90 g ") {
		t.Fatalf("the saved file: %v %.200s", err, text)
	}

	// Another browser saves meanwhile: this one is told, and nothing is lost.
	if err := os.WriteFile(filepath.Join(folder, "bench.yaml"), []byte("meltspan: 1\nname: theirs\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	b.click("#save")
	b.visible("#conflict")
	b.look("conflict")
	if text, _ := os.ReadFile(filepath.Join(folder, "bench.yaml")); !strings.Contains(string(text), "theirs") {
		t.Error("a change of someone else was written over")
	}
	b.click("#conflict-over")
	b.until("document.getElementById('saved').textContent === 'saved' && !document.getElementById('conflict').open")

	// The band.
	b.set("samples", "200", "change")
	b.click("#predict")
	b.until("document.querySelector('#predict-out pre')")
	b.look("band")

	// The report to hand on.
	b.click("#report")
	b.until("document.querySelectorAll('#report-out a').length === 2")
	if page := evaluate[string](b, "fetch(document.querySelector('#report-out a').href).then((r) => r.text())", chromedp.EvalAwaitPromise); !strings.Contains(page, "school bench") {
		t.Errorf("the report: %.200s", page)
	}

	// The section is scrubbed through.
	b.view("section")
	b.click("#section-start")
	b.until("document.querySelectorAll('#section-out .frames img[src]').length === 2")
	const moment = "document.querySelector('#section-out .frames output').textContent"
	first := evaluate[string](b, moment)
	b.click("#section-out .frames button.on")
	b.until(moment + " !== " + quoted(first))
	b.look("section")

	// In three dimensions: the level cuts and the section through the pegs.
	b.set("around", "3 mm", "change")
	b.click("#round-start")
	b.until("[...document.querySelectorAll('#section-out .frames img')].some((i) => i.alt.includes('level cuts')) && document.querySelectorAll('#section-out .frames img[src]').length === 2")
	b.look("three-dimensions")

	// Run time along an input, then over two; a point is opened as a design.
	b.view("vary")
	b.set("vary-samples", "50", "change")
	b.set("vary-steps", "3", "change")
	b.click("#vary-start")
	b.until("document.querySelectorAll('#vary-out tbody tr').length >= 3 && document.querySelector('#vary-out img').naturalWidth > 0")
	b.look("vary")
	b.set("second-input", "stand.wall.cavities", "change")
	b.set("second-from", "1", "input")
	b.set("second-to", "2", "input")
	b.click("#vary-start")
	b.until("document.querySelector('#vary-out .grid-map button')")
	b.look("vary-two")
	b.click("#vary-out .grid-map tbody tr:last-child td:last-child button")
	b.visible("#view-design")
	b.until("document.getElementById('made-command').textContent.includes('meltspan amend bench.yaml')")
	b.until("document.getElementById('text').value.includes('cavities: 2') && document.getElementById('saved').textContent === 'not saved'")
	b.save("varied")

	// The body, and its file.
	b.view("body")
	b.click("#body-start")
	b.until("!document.getElementById('body-view').hidden && document.getElementById('parts').children.length > 0")
	b.look("body")
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.CallBrowser(ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: b.download})
		return err
	}))
	b.click("#get-3mf")
	b.until("document.getElementById('body-state').textContent.includes('3MF file')")
	packed(t, b.download)

	// A log is looked at, then kept.
	b.view("trials")
	b.look("no-trials")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#log"), []string{file}))
	b.set("mass", "90 g +- 0.5 g", "input")
	b.click("#import button[value=dry]")
	b.until("document.getElementById('import-out').textContent.includes('Nothing is kept yet')")
	b.click("#keep-trial")
	b.until("document.getElementById('trial-picture').naturalWidth > 0")
	b.until("document.querySelectorAll('#trials tbody tr').length === 1")
	b.look("trial")

	// Another trial runs; its end is foretold.
	n, id, series := running(t, folder)
	for i := range 40 {
		if err := n.Append(t.Context(), series, trial.Sample{Time: float64(60 * i), Value: 285.2}); err != nil {
			t.Fatal(err)
		}
	}
	b.view("design")
	b.view("trials")
	b.until("document.querySelectorAll('#trials tbody tr').length === 2")
	b.click("#trials tbody tr:last-child button")
	b.until("document.getElementById('live-stall').textContent.includes('Stalls after')")
	count := b.text("live-readings")
	if err := n.Append(t.Context(), series, trial.Sample{Time: 2400, Value: 287.9}); err != nil {
		t.Fatal(err)
	}
	b.until("document.getElementById('live-readings').textContent !== " + quoted(count))
	b.until("document.getElementById('live-picture').naturalWidth > 0")
	b.look("live")
	if err := n.AddEvent(t.Context(), id, trial.Event{Kind: trial.Stalled, Time: 2500, Uncertainty: 30, Source: record.ByHand}); err != nil {
		t.Fatal(err)
	}

	// What the first one teaches, and what could come next.
	b.view("learn")
	b.until("document.querySelector('#learn-trials input')")
	b.click("#learn-trials input")
	b.click("#calibrate")
	b.until("document.querySelector('#calibrate-out pre')")
	b.click("#keep-revision")
	b.until("document.getElementById('kept-revision').textContent.includes('meltspan notebook keep')")
	b.until("document.querySelectorAll('#next-revisions input').length > 0")
	b.click("#next-revisions input")
	b.click("#next")
	b.until("document.querySelector('#next-out pre')")
	b.until("document.querySelector('#next-out .command').textContent.match(/meltspan next varied.yaml [0-9a-f]{12}/)")
	b.look("learn")

	// A search, and a design that it found.
	b.view("search")
	b.set("candidates", "500", "change")
	b.until("document.querySelectorAll('#word-more option').length > 1")
	b.set("word-more", "stand.material", "change")
	b.click("#choices input[value=petg]")
	b.look("search-words")
	b.click("#search")
	b.until("document.querySelector('.front-plot circle')")
	b.until("document.querySelector('#search-out .command').textContent.includes('stand.material=pla,petg')")
	b.look("search")
	b.click(".front-table button")
	b.visible("#view-design")
	b.until("document.getElementById('saved').textContent === 'not saved'")
	b.until("document.getElementById('text').value.includes('found')")
	b.until("document.getElementById('made-command').textContent.match(/meltspan notebook results [0-9]+ --found 1/)")
	b.save("best")
	b.until("document.getElementById('made-command').textContent.includes('--write best.yaml')")

	// A long job is found again after the page was loaded anew, and can be ended.
	b.view("search")
	b.set("candidates", "6000", "change")
	b.click("#search")
	b.until("document.querySelector('#search-out progress') && document.querySelector('#search-out [role=status]').textContent.includes(' of ')")
	b.do(chromedp.Reload())
	b.visible("#view-search")
	b.until("document.querySelector('#search-out progress')")
	b.until("document.getElementById('under-way-count').textContent.includes('1 under way')")
	b.view("results")
	b.until("document.querySelector('#jobs progress')")
	b.look("under-way")
	b.click("#jobs button")
	b.until("!document.querySelector('#jobs progress')")

	// What was worked out before is in the notebook, and is shown again.
	b.until("[...document.querySelectorAll('#results tbody tr')].some((r) => r.textContent.includes('next trials'))")
	evaluate[chromedp.Void](b, "[...document.querySelectorAll('#results tbody tr')].find((r) => r.textContent.includes('search') && !r.textContent.includes('early')).querySelector('button').click()")
	b.until("document.querySelector('#result-out .front-table button')")
	b.look("results")

	// What was worked out before there was a notebook is in memory, until it is kept.
	evaluate[chromedp.Void](b, "[...document.querySelectorAll('#memory-list li')].find((r) => r.textContent.includes('run time along')).querySelector('button').click()")
	b.until("document.querySelector('#result-out .values button')")
	b.click("#result-out .kept button")
	b.until("document.querySelector('#result-out .kept').textContent.includes('Kept in the notebook')")
	b.until("[...document.querySelectorAll('#results tbody tr')].some((r) => r.textContent.includes('variation'))")

	// A result is taken out: it is in memory only again. A trial is taken out after a
	// look at what goes with it.
	evaluate[chromedp.Void](b, "[...document.querySelectorAll('#results tbody tr')].find((r) => r.textContent.includes('variation')).querySelector('button').click()")
	b.until("document.getElementById('result-name').textContent.includes('variation')")
	b.click("#result-out .remove button")
	b.visible("#remove-dialog")
	b.click("#remove-keep")
	b.until("!document.getElementById('remove-dialog').open")
	b.click("#result-out .remove button")
	b.visible("#remove-dialog")
	b.click("#remove-go")
	b.until("document.getElementById('results-command').textContent.match(/meltspan notebook remove [0-9]+ --yes/)")
	b.until("![...document.querySelectorAll('#results tbody tr')].some((r) => r.textContent.includes('variation'))")
	b.until("[...document.querySelectorAll('#memory-list li')].some((r) => r.textContent.includes('run time along'))")
	b.view("trials")
	b.until("document.querySelectorAll('#trials tbody tr').length === 2")
	b.click("#trials tbody tr:last-child button")
	b.until("document.getElementById('trial-name').textContent === 'live'")
	b.click("#trial-remove")
	b.visible("#remove-dialog")
	b.until("document.getElementById('remove-text').textContent.includes('forecast')")
	b.look("remove")
	b.click("#remove-go")
	b.until("document.querySelectorAll('#trials tbody tr').length === 1 && document.getElementById('trial').hidden")
	b.until("document.getElementById('trials-command').textContent.includes('meltspan trial remove 2 --with-results --yes')")

	// Other units.
	b.set("units", "degF,in", "change")
	b.until("document.querySelector('[data-path=\"room.temperature\"] output').textContent.includes('degF')")
	b.until("document.querySelector('[data-path=\"stand.height\"] output').textContent.includes('in')")
}

// save saves the open design under a new name.
func (b *browser) save(name string) {
	b.t.Helper()
	b.click("#save-as")
	b.visible("#name-dialog")
	b.set("name", name, "input")
	b.click("#name-form button[value=save]")
	b.until("document.getElementById('saved').textContent === 'saved'")
}

func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `\'`) + "'" }

// packed looks into the downloaded 3MF file: a ZIP archive with a model in it.
func packed(t *testing.T, folder string) {
	t.Helper()
	for range 100 {
		if files, _ := filepath.Glob(filepath.Join(folder, "*.3mf")); len(files) == 1 {
			archive, err := zip.OpenReader(files[0])
			if err != nil {
				t.Fatal(err)
			}
			defer archive.Close()
			for _, f := range archive.File {
				if f.Name == "3D/3dmodel.model" && f.UncompressedSize64 > 1000 {
					return
				}
			}
			t.Fatal("the 3MF file holds no model")
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("no 3MF file was downloaded")
}
