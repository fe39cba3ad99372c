package search

import (
	"math"
	"sort"
)

// beats reports whether a is better than b: it holds and b does not; or it
// violates less; or both hold, and it is no worse in any objective and better
// in one (Deb 2000).
func beats(a, b *Score) bool {
	if a.Violation > 0 || b.Violation > 0 {
		return a.Violation < b.Violation
	}
	better := false
	for i := range a.Objectives {
		switch {
		case a.Objectives[i] > b.Objectives[i]:
			return false
		case a.Objectives[i] < b.Objectives[i]:
			better = true
		}
	}
	return better
}

// alike reports whether two scores are equal in all respects.
func alike(a, b *Score) bool {
	if a.Violation != b.Violation {
		return false
	}
	for i := range a.Objectives {
		if a.Objectives[i] != b.Objectives[i] {
			return false
		}
	}
	return true
}

func beaten(f Found, by []Found) bool {
	for i := range by {
		if beats(&by[i].Score, &f.Score) {
			return true
		}
	}
	return false
}

// fronts sorts candidates into fronts: the first holds those that none beats,
// the next those that only the first beats, and so on (Deb, Pratap, Agarwal and
// Meyarivan, IEEE Trans. Evol. Comput. 6 (2002) 182-197).
func fronts(all []Found) [][]int {
	n := len(all)
	losses, wins := make([]int, n), make([][]int, n)
	for i := range n {
		for j := range i {
			switch {
			case beats(&all[i].Score, &all[j].Score):
				wins[i], losses[j] = append(wins[i], j), losses[j]+1
			case beats(&all[j].Score, &all[i].Score):
				wins[j], losses[i] = append(wins[j], i), losses[i]+1
			}
		}
	}
	var out [][]int
	var front []int
	for i, l := range losses {
		if l == 0 {
			front = append(front, i)
		}
	}
	for len(front) > 0 {
		out = append(out, front)
		var next []int
		for _, i := range front {
			for _, j := range wins[i] {
				if losses[j]--; losses[j] == 0 {
					next = append(next, j)
				}
			}
		}
		sort.Ints(next)
		front = next
	}
	return out
}

// best keeps n candidates: whole fronts, and of the front that does not fit
// those that stand least crowded.
func best(all []Found, n int) []Found {
	if len(all) <= n {
		return all
	}
	var out []Found
	for _, front := range fronts(all) {
		if len(out) == n {
			break
		}
		for len(front) > n-len(out) {
			front = thinned(all, front)
		}
		for _, i := range front {
			out = append(out, all[i])
		}
	}
	return out
}

// thinned leaves out the most crowded member of a front, whose neighbours in
// all objectives are nearest (crowding distance of Deb et al. 2002).
func thinned(all []Found, front []int) []int {
	distance := crowding(all, front)
	worst := 0
	for k := range front {
		if distance[k] <= distance[worst] {
			worst = k
		}
	}
	return append(append([]int(nil), front[:worst]...), front[worst+1:]...)
}

func crowding(all []Found, front []int) []float64 {
	distance := make([]float64, len(front))
	order := make([]int, len(front))
	for m := range all[front[0]].Objectives {
		for k := range order {
			order[k] = k
		}
		value := func(k int) float64 { return all[front[k]].Objectives[m] }
		sort.SliceStable(order, func(a, b int) bool { return value(order[a]) < value(order[b]) })
		last := len(order) - 1
		span := value(order[last]) - value(order[0])
		distance[order[0]], distance[order[last]] = math.Inf(1), math.Inf(1)
		for k := 1; k < last && span > 0; k++ {
			distance[order[k]] += (value(order[k+1]) - value(order[k-1])) / span
		}
	}
	return distance
}

// pool keeps the best candidates of many.
type pool struct {
	keep int
	all  []Found
}

func (p *pool) add(f Found) {
	if p.all = append(p.all, f); len(p.all) >= 4*p.keep {
		p.all = best(p.all, p.keep)
	}
}

// best are the candidates kept, best front first; within a front by the first
// objective.
func (p *pool) best() []Found {
	p.all = best(p.all, p.keep)
	var out []Found
	for _, front := range fronts(p.all) {
		sort.SliceStable(front, func(a, b int) bool {
			return p.all[front[a]].Objectives[0] < p.all[front[b]].Objectives[0]
		})
		for _, i := range front {
			out = append(out, p.all[i])
		}
	}
	return out
}
