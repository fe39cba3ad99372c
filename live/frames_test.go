package live

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func tiny(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 16, 8)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestTimesInNames(t *testing.T) {
	zone := time.FixedZone("", 3600)
	noon := float64(time.Date(2026, 1, 17, 12, 0, 5, 0, zone).Unix())
	for name, want := range map[string]float64{
		"20260117_120005.jpg": noon, "IMG_20260117_120005123.jpg": noon + 0.123, "cam 2026-01-17 12.00.05.png": noon,
		"2026-01-17T12-00-05_17.jpg": noon, "2026-01-17_12h00m05.jpg": noon, "engine-20260117120005-0003.jpg": noon,
		"1768647605.jpg": 1768647605, "f_1768647605250.jpg": 1768647605.25, "1768647605.5.png": 1768647605.5,
	} {
		if got, ok := nameTime(name, zone); !ok || math.Abs(got-want) > 1e-4 {
			t.Errorf("%s: %.3f, %v; want %.3f", name, got, ok, want)
		}
	}
	for _, name := range []string{"DSC01234.jpg", "20261317_120005.jpg", "IMG_20260117.jpg", "17686476.jpg"} {
		if got, ok := nameTime(name, zone); ok {
			t.Errorf("%s gave %.3f", name, got)
		}
	}
}

func TestCamerasOwnTimeGoesFirst(t *testing.T) {
	folder := t.TempDir()
	zone := time.FixedZone("", -5*3600)
	put(t, filepath.Join(folder, "b.jpg"), withEXIF(tiny(t), "2026:01:17 12:00:05", "25", "", 1))
	put(t, filepath.Join(folder, "a.JPG"), withEXIF(tiny(t), "2026:01:17 12:00:05", "", "+01:00", 6))
	put(t, filepath.Join(folder, "notes.txt"), []byte("not a picture"))
	frames, by, err := Frames(folder, "", zone)
	if err != nil || by != ByEXIF || len(frames) != 2 {
		t.Fatalf("%v, %s, %v", frames, by, err)
	}
	at := float64(time.Date(2026, 1, 17, 11, 0, 5, 0, time.UTC).Unix())
	if frames[0].Time != at || frames[1].Time != at+6*3600+0.25 {
		t.Errorf("times %.3f and %.3f after %.0f", frames[0].Time-at, frames[1].Time-at, at)
	}
	if frames[0].Orientation != 6 || frames[1].Orientation != 1 {
		t.Errorf("orientations %d and %d", frames[0].Orientation, frames[1].Orientation)
	}
	// One without it: the next best that all have.
	put(t, filepath.Join(folder, "c.jpg"), tiny(t))
	moment := time.Date(2026, 1, 17, 8, 0, 0, 0, time.UTC)
	if err := os.Chtimes(filepath.Join(folder, "c.jpg"), moment, moment); err != nil {
		t.Fatal(err)
	}
	if frames, by, err = Frames(folder, "", zone); err != nil || by != ByModified || frames[0].Time != float64(moment.Unix()) {
		t.Errorf("%v, %s, %v", frames, by, err)
	}
	if _, _, err := Frames(folder, ByEXIF, zone); err == nil {
		t.Error("a picture without the camera's time passed when that was asked for")
	}
}

func TestPicturesOfOneSecondAreSpread(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"20260117_120005_1.jpg", "20260117_120005_2.jpg", "20260117_120006_1.jpg"} {
		put(t, filepath.Join(folder, name), tiny(t))
	}
	frames, _, err := Frames(folder, "", time.UTC)
	if err != nil || frames[1].Time-frames[0].Time != 0.5 || frames[2].Time-frames[0].Time != 1 {
		t.Errorf("%v, %v", frames, err)
	}
	if _, _, err := Frames(t.TempDir(), "", time.UTC); err != ErrNoPictures {
		t.Errorf("an empty folder: %v", err)
	}
}

// The upper left pixel of the upright picture, for each way of holding the
// camera (Exif 2.31, table 4: where row 0 and column 0 of the stored picture
// are seen).
func TestPicturesAreTurnedUpright(t *testing.T) {
	p := image.NewGray(image.Rect(0, 0, 3, 2))
	for i := range 6 {
		p.SetGray(i%3, i/3, color.Gray{uint8(10 * i)})
	}
	// Stored: 0 10 20 / 30 40 50.
	for orientation, want := range map[int][2]float64{ // seen at (0,0) and (1,0)
		1: {0, 10}, 2: {20, 10}, 3: {50, 40}, 4: {30, 40}, 5: {0, 30}, 6: {30, 0}, 7: {50, 20}, 8: {20, 50},
	} {
		at := upright(p, orientation)
		if at(0, 0) != want[0] || at(1, 0) != want[1] {
			t.Errorf("orientation %d: %g %g, want %v", orientation, at(0, 0), at(1, 0), want)
		}
	}
}
