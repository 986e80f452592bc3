package survival

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"hindwatt/internal/statistics"
)

// A mixture is a number whose mean and variance are themselves uncertain.
type mixture struct {
	parts []component
	units float64 // the most it can be
}

type component struct{ weight, mean, variance float64 }

// mix takes nodes whose means lie near each other together, even in the root of the mean.
func mix(nodes []node, e expected, units float64) mixture {
	const cells = 96
	highest := 0.0
	for _, m := range e.mean {
		highest = max(highest, m)
	}
	parts := make([]component, cells)
	for i, n := range nodes {
		cell := 0
		if highest > 0 {
			cell = min(int(cells*math.Sqrt(e.mean[i]/highest)), cells-1)
		}
		c := &parts[cell]
		c.weight += n.weight
		c.mean += n.weight * e.mean[i]
		c.variance += n.weight * e.variance[i]
	}
	m := mixture{units: units}
	for _, c := range parts {
		if c.weight > 0 {
			m.parts = append(m.parts, component{c.weight, c.mean / c.weight, c.variance / c.weight})
		}
	}
	return m
}

// interval returns the mean and the limits, each passed with probability (1−level)/2 at most.
func (m mixture) interval(level float64) (mean, low, high float64) {
	spread := 0.0
	for _, c := range m.parts {
		mean += c.weight * c.mean
		spread += c.weight * (c.variance + c.mean*c.mean)
	}
	sd, z := math.Sqrt(max(0, spread-mean*mean)), statistics.NormalQuantile((1+level)/2)
	tail := (1 - level) / 2
	low = m.first(func(x float64) bool { return m.below(x) > tail }, mean-z*sd)
	high = m.first(func(x float64) bool { return m.below(x) >= 1-tail }, mean+z*sd)
	return mean, low, high
}

// first returns the least whole number from which on is holds, looked for near guess.
func (m mixture) first(is func(x float64) bool, guess float64) float64 {
	x := min(max(math.Floor(guess), 0), m.units)
	low, high := -1.0, m.units // is does not hold at low, and does at high
	for step := max(1, math.Floor(x/32)); low < high; step *= 2 {
		if is(x) {
			if high = x; high <= 0 {
				return 0
			}
			x = max(0, x-step)
		} else {
			if low = x; low >= m.units {
				return m.units
			}
			x = min(m.units, x+step)
		}
		if low >= 0 && high < m.units || x <= low || x >= high {
			break
		}
	}
	for high-low > 1 {
		if middle := math.Floor((low + high) / 2); is(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// below returns the probability of x or fewer.
func (m mixture) below(x float64) float64 {
	p := 0.0
	for _, c := range m.parts {
		p += c.weight * c.below(x)
	}
	return p
}

// below is that of the binomial distribution with the component's mean and variance, which a sum of
// units with probabilities of their own is close to (Ehm, Statistics and Probability Letters 11 (1991), p. 7).
func (c component) below(x float64) float64 {
	off := c.mean - c.variance
	switch {
	case c.mean <= 0:
		return 1
	case x > c.mean+40*math.Sqrt(c.mean)+40:
		return 1
	case off <= 1e-9*c.mean:
		return mathext.GammaIncRegComp(x+1, c.mean)
	}
	n := c.mean * c.mean / off
	if x >= n {
		return 1
	}
	return mathext.RegIncBeta(n-x, x+1, min(1-off/c.mean, 1))
}
