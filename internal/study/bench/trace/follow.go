package trace

import "math"

const mostFollowed = 4096 // values of which it is told how they follow each other; more are averaged in blocks

// Independent returns how many independent values tell as much of the mean as these, which follow each
// other in time: n/τ with τ = 1 + 2 Σ ρ, the sum ended where pairs of autocorrelations cease to be
// positive, and made to fall [L1]. It is at least 1, and never more than n.
//
// Source: Geyer, "Practical Markov chain Monte Carlo", Statistical Science 7 (1992), p. 473, section 3.3.
func Independent(y []float64) float64 {
	n := len(y)
	if n < 4 {
		return float64(n)
	}
	b := blocks(y, 1+(n-1)/mostFollowed)
	m, mean := float64(len(b)), average(b)
	autocovariance := func(lag int) (sum float64) {
		for i := lag; i < len(b); i++ {
			sum += (b[i] - mean) * (b[i-lag] - mean)
		}
		return sum / m
	}
	c0 := autocovariance(0)
	if c0 <= 0 || c0 < 1e-24*mean*mean {
		return float64(n)
	}
	tau, least := -1.0, math.Inf(1)
	for lag := 0; lag+1 < len(b)/2; lag += 2 {
		pair := (autocovariance(lag) + autocovariance(lag+1)) / c0
		if pair <= 0 {
			break
		}
		least = min(least, pair)
		tau += 2 * least // [L1]
	}
	one := 1.0 // how much more single values scatter than blocks
	if len(b) < n {
		sd := Scatter(y)
		one = sd * sd / c0
	}
	return min(max(one*m/max(tau, 1), 1), float64(n))
}

// blocks returns the means of so many values each; what is left at the end counts to the last one.
func blocks(y []float64, size int) []float64 {
	if size <= 1 {
		return y
	}
	out := make([]float64, 0, len(y)/size)
	for i := 0; i+size <= len(y); i += size {
		end := i + size
		if end+size > len(y) {
			end = len(y)
		}
		out = append(out, average(y[i:end]))
	}
	return out
}

// average is the mean, taken about the first value so that small differences keep their digits.
func average(y []float64) float64 {
	if len(y) == 0 {
		return 0
	}
	sum := 0.0
	for _, v := range y {
		sum += v - y[0]
	}
	return y[0] + sum/float64(len(y))
}

// Scatter is the standard deviation of values, n-1 in its denominator; 0 for fewer than two.
func Scatter(y []float64) float64 {
	if len(y) < 2 {
		return 0
	}
	m, sum := average(y), 0.0
	for _, v := range y {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(y)-1))
}
