package report

import "sort"

// spread places blocks of given heights along a line, each with its centre as
// near as can be to where it is wanted, without overlap, in the order of the
// wanted centres (ties keep their order) and between lo and hi. The answer
// minimises the sum of squared shifts: it is isotonic regression by pooling
// adjacent violators (Barlow et al., Statistical Inference under Order
// Restrictions, 1972). Where the blocks do not fit between lo and hi they are
// stacked from lo on and run over hi.
func spread(want, height []float64, lo, hi float64) []float64 {
	order := make([]int, len(want))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return want[order[a]] < want[order[b]] })
	return spreadInOrder(order, want, height, lo, hi)
}

// spreadInOrder is spread with the order given.
func spreadInOrder(order []int, want, height []float64, lo, hi float64) []float64 {
	// With the height of all blocks before it taken off, a block's centre may
	// be anything not below its neighbour's: the problem becomes monotone.
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	before := make([]float64, len(order)) // offset of each block's centre
	at := 0.0
	for k, i := range order {
		before[k] = at + height[i]/2
		at += height[i]
		pools = append(pools, pool{want[i] - before[k], 1})
		for len(pools) > 1 {
			a, b := pools[len(pools)-2], pools[len(pools)-1]
			if a.sum/float64(a.n) <= b.sum/float64(b.n) {
				break
			}
			pools = append(pools[:len(pools)-2], pool{a.sum + b.sum, a.n + b.n})
		}
	}
	out := make([]float64, len(want))
	k := 0
	for _, p := range pools {
		base := max(lo, min(p.sum/float64(p.n), hi-at))
		for range p.n {
			out[order[k]] = base + before[k]
			k++
		}
	}
	return out
}
