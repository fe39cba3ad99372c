// Package printing estimates what a printed part takes: plastic, filament by
// mass, and time, from its shape and from the print section of its design.
//
// The model is simple and says so. Every layer is filled with lines of the
// line's width; those along a face that meets air run at the speed of outer
// lines, all others at the speed of filling:
//
//	t = t0 + N tc + sum over layers of (Lo/vo + Lf/vf) / (1 - s)
//	Lo = min(P, A/w),  Lf = A/w - Lo
//
// with t0 the preparation, N the layers, tc the time from layer to layer, s
// the share of travel, P the length of all edges of the layer's cross-section
// to air, A its area (an infill by its share), w the line width, vo and vf the
// speeds. An edge and the line along it are equally long in the sum over the
// two edges of a ring. Left out: acceleration (the speeds are means), slower
// first layers and bridges, waiting for small layers to cool, supports, skirts
// and brims; see ModelError and FlowError. SI units throughout.
package printing

// One standard uncertainty of the model itself, as shares, beside what the
// inputs bring.
const (
	ModelError = 0.15 // of the time; judgement: programs that follow every line differ by some 10 to 20 % between printers at one setting
	FlowError  = 0.03 // of the mass; common practice: what a printer extrudes beside what it is told to
)
