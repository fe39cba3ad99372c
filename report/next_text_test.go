package report

import (
	"bytes"
	"strings"
	"testing"

	"meltspan/next"
	"meltspan/predict"
	"meltspan/quantity"
)

func fixtureRanking() *next.Ranking {
	band := predict.Band{Low: 10000, Median: 25000, High: 30000, Samples: 400}
	return &next.Ranking{
		Design: "bench", Revision: "0123456789ab", Revisions: []string{"bench found 1"}, By: next.ByInformation,
		RunTimes: []predict.Band{band, band}, Means: []float64{24000, 26000}, Longest: 1, Worth: 600, Draws: 400, Seed: 1, Perfect: 120,
		Trials: []next.Trial{
			{ID: "bench", Name: "characterise the engine on the bench", Cost: next.Cost{Run: 10800, Handling: 1800}, Bits: 0.8, Narrowed: 0.42, BitsPerHour: 0.2286,
				Settles: []next.Settled{{Path: "model.still", About: "still conductance; more", Share: 0.95}}, Worth: true},
			{ID: "blank", Name: "let it melt", Cost: next.Cost{Freeze: 17000, Run: 20000, Handling: 1800}, Bits: 0.01, Narrowed: 0.01},
		},
	}
}

func nextText(t *testing.T, r *next.Ranking) string {
	t.Helper()
	var b bytes.Buffer
	if err := NextText(&b, quantity.Display{}, r); err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(b.String(), "\n") {
		if len([]rune(line)) > 80 {
			t.Errorf("too wide: %q", line)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestNextText(t *testing.T) {
	text := nextText(t, fixtureRanking())
	for _, want := range []string{
		"Characterise the engine on the bench: the band of the run time of bench found 1 is expected to narrow by 42 %, for 3 h 30 min of work.",
		"It would settle 95 % of what is unknown about model.still (still conductance).", "It would settle nothing that is unknown",
		"0.80 0.229", "Knowing everything would gain 2 min", "A trial is worth a day when it narrows the band by a tenth, or gains 10 min.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in: %s", want, text)
		}
	}
}

func TestNextTextWhenNothingIsWorthADay(t *testing.T) {
	r := fixtureRanking()
	r.Trials, r.Revisions, r.RunTimes, r.Longest = r.Trials[1:], nil, r.RunTimes[:1], 0
	if text := nextText(t, r); !strings.Contains(text, "No further trial is worth a day") || !strings.Contains(text, "Build bench and use it") || !strings.Contains(text, "Name revisions") {
		t.Error(text)
	}
	if err := NextText(&bytes.Buffer{}, quantity.Display{}, nil); err == nil {
		t.Error("a text of nothing")
	}
}
