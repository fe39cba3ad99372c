package archtest

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	codeSpan = regexp.MustCompile("`([^`\n]+)`")
	link     = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	// pathLike is a path in this repository, perhaps with a star: it has a
	// slash, or the ending of a file that stands in the root.
	pathLike = regexp.MustCompile(`^\.?[A-Za-z0-9_*][A-Za-z0-9_.*-]*(/[A-Za-z0-9_.*-]*)+$|^[A-Za-z0-9_-]+\.(md|go|mod|sum)$`)
	fence    = regexp.MustCompile("(?ms)^```.*?^```")
)

// namedPaths lists the paths that a document names: the targets of links, from
// the document's folder, and paths in code spans, from the root.
func namedPaths(document, text string) []string {
	var out []string
	text = fence.ReplaceAllString(text, "")
	for _, m := range link.FindAllStringSubmatch(text, -1) {
		target, _, _ := strings.Cut(m[1], "#")
		if target != "" && !strings.Contains(target, "://") {
			out = append(out, filepath.Join(filepath.Dir(document), target))
		}
	}
	for _, m := range codeSpan.FindAllStringSubmatch(text, -1) {
		first, _, slash := strings.Cut(m[1], "/")
		module := slash && strings.Contains(strings.TrimPrefix(first, "."), ".")
		if pathLike.MatchString(m[1]) && !module {
			out = append(out, m[1])
		}
	}
	return out
}

func documents(t *testing.T) []string {
	t.Helper()
	out := []string{"README.md", "CHANGELOG.md"}
	for _, pattern := range []string{"docs/*.md", "docs/*/*.md"} {
		found, err := filepath.Glob(filepath.Join(root, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			name, err := filepath.Rel(root, f)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, name)
		}
	}
	return out
}

func TestPathsNamedInDocumentsExist(t *testing.T) {
	for _, document := range documents(t) {
		text, err := os.ReadFile(filepath.Join(root, document))
		if err != nil {
			t.Error(err)
			continue
		}
		for _, name := range namedPaths(document, string(text)) {
			found, err := filepath.Glob(filepath.Join(root, name))
			if err != nil || len(found) == 0 {
				t.Errorf("%s names %s, which is not there", document, name)
			}
		}
	}
}

func TestNamedPathsAreFound(t *testing.T) {
	const text = "See [this](../README.md#top), [that](https://host.invalid/x), [below](#here) and `network/step.go`, " +
		"`transfer/`, `matter/*_test.go`, `.ci/run` or `CHANGELOG.md`; not `W/(m K)`, `pgregory.net/rapid`, `./...`, " +
		"`design.yaml`, `go test ./...`.\n```\nno/such/path\n```\n"
	got := namedPaths("docs/some.md", text)
	want := []string{"README.md", "network/step.go", "transfer/", "matter/*_test.go", ".ci/run", "CHANGELOG.md"}
	if !slices.Equal(got, want) {
		t.Errorf("found %q, want %q", got, want)
	}
}
