package calc

import (
	"context"
	"math"
	"strings"

	"hindwatt/internal/physics/panel"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

func init() {
	cells := Input{Name: "cells", Whole: true, Valid: positive, Want: "want a whole number from 1 up", Help: "in series"}
	temperature := Input{Name: "temperature", Dim: quantity.TemperaturePoint, Default: "25 °C", Valid: func(v float64) bool { return v >= 100 && v <= 1000 },
		Want: "want a temperature such as 25 °C", Help: "of the cells"}
	register(
		Calculator{
			Name:     "panel-iv",
			Question: "What current does a panel of five known parameters give?",
			Inputs: []Input{
				{Name: "photocurrent", Dim: quantity.Current, Valid: notNegative, Want: "want a current of 0 or more", Help: "of the light"},
				{Name: "saturation", Dim: quantity.Current, Valid: positive, Want: "want a current above 0 such as 0.1 nA", Help: "of the diode"},
				{Name: "series", Dim: quantity.Resistance, Valid: notNegative, Want: "want a resistance of 0 or more", Help: "series resistance"},
				{Name: "shunt", Dim: quantity.Resistance, Valid: positive, Want: "want a resistance above 0", Help: "shunt resistance"},
				cells,
				{Name: "ideality", Valid: positive, Want: "want a number above 0 such as 1.1", Help: "of one cell"},
				saturated(temperature),
				{Name: "voltage", Dim: quantity.Voltage, Optional: true, Help: "at which the current is asked"},
			},
			Results: []Result{
				{"isc", "A", "short-circuit current"}, {"voc", "V", "open-circuit voltage"},
				{"imp", "A", "at maximum power"}, {"vmp", "V", "at maximum power"}, {"pmp", "W", "maximum power"}, {"current", "A", "at voltage, if that is given"},
			},
			Formula: "I = photocurrent − saturation·(e^((V + I·series)/a) − 1) − (V + I·series)/shunt, a = ideality·cells·kT/q; explicit by Wright's function",
			Source:  "single-diode model: De Soto, Klein and Beckman, Solar Energy 80 (2006), p. 78, eq. 1; constants of the SI",
			Compute: panelCurve,
			Samples: 20_000,
		},
		Calculator{
			Name:     "panel-fit",
			Question: "Which five parameters does a measured curve of a panel have?",
			Inputs: []Input{
				{Name: "file", Text: true, Want: "want a CSV file with columns V,I", Help: "CSV with columns V,I in V and A: the panel's curve in steady light, from short circuit to open circuit"},
				exactly(temperature), cells,
			},
			Results: []Result{
				{"photocurrent", "A", "of the light"}, {"saturation", "A", "of the diode"}, {"series", "ohm", "series resistance"},
				{"shunt", "ohm", "shunt resistance"}, {"ideality", "-", "of one cell"}, {"rmse", "A", "root of the mean square of what the currents differ by"},
			},
			Formula: "Σ (I − I(V))² least, I(V) the exact solution of I = Iph − I0·(e^((V + I·Rs)/a) − 1) − (V + I·Rs)/Rsh, a = ideality·cells·kT/q",
			Source:  "single-diode model: De Soto, Klein and Beckman 2006; Levenberg and Marquardt's method with exact derivatives",
			Compute: panelFit,
		},
	)
}

func exactly(in Input) Input {
	in.Exact = true
	return in
}

func saturated(temperature Input) Input {
	temperature.Help = "of the cells; the saturation current is that at this temperature"
	return temperature
}

func panelCurve(_ context.Context, in Values) (Answers, error) {
	c := panel.Curve{Photocurrent: in.Number("photocurrent"), Saturation: in.Number("saturation"),
		Thermal: in.Number("ideality") * in.Number("cells") * panel.ThermalVoltage(in.Number("temperature")),
		Series:  in.Number("series"), Shunt: in.Number("shunt")}
	if err := c.Check(); err != nil {
		return Answers{}, err
	}
	v, i, p := c.MaximumPower()
	short := c.ShortCircuit()
	if c.Photocurrent == 0 {
		short = 0 // not the rounding of sums
	}
	a := is(short, c.OpenCircuit(), i, v, p)
	if in.Has("voltage") {
		a.List = append(a.List, Answer{Value: c.Current(in.Number("voltage"))})
	}
	for i := range a.List {
		if math.Abs(a.List[i].Value) > mostFigure {
			a.List[i] = Answer{None: "larger than any number"}
		}
	}
	return a, nil
}

// mostFigure is the largest figure of a panel that is taken for computed and not for cut off.
const mostFigure = 1e300

// curveColumns are the spellings of the two columns of a measured curve.
var curveColumns = [][2]string{{"v", "i"}, {"v_volt", "i_ampere"}, {"voltage", "current"}}

func panelFit(_ context.Context, in Values) (Answers, error) {
	var readings []panel.Reading
	var layouts []layout
	any := func(float64) bool { return true }
	for _, names := range curveColumns {
		layouts = append(layouts, layout{
			[]column{{name: names[0], valid: any, want: "want a number in V, without unit"}, {name: names[1], valid: any, want: "want a number in A, without unit"}},
			func(r row) *fault {
				readings = append(readings, panel.Reading{Voltage: r.number[0], Current: r.number[1]})
				return nil
			}})
	}
	warnings, err := in.rows("file", layouts...)
	if err != nil {
		return Answers{}, err
	}
	f, err := panel.FitCurve(readings)
	if err != nil {
		problem, want, _ := strings.Cut(err.Error(), "; ")
		return Answers{}, wrong("file", problem, want)
	}
	return fitted(in, f, len(readings), warnings), nil
}

// fitted returns the parameters, with limits from the scatter of the readings.
func fitted(in Values, f panel.Fitted, readings int, warnings []string) Answers {
	ideality := f.Thermal / (in.Number("cells") * panel.ThermalVoltage(in.Number("temperature")))
	a := is(f.Photocurrent, f.Saturation, f.Series, f.Shunt, ideality, f.RMSE)
	a.Warnings = warnings
	if math.IsInf(f.Shunt, 1) {
		a.List[3] = Answer{None: "the readings show no shunt"}
	}
	const most = 10 // standard errors of a factor as large as this say nothing
	if f.AtBound || f.SaturationRelSE > most || f.ShuntRelSE > most {
		a.Warnings = append(a.Warnings, "the readings hardly bear on a resistance, so no limits are given: take more near short circuit and beyond open circuit")
		return a
	}
	const freedom, spare = 0.975, 5 // central 95 %, five parameters
	t := statistics.StudentTQuantile(freedom, float64(readings-spare))
	plus := func(k int, se float64) {
		a.List[k].Interval, a.List[k].Low, a.List[k].High = true, a.List[k].Value-t*se, a.List[k].Value+t*se
	}
	times := func(k int, relative float64) {
		a.List[k].Interval, a.List[k].Low, a.List[k].High = true, a.List[k].Value*math.Exp(-t*relative), a.List[k].Value*math.Exp(t*relative)
	}
	plus(0, f.PhotocurrentSE)
	times(1, f.SaturationRelSE)
	plus(2, f.SeriesSE)
	times(3, f.ShuntRelSE)
	plus(4, ideality*f.ThermalSE/f.Thermal)
	a.Note = "low and high: 95 % by Student's t from the scatter of the readings about the curve (saturation and shunt as factors), no other error of the readings counted"
	return a
}
