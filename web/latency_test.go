package web

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp"
)

// How long it takes from a move of a slider to the picture, measured in a real
// browser when asked for: MELTSPAN_LATENCY=1 go test ./web -run Latency -v, on a
// machine that does nothing else. Three moments are told: the answer is read; the
// picture is in the document; and the frame that shows it has been
// painted (a message sent in its animation frame comes after that).
func TestSliderLatency(t *testing.T) {
	if os.Getenv("MELTSPAN_LATENCY") == "" {
		t.Skip("SKIPPED: a measurement, made when MELTSPAN_LATENCY is set")
	}
	chromium(t)
	b := open(t, served(t, Options{Folder: t.TempDir()}))
	b.until("document.querySelector('#chart svg')")
	got := evaluate[map[string][]float64](b, `(async () => {
		const s = document.getElementById('input-store-mass'), chart = document.getElementById('chart');
		const painted = () => new Promise((r) => requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = r; c.port2.postMessage(0); })), rest = (ms) => new Promise((r) => setTimeout(r, ms));
		const placed = [], drawn = [], asked = [];
		const ask = window.fetch;
		let start = 0;
		window.fetch = async (...a) => { const r = await ask(...a); const j = r.json.bind(r); r.json = async () => { const x = await j(); asked.push(performance.now() - start); return x; }; return r; };
		for (let i = 0; i < 120; i++) {
			start = performance.now();
			s.value = 0.09 + 0.0005 * ((i + 1) % 40);
			s.dispatchEvent(new Event('input'));
			await new Promise((done) => { const o = new MutationObserver(() => { o.disconnect(); done(); }); o.observe(chart, { childList: true }); });
			placed.push(performance.now() - start);
			await painted();
			drawn.push(performance.now() - start);
			await rest(60 + 7 * (i % 5));
		}
		window.fetch = ask;
		const spread = (v) => { v = v.slice(20).sort((a, b) => a - b); return [v[v.length >> 1], v[Math.floor(0.95 * v.length)], v[v.length - 1]]; };
		return { asked: spread(asked), placed: spread(placed), drawn: spread(drawn) };
	})()`, chromedp.EvalAwaitPromise)
	for _, what := range []string{"asked", "placed", "drawn"} {
		t.Logf("%s: median %.1f ms, 95th percentile %.1f ms, longest %.1f ms", what, got[what][0], got[what][1], got[what][2])
	}
}
