package iv

import (
	"fmt"
	"math"

	"hindwatt/internal/physics/panel"
	"hindwatt/internal/statistics/fit"
)

// Parameters of the fit: photocurrent, the logarithm of the saturation current, thermal voltage, series
// resistance, conductance of the shunt.
const (
	photocurrent = iota
	saturation
	thermal
	series
	shunt
	parameters
)

// A sweep is the readings with what each distance is measured by.
type sweep struct {
	readings []panel.Reading
	across   bool
	weight   []float64 // A
	start    []float64
}

func curveOf(p []float64) panel.Curve {
	c := panel.Curve{Photocurrent: p[photocurrent], Saturation: math.Exp(p[saturation]), Thermal: p[thermal], Series: p[series], Shunt: math.Inf(1)}
	if p[shunt] > 0 {
		c.Shunt = 1 / p[shunt]
	}
	return c
}

func parametersOf(c panel.Curve) []float64 {
	return []float64{c.Photocurrent, math.Log(c.Saturation), c.Thermal, c.Series, 1 / c.Shunt}
}

// sweep makes the sweep; the fit along the current is its start.
func (in *Input) sweep() (*sweep, error) {
	s := &sweep{}
	for i, v := range in.Voltage {
		s.readings = append(s.readings, panel.Reading{Voltage: v, Current: in.Current[i]})
	}
	first, err := panel.FitCurve(s.readings)
	if err != nil {
		return nil, err
	}
	s.start = parametersOf(first.Curve)
	s.weigh(in, first.Curve)
	return s, nil
}

// weigh sets the weights: along the current all alike; across the curve, where the last digits are known, by what both
// digits leave open, the voltage's carried over by the slope [I2].
func (s *sweep) weigh(in *Input, c panel.Curve) {
	var du, di float64
	if in.VoltageMeter.Known() && in.CurrentMeter.Known() {
		du, di = in.VoltageMeter.Digit, in.CurrentMeter.Digit
	}
	s.across = du > 0 && di > 0
	for _, r := range s.readings {
		w := 1.0
		if s.across {
			w = math.Hypot(di, c.Conductance(r.Voltage)*du) / math.Sqrt(12)
		}
		s.weight = append(s.weight, w)
	}
}

// fit finds the parameters.
func (s *sweep) fit() (*fit.Result, error) {
	open := math.Inf(1)
	bounds := []fit.Parameter{
		{Name: "photocurrent", Min: 0, Max: open},
		{Name: "saturation", Min: -200, Max: 20, Scale: 1},
		{Name: "thermal voltage", Min: 1e-6, Max: open},
		{Name: "series", Min: 0, Max: open},
		{Name: "shunt", Min: 0, Max: open},
	}
	for k := range bounds {
		bounds[k].Start = s.start[k]
	}
	r, err := fit.Solve(fit.Problem{Parameters: bounds, Points: len(s.readings), Residuals: s.residuals, Jacobian: s.jacobian})
	if err != nil {
		return nil, fmt.Errorf("the readings cannot be fitted: %w", err)
	}
	return r, nil
}

func (s *sweep) residuals(p, r []float64) bool {
	c := curveOf(p)
	if c.Check() != nil {
		return false
	}
	for i, q := range s.readings {
		r[i] = (q.Current - c.Current(q.Voltage)) / s.weight[i]
	}
	return true
}

// jacobian has the exact derivatives: from F(I, p) = 0, dI/dp = (∂F/∂p)/(1 + Rs·y), where 1/(1 + Rs·y) = 1 - Rs·g and g is
// the conductance at the terminals [I1].
func (s *sweep) jacobian(p []float64, j [][]float64) bool {
	c := curveOf(p)
	if c.Check() != nil {
		return false
	}
	for i, q := range s.readings {
		g, current := c.Conductance(q.Voltage), c.Current(q.Voltage)
		x, inner := q.Voltage+current*c.Series, 1-c.Series*g
		e := math.Exp(x / c.Thermal)
		w := -1 / s.weight[i]
		j[i][photocurrent] = w * inner
		j[i][saturation] = w * -c.Saturation * (e - 1) * inner
		j[i][thermal] = w * c.Saturation * e * x / (c.Thermal * c.Thermal) * inner
		j[i][series] = w * -g * current
		j[i][shunt] = w * -x * inner
	}
	return true
}
