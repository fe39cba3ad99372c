// Package archtest holds the tests of how the repository hangs together: which
// package may import which, and that documents name what is there.
package archtest

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "meltspan/"

// root is the module's folder, from this one.
const root = "../.."

// order lists the packages from the ground up: each may import those that
// stand before it.
var order = []string{
	"quantity",
	"matter",
	"transfer",
	"engine",
	"field",
	"design",
	"result",
	"network",
	"printing",
	"predict",
	"search",
	"next",
	"sweep",
	"trial",
	"solid",
	"trial/logfile",
	"notebook",
	"calibrate/internal/synthetic",
	"calibrate",
	"calibrate/demo",
	"report",
	"record",
	"report/drawing",
	"report/document",
	"live",
	"web",
	"internal/cli",
	"cmd/meltspan",
}

// leaves import nothing of ours, so that anyone may import them.
var leaves = []string{"internal/plainyaml", "internal/sparse", "internal/textpage", "report/sheet"}

// testsOnly may be imported by tests and by each other, with their place in
// the order, but by nothing that ships.
var testsOnly = map[string]string{
	"internal/reference":  "quantity",
	"internal/designtest": "design",
	"internal/archtest":   "quantity",
}

// tools are run while developing; each stands where the package named stands.
var tools = map[string]string{"design/internal/writeschema": "result", "calibrate/internal/makedemo": "calibrate"}

// pure packages compute and do nothing else.
var pure = []string{
	"internal/sparse", "quantity", "matter", "transfer", "engine", "field", "network", "printing", "predict", "search", "next", "result", "trial", "solid",
	"calibrate", "report/drawing", "report/document",
}

// impure are the packages by which a program meets the world or its clock.
// What lies below them (net/http, os/exec) counts as well.
var impure = []string{"os", "net", "io/fs", "io/ioutil", "log", "time", "syscall", "embed", "database/sql", "plugin", "unsafe"}

// imports is what is known about one package.
type imports struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

// place is where a package of ours stands in the order, and whether it is
// known at all.
func place(name string) (int, bool) {
	for _, at := range []map[string]string{testsOnly, tools} {
		if stand, ok := at[name]; ok {
			return slices.Index(order, stand), true
		}
	}
	if slices.Contains(leaves, name) {
		return -1, true
	}
	i := slices.Index(order, name)
	return i, i >= 0
}

// faults lists what is wrong with the imports of one package.
func faults(p imports) []string {
	name := strings.TrimPrefix(p.ImportPath, module)
	here, known := place(name)
	if !known {
		return []string{name + " has no place in the order of packages: give it one in internal/archtest"}
	}
	var out []string
	_, forTests := testsOnly[name]
	check := func(list []string, test bool) {
		for _, i := range list {
			if fault := fault(name, here, i, test, forTests); fault != "" {
				out = append(out, name+" imports "+i+": "+fault)
			}
		}
	}
	check(p.Imports, false)
	check(p.TestImports, true)
	check(p.XTestImports, true)
	return out
}

// fault says what is wrong with one import, "" when nothing is.
func fault(name string, here int, imported string, test, forTests bool) string {
	other, ours := strings.CutPrefix(imported, module)
	if !ours {
		if !test && slices.Contains(pure, name) && isImpure(imported) {
			return "a package of physics does no input or output and reads no clock"
		}
		return ""
	}
	if other == name {
		return "" // its own external tests
	}
	there, known := place(other)
	_, otherForTests := testsOnly[other]
	switch {
	case !known:
		return "it has no place in the order of packages"
	case otherForTests && !test && !forTests:
		return "it is for tests only"
	case otherForTests && there <= here:
		return ""
	case slices.Contains(leaves, name):
		return "a leaf imports nothing of ours"
	case there > here || (there == here && !forTests):
		return "it does not stand before it"
	}
	return ""
}

func isImpure(name string) bool {
	return slices.ContainsFunc(impure, func(i string) bool { return name == i || strings.HasPrefix(name, i+"/") })
}

// listed asks the go command for the packages of this module.
func listed(t *testing.T) []imports {
	t.Helper()
	command := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "./...")
	command.Dir = root
	var stderr bytes.Buffer
	command.Stderr = &stderr
	output, err := command.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.Bytes())
	}
	var out []imports
	for decoder := json.NewDecoder(bytes.NewReader(output)); ; {
		var p imports
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			return out
		} else if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
}

func TestImportsRunOneWay(t *testing.T) {
	packages := listed(t)
	if len(packages) < len(order) {
		t.Fatalf("go list found only %d packages", len(packages))
	}
	for _, p := range packages {
		for _, f := range faults(p) {
			t.Error(f)
		}
	}
}

// The rules themselves, on packages made up for the purpose.
func TestWrongImportsAreFound(t *testing.T) {
	in := func(name string, list ...string) imports { return imports{ImportPath: module + name, Imports: list} }
	for _, c := range []struct {
		what  string
		p     imports
		wrong bool
	}{
		{"downwards", in("network", module+"design", "math"), false},
		{"upwards", in("design", module+"network"), true},
		{"upwards in a test", imports{ImportPath: module + "matter", TestImports: []string{module + "transfer"}}, true},
		{"own external test", imports{ImportPath: module + "design", XTestImports: []string{module + "design"}}, false},
		{"a leaf, by anyone", in("quantity", module+"internal/textpage"), false},
		{"a leaf that leans", in("report/sheet", module+"quantity"), true},
		{"help for tests, in a test", imports{ImportPath: module + "transfer", TestImports: []string{module + "internal/reference"}}, false},
		{"help for tests from above", imports{ImportPath: module + "matter", TestImports: []string{module + "internal/designtest"}}, true},
		{"help for tests, in what ships", in("transfer", module+"internal/reference"), true},
		{"input or output in physics", in("matter", "os"), true},
		{"a folder below it", in("predict", "net/http"), true},
		{"the clock in physics", in("network", "time"), true},
		{"files where they are read", in("design", "io/fs"), false},
		{"a namesake", in("matter", "osprey"), false},
		{"a package without a place", in("sideways"), true},
	} {
		if got := faults(c.p); (len(got) > 0) != c.wrong {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}
