package statistics

import (
	"math"

	"hindwatt/internal/numeric"
)

// blockSize is how many samples are drawn and evaluated together. Each block has its own stream,
// so results do not depend on the number of cores.
const blockSize = 1024

// A drawer fills blocks of samples of correlated inputs.
type drawer struct {
	in         []Input
	corr       *correlations
	correlated []int // inputs that hang together with another
	partner    []int // for each input, the first of its group with the same degrees of freedom
}

func newDrawer(in []Input, corr *correlations) *drawer {
	d := &drawer{in: in, corr: corr}
	for i := range in {
		if !corr.alone(i) {
			d.correlated = append(d.correlated, i)
		}
		j := 0
		for corr.group[j] != corr.group[i] || in[j].Dist.bounded() != in[i].Dist.bounded() || in[j].dof() != in[i].dof() {
			j++
		}
		d.partner = append(d.partner, j)
	}
	return d
}

// fill sets column[i][s] to sample s of input i.
func (d *drawer) fill(s *numeric.Stream, column [][]float64) {
	for i, one := range d.in {
		if d.corr.alone(i) {
			one.fill(s, column[i])
		} else {
			s.FillNorm(column[i])
		}
	}
	if len(d.correlated) > 0 {
		d.correlate(s, column)
	}
}

// fill draws one independent input (JCGM 101:2008 6.4).
func (in Input) fill(s *numeric.Stream, dst []float64) {
	low, high := in.limits()
	middle, half := low+(high-low)/2, (high-low)/2
	switch in.Dist {
	case Rectangular: // 6.4.2
		s.FillUniform(dst, low, high)
	case Triangular: // 6.4.5
		for i := range dst {
			dst[i] = middle + float64(half*(s.Float64()-s.Float64()))
		}
	case Arcsine: // 6.4.6
		for i := range dst {
			dst[i] = middle + float64(half*numeric.Sin(float64(math.Pi*(s.Float64()-0.5))))
		}
	default: // 6.4.7, 6.4.9
		s.FillNorm(dst)
		dof := in.dof()
		for i := range dst {
			dst[i] = in.Value + float64(in.U*dst[i]*stretch(s, dof))
		}
	}
}

// stretch returns √(ν/χ²), which makes a normal number one of t; 1 for infinitely many.
func stretch(s *numeric.Stream, dof float64) float64 {
	if math.IsInf(dof, 1) {
		return 1
	}
	return math.Sqrt(dof / (2 * gamma(s, dof/2)))
}

// gamma draws from the gamma distribution of this shape and scale 1 (Marsaglia and Tsang, ACM
// Trans. Math. Softw. 26, 2000, p. 363).
func gamma(s *numeric.Stream, shape float64) float64 {
	if shape < 1 {
		u := 1 - s.Float64()
		return gamma(s, shape+1) * numeric.Pow(u, 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := s.Norm()
		v := 1 + float64(c*x)
		if v <= 0 {
			continue
		}
		v = v * v * v
		if numeric.Log(1-s.Float64()) < float64(0.5*x*x)+d-float64(d*v)+float64(d*numeric.Log(v)) {
			return float64(d * v)
		}
	}
}

// correlate turns the independent normal columns of the correlated inputs into draws of their own
// distributions: normal ones are jointly normal (JCGM 101 6.4.8), t ones of equal degrees
// of freedom jointly t, bounded ones follow a Gaussian copula: the coefficient is
// that of the normal scores, from which the product-moment coefficient of two
// rectangular inputs differs by less than 0.02.
func (d *drawer) correlate(s *numeric.Stream, column [][]float64) {
	z, wide := make([]float64, len(d.in)), make([]float64, len(d.in))
	for k := range column[0] {
		for _, i := range d.correlated {
			z[i] = column[i][k]
		}
		for _, i := range d.correlated {
			var score float64
			for j, l := range d.corr.lower[i][:i+1] {
				score += float64(l * z[j])
			}
			if d.in[i].Dist.bounded() {
				column[i][k] = d.in[i].fromScore(score)
				continue
			}
			if d.partner[i] == i {
				wide[i] = stretch(s, d.in[i].dof())
			}
			column[i][k] = d.in[i].Value + d.in[i].U*score*wide[d.partner[i]]
		}
	}
}

// fromScore turns a normal score into a value of a bounded input.
func (in Input) fromScore(z float64) float64 {
	low, high := in.limits()
	middle, half := low+(high-low)/2, (high-low)/2
	switch in.Dist {
	case Triangular:
		tail := math.Sqrt(2 * NormalCDF(-math.Abs(z)))
		return middle + math.Copysign(half*(1-tail), z)
	case Arcsine:
		return middle + half*numeric.Sin(math.Pi/2*math.Erf(z/math.Sqrt2))
	}
	return middle + half*math.Erf(z/math.Sqrt2)
}
