package statistics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Student is Student's distribution with a whole number of degrees of freedom ν, for those who ask it often: up to mostSummed its
// distribution function is a finite sum, many times as fast as an incomplete beta function.
type Student struct {
	nu    float64
	sum   []float64 // coefficients of cos²θ to the powers 0, 1, …, with θ = atan(t/√ν); nil where it is not summed
	peak  float64   // density at 0
	other distuv.StudentsT
}

const mostSummed = 200

// NewStudent returns the distribution with nu ≥ 1 degrees of freedom.
func NewStudent(nu int) Student {
	s := Student{nu: float64(nu), other: distuv.StudentsT{Sigma: 1, Nu: float64(nu)}}
	s.peak = s.other.Prob(0)
	if nu > mostSummed {
		return s
	}
	term := 1.0
	for k := 1 + nu%2; k < nu; k += 2 { // 1, 1/2, 1·3/(2·4), … of an even ν; 1, 2/3, 2·4/(3·5), … of an odd one
		s.sum = append(s.sum, term)
		term *= float64(k) / float64(k+1)
	}
	return s
}

// Freedom is ν.
func (s Student) Freedom() float64 { return s.nu }

// CDF is the probability of at most t, to within 1e-14 where it is summed. [Abramowitz and Stegun 1964, 26.7.3 and 26.7.4]
func (s Student) CDF(t float64) float64 {
	if s.nu > mostSummed {
		return s.other.CDF(t)
	}
	side := math.Hypot(t, math.Sqrt(s.nu))
	sin, cos := t/side, math.Sqrt(s.nu)/side
	sum := 0.0
	for k := len(s.sum) - 1; k >= 0; k-- {
		sum = sum*cos*cos + s.sum[k]
	}
	if int(s.nu)%2 == 0 {
		return (1 + sin*sum) / 2
	}
	return 0.5 + (math.Atan2(sin, cos)+sin*cos*sum)/math.Pi
}

// Prob is the density at t.
func (s Student) Prob(t float64) float64 {
	return s.peak * math.Exp(-(s.nu+1)/2*math.Log1p(t*t/s.nu))
}

// Below is ∫F du up to t, F being the distribution function: by how much what is drawn falls short of t on average.
//
//	∫F du = t·F + f·(ν+t²)/(ν-1),  ν > 1
//
// Of ν = 1 the mean is not finite: there it is the integral but for a constant, t/2 + (t·atan t - ln(1+t²)/2)/π.
func (s Student) Below(t float64) float64 {
	if s.nu > 1 {
		return t*s.CDF(t) + (s.nu+t*t)/(s.nu-1)*s.Prob(t)
	}
	return t/2 + (t*math.Atan(t)-math.Log1p(t*t)/2)/math.Pi
}
