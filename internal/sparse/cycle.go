package sparse

// Precondition is one cycle from zero.
func (h *Hierarchy) Precondition(in, out []float64) { h.cycle(0, in, out) }

// cycle smooths, corrects by the next level and smooths back.
func (h *Hierarchy) cycle(k int, in, out []float64) {
	l := h.levels[k]
	last := k == len(h.levels)-1
	if last && h.direct != nil {
		h.direct.solve(in, out)
		return
	}
	l.forward(in, out)
	if !last {
		next := h.levels[k+1]
		l.restrict(l.rest, next.in)
		h.accelerate(k+1, next.in, next.out)
		l.prolong(next.out, out)
	}
	l.backward(in, out)
}

// reduced is the share of the residual below which the K-cycle does without
// its second step (Notay 2010, algorithm 3.2).
const reduced = 0.25

// accelerate takes up to two steps of conjugate gradients, preconditioned by
// the cycle.
func (h *Hierarchy) accelerate(k int, in, out []float64) {
	l := h.levels[k]
	if k == len(h.levels)-1 {
		h.cycle(k, in, out)
		return
	}
	h.cycle(k, in, l.first)
	l.Multiply(l.first, l.image)
	curvature, along := Dot(l.first, l.image), Dot(l.first, in)
	if !(curvature > 0) {
		clear(out)
		return
	}
	step := along / curvature
	before := Dot(in, in)
	copy(l.push, in)
	AddTo(l.push, -step, l.image)
	if Dot(l.push, l.push) <= reduced*reduced*before {
		clear(out)
		AddTo(out, step, l.first)
		return
	}
	h.cycle(k, l.push, l.second)
	across, gain := Dot(l.second, l.image), Dot(l.second, l.push)
	l.Multiply(l.second, l.rest)
	rest := Dot(l.second, l.rest) - across*across/curvature
	second := 0.0
	if rest > 0 {
		second = gain / rest
	}
	step -= across * second / curvature
	Rows(l.Size(), func(from, to int) {
		for i := from; i < to; i++ {
			out[i] = step*l.first[i] + second*l.second[i]
		}
	})
}

// forward is a Gauss-Seidel sweep from 0 within each block of rows, and leaves
// the residual in rest.
func (l *level) forward(in, out []float64) {
	inBlocks(l.Size(), l.block, func(_, from, to int) {
		column, value, low := l.Column, l.Value[:len(l.Column)], int32(from)
		for i := from; i < to; i++ {
			sum, row := in[i], int32(i)
			for k, end := l.Start[i], l.Start[i+1]; k < end; k++ {
				j := column[k]
				if j >= row {
					break
				}
				if j >= low {
					sum -= value[k] * out[j]
				}
			}
			out[i] = sum * l.pivot[i]
		}
	})
	if l.coarse == nil {
		return
	}
	inBlocks(l.Size(), l.block, func(_, from, to int) {
		column, value, low := l.Column, l.Value[:len(l.Column)], int32(from)
		for i := from; i < to; i++ {
			// Within the block, what stands left of the diagonal is met.
			sum, row := (1/l.pivot[i]-l.Diagonal[i])*out[i], int32(i)
			for k, end := l.Start[i], l.Start[i+1]; k < end; k++ {
				if j := column[k]; j > row || j < low {
					sum -= value[k] * out[j]
				}
			}
			l.rest[i] = sum
		}
	})
}

// backward is the sweep back: the transpose of forward, on the residual.
func (l *level) backward(in, out []float64) {
	l.Subtract(in, out, l.rest)
	inBlocks(l.Size(), l.block, func(_, from, to int) {
		column, value, high := l.Column, l.Value[:len(l.Column)], int32(to)
		for i := to - 1; i >= from; i-- {
			sum, row := l.rest[i], int32(i)
			for k, start := l.Start[i+1]-1, l.Start[i]; k >= start; k-- {
				j := column[k]
				if j <= row {
					break
				}
				if j < high {
					sum -= value[k] * l.rest[j]
				}
			}
			l.rest[i] = sum * l.pivot[i]
		}
	})
	AddTo(out, 1, l.rest)
}

func (l *level) restrict(fine, coarse []float64) {
	clear(coarse)
	for i, a := range l.coarse {
		if a != none {
			coarse[a] += fine[i]
		}
	}
}

func (l *level) prolong(coarse, fine []float64) {
	Rows(len(fine), func(from, to int) {
		for i := from; i < to; i++ {
			if a := l.coarse[i]; a != none {
				fine[i] += coarse[a]
			}
		}
	})
}
