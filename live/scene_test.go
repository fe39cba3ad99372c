package live

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// bench is a made-up scene: a wheel with three unlike spokes before a wall with
// things on it, seen by a camera that is no better than it should be.
type bench struct {
	n        int
	interval float64 // s
	stop     float64 // s; the wheel turns until then
	noise    float64 // grey levels, of a pixel
	light    func(i int) (offset, gain float64)
	banding  float64                        // grey levels, of stripes by the mains
	before   func(i int, x, y float64) bool // whether something stands before this point
	png      bool
	shake    float64 // pixels
}

const sceneWidth, sceneHeight = 160, 120

// wheel is the marked region of the scene.
var wheel = Region{X: 60, Y: 40, Width: 44, Height: 44}

var sceneStart = time.Date(2026, 1, 17, 9, 30, 0, 0, time.UTC)

// painted is the wall as an unshaken camera sees it.
var painted = func() (p [sceneHeight][sceneWidth]float64) {
	for y := range p {
		for x := range p[y] {
			p[y][x] = wall(float64(x), float64(y))
		}
	}
	return p
}()

func wall(x, y float64) float64 {
	v := 110 + 40*math.Sin(x/9) + 25*math.Cos(y/7+x/31)
	if math.Mod(x, 40) < 3 || math.Mod(y, 30) < 2 {
		v -= 50
	}
	return v
}

func (b *bench) pixel(angle, x, y float64) float64 {
	dx, dy := x-82, y-62
	r := math.Hypot(dx, dy)
	switch {
	case r > 20 && b.shake == 0:
		return painted[int(y)][int(x)]
	case r > 20:
		return wall(x, y)
	case r > 17:
		return 60
	}
	turned := math.Mod(math.Atan2(dy, dx)-angle+20*math.Pi, 2*math.Pi)
	for i, spoke := range []float64{0.3, 2.1, 4.6} {
		if math.Abs(turned-spoke)*r < 3 {
			return 220 - 90*float64(i)
		}
	}
	return 90
}

func (b *bench) picture(r *rand.Rand, i int, angle float64) *image.Gray {
	p := image.NewGray(image.Rect(0, 0, sceneWidth, sceneHeight))
	offset, gain := 0.0, 1.0
	if b.light != nil {
		offset, gain = b.light(i)
	}
	phase, sx, sy := r.Float64()*6, b.shake*r.NormFloat64(), b.shake*r.NormFloat64()
	for y := range sceneHeight {
		band := b.banding * math.Sin(float64(y)/11+phase)
		for x := range sceneWidth {
			px, py := float64(x), float64(y)
			v := b.pixel(angle, px+sx, py+sy)
			if b.before != nil && b.before(i, px, py) {
				v = 170 + 20*math.Sin(px/5+float64(i))
			}
			v = offset + gain*v + band + b.noise*r.NormFloat64()
			p.SetGray(x, y, color.Gray{uint8(max(0, min(255, math.Round(v))))})
		}
	}
	return p
}

// write renders the scene into a folder, named by the times.
func (b *bench) write(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	r := rand.New(rand.NewPCG(11, uint64(b.n)))
	angle, last := 0.0, 0.0
	for i := range b.n {
		at := float64(i) * b.interval
		if running := min(at, b.stop) - last; running > 0 { // 1.3 turns a second, not quite evenly
			angle += 2 * math.Pi * 1.3 * running * (1 + 0.03*r.NormFloat64())
			last = min(at, b.stop)
		}
		ending, encode := "jpg", func(w *bytes.Buffer, p image.Image) error { return jpeg.Encode(w, p, &jpeg.Options{Quality: 80}) }
		if b.png {
			ending, encode = "png", func(w *bytes.Buffer, p image.Image) error { return png.Encode(w, p) }
		}
		var data bytes.Buffer
		if err := encode(&data, b.picture(r, i, angle)); err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("cam_%s.%s", sceneStart.Add(time.Duration(at*1e9)).Format("20060102_150405"), ending)
		put(t, filepath.Join(folder, name), data.Bytes())
	}
	return folder
}

func put(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// withEXIF puts the tags of a camera into a JPEG: DateTimeOriginal and, where
// given, its fraction, zone and the way up (Exif 2.31; TIFF 6.0).
func withEXIF(jpegData []byte, date, fraction, zone string, orientation uint16) []byte {
	type entry struct {
		tag, kind uint16
		value     []byte
	}
	text := func(tag uint16, s string) entry { return entry{tag, 2, append([]byte(s), 0)} }
	camera := []entry{text(0x9003, date)}
	if zone != "" {
		camera = append(camera, text(0x9011, zone))
	}
	if fraction != "" {
		camera = append(camera, text(0x9291, fraction))
	}
	order := binary.LittleEndian
	directory := func(at int, entries []entry) []byte {
		head := order.AppendUint16(nil, uint16(len(entries)))
		var rest []byte
		for _, e := range entries {
			count := len(e.value)
			if e.kind != 2 {
				count = 1
			}
			head = order.AppendUint16(head, e.tag)
			head = order.AppendUint16(head, e.kind)
			head = order.AppendUint32(head, uint32(count))
			if len(e.value) <= 4 {
				head = append(head, append(e.value, make([]byte, 4-len(e.value))...)...)
			} else {
				head = order.AppendUint32(head, uint32(at+2+12*len(entries)+4+len(rest)))
				rest = append(rest, e.value...)
			}
		}
		return append(append(head, 0, 0, 0, 0), rest...)
	}
	const first = 8
	const second = first + 2 + 2*12 + 4
	body := order.AppendUint32([]byte("II*\x00"), first)
	body = append(body, directory(first, []entry{
		{0x0112, 3, order.AppendUint16(nil, orientation)},
		{0x8769, 4, order.AppendUint32(nil, second)},
	})...)
	body = append(body, directory(second, camera)...)
	segment := append([]byte("Exif\x00\x00"), body...)
	out := append([]byte{}, jpegData[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(segment)+2))
	return append(append(out, segment...), jpegData[2:]...)
}
