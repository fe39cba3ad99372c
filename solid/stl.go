package solid

import (
	"encoding/binary"
	"math"
)

// millimetre turns metres into the millimetres of the files.
const millimetre = 1e3

// Printed is a part's mesh as it lies on the printer's bed: turned over where
// the part is printed upside down, its lowest face at height 0.
func (p *Part) Printed(m *Mesh) *Mesh {
	if !p.Turned {
		return m
	}
	_, high := p.Bounds()
	out := &Mesh{Vertices: make([][3]float64, len(m.Vertices)), Triangles: m.Triangles}
	for i, v := range m.Vertices { // half a turn about x
		out.Vertices[i] = [3]float64{v[0], -v[1], high - v[2]}
	}
	return out
}

// STL is a mesh as a binary STL file, in mm: 80 bytes of header, the number of
// triangles, and 50 bytes for each (StereoLithography Interface Specification,
// 3D Systems, 1988; from memory). The format knows no units and no names; the
// header says both.
func (m *Mesh) STL(name string) []byte {
	out := make([]byte, 80, 84+50*len(m.Triangles))
	// A header that begins with "solid" would be taken for the text form.
	copy(out, "binary STL, mm: "+name)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(m.Triangles)))
	put := func(x float64) { out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x))) }
	for _, t := range m.Triangles {
		n := m.normal(t)
		if size := length(n); size > 0 {
			n = scaled(n, 1/size)
		}
		for _, x := range n {
			put(x)
		}
		for _, v := range t {
			for _, x := range m.Vertices[v] {
				put(x * millimetre)
			}
		}
		out = append(out, 0, 0) // no attributes
	}
	return out
}
