package returns

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics/survival"
)

// probability draws the ages on Weibull paper with the fit; nil where there are too few.
func (r *Result) probability() *page.Figure {
	if r.Fit == nil || !r.Known || r.Fit.Failures < 5 {
		return nil
	}
	points, err := survival.Plotting(r.Input.lives(r.All.units, anyReturn, middle))
	if err != nil || len(points) < 2 {
		return nil
	}
	dots, line := figure.Series{Name: "came back", Points: true}, figure.Series{Name: "fit"}
	for _, p := range points {
		dots.X, dots.Mid = append(dots.X, p.Age/month), append(dots.Mid, p.P)
	}
	first, last := points[0].Age, points[len(points)-1].Age
	for i := range 21 {
		at := first * math.Pow(last/first, float64(i)/20)
		part, err := r.Fit.FailedBy(at, r.Input.Confidence)
		if err != nil || part.Low.None != "" || part.High.None != "" {
			continue
		}
		line.X, line.Mid = append(line.X, at/month), append(line.Mid, part.Value)
		line.Low, line.High = append(line.Low, part.Low.Value), append(line.High, part.High.Value)
	}
	return &page.Figure{
		Plot: figure.Curve{
			X: figure.Axis{Name: "age", Unit: "months", Scale: figure.Log}, Y: figure.Axis{Name: "came back", Unit: "%", Scale: figure.Weibull}, Series: []figure.Series{line, dots},
		},
		Caption: "The ages on Weibull paper: where they bend away from the line, its shape is not to be believed.",
	}
}

// standsOut words the revisions and channels that differ from all others, the worst first.
func (r *Result) standsOut() string {
	var said []string
	for _, t := range []struct {
		what   string
		groups []Group
	}{{"revision", r.Revisions}, {"channel", r.Channels}} {
		var worst []*Group
		compared := false
		for i := range t.groups {
			g := &t.groups[i]
			compared = compared || g.P >= 0
			if g.P >= 0 && g.P < 0.05 {
				worst = append(worst, g)
			}
		}
		slices.SortStableFunc(worst, func(a, b *Group) int { return int(math.Copysign(1, b.PerSecond.Best-a.PerSecond.Best)) })
		for _, g := range worst {
			said = append(said, fmt.Sprintf("units of %s %s came back at %s a year, unlike the others' (p = %.2g, adjusted).", t.what, g.Name, percent(g.PerSecond.Best*year), g.P))
		}
		if compared && len(worst) == 0 {
			said = append(said, "the "+t.what+"s are alike as far as can be told.")
		}
	}
	if len(said) == 0 {
		return ""
	}
	for i, s := range said {
		said[i] = strings.ToUpper(s[:1]) + s[1:]
	}
	return strings.Join(said, " ")
}
