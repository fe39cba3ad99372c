package predict

import (
	"context"
	"testing"

	"meltspan/design"
)

// BenchmarkBand holds the speed claim of docs/benchmarks.md: a band of a
// thousand samples, with its shares and sensitivities.
func BenchmarkBand(b *testing.B) {
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Predict(context.Background(), d, Options{Samples: 1000}); err != nil {
			b.Fatal(err)
		}
	}
}
