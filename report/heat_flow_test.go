package report

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/result"
)

// drawnBand is a band as it stands in the SVG.
type drawnBand struct {
	from, to, mechanism string
	energy              float64 // J
	left, right         float64 // widths at its ends, pixels
}

func readBands(t interface{ Fatal(...any) }, svg []byte) []drawnBand {
	var doc struct {
		Paths []struct {
			D         string `xml:"d,attr"`
			From      string `xml:"data-from,attr"`
			To        string `xml:"data-to,attr"`
			Mechanism string `xml:"data-mechanism,attr"`
			Energy    string `xml:"data-energy-joule,attr"`
		} `xml:"path"`
	}
	if err := xml.Unmarshal(svg, &doc); err != nil {
		t.Fatal(err)
	}
	var out []drawnBand
	for _, p := range doc.Paths {
		if p.Energy == "" {
			continue
		}
		energy, err := strconv.ParseFloat(p.Energy, 64)
		if err != nil {
			t.Fatal(err)
		}
		points := pointsIn(t, p.D)
		// The outline runs along the top to the right and back below, so the
		// ends of its second half mirror those of its first.
		n := len(points)
		out = append(out, drawnBand{p.From, p.To, p.Mechanism, energy,
			points[n-1][1] - points[0][1], points[n/2][1] - points[n/2-1][1]})
	}
	return out
}

func pointsIn(t interface{ Fatal(...any) }, d string) [][2]float64 {
	var out [][2]float64
	for _, pair := range strings.FieldsFunc(d, func(r rune) bool { return strings.ContainsRune("MLCZ ", r) }) {
		xs, ys, _ := strings.Cut(pair, ",")
		x, err := strconv.ParseFloat(xs, 64)
		if err != nil {
			t.Fatal(err)
		}
		y, err := strconv.ParseFloat(ys, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, [2]float64{x, y})
	}
	return out
}

func heatFlowBands(t *testing.T, flows []result.Flow) []drawnBand {
	t.Helper()
	run := fixtureRun()
	run.Flows = flows
	p, err := HeatFlow(run)
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "heat_flow", p)
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	return readBands(t, svg)
}

func TestHeatFlowWidthsAreProportionalToEnergies(t *testing.T) {
	bands := heatFlowBands(t, fixtureFlows())
	perJ := 0.0
	for _, b := range bands {
		perJ = max(perJ, b.left/b.energy)
	}
	for _, b := range bands {
		// Half a per cent, or the thousandth of a pixel to which SVG is written.
		tolerance := max(0.005*b.energy*perJ, 0.0021)
		if math.Abs(b.left-b.energy*perJ) > tolerance || math.Abs(b.right-b.energy*perJ) > tolerance {
			t.Errorf("%s to %s (%s): widths %.3f and %.3f, want %.3f", b.from, b.to, b.mechanism, b.left, b.right, b.energy*perJ)
		}
	}
}

func TestHeatFlowDrawsEveryFlowAboveTheLeast(t *testing.T) {
	sum := 0.0
	for _, b := range heatFlowBands(t, fixtureFlows()) {
		sum += b.energy
	}
	want := 0.0
	for _, f := range fixtureFlows() {
		want += math.Abs(f.Energy)
	}
	want -= 0.001 * wh // the work, below 0.3 %
	if math.Abs(sum-want) > 1e-6*want {
		t.Errorf("bands carry %.1f J, flows %.1f J", sum, want)
	}
}

func TestHeatFlowNamesTinyFlowsInItsCaption(t *testing.T) {
	p, err := HeatFlow(fixtureRun())
	if err != nil {
		t.Fatal(err)
	}
	if want := "engine to work (cycle) 0.0010 Wh"; !strings.Contains(p.sheet.Desc, want) {
		t.Errorf("caption %q does not say %q", p.sheet.Desc, want)
	}
}

func TestHeatFlowBalancesAtInnerNodes(t *testing.T) {
	in, out := map[string]float64{}, map[string]float64{}
	total := 0.0
	for _, b := range heatFlowBands(t, fixtureFlows()) {
		out[b.from] += b.energy
		in[b.to] += b.energy
	}
	for _, v := range in {
		total = max(total, v)
	}
	for name, v := range in {
		if out[name] > 0 && math.Abs(v-out[name]) > leastFlowPart*total {
			t.Errorf("%s: %.1f J in, %.1f J out", name, v, out[name])
		}
	}
}

func TestHeatFlowSaysWhatDoesNotAddUp(t *testing.T) {
	for _, b := range heatFlowBands(t, []result.Flow{
		{From: "room", To: "wall", Mechanism: "convection", Energy: 100},
		{From: "wall", To: "store", Mechanism: "conduction", Energy: 130},
	}) {
		if b.from == notAccounted && b.to == "wall" && math.Abs(b.energy-30) < 1e-9 {
			return
		}
	}
	t.Error("30 J that leave the wall without having entered are not shown")
}

func TestHeatFlowTurnsNegativeEnergiesRound(t *testing.T) {
	for _, b := range heatFlowBands(t, []result.Flow{{From: "store", To: "wall", Mechanism: "conduction", Energy: -5}}) {
		if b.from != "wall" || b.to != "store" || b.energy != 5 {
			t.Errorf("got %+v, want 5 J from wall to store", b)
		}
	}
}

func TestHeatFlowDrawsTheSmallestFlowOfACycleBackwards(t *testing.T) {
	g := newFlowGraph(fixtureFlows())
	for _, b := range g.bands {
		isBack := g.nodes[b.from].name == "rim" && g.nodes[b.to].name == "wall"
		if b.back != isBack {
			t.Errorf("%s to %s: back is %v", g.nodes[b.from].name, g.nodes[b.to].name, b.back)
		}
	}
}

// Any flows at all, cycles included, give a picture whose bands run between
// different layers, forward or back as marked, and whose words keep apart.
func TestHeatFlowHoldsForAnyFlows(t *testing.T) {
	groups := rapid.SampledFrom([]string{"room", "top plate", "engine", "bottom plate", "rim", "wall", "base", "store", "work", "stored heat"})
	ways := rapid.SampledFrom([]string{"convection", "radiation", "conduction", "cycle", "stored heat", "melting"})
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 25).Draw(t, "flows")
		run := &result.Run{Design: "any", RunTime: 3600}
		for range n {
			run.Flows = append(run.Flows, result.Flow{From: groups.Draw(t, "from"), To: groups.Draw(t, "to"),
				Mechanism: ways.Draw(t, "way"), Energy: rapid.Float64Range(-1e4, 1e4).Draw(t, "energy")})
		}
		g := newFlowGraph(run.Flows)
		for _, b := range g.bands {
			if forward := g.nodes[b.from].layer < g.nodes[b.to].layer; forward == b.back || g.nodes[b.from].layer == g.nodes[b.to].layer {
				t.Fatalf("band %+v from layer %d to %d", b, g.nodes[b.from].layer, g.nodes[b.to].layer)
			}
		}
		p, err := HeatFlow(run)
		if err != nil {
			return // nothing above zero
		}
		checkWordsApart(t, p)
	})
}
