package live

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // decoders of the pictures that cameras write
	_ "image/png"
	"math"
	"os"
)

// Region is where the moving part is, in pixels of the picture as it is seen
// upright, from its upper left corner.
type Region struct{ X, Y, Width, Height int }

// leastRegion is the least width and height: nothing is told from less.
const leastRegion = 8

// Each picture is averaged over square cells, some hundreds in the region and
// some hundreds around it. Averages are less noisy than pixels, and what a
// picture weighs in memory does not depend on the camera.
const cellsWanted = 400

// mostPixels bounds a picture.
const mostPixels = 100e6

// lattice places the cells in the pictures of one size, small and large: large
// ones see a faint motion that small ones lose in noise.
type lattice struct {
	width, height int // of the upright picture
	scales        []scale
}

type scale struct {
	cell           int // edge, pixels
	inside, around []image.Point
}

// newLattice places the cells. The surroundings keep off the region by half of
// its size, since parts may swing out of it.
func newLattice(width, height int, r Region) (*lattice, error) {
	switch {
	case r.Width < leastRegion || r.Height < leastRegion:
		return nil, fmt.Errorf("the region is %d by %d pixels; at least %d each are needed", r.Width, r.Height, leastRegion)
	case r.X < 0 || r.Y < 0 || r.X+r.Width > width || r.Y+r.Height > height:
		return nil, fmt.Errorf("the region reaches to %d,%d, and the pictures are %d by %d pixels", r.X+r.Width, r.Y+r.Height, width, height)
	}
	l := &lattice{width: width, height: height}
	cell := max(1, int(math.Sqrt(float64(r.Width*r.Height)/cellsWanted)))
	for _, c := range []int{cell, 2 * cell} {
		s := scale{cell: c}
		for y := r.Y; y+c <= r.Y+r.Height; y += c {
			for x := r.X; x+c <= r.X+r.Width; x += c {
				s.inside = append(s.inside, image.Pt(x, y))
			}
		}
		off := image.Rect(r.X-r.Width/2, r.Y-r.Height/2, r.X+r.Width*3/2, r.Y+r.Height*3/2)
		var all []image.Point
		for y := 0; y+c <= height; y += c {
			for x := 0; x+c <= width; x += c {
				if !image.Rect(x, y, x+c, y+c).Overlaps(off) {
					all = append(all, image.Pt(x, y))
				}
			}
		}
		for i, step := 0, max(1, len(all)/cellsWanted); i < len(all); i += step {
			s.around = append(s.around, all[i])
		}
		if len(s.around) < leastAround {
			return nil, errors.New("the region leaves too little of the picture around it to tell a change of light from motion")
		}
		l.scales = append(l.scales, s)
	}
	return l, nil
}

const leastAround = 40

// patch is a cell as seen: its mean luminance, 0 to 255, and how that changes
// from pixel to pixel.
type patch struct{ mean, slopeX, slopeY float64 }

// patches are those of a picture at one scale.
type patches struct{ inside, around []patch }

// seen averages a picture. at gives the luminance of a pixel of the upright
// picture.
func (l *lattice) seen(at func(x, y int) float64) []patches {
	mean := func(x0, y0, c int) float64 {
		x0, y0 = max(0, min(x0, l.width-c)), max(0, min(y0, l.height-c))
		sum := 0.0
		for y := y0; y < y0+c; y++ {
			for x := x0; x < x0+c; x++ {
				sum += at(x, y)
			}
		}
		return sum / float64(c*c)
	}
	all := func(points []image.Point, c int) []patch {
		out := make([]patch, len(points))
		for i, p := range points {
			out[i] = patch{
				mean:   mean(p.X, p.Y, c),
				slopeX: (mean(p.X+1, p.Y, c) - mean(p.X-1, p.Y, c)) / 2,
				slopeY: (mean(p.X, p.Y+1, c) - mean(p.X, p.Y-1, c)) / 2,
			}
		}
		return out
	}
	var out []patches
	for _, s := range l.scales {
		out = append(out, patches{all(s.inside, s.cell), all(s.around, s.cell)})
	}
	return out
}

// errSize is the error of a picture of another size than the first.
var errSize = errors.New("it has another size than the first picture")

// load reads a picture.
func (l *lattice) load(f Frame) ([]patches, error) {
	picture, width, height, err := decodePicture(f)
	if err != nil {
		return nil, err
	}
	if width != l.width || height != l.height {
		return nil, errSize
	}
	return l.seen(upright(picture, f.Orientation)), nil
}

// decodePicture reads a picture, and gives its size when upright.
func decodePicture(f Frame) (picture image.Image, width, height int, err error) {
	file, err := os.Open(f.Path)
	if err != nil {
		return nil, 0, 0, err
	}
	defer file.Close()
	head, _, err := image.DecodeConfig(file)
	if err != nil {
		return nil, 0, 0, err
	}
	if float64(head.Width)*float64(head.Height) > mostPixels {
		return nil, 0, 0, fmt.Errorf("it has %d by %d pixels, more than are read", head.Width, head.Height)
	}
	if _, err := file.Seek(0, 0); err != nil {
		return nil, 0, 0, err
	}
	picture, _, err = image.Decode(file)
	if err != nil {
		return nil, 0, 0, err
	}
	width, height = picture.Bounds().Dx(), picture.Bounds().Dy()
	if f.Orientation >= 5 {
		width, height = height, width
	}
	return picture, width, height, nil
}

// upright gives the luminance of the pixels of an upright picture.
func upright(picture image.Image, orientation int) func(x, y int) float64 {
	stored, turn := luminance(picture), turned(picture.Bounds(), orientation)
	return func(x, y int) float64 { return stored(turn(x, y)) }
}

// turned says where a pixel of the upright picture is in the stored one (Exif
// 2.31, table 4, tag Orientation).
func turned(b image.Rectangle, orientation int) func(x, y int) (int, int) {
	w, h := b.Dx(), b.Dy()
	return func(x, y int) (int, int) {
		switch orientation {
		case 2:
			x = w - 1 - x
		case 3:
			x, y = w-1-x, h-1-y
		case 4:
			y = h - 1 - y
		case 5:
			x, y = y, x
		case 6:
			x, y = y, h-1-x
		case 7:
			x, y = w-1-y, h-1-x
		case 8:
			x, y = w-1-y, x
		}
		return b.Min.X + x, b.Min.Y + y
	}
}

func luminance(picture image.Image) func(x, y int) float64 {
	switch p := picture.(type) {
	case *image.YCbCr:
		return func(x, y int) float64 { return float64(p.Y[p.YOffset(x, y)]) }
	case *image.Gray:
		return func(x, y int) float64 { return float64(p.GrayAt(x, y).Y) }
	}
	return func(x, y int) float64 {
		return float64(color.Gray16Model.Convert(picture.At(x, y)).(color.Gray16).Y) / 257
	}
}

// Upright reads a picture and turns it as its camera says.
func Upright(f Frame) (image.Image, error) {
	picture, width, height, err := decodePicture(f)
	if err != nil {
		return nil, err
	}
	if f.Orientation == 1 {
		return picture, nil
	}
	turn := turned(picture.Bounds(), f.Orientation)
	out := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			out.Set(x, y, picture.At(turn(x, y)))
		}
	}
	return out, nil
}
