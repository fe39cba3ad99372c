package solid

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// referenceChord is the chord error at which meshes go to the reference readers,
// m; coarse, so that single precision and small faces are put to the test.
const referenceChord = 1e-4

// demoPieces are the parts of all demos, in pieces and whole, with their meshes,
// by file name.
func demoPieces(t *testing.T) (names []string, pieces map[string]Piece) {
	pieces = map[string]Piece{}
	for name, d := range variants(t) {
		for _, p := range sections(t, d) {
			pieces[name+"-"+p.Name] = Piece{&p, p.Printed(meshed(t, &p, referenceChord))}
		}
	}
	return slices.Sorted(maps.Keys(pieces)), pieces
}

// The reference reader of STL files finds nothing to mend: every edge is met by
// exactly one other, all faces turn outwards, and the volume is ours.
func TestADMeshFindsNothingToMend(t *testing.T) {
	if _, err := exec.LookPath("admesh"); err != nil {
		t.Skip("SKIPPED: admesh is not installed (Debian package admesh)")
	}
	names, pieces := demoPieces(t)
	folder := t.TempDir()
	for _, name := range names {
		m := pieces[name].Mesh
		file := filepath.Join(folder, name+".stl")
		data := m.STL(name)
		if len(data) != 84+50*len(m.Triangles) {
			t.Errorf("%s: %d bytes for %d triangles", name, len(data), len(m.Triangles))
		}
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("admesh", file).CombinedOutput()
		if err != nil {
			t.Fatalf("admesh %s: %v\n%s", name, err, out)
		}
		number := func(label string) float64 {
			found := regexp.MustCompile(regexp.QuoteMeta(label) + `\s*:\s*(-?[0-9.]+)(?:\s+(-?[0-9.]+))?`).FindSubmatch(out)
			if found == nil {
				t.Fatalf("admesh %s says nothing of %q:\n%s", name, label, out)
			}
			last := found[1]
			if found[2] != nil {
				last = found[2] // "original" and "after processing"
			}
			x, err := strconv.ParseFloat(string(last), 64)
			if err != nil {
				t.Fatal(err)
			}
			return x
		}
		for label, want := range map[string]float64{
			"Number of facets": float64(len(m.Triangles)), "Total disconnected facets": 0, "Degenerate facets": 0, "Edges fixed": 0,
			"Facets removed": 0, "Facets added": 0, "Facets reversed": 0, "Backwards edges": 0, "Normals fixed": 0,
		} {
			if got := number(label); got != want {
				t.Errorf("%s: admesh: %s %g, want %g\n%s", name, label, got, want, out)
			}
		}
		if got, want := number("Volume"), m.Volume()*1e9; math.Abs(got/want-1) > 1e-4 {
			t.Errorf("%s: admesh finds %.6g mm3, we %.6g", name, got, want)
		}
	}
}

// measured is what manifold-3d says of a mesh.
type measured struct {
	Status                  string
	Volume, Area            float64
	Genus, Triangles, Parts int
}

// An independent library of exact solid modelling takes every mesh for a solid
// and finds its volume, surface and genus.
func TestManifoldAgrees(t *testing.T) {
	folder := os.Getenv("MELTSPAN_MANIFOLD")
	if folder == "" {
		t.Skip("SKIPPED: MELTSPAN_MANIFOLD does not name a folder with manifold-3d (npm ci in solid/testdata/manifold)")
	}
	names, pieces := demoPieces(t)
	type sent struct {
		Vertices  []float64 `json:"vertices"`
		Triangles []int32   `json:"triangles"`
	}
	var all []sent
	for _, name := range names {
		var s sent
		for _, v := range pieces[name].Mesh.Vertices {
			s.Vertices = append(s.Vertices, 1e3*v[0], 1e3*v[1], 1e3*v[2])
		}
		for _, tri := range pieces[name].Mesh.Triangles {
			s.Triangles = append(s.Triangles, tri[:]...)
		}
		all = append(all, s)
	}
	input, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	node := exec.Command("node", "testdata/manifold/measure.mjs")
	node.Stdin = bytes.NewReader(input)
	var stderr bytes.Buffer
	node.Stderr = &stderr
	output, err := node.Output()
	if err != nil {
		t.Fatalf("node: %v\n%s", err, stderr.Bytes())
	}
	var answers []measured
	if err := json.Unmarshal(output, &answers); err != nil {
		t.Fatal(err)
	}
	if len(answers) != len(names) {
		t.Fatalf("%d answers for %d meshes", len(answers), len(names))
	}
	for i, name := range names {
		got, m := answers[i], pieces[name].Mesh
		surfaces, genus := m.Bodies()
		if got.Status != "NoError" && got.Status != "0" {
			t.Errorf("%s: manifold: %s", name, got.Status)
		}
		// It counts the genus of the whole, 1 - chi/2; ours is that of each surface.
		if whole := genus - surfaces + 1; got.Genus != whole {
			t.Errorf("%s: manifold: genus %d, we %d over %d surfaces", name, got.Genus, genus, surfaces)
		}
		if math.Abs(got.Volume/(1e9*m.Volume())-1) > 1e-5 || math.Abs(got.Area/(1e6*m.Area())-1) > 1e-5 {
			t.Errorf("%s: manifold: %.6g mm3, %.6g mm2; we %.6g, %.6g", name, got.Volume, got.Area, 1e9*m.Volume(), 1e6*m.Area())
		}
	}
}

