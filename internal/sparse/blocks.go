package sparse

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// rowsAtOnce is the number of rows in a block of work: enough to outweigh the
// handing over, and the same on every machine, so that sums come out the same.
const rowsAtOnce = 8192

// inBlocks calls work for blocks of the rows 0 to n, on all cores when there
// are several blocks.
func inBlocks(n, size int, work func(block, from, to int)) {
	blocks := (n + size - 1) / size
	run := func(b int) { work(b, b*size, min((b+1)*size, n)) }
	workers := min(runtime.GOMAXPROCS(0), blocks)
	if workers < 2 {
		for b := range blocks {
			run(b)
		}
		return
	}
	var next atomic.Int64
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			for b := int(next.Add(1)) - 1; b < blocks; b = int(next.Add(1)) - 1 {
				run(b)
			}
		})
	}
	group.Wait()
}

// Rows calls work for blocks of the rows 0 to n, on all cores when there are
// several.
func Rows(n int, work func(from, to int)) {
	if n <= rowsAtOnce {
		work(0, n)
		return
	}
	inBlocks(n, rowsAtOnce, func(_, from, to int) { work(from, to) })
}

// Total adds what part returns for each block, in the order of the blocks.
func Total(n int, part func(from, to int) float64) float64 {
	if n <= rowsAtOnce {
		return part(0, n)
	}
	sums := make([]float64, (n+rowsAtOnce-1)/rowsAtOnce)
	inBlocks(n, rowsAtOnce, func(b, from, to int) { sums[b] = part(from, to) })
	sum := 0.0
	for _, s := range sums {
		sum += s
	}
	return sum
}

// Dot is the inner product of two vectors.
func Dot(a, b []float64) float64 {
	return Total(len(a), func(from, to int) float64 {
		sum := 0.0
		y := b[from:to]
		for i, v := range a[from:to] {
			sum += v * y[i]
		}
		return sum
	})
}

// AddTo adds factor times a to b.
func AddTo(b []float64, factor float64, a []float64) {
	Rows(len(b), func(from, to int) {
		y := b[from:to]
		for i, v := range a[from:to] {
			y[i] += factor * v
		}
	})
}
