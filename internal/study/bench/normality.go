package bench

import (
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// normality returns the probability that units of a normal population look at least as little like one as
// these do: Anderson and Darling's test with mean and standard deviation found from the values
// themselves. x holds 8 values or more that are not all alike; it is sorted.
//
// The statistic and its modification are case 3 of Stephens, in D'Agostino and Stephens, Goodness-of-Fit
// Techniques (1986), 4.8.5 and table 4.7; the probability is the fit of its table 4.9 [R12].
func normality(x []float64) (statistic, p float64) {
	slices.Sort(x)
	n := float64(len(x))
	m, sd := mean(x), math.Sqrt(covariance(x, x))
	sum := 0.0
	for i := range x {
		z, mirror := (x[i]-m)/sd, (x[len(x)-1-i]-m)/sd
		sum += (2*float64(i) + 1) * (lnNormal(z) + lnNormal(-mirror))
	}
	a := -n - sum/n
	a *= 1 + 0.75/n + 2.25/(n*n)
	return a, fitted(a)
}

// fitted is the probability of a modified statistic that large or larger.
func fitted(a float64) float64 {
	p := 0.0
	switch {
	case a < 0.2:
		p = 1 - math.Exp(-13.436+101.14*a-223.73*a*a)
	case a < 0.34:
		p = 1 - math.Exp(-8.318+42.796*a-59.938*a*a)
	case a < 0.6:
		p = math.Exp(0.9177 - 4.279*a - 1.38*a*a)
	case a < 13: // beyond, the fit turns
		p = math.Exp(1.2937 - 5.709*a + 0.0186*a*a)
	}
	return min(max(p, 0), 1)
}

// lnNormal is ln Φ(z); z stays within √n of 0, far from where Φ vanishes, for any n that is read.
func lnNormal(z float64) float64 {
	return math.Log(max(statistics.NormalCDF(z), math.SmallestNonzeroFloat64))
}
