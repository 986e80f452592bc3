package bench

import (
	"fmt"
	"math"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// drawnFrom is the number of units from which on their distribution is drawn; fewer stand over their ambient.
const drawnFrom = 5

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := PageOf(r.answer(), r.Warnings, r.how())
	p.Tables = []page.Table{r.told(), r.table()}
	for _, m := range r.sample.meters {
		text := m.Accuracy.String()
		if m.Digit > 0 {
			text += ", last digit " + r.size(m.Digit)
		}
		p.Inputs = append(p.Inputs, page.Input{Name: "meter " + m.Name, Text: text, From: m.From, Note: "its error is the same, unknown, for all readings by it"})
	}
	if f := r.figure(); f != nil {
		p.Figures = append(p.Figures, *f)
	}
	return p, nil
}

func (r *Result) answer() []string {
	seen, what := fmt.Sprintf("%d units", r.Units), "on average "
	if r.Units == 1 {
		seen, what = "One unit", ""
	}
	said := fmt.Sprintf("%s read at %s: %s%s", seen, r.at(), what, r.show(r.Mean.Best))
	if r.Input.Target != nil {
		said += " off the target"
	}
	if r.Mean.OpenLow {
		said += ", with no limits to how far that may be wrong."
	} else {
		said += fmt.Sprintf(" (%s to %s).", r.show(r.Mean.Low), r.show(r.Mean.High))
	}
	switch t := r.Tolerance; {
	case r.Units == 1:
		said += " How units differ takes two or more."
	case !t.OpenLow:
		said += fmt.Sprintf(" %s of all units lie between %s and %s (confidence %s).",
			percent(r.Input.Proportion), r.show(t.Low), r.show(t.High), percent(r.Input.Confidence))
	}
	out := []string{said}
	if r.Input.Carry != nil {
		out = append(out, "The readings are carried over by the model from the conditions at which they were made.")
	}
	return out
}

// at words the ambients of the readings.
func (r *Result) at() string {
	low := quantity.Format(r.Ambient.Low, quantity.TemperaturePoint, "°C", 0)
	high := quantity.Format(r.Ambient.High, quantity.TemperaturePoint, "°C", 0)
	if low == high {
		return low
	}
	return low + " to " + high
}

// show writes a value with as many decimals as its uncertainty has meaning for: two digits of it.
func (r *Result) show(v float64) string {
	return quantity.Format(v, r.dim(), r.Input.Unit, r.decimals())
}

func (r *Result) decimals() int {
	width := max(r.sample.scatter(), r.sample.limit())
	if scale := math.Abs(r.in(width) - r.in(0)); scale > 0 {
		return int(min(max(1-math.Floor(math.Log10(scale)+1e-9), 0), 9))
	}
	return 3
}

// in is a value in the unit that is shown.
func (r *Result) in(v float64) float64 {
	if x, err := (quantity.Quantity{Value: v, Dim: r.dim()}).In(r.Input.Unit); err == nil {
		return x
	}
	return v
}

func (r *Result) told() page.Table {
	t := page.Table{Title: "What the readings tell", Head: []string{"", "best", "low", "high"}, Align: "lrrr"}
	row := func(name string, i Interval) {
		low, high := "open", "open"
		if !i.OpenLow {
			low = r.show(i.Low)
		}
		if !i.OpenHigh {
			high = r.show(i.High)
		}
		t.Rows = append(t.Rows, []string{name, r.show(i.Best), low, high})
	}
	if r.Units == 1 {
		row("the unit", r.Mean)
		row("without the meter's error", r.MeanWithoutMeter)
		return t
	}
	row("mean of all units", r.Mean)
	row("without the meters' errors", r.MeanWithoutMeter)
	row(percent(r.Input.Proportion)+" of all units", r.Tolerance)
	t.Note = "Standard deviation from unit to unit: " + r.size(r.SD) + "."
	return t
}

// table lists the readings.
func (r *Result) table() page.Table {
	t := page.Table{
		Title: "Readings", Head: []string{"unit", "read", "at", "off the target", "meter", "may be off by", "day", "basis", "from"}, Align: "lrrrlrlll",
	}
	for _, u := range r.sample.units {
		for k, i := range u.readings {
			reading := r.Input.Readings[i]
			meter, limit, at := "not known", "", "not noted"
			if m := reading.Meter; m != nil {
				meter = m.Name
				if m.Known() {
					limit = "±" + r.size(m.limit(reading.Value.Value))
				}
			}
			if reading.Ambient != nil {
				at = written(*reading.Ambient)
			}
			deviation := ""
			if r.Input.Target != nil {
				deviation = r.show(u.values[k])
			}
			t.Rows = append(t.Rows, []string{u.serial, written(reading.Value), at, deviation, meter, limit, reading.Date, reading.Basis, reading.From})
		}
	}
	return t
}

