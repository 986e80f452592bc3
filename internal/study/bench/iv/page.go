package iv

import (
	"fmt"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// Page words the answer.
func (r *Result) Page() page.Page {
	p := bench.PageOf(r.answer(), r.Warnings, r.how(), r.Input.VoltageMeter, r.Input.CurrentMeter)
	p.Figures, p.Tables = []page.Figure{r.figure(), r.residuals()}, r.tables()
	return p
}

func volts(x float64) string { return quantity.Format(x, quantity.Voltage, "V", -4) }
func amps(x float64) string  { return quantity.Format(x, quantity.Current, "", -4) }
func watts(x float64) string { return quantity.Format(x, quantity.Power, "W", -4) }
func ohms(x float64) string  { return quantity.Format(x, quantity.Resistance, "", -4) }
func plain(x float64) string { return fmt.Sprintf("%.3f", x) }

func (r *Result) answer() []string {
	f, at := &r.AsMeasured, "in the light of the sweep"
	if r.Reference != nil {
		f, at = r.Reference, "at 1000 W/m² and 25 °C"
	}
	said := fmt.Sprintf("%s gives %s at most %s (%s), %s open and %s shorted.", r.Input.Name, watts(f.PeakPower.Best), at, bench.Ends(f.PeakPower, watts),
		volts(f.OpenCircuit.Best), amps(f.ShortCircuit.Best))
	return []string{said}
}

func (r *Result) tables() []page.Table {
	row := func(t *page.Table, name string, i fit.Interval, show func(float64) string) {
		t.Rows = append(t.Rows, bench.LimitsRow(name, i, show))
	}
	p := bench.LimitsTable("Five parameters, as measured")
	p.Note = fmt.Sprintf("The currents lie %s from the curve, root mean square.", amps(r.RMSE))
	row(&p, "photocurrent", r.Photocurrent, amps)
	row(&p, "saturation current", r.Saturation, func(x float64) string { return fmt.Sprintf("%.3g A", x) })
	row(&p, "ideality of a cell", r.Ideality, plain)
	row(&p, "series resistance", r.Series, ohms)
	row(&p, "shunt resistance", r.Shunt, ohms)
	tables := []page.Table{p}
	label := func(title string, f *Figures) {
		t := bench.LimitsTable(title)
		row(&t, "short-circuit current", f.ShortCircuit, amps)
		row(&t, "open-circuit voltage", f.OpenCircuit, volts)
		row(&t, "current at maximum power", f.PeakCurrent, amps)
		row(&t, "voltage at maximum power", f.PeakVoltage, volts)
		row(&t, "maximum power", f.PeakPower, watts)
		tables = append(tables, t)
	}
	label("As measured", &r.AsMeasured)
	if r.Reference != nil {
		label("At 1000 W/m² and 25 °C", r.Reference)
	}
	if text, ok := r.Part("NAME"); ok {
		t := page.Table{Title: "For parts.toml, to be named by an installation", Head: []string{"lines"}}
		for line := range strings.Lines(text) {
			t.Rows = append(t.Rows, []string{strings.TrimSpace(line)})
		}
		tables = append(tables, t)
	}
	return tables
}

// figure draws the readings with the curve.
func (r *Result) figure() page.Figure {
	const points = 200
	in := &r.Input
	top := r.Curve.OpenCircuit()
	for _, v := range in.Voltage {
		top = max(top, v)
	}
	fitted := figure.Series{Name: "fitted"}
	for k := range points + 1 {
		v := top * float64(k) / points
		fitted.X, fitted.Mid = append(fitted.X, v), append(fitted.Mid, r.Curve.Current(v))
	}
	return page.Figure{
		Caption: "The readings, and the curve of the five parameters.",
		Plot: figure.Curve{X: figure.Axis{Name: "voltage", Unit: "V"}, Y: figure.Axis{Name: "current", Unit: "A"},
			Series: []figure.Series{{Name: "read", X: in.Voltage, Mid: in.Current, Points: true}, fitted}, Source: in.From},
	}
}

// residuals draws what the readings lack of the curve.
func (r *Result) residuals() page.Figure {
	var zero float64
	mid := make([]float64, len(r.Residuals))
	for i, d := range r.Residuals {
		mid[i] = 1000 * d
	}
	return page.Figure{
		Caption: "Measured less calculated current: scatter without a shape if the model fits.",
		Plot: figure.Curve{X: figure.Axis{Name: "voltage", Unit: "V"}, Y: figure.Axis{Name: "residual", Unit: "mA"},
			Series: []figure.Series{{Name: "residual", X: r.Input.Voltage, Mid: mid, Points: true}}, Level: &zero, Source: r.Input.From},
	}
}

func (r *Result) how() []page.Method {
	distance := "along the current"
	if r.Across {
		distance = "across the curve, by the last digits of both meters [I2]"
	}
	steps := []page.Method{
		{Text: "The exact current of five parameters is brought nearest to the readings, the distance taken " + distance + ".",
			Equation: "I = Iph - I0·(e^((V + I·Rs)/a) - 1) - (V + I·Rs)/Rsh", Source: "De Soto, Klein and Beckman 2006, eq. 1"},
		{Text: "Limits of the parameters are by profile; what meters, thermometer and irradiance may be off by is carried through by fitting again [I4].",
			Source: "Bates and Watts 1988, 6.1; JCGM 100:2008, 5.1.3"},
	}
	if r.Reference != nil {
		steps = append(steps, page.Method{Text: "Carried over to 1000 W/m² and 25 °C by the panel's model [I3].", Source: "De Soto, Klein and Beckman 2006"})
	}
	return steps
}
