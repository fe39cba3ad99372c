package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

var module = Generator{ThermalConductance: 0.5, Seebeck: 0.05, InternalResistance: 2, LoadResistance: 2, LeastDifference: 3}

// By hand at 300 and 280 K: 1 V over 4 ohm is 0.25 A; 10 + 0.05*0.25*300 -
// 0.0625 = 13.6875 W in, 10 + 3.5 + 0.0625 = 13.5625 W out, 0.125 W between.
func TestGeneratorByHand(t *testing.T) {
	in, out, electric := module.Flows(300, 280)
	near(t, "in", in, 13.6875, 1e-12)
	near(t, "out", out, 13.5625, 1e-12)
	near(t, "electric", electric, 0.125, 1e-12)
}

func TestGeneratorConservesEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := module
		g.LoadResistance = rapid.Float64Range(0, 1000).Draw(t, "load")
		g.InternalResistance = rapid.Float64Range(0.01, 50).Draw(t, "inner")
		g.Seebeck = rapid.Float64Range(0, 0.2).Draw(t, "Seebeck")
		in, out, electric := g.Flows(rapid.Float64Range(250, 370).Draw(t, "hot"), rapid.Float64Range(250, 370).Draw(t, "cold"))
		if scale := math.Abs(in) + math.Abs(out) + 1; math.Abs(in-out-electric) > 1e-12*scale || electric < 0 {
			t.Fatalf("in %g, out %g, electric %g", in, out, electric)
		}
	})
}

// Most power is drawn by a matched load (Ioffe 1957).
func TestMatchedLoadGivesMostPower(t *testing.T) {
	_, _, matched := module.Flows(300, 280)
	for _, load := range []float64{1, 1.9, 2.1, 4} {
		g := module
		g.LoadResistance = load
		if _, _, power := g.Flows(300, 280); power >= matched {
			t.Errorf("%g ohm gives %g W, matched %g W", load, power, matched)
		}
	}
}

// Without current a module is a plain conductance.
func TestOpenCircuit(t *testing.T) {
	g := module
	g.LoadResistance = math.Inf(1)
	in, out, electric := g.Flows(300, 280)
	if in != 10 || out != 10 || electric != 0 {
		t.Errorf("in %g, out %g, electric %g W; want 10, 10, 0", in, out, electric)
	}
}

func TestNoResistanceNoCurrent(t *testing.T) {
	if got := (Generator{Seebeck: 1}).Current(300, 280); got != 0 {
		t.Errorf("current = %g A", got)
	}
}

// A generator cannot beat Carnot between its plates.
func TestGeneratorBelowCarnot(t *testing.T) {
	in, _, electric := module.Flows(300, 280)
	if electric/in > Carnot(300, 280) {
		t.Errorf("efficiency %g", electric/in)
	}
}
