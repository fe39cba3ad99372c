package predict

import (
	"context"
	"os"
	"testing"

	"meltspan/design"
)

// The blind pair (testdata/blind/README.md): run times seen on two stands of
// which little more was known than is written there. Common practice, no
// source. The designs hold handbook values and were committed before there
// was a solver.
const (
	seenHollow = 6*3600 + 17*60 // s
	seenSolid  = 3*3600 + 45*60
	seenRatio  = 1.68 // as reported
)

func blindPair(t *testing.T) *Comparison {
	t.Helper()
	read := func(name string) *design.Design {
		d, err := design.Read(os.DirFS("../testdata/blind"), name+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	c, err := Compare(context.Background(), read("solid"), read("hollow"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestBlindPair(t *testing.T) {
	c := blindPair(t)
	t.Logf("solid: %.2f h [%.2f, %.2f], seen %.2f h", c.BandA.Median/3600, c.BandA.Low/3600, c.BandA.High/3600, seenSolid/3600.0)
	t.Logf("hollow: %.2f h [%.2f, %.2f], seen %.2f h", c.BandB.Median/3600, c.BandB.Low/3600, c.BandB.High/3600, seenHollow/3600.0)
	t.Logf("ratio: %.3f [%.3f, %.3f], seen %.2f", c.Ratio.Median, c.Ratio.Low, c.Ratio.High, seenRatio)
	if seenSolid < c.BandA.Low || seenSolid > c.BandA.High {
		t.Errorf("solid: seen %d s, band [%.0f, %.0f] s", seenSolid, c.BandA.Low, c.BandA.High)
	}
	if seenHollow < c.BandB.Low || seenHollow > c.BandB.High {
		t.Errorf("hollow: seen %d s, band [%.0f, %.0f] s", seenHollow, c.BandB.Low, c.BandB.High)
	}
	if half := (c.Ratio.High - c.Ratio.Low) / 2 / c.Ratio.Median; half > 0.15 {
		t.Errorf("the ratio is known to +-%.1f %% only", 100*half)
	}
}

// The ratio is a known miss, and this test holds it in view: the band of the
// ratio ends below what was seen. Its cause is not found in the physics (the
// section agrees with finite volumes, the cavity with published correlations);
// one open cavity of 14.6 mm insulates only about 1.6 times as well as the same
// wall solid. Two or three cavities in the same wall would hold 1.68 in their
// bands, but how many there were was not known, and the design stays as it was
// written. docs/verification.md has the figures. When this test fails, the miss
// is gone: say so there.
func TestBlindRatioIsAKnownMiss(t *testing.T) {
	c := blindPair(t)
	if seenRatio <= c.Ratio.High && seenRatio >= c.Ratio.Low {
		t.Errorf("the band of the ratio [%.3f, %.3f] now holds %.2f: move the claim to TestBlindPair and docs/verification.md", c.Ratio.Low, c.Ratio.High, seenRatio)
	}
	if c.Longer < 0.95 {
		t.Errorf("the hollow stand is longer with probability %.2f only", c.Longer)
	}
}
