package weather

import (
	"math"

	"hindwatt/internal/numeric"
)

// persistence is the correlation of the normal scores of clearness from one day to the next: Graham,
// Hollands and Huget, Solar Energy 40, 1988. Four typical years have 0.14 to 0.35.
const persistence = 0.29

// A spread is the distribution of a month's daily clearness: P. Bendt, M. Collares-Pereira and A. Rabl,
// Solar Energy 27, 1981, an exponential between two ends.
type spread struct {
	low, high float64
	gamma     float64
}

// newSpread returns the distribution with a mean of 0..0.9.
func newSpread(mean float64) spread {
	x := (mean - 0.75) * (mean - 0.75)
	high := 0.6313 + 0.267*mean - 11.9*x*x*x*x // K. G. T. Hollands and R. G. Huget, Solar Energy 30, 1983, [SN14]
	high = max(high, min(2*mean, mean+0.03))   // outside their range, 0.1..0.8
	s := spread{low: min(0.05, mean/2), high: high}
	off := func(gamma float64) float64 { s.gamma = gamma; return s.mean() - mean }
	gamma, err := numeric.FindRoot(off, -400/(s.high-s.low), 400/(s.high-s.low), 1e-9)
	if err != nil { // a mean next to an end: all days alike
		return spread{low: mean, high: mean}
	}
	s.gamma = gamma
	return s
}

func (s spread) mean() float64 {
	w := s.high - s.low
	x := s.gamma * w
	if math.Abs(x) < 1e-3 {
		return s.low + w*(0.5+x/12)
	}
	if x > 0 {
		return s.high - 1/s.gamma + w/(numeric.Exp(x)-1)
	}
	return s.low - 1/s.gamma - w*numeric.Exp(x)/(1-numeric.Exp(x))
}

// quantile returns the clearness that a share u, 0..1, of days stays below, [SN13].
func (s spread) quantile(u float64) float64 {
	w := s.high - s.low
	x := s.gamma * w
	switch {
	case w <= 0:
		return s.low
	case math.Abs(x) < 1e-6:
		return s.low + w*u
	case x > 0:
		return s.high + numeric.Log(u+(1-u)*numeric.Exp(-x))/s.gamma
	}
	return s.low + numeric.Log(1-u+u*numeric.Exp(x))/s.gamma
}

// deviation returns the standard deviation of single days.
func (s spread) deviation() float64 {
	const n = 200
	m, sum := s.mean(), 0.0
	for i := range n {
		d := s.quantile((float64(i)+0.5)/n) - m
		sum += d * d
	}
	return math.Sqrt(sum / n)
}

// normal returns the standard normal distribution: J. F. Hart et al., Computer Approximations, 1968,
// 5666, as G. West gives it (Wilmott, May 2005); to 1e-14.
func normal(x float64) float64 {
	a := math.Abs(x)
	if a > 37 {
		a = 37
	}
	e := numeric.Exp(-a * a / 2)
	var tail float64
	if a < 7.07106781186547 {
		p := 3.52624965998911e-02
		for _, c := range [...]float64{0.700383064443688, 6.37396220353165, 33.912866078383, 112.079291497871, 221.213596169931, 220.206867912376} {
			p = p*a + c
		}
		q := 8.83883476483184e-02
		for _, c := range [...]float64{1.75566716318264, 16.064177579207, 86.7807322029461, 296.564248779674, 637.333633378831, 793.826512519948, 440.413735824752} {
			q = q*a + c
		}
		tail = e * p / q
	} else {
		tail = e / (a + 1/(a+2/(a+3/(a+4/(a+0.65))))) / 2.506628274631
	}
	if x > 0 {
		return 1 - tail
	}
	return tail
}
