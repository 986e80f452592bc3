package charge

import (
	"fmt"
	"time"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/quantity"
)

// dayFigures draw the chosen days: that on which the battery was emptiest, and that on which it gassed most.
func (r *Result) dayFigures(b *beside) (list []page.Figure) {
	y := &b.own[0]
	low, busy := y.Lowest, y.Busiest
	if low != nil {
		list = append(list, r.dayFigure(low, "the day of the lowest state of charge, "+percent(float64(least(low.State))))...)
	}
	if busy != nil && busy != low {
		list = append(list, r.dayFigure(busy, r.busyWords(y, busy))...)
	}
	return list
}

// busyWords says why the busiest day was chosen.
func (r *Result) busyWords(y *Year, c *Course) string {
	d := &y.Days[c.Day].Totals
	if r.model.cell.Chemistry.Lead() {
		return "the day of the most gas, " + quantity.Format(d.Gas, quantity.Charge, "Ah", -2)
	}
	return "the day of the most charge below 0 °C, " + quantity.Format(d.FrozenIn, quantity.Charge, "Ah", -2)
}

// date names a day of the calendar: "28 December".
func date(day int) string { return time.Unix(int64(day)*86400, 0).UTC().Format("2 January") }

// dayFigure draws one day, its voltage and its currents.
func (r *Result) dayFigure(c *Course, why string) []page.Figure {
	m := r.model
	x := make([]float64, minutes)
	for i := range x {
		x[i] = (float64(i) + 0.5) / 60
	}
	line := func(name string, of func(i int) float64) figure.Series {
		s := figure.Series{Name: name, X: x}
		for i := range x {
			s.Mid = append(s.Mid, of(i))
		}
		return s
	}
	hour := figure.Axis{Name: "time of day", Unit: "h", Scale: figure.Hours}
	v := figure.Curve{Title: date(c.Day) + ": the voltage", X: hour, Y: figure.Axis{Name: "voltage on " + date(c.Day), Unit: "V"}, Source: r.Input.file(),
		Series: []figure.Series{line("battery", func(i int) float64 { return float64(c.Voltage[i]) })}}
	if c.Target[minutes/2] > 0 {
		v.Series = append(v.Series, line("level of the controller", func(i int) float64 { return float64(c.Target[i]) }))
	}
	if m.cell.Chemistry.Lead() {
		warm := 0.0
		for _, t := range c.Battery {
			warm += float64(t) / minutes
		}
		level := battery.GassingFrom(warm) * float64(m.count)
		v.Level, v.LevelText = &level, "gassing"
	}
	i := figure.Curve{Title: date(c.Day) + ": the currents", X: hour, Y: figure.Axis{Name: "current on " + date(c.Day), Unit: "A"}, Source: r.Input.file(),
		Series: []figure.Series{line("the panel could give", func(i int) float64 { return float64(c.Taken[i] + c.Spilled[i]) }), line("taken", func(i int) float64 { return float64(c.Taken[i]) })}}
	if m.asked > 0 {
		i.Series = append(i.Series, line("to the loads", func(i int) float64 { return float64(c.Load[i]) }))
	}
	if m.cell.Chemistry.Lead() {
		i.Series = append(i.Series, line("gassed", func(i int) float64 { return float64(c.Gas[i]) }))
	}
	opened := 0
	for _, o := range c.Opened {
		if o {
			opened++
		}
	}
	text := fmt.Sprintf("%s is %s, of a nominal unit in the year shown; the battery is at %s to %s.", date(c.Day), why, celsius(float64(least(c.Battery))), celsius(float64(greatest(c.Battery))))
	if opened > 0 {
		text += fmt.Sprintf(" Its protection is open for %d minutes.", opened)
	}
	return []page.Figure{{Plot: v, Caption: text}, {Plot: i, Caption: "The same day: what lies between what the panel could give and what was taken is spilled. The clock is the sun's mean time."}}
}

func least(x []float32) float32 {
	v := x[0]
	for _, w := range x {
		v = min(v, w)
	}
	return v
}

func greatest(x []float32) float32 {
	v := x[0]
	for _, w := range x {
		v = max(v, w)
	}
	return v
}
