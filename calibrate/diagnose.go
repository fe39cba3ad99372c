package calibrate

import "math"

// splitRhat is the potential scale reduction of one quantity, each chain cut in
// two: the root of all variance over that within (Gelman et al., Bayesian Data
// Analysis, 3rd ed. (2013), eq. 11.4, from memory). Near 1 the halves agree.
func splitRhat(chains [][]float64) float64 {
	within, between, n := spreadOfHalves(chains)
	if !(within > 0) {
		return math.NaN()
	}
	return math.Sqrt(((n-1)/n*within + between/n) / within)
}

// spreadOfHalves is W, B and n of that equation.
func spreadOfHalves(chains [][]float64) (within, between, n float64) {
	halves := split(chains)
	if len(halves) < 2 {
		return math.NaN(), math.NaN(), 0
	}
	n = float64(len(halves[0]))
	means := make([]float64, len(halves))
	grand := 0.0
	for i, h := range halves {
		means[i] = average(h)
		grand += means[i] / float64(len(halves))
		sum := 0.0
		for _, x := range h {
			sum += (x - means[i]) * (x - means[i])
		}
		within += sum / (n - 1) / float64(len(halves))
	}
	for _, m := range means {
		between += n * (m - grand) * (m - grand) / float64(len(halves)-1)
	}
	return within, between, n
}

func split(chains [][]float64) [][]float64 {
	shortest := math.MaxInt
	for _, c := range chains {
		shortest = min(shortest, len(c)/2)
	}
	if shortest < 4 {
		return nil
	}
	var out [][]float64
	for _, c := range chains {
		out = append(out, c[:shortest], c[len(c)-shortest:])
	}
	return out
}

// effectiveSize is how many independent draws the mean of the chains is worth:
// autocorrelations averaged over the chain halves and summed in pairs while
// those are positive and falling (Geyer, Statistical Science 7 (1992) 473;
// Gelman et al., eq. 11.8; from memory).
func effectiveSize(chains [][]float64) float64 {
	within, between, n := spreadOfHalves(chains)
	halves := split(chains)
	if !(within > 0) {
		return math.NaN()
	}
	all := (n-1)/n*within + between/n
	correlation := func(lag int) float64 {
		sum := 0.0
		for _, h := range halves {
			m := average(h)
			for i := 0; i+lag < len(h); i++ {
				sum += (h[i] - m) * (h[i+lag] - m) / float64(len(h)-1)
			}
		}
		return 1 - (within-sum/float64(len(halves)))/all
	}
	before := 1 + correlation(1)
	total := 2*before - 1
	for lag := 2; lag+1 < int(n) && total < n; lag += 2 {
		pair := math.Min(correlation(lag)+correlation(lag+1), before)
		if pair <= 0 {
			break
		}
		total += 2 * pair
		before = pair
	}
	return float64(len(halves)) * n / math.Max(total, 0.25)
}