// lib3mf builds the reader in testdata, "" where compiler or library are missing.
func lib3mf(t *testing.T) string {
	t.Helper()
	compiler, err := exec.LookPath("g++")
	if err != nil {
		t.Skip("SKIPPED: there is no g++ to compile the reader of lib3mf with")
	}
	if _, err := os.Stat("/usr/include/lib3mf/Model/COM/NMR_DLLInterfaces.h"); err != nil {
		t.Skip("SKIPPED: lib3mf is not installed (Debian package lib3mf-dev)")
	}
	program := filepath.Join(t.TempDir(), "read3mf")
	out, err := exec.Command(compiler, "-I/usr/include/lib3mf", "testdata/read3mf.cc", "-o", program, "-l3MF").CombinedOutput()
	if err != nil {
		t.Fatalf("g++: %v\n%s", err, out)
	}
	return program
}

// The consortium's own reader takes the files without a warning, in strict mode,
// and finds names, materials, revision, units, closed meshes and our volumes.
func TestLib3MFReadsTheFiles(t *testing.T) {
	program := lib3mf(t)
	for name, d := range demos(t) {
		var pieces []Piece
		items := 0
		for _, p := range sections(t, d) {
			pieces = append(pieces, Piece{&p, p.Printed(meshed(t, &p, referenceChord))})
			items += p.Count
		}
		data, err := ThreeMF(Origin{d.Name, d.Revision(), "Meltspan test"}, pieces)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "parts.3mf")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(program, file).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		const millimetres = 1 // MODELUNIT_MILLIMETER of lib3mf's NMR_ModelTypes.h
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")
		want := []string{
			fmt.Sprintf("unit\t%d", millimetres), "metadata\tTitle\t" + d.Name, "metadata\tApplication\tMeltspan test",
			fmt.Sprintf("items\t%d", items),
		}
		for _, w := range want {
			if !slices.Contains(lines, w) {
				t.Errorf("%s: lib3mf does not find %q", name, w)
			}
		}
		if !strings.Contains(string(out), "revision\t"+d.Revision()) {
			t.Errorf("%s: lib3mf does not find the revision:\n%s", name, out)
		}
		for _, p := range pieces {
			volume := 1e9 * p.Mesh.Volume()
			pattern := fmt.Sprintf("object\t%s\t1\t1\t%d\t%d\t", p.Part.Label, len(p.Mesh.Vertices), len(p.Mesh.Triangles))
			at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, pattern) })
			if at < 0 {
				t.Errorf("%s: lib3mf does not find %q:\n%s", name, pattern, out)
				continue
			}
			rest := strings.Split(strings.TrimPrefix(lines[at], pattern), "\t")
			got, err := strconv.ParseFloat(rest[0], 64)
			if err != nil || math.Abs(got/volume-1) > 1e-5 || rest[1] != p.Part.Material {
				t.Errorf("%s: %s: lib3mf finds %s mm3 of %s, we %.6g of %s", name, p.Part.Label, rest[0], rest[1], volume, p.Part.Material)
			}
		}
		if strings.Contains(string(out), "warning\t") {
			t.Errorf("%s: lib3mf warns:\n%s", name, out)
		}
	}
}

func TestFilesAreDeterministic(t *testing.T) {
	d := demos(t)["engine-on-ice"]
	file := func() []byte {
		var pieces []Piece
		for _, p := range sections(t, d) {
			pieces = append(pieces, Piece{&p, p.Printed(meshed(t, &p, referenceChord))})
		}
		data, err := ThreeMF(Origin{d.Name, d.Revision(), "Meltspan test"}, pieces)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	if !bytes.Equal(file(), file()) {
		t.Error("the same design gave two different files")
	}
}
