package report

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"math"
	"slices"
	"sync"
	"testing"

	"meltspan/quantity"
	"meltspan/result"
)

type chunk struct {
	kind string
	body []byte
}

// chunksOf takes a PNG apart and checks each chunk's sum.
func chunksOf(t *testing.T, data []byte) []chunk {
	t.Helper()
	var out []chunk
	for rest := data[8:]; len(rest) > 0; {
		n := binary.BigEndian.Uint32(rest)
		if crc32.ChecksumIEEE(rest[4:8+n]) != binary.BigEndian.Uint32(rest[8+n:]) {
			t.Fatalf("sum of chunk %s is wrong", rest[4:8])
		}
		out = append(out, chunk{string(rest[4:8]), rest[8 : 8+n]})
		rest = rest[12+n:]
	}
	return out
}

var fixtureFilm = sync.OnceValues(func() ([]byte, error) { return SectionFilm(quantity.Display{}, sectionRun(invented)) })

func sectionFilm(t *testing.T) []byte {
	t.Helper()
	film, err := fixtureFilm()
	if err != nil {
		t.Fatal(err)
	}
	return film
}

// Each frame of the film, made a PNG of its own, decodes to the size of the
// first.
func TestFilmDecodesFrameByFrame(t *testing.T) {
	film := sectionFilm(t)
	first, err := png.Decode(bytes.NewReader(film))
	if err != nil {
		t.Fatal(err)
	}
	var head bytes.Buffer
	frames := 0
	for _, c := range chunksOf(t, film) {
		switch c.kind {
		case "IHDR", "PLTE":
			writeChunk(&head, c.kind, c.body)
		case "IDAT", "fdAT":
			frames++
			body := c.body
			if c.kind == "fdAT" {
				body = body[4:]
			}
			var one bytes.Buffer
			one.WriteString(pngSignature)
			one.Write(head.Bytes())
			writeChunk(&one, "IDAT", body)
			writeChunk(&one, "IEND", nil)
			image, err := png.Decode(&one)
			if err != nil {
				t.Fatalf("frame %d: %v", frames, err)
			}
			if image.Bounds() != first.Bounds() {
				t.Errorf("frame %d is %v, the first %v", frames, image.Bounds(), first.Bounds())
			}
		}
	}
	if frames != 7 {
		t.Errorf("%d frames, want 7", frames)
	}
}

// The animation's own chunks: their count, their order and their sequence
// numbers, as the PNG specification (third edition, section 11.3.6) asks.
func TestFilmFollowsTheSpecification(t *testing.T) {
	sequence, controls := uint32(0), 0
	for i, c := range chunksOf(t, sectionFilm(t)) {
		switch c.kind {
		case "acTL":
			if n := binary.BigEndian.Uint32(c.body); i != 1 || n != 7 {
				t.Errorf("acTL is chunk %d and announces %d frames; want 1 and 7", i, n)
			}
		case "fcTL", "fdAT":
			if n := binary.BigEndian.Uint32(c.body); n != sequence {
				t.Errorf("sequence number %d, want %d", n, sequence)
			}
			sequence++
			if c.kind == "fcTL" {
				controls++
				if len(c.body) != 26 {
					t.Errorf("fcTL has %d bytes, want 26", len(c.body))
				}
			}
		}
	}
	if controls != 7 {
		t.Errorf("%d frame controls, want 7", controls)
	}
}

func TestFilmIsTheSameEveryTimeAndSmall(t *testing.T) {
	first := sectionFilm(t)
	again, err := SectionFilm(quantity.Display{}, sectionRun(invented))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, again) {
		t.Error("made twice, the film differs")
	}
	if len(first) > filmLimit {
		t.Errorf("%d bytes", len(first))
	}
}

// Time passes at one rate: a frame stands in proportion to the time until the
// next, 12 s in all, and the last somewhat longer.
func TestFilmKeepsTime(t *testing.T) {
	stills := []still{{time: 0}, {time: 3600}, {time: 4 * 3600}}
	for i, want := range []uint16{3000, 9000, 2500} {
		if got := delayOf(stills, i); got != want {
			t.Errorf("frame %d stands %d ms, want %d", i, got, want)
		}
	}
}

func TestFilmsThatCannotBeShownAreRefused(t *testing.T) {
	for name, change := range map[string]func(*result.Run){
		"no section":         func(r *result.Run) { r.Section = nil },
		"time runs backward": func(r *result.Run) { r.Section.Frames[1].Time = -1 },
		"time is no number":  func(r *result.Run) { r.Section.Frames[0].Time = math.NaN() },
	} {
		run := sectionRun(invented)
		change(run)
		if _, err := SectionFilm(quantity.Display{}, run); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestThinnedFilmKeepsItsEnds(t *testing.T) {
	all := make([]still, 8)
	for i := range all {
		all[i].time = float64(i)
	}
	var got []float64
	for _, s := range thinnedStills(all, 3) {
		got = append(got, s.time)
	}
	if want := []float64{0, 3, 6, 7}; !slices.Equal(got, want) {
		t.Errorf("frames %v, want %v", got, want)
	}
}
