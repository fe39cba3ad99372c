package report

import (
	"image/color"
	"math"
)

// cividis is every fifth of the 256 colours, red, green and blue in
// ten-thousandths, of the scale cividis: Nunez, Anderton and Renslow,
// "Optimizing colormaps with consideration for color vision deficiency to
// enable accurate interpretation of scientific data", PLOS ONE 13 (2018)
// e0199239. Its lightness rises evenly from end to end, and readers with and
// without colour vision deficiency see nearly the same scale.
var cividis = [...][3]uint16{
	{0, 1262, 3015}, {0, 1408, 3334}, {0, 1546, 3676}, {0, 1685, 4031},
	{0, 1817, 4347}, {0, 1930, 4361}, {0, 2073, 4329}, {710, 2215, 4293},
	{1204, 2357, 4262}, {1566, 2498, 4236}, {1868, 2639, 4217}, {2133, 2780, 4205},
	{2375, 2920, 4200}, {2599, 3060, 4202}, {2811, 3200, 4210}, {3014, 3340, 4224},
	{3209, 3481, 4244}, {3398, 3622, 4270}, {3582, 3763, 4302}, {3763, 3904, 4338},
	{3940, 4047, 4381}, {4114, 4189, 4430}, {4286, 4333, 4485}, {4456, 4477, 4547},
	{4622, 4622, 4620}, {4790, 4767, 4691}, {4971, 4915, 4723}, {5158, 5065, 4736},
	{5349, 5216, 4738}, {5541, 5368, 4733}, {5735, 5522, 4720}, {5931, 5678, 4701},
	{6129, 5835, 4673}, {6328, 5993, 4641}, {6529, 6153, 4600}, {6732, 6315, 4553},
	{6936, 6478, 4499}, {7142, 6643, 4437}, {7350, 6810, 4368}, {7560, 6979, 4290},
	{7771, 7150, 4205}, {7985, 7322, 4111}, {8200, 7497, 4007}, {8417, 7674, 3892},
	{8636, 7853, 3766}, {8858, 8035, 3627}, {9082, 8219, 3474}, {9308, 8405, 3306},
	{9536, 8593, 3116}, {9767, 8785, 2901}, {10000, 8979, 2655}, {10000, 9169, 2731},
}

// cividisAt is the colour at a share of the scale, 0 its dark end and 1 its
// bright one; shares beyond it take the end's colour, and one that is no
// number is grey.
func cividisAt(share float64) color.RGBA {
	if math.IsNaN(share) {
		return shade
	}
	const last = len(cividis) - 1
	at := min(max(share, 0), 1) * float64(last)
	i := min(int(at), last-1)
	part := at - float64(i)
	channel := func(k int) uint8 {
		a, b := float64(cividis[i][k]), float64(cividis[i+1][k])
		return uint8(math.Round((a + part*(b-a)) / 1e4 * 255))
	}
	return color.RGBA{channel(0), channel(1), channel(2), 0xFF}
}

// luminance is the relative luminance of a colour, 0 black and 1 white:
// IEC 61966-2-1 (sRGB).
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// legibleOn is black or white, whichever stands out more from a colour.
func legibleOn(c color.RGBA) color.RGBA {
	// Both contrasts, (a+0.05)/(b+0.05), are alike at this luminance.
	const alike = 0.179
	if luminance(c) < alike {
		return color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	}
	return color.RGBA{0, 0, 0, 0xFF}
}
