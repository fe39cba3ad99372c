package network

import (
	"os"
	"testing"

	"meltspan/design"
)

// BenchmarkTrial holds the speed claim of docs/benchmarks.md: a whole trial of
// some eight hours, melt, stall and cold tail included.
func BenchmarkTrial(b *testing.B) {
	d, err := design.Read(os.DirFS("../testdata/blind"), "hollow.yaml")
	if err != nil {
		b.Fatal(err)
	}
	m, err := Build(d)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		m.Time(Options{})
	}
}

func BenchmarkBuild(b *testing.B) {
	d, err := design.Read(os.DirFS("../testdata/blind"), "hollow.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Build(d); err != nil {
			b.Fatal(err)
		}
	}
}
