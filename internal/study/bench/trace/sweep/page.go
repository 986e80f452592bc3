package sweep

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

// Page words what the sweep tells.
func (r *Result) Page() page.Page {
	p := bench.PageOf(r.answer(), r.Warnings, r.how(), r.Input.Gauge.Meter)
	p.Figures, p.Tables = []page.Figure{r.figure()}, []page.Table{r.table()}
	return p
}

// Says words where a unit switched: "unit 0007: on at 25.213 V (…) rising".
func (th *Threshold) Says() string {
	state := "off"
	if th.Up {
		state = "on"
	}
	text := fmt.Sprintf("%s went %s at %s", named(th.Unit), state, volts(th.Best))
	if th.Open {
		text += ", with no limits to how far that may be wrong,"
	} else {
		text += fmt.Sprintf(" (%s to %s)", volts(th.Low), volts(th.High))
	}
	text += " while the supply was " + th.Direction
	if th.Kelvin > 0 {
		text += ", at " + quantity.Format(th.Kelvin, quantity.TemperaturePoint, "°C", 1)
	}
	return text
}

func (r *Result) answer() []string {
	const most = 4 // units whose points are said one by one
	var said []string
	if len(r.Input.Units) <= most {
		for i := range r.Thresholds {
			said = append(said, sentence(r.Thresholds[i].Says()))
		}
	}
	for _, s := range r.Spreads {
		text := fmt.Sprintf("%d units switched at %s on average while the supply was %s; they differ by a standard deviation of %s", s.Units, volts(s.Mean), s.Direction, milli(s.Between))
		if s.Within > 0 {
			text += fmt.Sprintf(", and one unit from sweep to sweep by %s", milli(s.Within))
		}
		said = append(said, text+".")
	}
	for _, h := range r.Hysteresis {
		if len(r.Hysteresis) <= most {
			said = append(said, sentence(fmt.Sprintf("hysteresis of %s: %s (%s to %s)", named(h.Unit), volts(h.Best), volts(h.Low), volts(h.High))))
		}
	}
	for _, d := range r.Drifts {
		text := fmt.Sprintf("%s: the points follow the temperature by %s (%s to %s) over %s", d.Direction, perKelvin(d.Slope.Best), perKelvin(d.Slope.Low), perKelvin(d.Slope.High),
			quantity.Format(d.Span, quantity.TemperatureDifference, "K", 1))
		if c := r.Input.Compensation; c != 0 {
			text += "; they are to follow it by " + perKelvin(c)
		}
		said = append(said, sentence(text))
	}
	return said
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

func milli(v float64) string { return quantity.Format(v, quantity.Voltage, "mV", -2) }

func (r *Result) table() page.Table {
	t := page.Table{Title: "Switching points", Head: []string{"unit", "supply", "point", "low", "high", "sweeps", "from sweep to sweep", "without the meter", "at"}, Align: "llrrrrrrr",
		Note: "Without the meter: standard uncertainty of what is not shared by all that it read."}
	for _, th := range r.Thresholds {
		low, high, at, scatter := volts(th.Low), volts(th.High), "", ""
		if th.Open {
			low, high = "open", "open"
		}
		if th.Kelvin > 0 {
			at = quantity.Format(th.Kelvin, quantity.TemperaturePoint, "°C", 1)
		}
		if len(th.Points) > 1 {
			scatter = milli(th.SD)
		}
		t.Rows = append(t.Rows, []string{th.Unit, th.Direction, volts(th.Best), low, high, fmt.Sprint(len(th.Points)), scatter, milli(th.Own), at})
	}
	return t
}

// figure draws the points: over the temperature where that moved, else unit after unit.
func (r *Result) figure() page.Figure {
	c := figure.Curve{X: figure.Axis{Name: "unit", Scale: figure.Items}, Y: figure.Axis{Name: "supply", Unit: "V"}, Source: r.Input.From}
	over := "unit after unit"
	if len(r.Drifts) > 0 {
		c.X, over = figure.Axis{Name: "temperature", Unit: "°C"}, "over the temperature"
	}
	number := map[string]float64{}
	for _, direction := range []string{Rising, Falling} {
		s := figure.Series{Name: direction, Points: true}
		for _, th := range r.of(direction) {
			if _, seen := number[th.Unit]; !seen {
				number[th.Unit] = float64(len(number) + 1)
				if c.X.Scale == figure.Items {
					c.X.Names = append(c.X.Names, th.Unit)
				}
			}
			for _, p := range th.Points {
				x := number[th.Unit]
				if len(r.Drifts) > 0 {
					x = p.Kelvin - 273.15
				}
				half := math.Max(p.Half, p.SE)
				s.X, s.Mid = append(s.X, x), append(s.Mid, p.Volts)
				s.Low, s.High = append(s.Low, p.Volts-half), append(s.High, p.Volts+half)
			}
		}
		if len(s.X) > 0 {
			c.Series = append(c.Series, s)
		}
	}
	return page.Figure{Plot: c, Caption: "Where the response left one of its levels for the other, " + over + "; whiskers are the step of the supply from row to row."}
}

func (r *Result) how() []page.Method {
	return []page.Method{
		{Text: "A point is the line through the rows before, at the middle between the last row before and the first after [L10].", Equation: "V = line(t), ± |rate| · Δt / 2"},
		{Text: "Units and sweeps are told apart by analysis of variance [L11].", Equation: "s_between² = (S_between² - s_within²) / n", Source: "JCGM 100:2008, H.5"},
		{Text: "One slope over the temperature through all units, each about its own mean [L12].", Source: "ordinary least squares"},
		{Text: "The meter's limit, its last digit and the scatter are combined at the end; of a difference only the part of the reading remains.", Source: "JCGM 100:2008"},
	}
}
