package live

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"meltspan/trial"
)

func watch(t *testing.T, folder string, r Region) (*Watched, error) {
	t.Helper()
	frames, by, err := Frames(folder, "", time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	return Watch(t.Context(), frames, by, r, nil)
}

// The end of motion is found, in the interval of pictures in which the wheel
// stopped, whatever light and passers-by do.
func TestWatchedWheelStops(t *testing.T) {
	const interval, stop, n = 20.0, 30.4 * 20, 50
	hand := func(x, y, from, to float64) bool { return math.Abs(y-(x*0.4+20)) < 14 && x > from && x < to }
	for name, b := range map[string]*bench{
		"good light, PNG":      {png: true, noise: 2},
		"good light, JPEG":     {noise: 2},
		"much noise":           {noise: 12},
		"evening comes":        {noise: 4, light: func(i int) (float64, float64) { return 10 - 0.3*float64(i), 1 - 0.009*float64(i) }},
		"lamp flickers":        {noise: 4, banding: 4, light: func(i int) (float64, float64) { return 0, 1 + 0.08*math.Sin(float64(i*i)) }},
		"lamp is switched on":  {noise: 3, light: func(i int) (float64, float64) { return 40 * float64(i/40), 0.7 + 0.2*float64(i/40) }},
		"the table shakes":     {noise: 3, shake: 0.2},
		"hand over the wheel":  {noise: 3, before: func(i int, x, y float64) bool { return i >= 38 && i < 42 && hand(x, y, 50, 90) }},
		"camera is fetched":    {noise: 3, before: func(i int, x, y float64) bool { return i >= 47 && hand(x, y, 50, 90) }},
		"arm over the picture": {noise: 3, before: func(i int, x, y float64) bool { return i >= 40 && i < 43 && hand(x, y, -1, 200) }},
		"someone behind it":    {noise: 3, before: func(i int, x, y float64) bool { return i%5 == 2 && y < 25 && math.Abs(x-float64(i*2)) < 10 }},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b.n, b.interval, b.stop = n, interval, stop
			w, err := watch(t, b.write(t), wheel)
			if err != nil {
				t.Fatalf("%+v, %v", w.Motion, err)
			}
			at := float64(sceneStart.Unix())
			if !w.Ended || w.From != at+600 || w.Until != at+620 || math.Abs(w.End-at-610) > 10 ||
				w.Uncertainty < 5.7 || w.Uncertainty > 15 {
				t.Errorf("stopped at %g s; found %g s +- %g s, between %g and %g; %+v", stop, w.End-at, w.Uncertainty, w.From-at, w.Until-at, w.Motion)
			}
			if w.By != ByFileName || w.Interval != interval || w.Pictures != n {
				t.Errorf("by %s, every %g s, %d pictures", w.By, w.Interval, w.Pictures)
			}
		})
	}
}

func TestWatchedWheelThatDoesNotStop(t *testing.T) {
	t.Parallel()
	w, err := watch(t, (&bench{n: 40, interval: 20, stop: math.Inf(1), noise: 3}).write(t), wheel)
	if err != nil || w.Ended || len(w.Spans) != 1 {
		t.Errorf("%+v, %v", w.Motion, err)
	}
	w, err = watch(t, (&bench{n: 40, interval: 20, noise: 3, light: func(i int) (float64, float64) { return 0, 1 - 0.01*float64(i) }}).write(t), wheel)
	if !errors.Is(err, trial.ErrNoMotion) {
		t.Errorf("a wheel that stands: %+v, %v", w.Motion, err)
	}
}

func TestPicturesThatCannotBeReadAreCounted(t *testing.T) {
	t.Parallel()
	folder := (&bench{n: 30, interval: 20, stop: 300, noise: 3}).write(t)
	half := filepath.Join(folder, "cam_"+sceneStart.Add(7*20*time.Second).Format("20060102_150405")+".jpg")
	data, err := os.ReadFile(half)
	if err != nil {
		t.Fatal(err)
	}
	put(t, half, data[:len(data)/3])
	w, err := watch(t, folder, wheel)
	if err != nil || !w.Ended || len(w.Unreadable) != 1 || w.Unreadable[0].File != filepath.Base(half) {
		t.Errorf("%+v, %v", w, err)
	}
}

func TestRegionMustLieInThePicture(t *testing.T) {
	t.Parallel()
	folder := (&bench{n: 5, interval: 20, noise: 3}).write(t)
	for _, r := range []Region{{150, 10, 20, 20}, {-1, 0, 20, 20}, {0, 0, 5, 20}, {0, 0, 160, 120}} {
		if w, err := watch(t, folder, r); err == nil {
			t.Errorf("%+v gave %+v", r, w)
		}
	}
}

func TestWatchingCanBeCalledOff(t *testing.T) {
	t.Parallel()
	folder := (&bench{n: 20, interval: 20, noise: 3}).write(t)
	frames, by, err := Frames(folder, "", time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	if _, err := Watch(ctx, frames, by, wheel, func(int, int) { cancel() }); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
