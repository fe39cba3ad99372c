package matter

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"testing"
)

// libraryScript evaluates the releases with an independent implementation and
// prints one JSON object: the temperatures and the properties at each.
const libraryScript = `
import json, warnings
warnings.filterwarnings("ignore")
from iapws import IAPWS95
from iapws.humidAir import Air
from iapws._iapws import _Ice, _Sublimation_Pressure
from iapws.iapws97 import _PSat_T
p = 0.101325
out = {"ice": [], "water": [], "air": [], "saturation": []}
for i in range(8):
    T = 205.0 + 9.5 * i
    s = _Ice(T, p)
    out["ice"].append([T, s["rho"], s["cp"] * 1e3, s["h"] * 1e3, _Sublimation_Pressure(T) * 1e6])
for i in range(8):
    T = 273.5 + 12.0 * i
    s = IAPWS95(T=T, P=p)
    out["water"].append([T, s.rho, s.cp * 1e3, s.k, s.mu, s.alfav, s.h * 1e3])
for i in range(8):
    T = 230.0 + 20.0 * i
    s = Air(T=T, P=p)
    out["air"].append([T, s.rho, s.cp * 1e3, s.k, s.mu, s.alfav])
for i in range(8):
    T = 273.5 + 11.0 * i
    f, g = IAPWS95(T=T, x=0), IAPWS95(T=T, x=1)
    out["saturation"].append([T, _PSat_T(T) * 1e6, (g.h - f.h) * 1e3])
print(json.dumps(out))
`

// Debian's python3-iapws, where it is installed.
func TestAgainstAnIndependentLibrary(t *testing.T) {
	output, err := exec.Command("/usr/bin/python3", "-c", libraryScript).Output()
	if err != nil {
		t.Skipf("SKIPPED: no comparison with the reference library: /usr/bin/python3 with python3-iapws and python3-scipy is needed (%v)", err)
	}
	var library struct {
		Ice        [][5]float64
		Water      [][7]float64
		Air        [][6]float64
		Saturation [][3]float64
	}
	if err := json.NewDecoder(bytes.NewReader(output)).Decode(&library); err != nil {
		t.Fatalf("reading the library's answer: %v", err)
	}
	for _, c := range library.Ice {
		T := c[0]
		checkRelative(t, "library, ice", []row{
			{"density", IceDensity(T), c[1], 1e-6},
			{"specific heat", IceSpecificHeat(T), c[2], 1e-5},
			{"enthalpy", IceGibbs(T, StandardPressure).Enthalpy, c[3], 1e-10},
			{"sublimation pressure", SaturationPressureIce(T), c[4], 1e-8},
		})
	}
	for _, c := range library.Water {
		w := Water(c[0])
		checkRelative(t, "library, water", []row{
			{"density", w.Density, c[1], 1e-6},
			{"specific heat", w.SpecificHeat, c[2], 3e-4},
			{"conductivity", w.Conductivity, c[3], 0.01},
			{"viscosity", w.Viscosity, c[4], 2e-3},
		})
		checkAbsolute(t, "library, water", []row{
			{"expansion", w.Expansion, c[5], 2e-7},
			{"enthalpy", WaterEnthalpy(c[0]), c[6], 5},
		})
	}
	for _, c := range library.Air {
		a := DryAir(c[0], StandardPressure)
		checkRelative(t, "library, air", []row{
			{"density", a.Density, c[1], 4e-4},
			{"specific heat", a.SpecificHeat, c[2], 1e-4},
			{"conductivity", a.Conductivity, c[3], 2e-4},
			{"viscosity", a.Viscosity, c[4], 2e-4},
			{"expansion", a.Expansion, c[5], 1e-4},
		})
	}
	for _, c := range library.Saturation {
		checkRelative(t, "library, saturation", []row{
			{"pressure", SaturationPressureWater(c[0]), c[1], 1e-8},
			{"latent heat", LatentHeatVaporisation(c[0]), c[2], 2e-5},
		})
	}
}
