package solid

import "meltspan/design"

// Piece is a part with its mesh: in place, or as it lies on the bed.
type Piece struct {
	Part *Part
	Mesh *Mesh
}

// Meshed are the printed parts of a design with their surfaces, as they stand in
// place. The error is that of Sections or NewMesh.
func Meshed(d *design.Design) ([]Piece, error) {
	parts, err := Sections(d)
	if err != nil {
		return nil, err
	}
	pieces := make([]Piece, len(parts))
	for i := range parts {
		mesh, err := NewMesh(&parts[i], d.Print.ChordError.SI)
		if err != nil {
			return nil, err
		}
		pieces[i] = Piece{Part: &parts[i], Mesh: mesh}
	}
	return pieces, nil
}

// PartsOf are the parts of pieces, without their meshes.
func PartsOf(pieces []Piece) []Part {
	parts := make([]Part, len(pieces))
	for i, p := range pieces {
		parts[i] = *p.Part
	}
	return parts
}
