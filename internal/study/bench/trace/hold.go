package trace

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
)

// A Gauge is what values were taken with.
type Gauge struct {
	Meter *bench.Meter // nil: its accuracy is not known
	Digit float64      // the last digit that the log shows, SI; the meter's counts too if it is coarser
}

// Known reports whether the limit of the meter's error is known.
func (g Gauge) Known() bool {
	return g.Meter.Known()
}

// Limit is the largest error of the meter at a reading; 0 if it is not known.
func (g Gauge) Limit(v float64) float64 {
	if !g.Known() {
		return 0
	}
	return g.Meter.Accuracy.Limit(v, g.Meter.Digit)
}

// Step is the last digit: the meter's or the log's, whichever is coarser.
func (g Gauge) Step() float64 {
	if g.Meter != nil {
		return max(g.Digit, g.Meter.Digit)
	}
	return g.Digit
}

// A Level is a value that was held, and how sure it is. Noise, Resolution, Accuracy and Aliasing are
// standard uncertainties of it, kept apart since more values make only the first smaller.
type Level struct {
	Best, Low, High float64 // 95 %; both are Best where Open
	Open            bool    // the meter's accuracy is not known, so that nothing limits it

	SD          float64 // of the single values
	Values      int
	Independent float64 // of them, since they follow each other

	Noise      float64 // of the mean of the values
	Resolution float64
	Accuracy   float64
	Aliasing   float64
	Budget     statistics.Budget
}

// Own is the standard uncertainty without the meter's accuracy, which readings by one meter share.
func (l Level) Own() float64 {
	return math.Sqrt(l.Noise*l.Noise + l.Resolution*l.Resolution + l.Aliasing*l.Aliasing)
}

const (
	dithered = 0.5  // of a digit: noise from which on the mean is finer than a digit
	fewest   = 2.0  // independent values that are counted with at least
	usual    = 0.95 // level of intervals
)

// Hold returns the level of values that were held.
//
//	y         at least 2, in the order of time
//	aliasing  how far a beat of the meter with a pulse may have moved their mean, ±; see Pulse.Alias
//
// The noise is that of a mean of values that follow each other [L3]; that of a digit counts in full
// until the noise reaches half of it, and averages beyond [L4].
func Hold(y []float64, g Gauge, aliasing float64) (Level, error) {
	n := len(y)
	if n < 2 {
		return Level{}, fmt.Errorf("level: %d values; want 2 or more", n)
	}
	l := Level{Values: n, Best: average(y), SD: Scatter(y), Independent: Independent(y)}
	counted := min(max(l.Independent, fewest), float64(n))
	// [L3]: E s² = σ² (n - τ)/(n - 1), u² = σ²/counted
	l.Noise = l.SD * math.Sqrt(float64(n-1)/(float64(n)*(counted-1)))
	digit := g.Step()
	half := digit / 2
	if l.SD >= dithered*digit {
		half /= math.Sqrt(counted) // [L4]
	}
	limit := g.Limit(l.Best)
	l.Resolution, l.Accuracy, l.Aliasing = half/math.Sqrt(3), limit/math.Sqrt(3), aliasing/math.Sqrt(3) // JCGM 100, 4.3.7
	in := []statistics.Input{{Name: "noise", U: l.Noise, DOF: counted - 1}}
	for _, one := range []struct {
		name string
		half float64
	}{{"last digit", half}, {"meter", limit}, {"aliasing", aliasing}} {
		if one.half > 0 {
			in = append(in, statistics.Input{Name: one.name, Dist: statistics.Rectangular, Low: -one.half, High: one.half})
		}
	}
	budget, err := statistics.Propagate(func(x []float64) (float64, error) {
		sum := l.Best
		for _, v := range x {
			sum += v
		}
		return sum, nil
	}, in, nil)
	if err != nil {
		return Level{}, err
	}
	l.Budget, l.Low, l.High = budget, budget.Low, budget.High
	if !g.Known() {
		l.Open, l.Low, l.High = true, l.Best, l.Best
	}
	return l, nil
}