// written words a reading as it was written; that of a log, which has more digits than mean anything, to its spread.
func written(q quantity.Quantity) string {
	const long = 16 // characters
	said := q.String()
	if len([]rune(said)) <= long {
		return said
	}
	if q.Spread != quantity.Normal || !(q.SD > 0) {
		return quantity.Format(q.Value, q.Dim, q.Unit, -4)
	}
	sd := q.Dim
	sd.Point = false
	unit := q.Unit
	if q.Dim.Point {
		unit = "K"
	}
	return quantity.Format(q.Value, q.Dim, q.Unit, int(min(max(1-math.Floor(math.Log10(q.SD)), 0), 6))) + " sd " + quantity.Format(q.SD, sd, unit, -2)
}

// figure draws the units: their distribution if there are enough to speak of one, else each over its ambient.
func (r *Result) figure() *page.Figure {
	name, shown := r.Input.Quantity, r.Input.Unit
	mark := func(i Interval, label string) figure.Mark {
		return figure.Mark{
			Kind: figure.Measured, Carried: r.Input.Carry != nil, Best: r.in(i.Best), Low: r.in(i.Low), High: r.in(i.High),
			OpenLow: i.OpenLow, OpenHigh: i.OpenHigh, Label: label,
		}
	}
	if r.Units >= drawnFrom {
		values := r.sample.column(func(u *unit) float64 { return r.in(u.value) })
		return &page.Figure{
			Caption: fmt.Sprintf("The %d units as they were read; below, the mean of all units and the interval that holds %s of them.", r.Units, percent(r.Input.Proportion)),
			Plot: figure.Distribution{
				Quantity: name, Unit: shown, Bins: figure.Bins(values),
				Marks: []figure.Mark{mark(r.Mean, "mean of all units"), mark(r.Tolerance, percent(r.Input.Proportion)+" of units")},
			},
		}
	}
	c := figure.Curve{X: figure.Axis{Name: "ambient", Unit: "°C"}, Y: figure.Axis{Name: name, Unit: shown}}
	for _, u := range r.sample.units {
		ambient, limit := 0.0, 0.0
		for _, i := range u.readings {
			reading := r.Input.Readings[i]
			if reading.Ambient == nil {
				return nil
			}
			ambient += reading.Ambient.Value / float64(len(u.readings))
		}
		for _, a := range u.weights {
			limit += a
		}
		at, _ := quantity.Quantity{Value: ambient, Dim: quantity.TemperaturePoint}.In("°C")
		value := Interval{Best: u.value, Low: u.value - limit, High: u.value + limit, OpenLow: r.sample.open(), OpenHigh: r.sample.open()}
		c.Marks = append(c.Marks, figure.CurveMark{X: at, Mark: mark(value, u.serial)})
	}
	return &page.Figure{Plot: c, Caption: "Each unit with the limits of its meter's error, over the ambient at which it was read."}
}

// how lists the steps, with equations as in docs/models.md.
func (r *Result) how() []page.Method {
	steps := []page.Method{
		{Text: "Readings of one unit are averaged, each taken from its target at its ambient [R1].", Equation: "y = mean(v - target(T))"},
		{Text: "A meter errs by one unknown part of its limits, the same for all readings by it [R2].",
			Equation: "a = relative·|v| + digits·digit + absolute", Source: "JCGM 100:2008, 4.3.7"},
	}
	if r.Units == 1 {
		return append(steps, page.Method{Text: "One unit lies within the limits of its reading; those of its share are by count [R4, R13].",
			Source: "Clopper and Pearson, Biometrika 26, 1934"})
	}
	return append(steps,
		page.Method{Text: "The mean of all units: Student's t and the meters' errors, convolved [R4].",
			Equation: "ȳ + t(n-1)·s/√n + Σ a·ε", Source: "JCGM 101:2008"},
		page.Method{Text: "The interval that holds the proportion of units, wider at both ends by the meters' limits [R10].",
			Equation: "ȳ ± (k·s + Σ a)", Source: "ISO 16269-6:2014"},
		page.Method{Text: "The share of units inside a bound: populations that may lie behind the readings, with the meters' errors and the carry drawn [R6 to R9].",
			Equation: "μ* = ȳ(ε) + Z·σ*/√n, σ* = s·√((n-1)/χ²)", Source: "Hamada and Weerahandi, Journal of Quality Technology 32, 2000, p. 139"},
	)
}
