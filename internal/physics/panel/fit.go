package panel

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Reading is one point of a measured curve: V and A.
type Reading struct{ Voltage, Current float64 }

// Fitted is a curve by least squares.
type Fitted struct {
	Curve
	RMSE float64 // root of the mean square of measured minus calculated current, A

	// Standard errors from the scatter of the readings about the curve and its curvature there; readings less five
	// degrees of freedom. That of the saturation is relative, that of the shunt is of 1/Ω relative to it.
	PhotocurrentSE, SaturationRelSE, ThermalSE, SeriesSE, ShuntRelSE float64
	AtBound                                                          bool // no shunt or no series resistance was found: it lies at its bound, and has no standard error
}

// ErrNoCurve: the readings are not those of a panel in light.
var ErrNoCurve = errors.New("the readings do not show a short-circuit current, a knee and an open-circuit voltage; want eight or more, from below the knee to beyond it, in light")

// Parameters of the fit, in its order. Photocurrent and thermal voltage are as they are, the saturation by its
// logarithm, the shunt by its conductance.
const (
	photocurrent = iota
	saturation
	thermal
	series
	shunt
	parameters
)

// FitCurve returns the curve whose exact current comes nearest to the readings, by least squares
// of the current.
//
//	readings  in any order; at least 8, finite
//
// The error is ErrNoCurve, or says what is wrong with the readings.
// Method: Levenberg and Marquardt on the implicit equation with exact derivatives, started from the label that the
// readings themselves give; steps by orthogonal decomposition, so that no squares of small numbers are lost.
func FitCurve(readings []Reading) (Fitted, error) {
	const fewest = 8
	if len(readings) < fewest {
		return Fitted{}, fmt.Errorf("%d readings; want %d or more for five parameters", len(readings), fewest)
	}
	for n, r := range readings {
		if !(math.Abs(r.Voltage) <= 1e6 && math.Abs(r.Current) <= 1e6) {
			return Fitted{}, fmt.Errorf("reading %d: %g V, %g A is not possible; want readings of a panel", n+1, r.Voltage, r.Current)
		}
	}
	var best *fit
	for _, start := range starts(readings) {
		f := &fit{readings: readings, p: start}
		f.run()
		if best == nil || f.sum < best.sum {
			best = f
		}
	}
	if best == nil || !(best.sum <= math.MaxFloat64) {
		return Fitted{}, ErrNoCurve
	}
	return best.result(), nil
}

// starts returns first parameters: the label that the readings show, for several thermal voltages.
func starts(readings []Reading) [][parameters]float64 {
	l, ok := labelOf(readings)
	if !ok {
		return nil
	}
	var list [][parameters]float64
	for _, knee := range []float64{14, 18, 24} { // open-circuit voltage over thermal voltage of usual cells
		c := solver{label: l, thermal: l.OpenCircuit / knee}.solve()
		list = append(list, [parameters]float64{c.Photocurrent, numeric.Log(c.Saturation), c.Thermal, c.Series, 1 / c.Shunt})
	}
	return list
}

// labelOf reads short-circuit current, open-circuit voltage and the largest power off the readings.
func labelOf(readings []Reading) (l Label, ok bool) {
	nearest, zero, beyond := math.Inf(1), math.Inf(1), math.Inf(1)
	power, top, least := 0.0, 0.0, math.Inf(1)
	for _, r := range readings {
		if d := math.Abs(r.Voltage); d < nearest {
			nearest, l.ShortCircuit = d, r.Current
		}
		top, least = max(top, r.Voltage), min(least, r.Current)
		if r.Current <= 0 {
			beyond = min(beyond, r.Voltage)
		}
		if d := math.Abs(r.Current); d < zero {
			zero, l.OpenCircuit = d, r.Voltage
		}
		if p := r.Voltage * r.Current; p > power {
			power, l.PeakVoltage, l.PeakCurrent = p, r.Voltage, r.Current
		}
	}
	l.OpenCircuit = max(l.OpenCircuit, 1.02*l.PeakVoltage)
	l.ShortCircuit = max(l.ShortCircuit, 1.02*l.PeakCurrent)
	return l, power > 0 && nearest < 0.5*top && least < 0.6*l.ShortCircuit && l.Check() == nil
}

