package charge

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

func (r *Result) figures(bounds []Bound, b *beside) []page.Figure {
	return []page.Figure{r.stateFigure(b)}
}

// newYear is the 1 January that stands for any year, in days since 1970: one without a 29 February.
const newYear = 19723 - 365

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
		s.X = append(s.X, float64(newYear+d))
		s.Mid = append(s.Mid, 100*mid)
		s.Low, s.High = append(s.Low, 100*min(low, mid)), append(s.High, 100*max(high, mid))
	}
	c := figure.Curve{Title: "How full the battery is", X: figure.Axis{Name: "day", Scale: figure.Dates}, Y: figure.Axis{Name: "lowest state of charge of the day", Unit: "%"},
		Series: []figure.Series{s}, Source: r.Input.file()}
	return page.Figure{Plot: c, Caption: fmt.Sprintf("Line: one year of a nominal unit. Band: from the least to the most of %d years, each with a unit of its own.", min(len(r.Years), keptYears))}
}

// keptYears is of how many years the days are kept.
const keptYears = 40
