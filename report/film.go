package report

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

const (
	filmLimit   = 2_000_000 // bytes
	filmSeconds = 12.0      // from the first frame to the last
	leastDelay  = 0.1       // s, of a frame
	lastDelay   = 2.5
)

// SectionFilm shows the frames of run.Section one after the other, as an
// animated PNG that runs again and again: time passes at one rate, so each
// frame stands until the moment of the next. Readers that know no animation
// show the first frame. Where all frames would take more than 2 MB, only every
// second, third and so on is shown, and the last. The same run gives the same
// bytes.
func SectionFilm(u quantity.Display, run *result.Run) ([]byte, error) {
	section, err := checkedSection(run, 0)
	if err != nil {
		return nil, fmt.Errorf("report: film: %w", err)
	}
	stills, nearest := make([]still, len(section.Frames)), map[color.RGBA]uint8{}
	for i, f := range section.Frames {
		if !finite(f.Time) || i > 0 && f.Time < section.Frames[i-1].Time {
			return nil, fmt.Errorf("report: film: frame %d is at %g s, before the one that precedes it", i, f.Time)
		}
		p, err := SectionPicture(u, run, i)
		if err != nil {
			return nil, err
		}
		if stills[i], err = newStill(p.sheet, nearest); err != nil {
			return nil, fmt.Errorf("report: film: frame %d: %w", i, err)
		}
		if !bytes.Equal(stills[i].header, stills[0].header) {
			return nil, fmt.Errorf("report: film: frame %d is of another size than the first", i)
		}
		stills[i].time = f.Time
	}
	for every := 1; ; every++ {
		film := joinStills(thinnedStills(stills, every))
		if len(film) <= filmLimit {
			return film, nil
		}
		if every >= len(stills) {
			return nil, fmt.Errorf("report: film: even its first and last frame take %d bytes", len(film))
		}
	}
}

// still is one frame as a PNG holds it.
type still struct {
	header  []byte // the data of its IHDR
	palette []byte // of its PLTE
	pixels  []byte // of all its IDAT chunks
	time    float64
}

// thinnedStills keeps every so many of the stills, and the last.
func thinnedStills(all []still, every int) []still {
	var out []still
	for i := 0; i < len(all); i += every {
		out = append(out, all[i])
	}
	if last := len(all) - 1; last%every != 0 {
		out = append(out, all[last])
	}
	return out
}

// filmPalette is the colours of all frames: those of the cells, and greys for
// lines and letters.
func filmPalette() color.Palette {
	const greys = 64
	var p color.Palette
	for i := range colourSteps {
		p = append(p, stepColour(i))
	}
	for i := range greys {
		v := uint8(math.Round(255 * float64(i) / (greys - 1)))
		p = append(p, color.RGBA{v, v, v, 0xFF})
	}
	return append(p, hatchGrey)
}

// newStill draws a sheet in the film's colours; nearest keeps which of them is
// the nearest to a colour once met.
func newStill(s *sheet.Sheet, nearest map[color.RGBA]uint8) (still, error) {
	data, err := s.PNG(1)
	if err != nil {
		return still{}, err
	}
	drawn, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return still{}, err
	}
	bounds := drawn.Bounds()
	mapped := image.NewPaletted(bounds, filmPalette())
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			c := color.RGBAModel.Convert(drawn.At(x, y)).(color.RGBA)
			i, known := nearest[c]
			if !known {
				i = uint8(mapped.Palette.Index(c))
				nearest[c] = i
			}
			mapped.SetColorIndex(x, y, i)
		}
	}
	var b bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&b, mapped); err != nil {
		return still{}, err
	}
	return readStill(b.Bytes())
}

const pngSignature = "\x89PNG\r\n\x1a\n"

// readStill takes a PNG apart: Portable Network Graphics (PNG) Specification,
// Third Edition (2025), section 5.3, chunk layout.
func readStill(data []byte) (still, error) {
	var s still
	rest, ok := bytes.CutPrefix(data, []byte(pngSignature))
	for ok && len(rest) >= 12 {
		n := int(binary.BigEndian.Uint32(rest))
		if n > len(rest)-12 {
			break
		}
		body := rest[8 : 8+n]
		switch string(rest[4:8]) {
		case "IHDR":
			s.header = body
		case "PLTE":
			s.palette = body
		case "IDAT":
			s.pixels = append(s.pixels, body...)
		}
		rest = rest[12+n:]
	}
	if len(s.header) != 13 || len(s.palette) == 0 || len(s.pixels) == 0 {
		return s, errors.New("it is no PNG with a palette")
	}
	return s, nil
}

// joinStills writes an animated PNG: Portable Network Graphics (PNG)
// Specification, Third Edition (2025), section 11.3.6, animation information.
func joinStills(stills []still) []byte {
	var b bytes.Buffer
	b.WriteString(pngSignature)
	writeChunk(&b, "IHDR", stills[0].header)
	control := binary.BigEndian.AppendUint32(nil, uint32(len(stills)))
	writeChunk(&b, "acTL", binary.BigEndian.AppendUint32(control, 0)) // for ever
	writeChunk(&b, "PLTE", stills[0].palette)
	sequence := uint32(0)
	next := func() uint32 { sequence++; return sequence - 1 }
	for i, s := range stills {
		frame := binary.BigEndian.AppendUint32(nil, next())
		frame = append(frame, s.header[:8]...)                           // width, height
		frame = append(frame, make([]byte, 8)...)                        // at the upper left
		frame = binary.BigEndian.AppendUint16(frame, delayOf(stills, i)) // ms
		frame = binary.BigEndian.AppendUint16(frame, 1000)
		writeChunk(&b, "fcTL", append(frame, 0, 0)) // leave it, and lay the next over it whole
		if i == 0 {
			writeChunk(&b, "IDAT", s.pixels)
			continue
		}
		writeChunk(&b, "fdAT", append(binary.BigEndian.AppendUint32(nil, next()), s.pixels...))
	}
	writeChunk(&b, "IEND", nil)
	return b.Bytes()
}

// delayOf is how long a frame stands, ms.
func delayOf(stills []still, i int) uint16 {
	last := len(stills) - 1
	whole := stills[last].time - stills[0].time
	if i == last || !(whole > 0) {
		return uint16(1000 * lastDelay)
	}
	return uint16(math.Round(1000 * max(leastDelay, filmSeconds*(stills[i+1].time-stills[i].time)/whole)))
}

func writeChunk(b *bytes.Buffer, kind string, body []byte) {
	b.Write(binary.BigEndian.AppendUint32(nil, uint32(len(body))))
	sum := crc32.NewIEEE()
	sum.Write([]byte(kind))
	sum.Write(body)
	b.WriteString(kind)
	b.Write(body)
	b.Write(binary.BigEndian.AppendUint32(nil, sum.Sum32()))
}
