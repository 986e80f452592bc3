package iv

import (
	"fmt"
	"math"

	"hindwatt/internal/physics/panel"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/fit"
)

// What is taken where nothing is said.
const (
	usual           = 0.95   // level
	warm            = 298.15 // K, of the cells
	crystalline     = 0.60   // V of open circuit of a cell, for the number of cells
	amorphous       = 0.87
	currentTempco   = 0.0005 // 1/K of the short-circuit current (data-sheet type, from memory)
	amorphousGap    = 1.7    // eV (from memory)
	leastIrradiance = 1.0    // W/m²
)

// Run fits the sweep. An input that makes no sense is an error; what is merely doubtful is in Result.Warnings.
func Run(in Input) (*Result, error) {
	if in.Level == 0 {
		in.Level = usual
	}
	r, err := run(in)
	if err != nil {
		return nil, fmt.Errorf("iv: %s: %w", in.Name, err)
	}
	return r, nil
}

func run(in Input) (*Result, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	s, err := in.sweep()
	if err != nil {
		return nil, err
	}
	found, err := s.fit()
	if err != nil {
		return nil, err
	}
	r := &Result{Input: in, Curve: curveOf(found.At), Across: s.across}
	if r.Input.Cells == 0 {
		cell := crystalline
		if in.Amorphous {
			cell = amorphous
		}
		r.Input.Cells = max(1, int(math.Round(r.Curve.OpenCircuit()/cell)))
	}
	var square float64
	for i, v := range in.Voltage {
		d := in.Current[i] - r.Curve.Current(v)
		r.Residuals = append(r.Residuals, d)
		square += d * d
	}
	r.RMSE = math.Sqrt(square / float64(len(in.Voltage)))
	if err := r.figures(s, found); err != nil {
		return nil, err
	}
	r.doubt(found)
	return r, nil
}

func (in *Input) check() error {
	if len(in.Voltage) != len(in.Current) {
		return fmt.Errorf("%d voltages and %d currents; want as many of both", len(in.Voltage), len(in.Current))
	}
	switch {
	case !(in.Level > 0 && in.Level < 1):
		return fmt.Errorf("level is %v; want more than 0 and less than 1", in.Level)
	case in.Cells < 0 || in.Cells > 1000:
		return fmt.Errorf("%d cells; want 1 to 1000 in series", in.Cells)
	case in.Temperature != nil && !(in.Temperature.Value > 200 && in.Temperature.Value < 420):
		return fmt.Errorf("cell temperature is %g K; want -70 to 145 °C", in.Temperature.Value)
	case in.Irradiance != nil && !(in.Irradiance.Value >= leastIrradiance && in.Irradiance.Value <= 2000):
		return fmt.Errorf("irradiance is %g W/m²; want 1 to 2000 W/m²", in.Irradiance.Value)
	}
	return nil
}

func (in *Input) temperature() float64 {
	if in.Temperature == nil {
		return warm
	}
	return in.Temperature.Value
}

// figures fills all figures of the best fit, with their limits: from the scatter of the readings, and, by fitting
// again with each thing moved that may be off, from all that may be off [I4].
func (r *Result) figures(s *sweep, found *fit.Result) error {
	level := r.Input.Level
	limits := make([]fit.Interval, parameters)
	for k := range limits {
		limits[k] = found.Profile(k, level)
	}
	exp := limits[saturation]
	exp.Best, exp.Low, exp.High = math.Exp(exp.Best), math.Exp(exp.Low), math.Exp(exp.High)
	cell := float64(r.Input.Cells) * panel.ThermalVoltage(r.Input.temperature())
	off, err := r.off(s)
	if err != nil {
		return err
	}
	k := statistics.NormalQuantile((1 + level) / 2)
	r.Photocurrent = limits[photocurrent].Wider(k * off.of(func(c setup) float64 { return c.curve.Photocurrent }))
	r.Saturation = widerLog(exp, k*off.of(func(c setup) float64 { return math.Log(c.curve.Saturation) }))
	r.Ideality = limits[thermal].Times(1 / cell).Wider(k * off.of(func(c setup) float64 {
		return c.curve.Thermal / float64(r.Input.Cells) / panel.ThermalVoltage(c.temperature)
	}))
	r.Series = notBelow(limits[series].Wider(k * off.of(func(c setup) float64 { return c.curve.Series })))
	r.Shunt = inverse(notBelow(limits[shunt].Wider(k * off.of(func(c setup) float64 { return 1 / c.curve.Shunt }))))
	if r.AsMeasured, err = r.points(found, off, k, func(c setup) panel.Curve { return c.curve }); err != nil {
		return err
	}
	if r.Input.Irradiance == nil {
		return nil
	}
	r.reference = r.Input.reference(setup{r.Curve, r.Input.temperature(), r.Input.Irradiance.Value})
	at, err := r.points(found, off, k, func(c setup) panel.Curve { return r.Input.reference(c).Reference })
	r.Reference = &at
	return err
}

// points are the points of a label.
func (r *Result) points(found *fit.Result, off offsets, k float64, of func(setup) panel.Curve) (f Figures, err error) {
	here := setup{temperature: r.Input.temperature()}
	if r.Input.Irradiance != nil {
		here.irradiance = r.Input.Irradiance.Value
	}
	peak := func(c panel.Curve) (v, i, p float64) { return c.MaximumPower() }
	for _, p := range []struct {
		to *fit.Interval
		f  func(c panel.Curve) float64
	}{
		{&f.ShortCircuit, panel.Curve.ShortCircuit},
		{&f.OpenCircuit, panel.Curve.OpenCircuit},
		{&f.PeakVoltage, func(c panel.Curve) float64 { v, _, _ := peak(c); return v }},
		{&f.PeakCurrent, func(c panel.Curve) float64 { _, i, _ := peak(c); return i }},
		{&f.PeakPower, func(c panel.Curve) float64 { _, _, p := peak(c); return p }},
	} {
		i, err := found.Derived(r.Input.Level, func(x []float64) float64 {
			at := here
			at.curve = curveOf(x)
			return p.f(of(at))
		})
		if err != nil {
			return f, err
		}
		*p.to = i.Wider(k * off.of(func(c setup) float64 { return p.f(of(c)) }))
	}
	return f, nil
}

// widerLog widens an interval of a factor by a spread of its logarithm.
func widerLog(i fit.Interval, u float64) fit.Interval {
	i.Low = i.Best * math.Exp(-math.Hypot(math.Log(i.Best/i.Low), u))
	i.High = i.Best * math.Exp(math.Hypot(math.Log(i.High/i.Best), u))
	return i
}

func notBelow(i fit.Interval) fit.Interval {
	i.Low = math.Max(0, i.Low)
	return i
}

// inverse makes the interval of a resistance of that of a conductance.
func inverse(i fit.Interval) fit.Interval {
	out := fit.Interval{OpenLow: i.OpenHigh, OpenHigh: i.OpenLow || i.Low == 0}
	if i.High > 0 {
		out.Low = 1 / i.High
	}
	out.Best, out.High = out.Low, out.Low
	if i.Best > 0 {
		out.Best, out.High = 1/i.Best, 1/i.Best
	}
	if i.Low > 0 {
		out.High = 1 / i.Low
	}
	return out
}

// u is the standard uncertainty of a quantity that may not be given.
func u(q *quantity.Quantity) float64 {
	if q == nil {
		return 0
	}
	return q.StandardUncertainty()
}
