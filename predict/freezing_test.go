package predict

import (
	"strings"
	"testing"

	"meltspan/design"
)

// freezingOfStarter is that of the starter with the freezer's lines replaced.
func freezingOfStarter(t *testing.T, freezer string) *Freezing {
	t.Helper()
	const lines = "  freezer:\n    temperature: -18 degC\n"
	text := string(design.Demo())
	if strings.Count(text, lines) != 1 {
		t.Fatal("the starter has no such freezer")
	}
	d, err := design.Parse("d", []byte(strings.Replace(text, lines, "  freezer:\n"+freezer, 1)), nil)
	if err != nil {
		t.Fatal(err)
	}
	f := FreezingOf(d)
	if f == nil || !(f.Low < f.Time && f.Time < f.High) {
		t.Fatalf("%+v", f)
	}
	return f
}

// In a stream the film is stronger and the time shorter, nearly in proportion:
// the block's own resistance (Biot number 0.1 to 0.3) is the smaller part.
func TestFreezingFollowsTheAirSpeed(t *testing.T) {
	still := freezingOfStarter(t, "    temperature: -18 degC\n    air_speed: 0 m/s\n")
	windy := freezingOfStarter(t, "    temperature: -18 degC\n    air_speed: 3 m/s\n")
	films := windy.Film / still.Film
	if times := still.Time / windy.Time; !(times > 0.8*films && times < films) {
		t.Errorf("film %g times as strong, time %g times as short", films, times)
	}
	if !strings.Contains(windy.FilmFrom, "3.0 m/s") {
		t.Errorf("%q", windy.FilmFrom)
	}
}

// With all inputs exact the method's own error is left, 10 % either way.
func TestFreezingBandOfTheMethodAlone(t *testing.T) {
	f := freezingOfStarter(t, "    temperature: -18 degC +- 0 K\n    film: 10 W/(m2 K) +- 0 %\n    water: 15 degC +- 0 K\n")
	if r := f.High / f.Time; !(r > 1.1 && r < 1.11) {
		t.Errorf("high %g of the time", r)
	}
	wide := freezingOfStarter(t, "    temperature: -18 degC\n")
	if !(wide.High > 1.2*f.High && wide.Low < f.Low/1.2) {
		t.Errorf("%+v is hardly wider than %+v", wide, f)
	}
}
