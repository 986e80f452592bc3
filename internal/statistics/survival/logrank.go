package survival

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// A Comparison is the outcome of a log-rank test.
type Comparison struct {
	Observed, Expected []float64 // failures of each group, and if all groups were alike
	ChiSquared         float64
	DOF                int
	P                  float64 // probability of this much or more if all groups were alike
}

// LogRank compares the ages at failure of groups.
//
// Each age at failure gives the failures that each group would have had by its share of the
// units at risk; the differences, summed, are weighed by their hypergeometric covariance. Groups of
// which no unit was at risk when another failed tell nothing and are left out of the degrees
// of freedom. A NoFit says that nothing can be compared.
//
// Source: Mantel, Cancer Chemotherapy Reports 50 (1966), p. 163; Peto and Peto, Journal of the Royal
// Statistical Society A 135 (1972), p. 185; covariance as Kalbfleisch and Prentice 2002, section 1.4.
func LogRank(groups [][]Life) (Comparison, error) {
	k := len(groups)
	if k < 2 {
		return Comparison{}, errors.New("one group; want two or more")
	}
	c := Comparison{Observed: make([]float64, k), Expected: make([]float64, k)}
	v := square(k)
	err := risk(groups, func(_ float64, atRisk, failed []float64) {
		n, d := total(atRisk), total(failed)
		spread := 0.0
		if n > 1 {
			spread = d * (n - d) / (n - 1)
		}
		for i, ni := range atRisk {
			c.Observed[i] += failed[i]
			c.Expected[i] += d * ni / n
			for j, nj := range atRisk {
				v[i][j] -= spread * ni * nj / (n * n)
			}
			v[i][i] += spread * ni / n
		}
	})
	if err != nil {
		return Comparison{}, err
	}
	if total(c.Observed) == 0 {
		return Comparison{}, &NoFit{"no unit failed"}
	}
	c.compare(v)
	if c.DOF == 0 {
		return Comparison{}, &NoFit{"no two groups had units at risk at the same age when one failed"}
	}
	c.P = mathext.GammaIncRegComp(float64(c.DOF)/2, c.ChiSquared/2)
	return c, nil
}

// compare sums the squares of the differences in independent directions: elimination on the
// covariance v, in place; a direction without variance, as the last always is, tells nothing.
func (c *Comparison) compare(v [][]float64) {
	const rounding = 1e-10
	off := make([]float64, len(v))
	scale := 0.0
	for i := range v {
		off[i] = c.Observed[i] - c.Expected[i]
		scale = max(scale, v[i][i])
	}
	for i := range v {
		if v[i][i] <= rounding*scale {
			continue
		}
		c.DOF++
		c.ChiSquared += off[i] * off[i] / v[i][i]
		for j := i + 1; j < len(v); j++ {
			part := v[j][i] / v[i][i]
			off[j] -= part * off[i]
			for m := i; m < len(v); m++ {
				v[j][m] -= part * v[i][m]
			}
		}
	}
	c.ChiSquared = math.Max(c.ChiSquared, 0)
}

func square(k int) [][]float64 {
	v := make([][]float64, k)
	for i := range v {
		v[i] = make([]float64, k)
	}
	return v
}

func total(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum
}
