package solid

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
)

// The names that the 3MF core specification, version 1.4.0, fixes.
const (
	coreNamespace  = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	modelType      = "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"
	modelRelation  = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	modelPath      = "3D/3dmodel.model"
	typesNamespace = "http://schemas.openxmlformats.org/package/2006/content-types"
	relsNamespace  = "http://schemas.openxmlformats.org/package/2006/relationships"
	relsType       = "application/vnd.openxmlformats-package.relationships+xml"
)

// designNamespace makes our metadata ours, as the specification asks of names
// that it does not define.
const designNamespace = "urn:meltspan:design"

// Origin says of what design and program a file is.
type Origin struct {
	Design, Revision, Program string
}

type xmlModel struct {
	XMLName   xml.Name      `xml:"model"`
	Namespace string        `xml:"xmlns,attr"`
	Ours      string        `xml:"xmlns:d,attr"`
	Unit      string        `xml:"unit,attr"`
	Language  string        `xml:"xml:lang,attr"`
	Metadata  []xmlMetadata `xml:"metadata"`
	Resources xmlResources  `xml:"resources"`
	Items     []xmlItem     `xml:"build>item"`
}

type xmlMetadata struct {
	Name  string `xml:"name,attr"`
	Value string `xml:",chardata"`
}

type xmlResources struct {
	Materials xmlMaterials `xml:"basematerials"`
	Objects   []xmlObject  `xml:"object"`
}

type xmlMaterials struct {
	ID   int       `xml:"id,attr"`
	Base []xmlBase `xml:"base"`
}

type xmlBase struct {
	Name   string `xml:"name,attr"`
	Colour string `xml:"displaycolor,attr"`
}

type xmlObject struct {
	ID         int           `xml:"id,attr"`
	Type       string        `xml:"type,attr"`
	Name       string        `xml:"name,attr"`
	PartNumber string        `xml:"partnumber,attr"`
	Material   int           `xml:"pid,attr"`
	Index      int           `xml:"pindex,attr"`
	Vertices   []xmlVertex   `xml:"mesh>vertices>vertex"`
	Triangles  []xmlTriangle `xml:"mesh>triangles>triangle"`
}

type xmlVertex struct {
	X string `xml:"x,attr"`
	Y string `xml:"y,attr"`
	Z string `xml:"z,attr"`
}

type xmlTriangle struct {
	A int32 `xml:"v1,attr"`
	B int32 `xml:"v2,attr"`
	C int32 `xml:"v3,attr"`
}

type xmlItem struct {
	Object    int    `xml:"objectid,attr"`
	Transform string `xml:"transform,attr"`
}

type xmlTypes struct {
	XMLName   xml.Name     `xml:"Types"`
	Namespace string       `xml:"xmlns,attr"`
	Default   []xmlDefault `xml:"Default"`
}

type xmlDefault struct {
	Extension string `xml:"Extension,attr"`
	Type      string `xml:"ContentType,attr"`
}

type xmlRelations struct {
	XMLName   xml.Name      `xml:"Relationships"`
	Namespace string        `xml:"xmlns,attr"`
	Relation  []xmlRelation `xml:"Relationship"`
}

type xmlRelation struct {
	ID     string `xml:"Id,attr"`
	Type   string `xml:"Type,attr"`
	Target string `xml:"Target,attr"`
}

// ThreeMF is all pieces in one 3MF file: an object each with its name and
// material, laid out side by side in the printing position, and the design's
// name and revision. The same pieces give the same bytes.
func ThreeMF(o Origin, pieces []Piece) ([]byte, error) {
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	for _, f := range []struct {
		name string
		body any
	}{
		{"[Content_Types].xml", xmlTypes{Namespace: typesNamespace, Default: []xmlDefault{{"rels", relsType}, {"model", modelType}}}},
		{"_rels/.rels", xmlRelations{Namespace: relsNamespace, Relation: []xmlRelation{{"rel0", modelRelation, "/" + modelPath}}}},
		{modelPath, model(o, pieces)},
	} {
		w, err := archive.Create(f.name) // no time: zip's zero date
		if err != nil {
			return nil, err
		}
		text, err := xml.MarshalIndent(f.body, "", " ")
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(append([]byte(xml.Header), text...)); err != nil {
			return nil, err
		}
	}
	if err := archive.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// materialColours tell materials apart on the screen of whoever opens the file.
var materialColours = []string{"#8A8678FF", "#3E5C8AFF", "#C9A83FFF"}

func model(o Origin, pieces []Piece) xmlModel {
	m := xmlModel{
		Namespace: coreNamespace, Ours: designNamespace, Unit: "millimeter", Language: "en-GB",
		Metadata: []xmlMetadata{
			{"Title", o.Design}, {"Application", o.Program},
			{"Description", "Parts in their printing position. Hollow walls are part of the model: leave them empty."},
			{"d:revision", o.Revision},
		},
	}
	m.Resources.Materials.ID = 1
	index := map[string]int{}
	places := layout(pieces)
	for i, p := range pieces {
		at, known := index[p.Part.Material]
		if !known {
			at = len(index)
			index[p.Part.Material] = at
			m.Resources.Materials.Base = append(m.Resources.Materials.Base,
				xmlBase{p.Part.Material, materialColours[at%len(materialColours)]})
		}
		object := xmlObject{ID: i + 2, Type: "model", Name: p.Part.Label, PartNumber: o.Revision + "-" + p.Part.Name, Material: 1, Index: at}
		for _, v := range p.Mesh.Vertices {
			object.Vertices = append(object.Vertices, xmlVertex{mm(v[0]), mm(v[1]), mm(v[2])})
		}
		for _, t := range p.Mesh.Triangles {
			object.Triangles = append(object.Triangles, xmlTriangle{t[0], t[1], t[2]})
		}
		m.Resources.Objects = append(m.Resources.Objects, object)
		for _, at := range places[i] {
			m.Items = append(m.Items, xmlItem{object.ID, "1 0 0 0 1 0 0 0 1 " + mm(at.x) + " " + mm(at.y) + " 0"})
		}
	}
	return m
}

// mm writes a length to the nanometre.
func mm(x float64) string {
	text := strings.TrimRight(strconv.FormatFloat(x*millimetre, 'f', 6, 64), "0")
	return strings.TrimSuffix(text, ".")
}

// between parts on the bed, m.
const bedGap = 5e-3

// layout places the pieces in rows, so that none lies on another; whoever prints
// them arranges them on the bed.
func layout(pieces []Piece) [][]place {
	out := make([][]place, len(pieces))
	widest := 0.0
	for _, p := range pieces {
		r, _ := p.Part.Bounds()
		widest = max(widest, 2*r)
	}
	x, y, row := 0.0, 0.0, 0.0
	for i, p := range pieces {
		r, _ := p.Part.Bounds()
		for range p.Part.Count {
			if x > 0 && x+2*r > 2*widest+bedGap {
				x, y, row = 0, y+row+bedGap, 0
			}
			out[i] = append(out[i], place{x + r, y + r})
			x, row = x+2*r+bedGap, max(row, 2*r)
		}
	}
	return out
}
