package web

import (
	"fmt"
	"io"
	"net/http"
	"strings"

	"meltspan/design"
	"meltspan/network"
	"meltspan/report"
	"meltspan/solid"
)

// body is the printed parts, each with its surface as it stands in place.
type body struct {
	Design   string     `json:"design"`
	Revision string     `json:"revision"`
	Parts    []bodyPart `json:"parts"`
	Text     string     `json:"text"` // bill and checks, as the command prints them
	Command  string     `json:"command"`
	Height   float64    `json:"height_m"`
}

type bodyPart struct {
	Name      string    `json:"name"`
	Label     string    `json:"label"`
	Lift      float64   `json:"lift_m"`
	InPlace   bool      `json:"in_place"`    // stands there during a trial; a mould or a lid does not
	Vertices  []float32 `json:"vertices_mm"` // x, y, z one after the other
	Triangles []int32   `json:"triangles"`
}

func unprintable(err error) error {
	if p := problemOf(err); p.Status != http.StatusInternalServerError {
		return p
	}
	return bad("a design whose parts can be printed", err.Error())
}

// pieces reads the design that a request asks about, and its meshed parts.
func (s *Server) pieces(w http.ResponseWriter, r *http.Request) (in source, d *design.Design, pieces []solid.Piece, err error) {
	if err = take(w, r, &in); err != nil {
		return
	}
	if d, err = s.parse(in); err != nil {
		return
	}
	if pieces, err = solid.Meshed(d); err != nil {
		err = unprintable(err)
	}
	return
}

func (s *Server) getBody(w http.ResponseWriter, r *http.Request) error {
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	in, d, pieces, err := s.pieces(w, r)
	if err != nil {
		return err
	}
	m, err := network.Build(d)
	if err != nil {
		return bad("", err.Error())
	}
	run, err := m.Run(r.Context(), network.Options{})
	if err != nil {
		return err
	}
	out := body{Design: d.Name, Revision: d.Revision(), Command: inUnits(command("parts", in.called(), "--folder", "print"), u), Height: d.Stand.Height.SI}
	for _, p := range pieces {
		out.Parts = append(out.Parts, surface(p))
	}
	if out.Text, err = textOf(func(w io.Writer) error {
		return report.PartsText(w, u, d.Name, out.Revision, solid.Bill(d, solid.PartsOf(pieces)), solid.Check(d, pieces, run))
	}); err != nil {
		return err
	}
	reply(w, http.StatusOK, out)
	return nil
}

func surface(p solid.Piece) bodyPart {
	out := bodyPart{Name: p.Part.Name, Label: p.Part.Label, Lift: p.Part.Lift, InPlace: p.Part.Simulated}
	for _, v := range p.Mesh.Vertices {
		for _, x := range v {
			out.Vertices = append(out.Vertices, float32(1e3*x))
		}
	}
	for _, t := range p.Mesh.Triangles {
		out.Triangles = append(out.Triangles, t[:]...)
	}
	return out
}

// threeMF sends all parts in their printing position.
func (s *Server) threeMF(w http.ResponseWriter, r *http.Request) error {
	_, d, pieces, err := s.pieces(w, r)
	if err != nil {
		return err
	}
	for i, p := range pieces {
		pieces[i].Mesh = p.Part.Printed(p.Mesh)
	}
	data, err := solid.ThreeMF(solid.Origin{Design: d.Name, Revision: d.Revision(), Program: "Meltspan"}, pieces)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "model/3mf") // IANA media types
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s.3mf"`, fileName(d.Name)))
	w.Write(data)
	return nil
}

// fileName makes a plain name of a file of a design's name.
func fileName(name string) string {
	out := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r >= 'A' && r <= 'Z':
			return r
		}
		return '-'
	}, name)
	if out = strings.Trim(out, "-"); out == "" {
		return "parts"
	}
	return out
}
