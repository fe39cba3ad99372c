package report

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"meltspan/quantity"
	"meltspan/result"
)

// roundRun is an invented run in three dimensions: two ribs, one ring of two
// sectors a quarter circle each.
func roundRun() *result.Run {
	run := sectionRun(invented)
	run.Depth = "3-D"
	run.Round = &result.Round{
		Repeats: 2, Around: "2 ribs", Cells: 7, Through: run.Section.Cells,
		Slices: []result.Slice{{Name: "rim", Cells: []result.SliceCell{
			{In: 0.01, Out: 0.02, From: 0, To: math.Pi / 4}, {In: 0.01, Out: 0.02, From: math.Pi / 4, To: math.Pi / 2},
			{In: 0.02, Out: 0.03, From: 0, To: math.Pi / 4}, {In: 0.02, Out: 0.03, From: math.Pi / 4, To: math.Pi / 2},
		}}},
	}
	for _, f := range run.Section.Frames {
		run.Round.Frames = append(run.Round.Frames, result.RoundFrame{Through: f.Temperature, Slices: [][]float64{{280, 290, 285, 285}}})
	}
	return run
}

// A ring of one temperature is drawn as one; one of two as each sector, its
// mirror image and their copies.
func TestLevelCutsAreMirroredAndRepeated(t *testing.T) {
	p, err := RoundPicture(quantity.Display{}, roundRun(), 0)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Path []struct {
			D string `xml:"d,attr"`
		} `xml:"path"`
	}
	readSVG(t, p, &doc)
	var outlines []int
	for _, path := range doc.Path {
		outlines = append(outlines, strings.Count(path.D, "Z"))
	}
	parts := map[int]int{}
	for _, n := range outlines {
		parts[n]++
	}
	if parts[4] != 2 || parts[1] < 1 {
		t.Errorf("outlines of each path: %v; two of four parts and one whole ring were expected", outlines)
	}
}

func TestLevelCutsNeedARunInThreeDimensions(t *testing.T) {
	flat, short := roundRun(), roundRun()
	flat.Round = nil
	short.Round.Frames[0].Slices[0] = []float64{280}
	for _, run := range []*result.Run{flat, short} {
		if _, err := RoundPicture(quantity.Display{}, run, 0); err == nil {
			t.Error("no error")
		}
	}
}

func TestThreeDepthsAreCompared(t *testing.T) {
	network, section, round := fixtureRun(), sectionRun(invented), roundRun()
	round.RunTime *= 0.9
	var b bytes.Buffer
	if err := DepthsText(&b, quantity.Display{}, network, section, round); err != nil {
		t.Fatal(err)
	}
	checkGolden(t, "depths_three", b.Bytes())
}
