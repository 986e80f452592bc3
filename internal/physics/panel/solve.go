package panel

import (
	"math"

	"hindwatt/internal/numeric"
)

// A solver finds the curve of a label for a given thermal voltage.
type solver struct {
	label                  Label
	thermal                float64
	recombination, builtIn float64
}

// leastShunt keeps a conductance found as 0 from becoming an infinite resistance: a shunt current of 1e-6
// of the short-circuit current at the peak voltage.
const leastShunt = 1e-6

// solve returns the curve through the three points of the label whose power is largest at the second.
//
// Given the series resistance, photocurrent, saturation and shunt conductance follow from three linear equations; the
// series resistance is the zero of dP/dV. A label too square for any shunt gets the least shunt
// and passes through its points; one too square for any series resistance, or too round, gets none.
func (s solver) solve() Curve {
	most := (s.label.OpenCircuit - s.label.PeakVoltage) / s.label.PeakCurrent
	top, atTop := s.largestSeries(most)
	if !atTop {
		return s.curve(0)
	}
	series, err := numeric.FindRoot(s.peak, 0, top, 0)
	switch {
	case err == nil:
	case s.peak(0) > 0:
		series = 0
	default:
		series = top
	}
	return s.curve(series)
}

// solveFor returns the curve of so many cells. Of amorphous silicon as much recombination is taken, up to the usual
// most, as leaves the label's peak where it is; the rest of the slope is the shunt's.
func (s solver) solveFor(cells float64) Curve {
	if !s.label.Amorphous {
		return s.solve()
	}
	take := func(each float64) (Curve, bool) {
		s.recombination = each * cells
		// a built-in voltage so near the open-circuit voltage that all light recombines there has no solution
		s.builtIn = max(junctionBuiltIn*cells, s.label.OpenCircuit+2*s.recombination)
		c := s.solve()
		return c, math.Abs(s.peak(c.Series)) < 1e-6
	}
	if c, ok := take(mostRecombination); ok {
		return c
	}
	least, most := 0.0, mostRecombination
	for range 12 {
		middle := (least + most) / 2
		if _, ok := take(middle); ok {
			least = middle
		} else {
			most = middle
		}
	}
	c, _ := take(least)
	return c
}

// largestSeries returns the series resistance at which no shunt is left; ok is false if there is none even
// without series resistance.
func (s solver) largestSeries(most float64) (top float64, ok bool) {
	shunt := func(series float64) float64 {
		_, _, g := s.linear(series)
		return g
	}
	if shunt(0) <= 0 {
		return 0, false
	}
	hi := most * (1 - 1e-9)
	if shunt(hi) > 0 {
		return hi, true
	}
	top, err := numeric.FindRoot(shunt, 0, hi, 0)
	return top, err == nil
}

// peak returns what dI/dV lacks of the -I/V of maximum power at the label's point, times V/I: [Y4].
func (s solver) peak(series float64) float64 {
	c := s.curve(series)
	i, v := s.label.PeakCurrent, s.label.PeakVoltage
	y := c.slope(v + i*series)
	return y/(1+y*series)*v/i - 1
}

// curve returns the curve for a series resistance.
func (s solver) curve(series float64) Curve {
	photo, saturation, g := s.linear(series)
	if least := leastShunt * s.label.ShortCircuit / s.label.PeakVoltage; !(g > least) {
		g = least
		photo, saturation = s.withShunt(series, g)
	}
	return Curve{Photocurrent: photo, Saturation: saturation, Thermal: s.thermal, Series: series, Shunt: 1 / g,
		Recombination: s.recombination, BuiltIn: s.builtIn}
}

// row returns the coefficients of one point's equation for photocurrent, saturation·e^(Voc/a)
// and shunt conductance.
func (s solver) row(v, i, series float64) (light, diode, shunt float64) {
	x := v + i*series
	c := Curve{Recombination: s.recombination, BuiltIn: s.builtIn}
	scale := s.label.OpenCircuit / s.thermal
	return 1 - c.lost(x), -(numeric.Exp(x/s.thermal-scale) - numeric.Exp(-scale)), -x
}

// linear solves the three equations by Cramer's rule.
func (s solver) linear(series float64) (photo, saturation, shunt float64) {
	l := s.label
	a1, b1, c1 := s.row(0, l.ShortCircuit, series)
	a2, b2, c2 := s.row(l.PeakVoltage, l.PeakCurrent, series)
	a3, b3, c3 := s.row(l.OpenCircuit, 0, series)
	i1, i2 := l.ShortCircuit, l.PeakCurrent // and 0 at open circuit
	det := a1*(b2*c3-b3*c2) - b1*(a2*c3-a3*c2) + c1*(a2*b3-a3*b2)
	photo = (i1*(b2*c3-b3*c2) - b1*(i2*c3) + c1*(i2*b3)) / det
	saturation = (a1*(i2*c3) - i1*(a2*c3-a3*c2) + c1*(-a3*i2)) / det
	shunt = (a1*(-b3*i2) - b1*(-a3*i2) + i1*(a2*b3-a3*b2)) / det
	return photo, saturation * numeric.Exp(-l.OpenCircuit/s.thermal), shunt
}

// withShunt solves the equations of short circuit and open circuit for a given shunt conductance.
func (s solver) withShunt(series, g float64) (photo, saturation float64) {
	l := s.label
	a1, b1, c1 := s.row(0, l.ShortCircuit, series)
	a3, b3, c3 := s.row(l.OpenCircuit, 0, series)
	r1, r3 := l.ShortCircuit-c1*g, -c3*g
	det := a1*b3 - b1*a3
	photo = (r1*b3 - b1*r3) / det
	saturation = (a1*r3 - a3*r1) / det
	return photo, math.Max(saturation, 1e-200) * numeric.Exp(-l.OpenCircuit/s.thermal)
}
