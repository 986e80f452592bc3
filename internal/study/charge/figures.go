package charge

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

func (r *Result) figures(b *beside) []page.Figure {
	list := append([]page.Figure{r.stateFigure(b)}, r.totalsFigures(b)...)
	return append(append(list, r.carpetFigure(b)), r.dayFigures(b)...)
}

// stateFigure draws the state of charge through the year, with its band over years and units.
func (r *Result) stateFigure(b *beside) page.Figure {
	s := figure.Series{}
	for d := range days {
		low, high := 1.0, 0.0
		for i := range r.Years {
			if len(r.Years[i].Lows) == days {
				low, high = min(low, float64(r.Years[i].Lows[d])), max(high, float64(r.Years[i].Lows[d]))
			}
		}
		mid := b.own[0].Days[d].Low
		s.X = append(s.X, float64(d))
		s.Mid = append(s.Mid, 100*mid)
		s.Low, s.High = append(s.Low, 100*min(low, mid)), append(s.High, 100*max(high, mid))
	}
	c := figure.Curve{Title: "How full the battery is", X: figure.Axis{Name: "day", Scale: figure.Dates}, Y: figure.Axis{Name: "lowest state of charge of the day", Unit: "%"},
		Series: []figure.Series{s}, Source: r.Input.file()}
	return page.Figure{Plot: c, Caption: fmt.Sprintf("Line: one year of a nominal unit. Band: from the least to the most of %d years, each with a unit of its own.", min(len(r.Years), keptYears))}
}

// keptYears is of how many years the days are kept.
const keptYears = 40

// carpetFigure draws the battery's voltage as days by hours.
func (r *Result) carpetFigure(b *beside) page.Figure {
	y := &b.own[0]
	c := figure.Carpet{Title: "The battery's voltage, day by hour", Axis: figure.Axis{Name: "battery voltage", Unit: "V"}, Days: days, PerDay: 24,
		Values: make([]float64, len(y.Volts)), Clock: "the sun's mean time", Source: r.Input.file()}
	for i, v := range y.Volts {
		c.Values[i] = float64(v)
	}
	if r.model.cell.Chemistry.Lead() {
		c.Marked, c.LevelText = y.Gassing, "gassing for half of the hour or longer"
	}
	return page.Figure{Plot: c, Caption: "One year of a nominal unit, means of hours."}
}

// crowded is the share of the possible energy below which what was taken is drawn once more, alone: its lines lie too near to be told apart.
const crowded = 0.35

// totalsFigures draw the energy of a year as running totals.
func (r *Result) totalsFigures(b *beside) []page.Figure {
	const possible, given, taken, delivered = 0, 1, 2, 3
	t := figure.Totals{Title: "Where the energy of a year goes", Axis: figure.Axis{Name: "energy since January", Unit: "kWh"}, Source: r.Input.file(),
		Curves: []figure.Total{{Name: "possible"}, {Name: "from the panel"}, {Name: "taken"}, {Name: "delivered"}},
		Gaps:   []figure.Gap{{Upper: possible, Lower: given, Name: "spilled"}, {Upper: given, Lower: taken, Name: "lost on the way"}, {Upper: taken, Lower: delivered, Name: "drawn, lost"}}}
	var sums [4]float64
	for d := range days {
		x := &b.own[0].Days[d].Totals
		for k, v := range [4]float64{x.ChargedEnergy + x.PathEnergy + x.SpilledEnergy, x.ChargedEnergy + x.PathEnergy, x.ChargedEnergy, x.LoadEnergy} {
			sums[k] += v / (1000 * wh)
			t.Curves[k].Sum = append(t.Curves[k].Sum, sums[k])
		}
		t.X = append(t.X, float64(d+1))
	}
	if b.own[0].Unmet > 0 {
		r.unmet(&t, b.own[0].Days, delivered)
	}
	list := []page.Figure{{Plot: t, Caption: "One year of a nominal unit; what is spilled, and what is not met, counts at the battery's voltage. Between taken and delivered lies what the controller draws and leaks, what makes gas, and what the battery loses or holds at the end."}}
	if sums[given] < crowded*sums[possible] {
		list = append(list, page.Figure{Plot: without(t, possible), Caption: "The same year without what was spilled, on a scale of its own."})
	}
	return list
}

// without leaves out the totals down to one, and the gaps below them.
func without(t figure.Totals, top int) figure.Totals {
	out := t
	out.Title, out.Curves, out.Gaps = "What the panel gave, and where it went", t.Curves[top+1:], nil
	for _, g := range t.Gaps {
		if g.Upper > top && g.Lower > top {
			g.Upper, g.Lower = g.Upper-top-1, g.Lower-top-1
			out.Gaps = append(out.Gaps, g)
		}
	}
	return out
}

// unmet adds what the loads asked for, and the gap to what they got.
func (r *Result) unmet(t *figure.Totals, list []Day, delivered int) {
	rest := r.model.rest()
	asked, sum := figure.Total{Name: "asked for"}, 0.0
	for i := range list {
		sum += (list[i].Totals.LoadEnergy + rest*list[i].Totals.Unmet) / (1000 * wh)
		asked.Sum = append(asked.Sum, sum)
	}
	t.Curves = append(t.Curves, asked)
	t.Gaps = append(t.Gaps, figure.Gap{Upper: len(t.Curves) - 1, Lower: delivered, Name: "unmet", Harm: true})
}