// A fit is the state of the search.
type fit struct {
	readings []Reading
	p        [parameters]float64
	sum      float64 // of squares
}

// curve makes a curve of parameters; the resistances stay at or above 0.
func curveOf(p [parameters]float64) Curve {
	c := Curve{Photocurrent: p[photocurrent], Saturation: numeric.Exp(p[saturation]), Thermal: p[thermal], Series: p[series], Shunt: math.Inf(1)}
	if p[shunt] > 0 {
		c.Shunt = 1 / p[shunt]
	}
	return c
}

// squares returns the sum of squares, +Inf where the parameters are not those of a panel.
func (f *fit) squares(p [parameters]float64) float64 {
	c := curveOf(p)
	if !(p[thermal] > 1e-6) || c.Check() != nil {
		return math.Inf(1)
	}
	var sum float64
	for _, r := range f.readings {
		d := r.Current - c.Current(r.Voltage)
		sum += float64(d * d)
	}
	return sum
}

// run searches until steps no longer lower the sum.
func (f *fit) run() {
	f.sum = f.squares(f.p)
	damping := 1e-3
	for range 200 {
		j, rest := f.linear()
		step, ok := j.solve(rest, damping)
		next := f.p
		for k := range next {
			next[k] += step[k]
		}
		next[series], next[shunt] = max(0, next[series]), max(0, next[shunt])
		sum := f.squares(next)
		switch {
		case ok && sum < f.sum:
			small := f.sum-sum <= 1e-15*f.sum
			f.p, f.sum = next, sum
			damping = max(damping/10, 1e-14)
			if small && damping <= 1e-12 {
				return
			}
		case damping > 1e8:
			return
		case damping < 1e-10: // at the bottom: undamped steps only change the last digits
			return
		default:
			damping *= 7
		}
	}
}

// linear returns the derivatives of the currents by the parameters, a row a reading, and what
// the currents lack of the readings. From F(I, p) = 0: dI/dp = (∂F/∂p)/(1 + Rs·y).
func (f *fit) linear() (j matrix, rest []float64) {
	c := curveOf(f.p)
	for _, r := range f.readings {
		i := c.Current(r.Voltage)
		x := r.Voltage + float64(i*c.Series)
		e := numeric.Exp(x / c.Thermal)
		y := c.slope(x)
		d := 1 + float64(c.Series*y)
		j = append(j, [parameters]float64{ // [Y16]
			photocurrent: 1 / d,
			saturation:   -c.Saturation * (e - 1) / d,
			thermal:      c.Saturation * e * x / (c.Thermal * c.Thermal) / d,
			series:       -y * i / d,
			shunt:        -x / d,
		})
		rest = append(rest, r.Current-i)
	}
	return j, rest
}

// result makes the result of the last parameters.
func (f *fit) result() Fitted {
	out := Fitted{Curve: curveOf(f.p), RMSE: math.Sqrt(f.sum / float64(len(f.readings)))}
	j, _ := f.linear()
	variance, ok := j.variances()
	out.AtBound = !ok || f.p[series] == 0 || f.p[shunt] == 0
	if out.AtBound {
		return out
	}
	s := f.sum / float64(len(f.readings)-parameters)
	se := func(k int) float64 { return math.Sqrt(s * variance[k]) }
	out.PhotocurrentSE, out.SaturationRelSE, out.ThermalSE, out.SeriesSE = se(photocurrent), se(saturation), se(thermal), se(series)
	out.ShuntRelSE = se(shunt) / f.p[shunt]
	return out
}
