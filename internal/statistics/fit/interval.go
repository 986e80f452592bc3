package fit

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

// An Interval is a best value between two limits.
type Interval struct {
	Best, Low, High   float64
	OpenLow, OpenHigh bool // nothing limits that side; its number is then a bound that was given, or Best
}

// Times returns the interval of a multiple.
func (i Interval) Times(factor float64) Interval {
	i.Best, i.Low, i.High = i.Best*factor, i.Low*factor, i.High*factor
	if factor < 0 {
		i.Low, i.High, i.OpenLow, i.OpenHigh = i.High, i.Low, i.OpenHigh, i.OpenLow
	}
	return i
}

// Plus returns the interval moved.
func (i Interval) Plus(by float64) Interval {
	i.Best, i.Low, i.High = i.Best+by, i.Low+by, i.High+by
	return i
}

// Wider returns the interval with each end moved out by what is added to it in quadrature (u, an
// expanded uncertainty at the same level) about the best value.
func (i Interval) Wider(u float64) Interval {
	i.Low = i.Best - math.Hypot(i.Best-i.Low, u)
	i.High = i.Best + math.Hypot(i.High-i.Best, u)
	return i
}

// Holds reports whether v lies between the limits.
func (i Interval) Holds(v float64) bool {
	return (i.OpenLow || i.Low <= v) && (i.OpenHigh || v <= i.High)
}

// open is an interval without limits.
func open(best float64) Interval {
	return Interval{Best: best, Low: best, High: best, OpenLow: true, OpenHigh: true}
}

// Student returns the half-width of a two-sided interval in standard errors: the quantile of t at
// (1 + level)/2.
func Student(level, dof float64) float64 { return statistics.StudentTQuantile((1+level)/2, dof) }

// SD is the standard deviation of a residual.
func (r *Result) SD() float64 { return math.Sqrt(r.Variance) }

// Covariance returns that of two parameters; 0 where one lies at a bound or the parameters are not
// Determined.
func (r *Result) Covariance(a, b int) float64 {
	c, d := r.position[a], r.position[b]
	if !r.Determined || c < 0 || d < 0 {
		return 0
	}
	return r.Variance * r.inverse[c][d]
}

// Interval returns a parameter with limits from the curvature, by t: Bates and Watts, eq. 2.18.
// They are open at a bound and where the parameters are not Determined.
func (r *Result) Interval(k int, level float64) Interval {
	c := r.position[k]
	if !r.Determined || c < 0 {
		return open(r.At[k])
	}
	half := Student(level, r.DOF) * math.Sqrt(r.Variance*r.inverse[c][c])
	return Interval{Best: r.At[k], Low: r.At[k] - half, High: r.At[k] + half}
}

// Derived returns a figure made of the parameters, with limits by propagation of their covariance.
//
//	f  the figure; must not keep its argument
//
// The limits are open where the parameters are not Determined. A figure that is not finite there
// is an error.
func (r *Result) Derived(level float64, f func(p []float64) float64) (Interval, error) {
	best := f(r.At)
	if !finite(best) {
		return Interval{}, fmt.Errorf("the figure is %v at the best parameters; want a finite number", best)
	}
	if !r.Determined {
		return open(best), nil
	}
	at := append([]float64(nil), r.At...)
	slope := make([]float64, len(at))
	for k := range at {
		if r.position[k] < 0 {
			continue
		}
		h := 1e-3 * math.Sqrt(r.Variance*r.inverse[r.position[k]][r.position[k]])
		if h = (at[k] + h) - at[k]; h == 0 {
			continue
		}
		at[k] = r.At[k] + h
		above := f(at)
		at[k] = r.At[k] - h
		slope[k] = (above - f(at)) / (2 * h)
		at[k] = r.At[k]
	}
	var variance float64
	for a := range slope {
		for b := range slope {
			variance += slope[a] * slope[b] * r.Covariance(a, b)
		}
	}
	if !finite(variance) {
		return open(best), nil
	}
	half := Student(level, r.DOF) * math.Sqrt(math.Max(0, variance))
	return Interval{Best: best, Low: best - half, High: best + half}, nil
}
