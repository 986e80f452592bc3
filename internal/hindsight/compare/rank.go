package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/promise"
)

// An Axis is one measure of a choice.
type Axis struct {
	Name, Title string
	More        bool // more is better
	of          func(c *Choice) (best, low, high float64, ok bool)
	digits      int
}

// plain is a measure without an interval.
func plain(of func(c *Choice) (float64, bool)) func(*Choice) (float64, float64, float64, bool) {
	return func(c *Choice) (float64, float64, float64, bool) {
		v, ok := of(c)
		return v, v, v, ok
	}
}

func counted(v promise.Verdict) func(*Choice) (float64, float64, float64, bool) {
	return plain(func(c *Choice) (float64, bool) { return float64(c.Met(v)), len(c.Promises) > 0 })
}

func ending(least figure.FaultEnd) func(*Choice) (float64, float64, float64, bool) {
	return plain(func(c *Choice) (float64, bool) { return float64(c.Bad(least)), len(c.Ends) > 0 })
}

// of a figure in the unit in which it is shown.
func figured(get func(c *Choice) *promise.Figure, per float64) func(*Choice) (float64, float64, float64, bool) {
	return func(c *Choice) (best, low, high float64, ok bool) {
		f := get(c)
		if f == nil {
			return 0, 0, 0, false
		}
		low, high = f.Low, f.High
		if f.OpenLow {
			low = f.Best
		}
		if f.OpenHigh {
			high = f.Best
		}
		return f.Best / per, low / per, high / per, true
	}
}

const minute = 60 // s

// measures are what choices are ranked by and drawn over.
var measures = []Axis{
	{"cost", "cost of one", false, figured(func(c *Choice) *promise.Figure { return c.Cost }, 1), 2},
	{"minutes", "minutes of work in one", false, figured(func(c *Choice) *promise.Figure { return c.Minutes }, minute), 1},
	{"parts", "parts in one", false, plain(func(c *Choice) (float64, bool) { return float64(c.Parts), c.Parts > 0 }), 0},
	{"hazards", "mistakes and failures that end in a hazard", false, ending(figure.Hazard), 0},
	{"harmed", "mistakes and failures that harm battery or load, or worse", false, ending(figure.Harmed), 0},
	{"lost", "mistakes and failures that cost a part, or worse", false, ending(figure.PartLost), 0},
	{"met", "promises met", true, counted(promise.Met), 0},
	{"not-met", "promises not met", false, counted(promise.NotMet), 0},
}

func axisNames() (names []string) {
	for _, m := range measures {
		names = append(names, m.Name)
	}
	return names
}

func axisOf(name, usual string) (Axis, error) {
	if name == "" {
		name = usual
	}
	for _, m := range measures {
		if m.Name == name {
			return m, nil
		}
	}
	return Axis{}, fmt.Errorf("--axes %s: there is no such measure; want two of: %s", name, strings.Join(axisNames(), ", "))
}

// A count is one thing on which choices are held against each other; more is better. Not known: the choice has none.
type count struct {
	name string
	of   func(c *Choice) (v float64, known bool)
}

// ranks of verdicts, best last. What nothing speaks for is not yet broken.
var ranks = []promise.Verdict{promise.NotMet, promise.NoEvidence, promise.Unproven, promise.Met}

// rank finds who beats whom.
func (r *Result) rank() {
	var counts []count
	for _, m := range measures {
		if m.Name == "met" || m.Name == "not-met" { // each promise counts by itself
			continue
		}
		counts = append(counts, count{m.Title, func(c *Choice) (float64, bool) {
			v, _, _, ok := m.of(c)
			return -v, ok
		}})
	}
	for _, j := range r.Choices[0].Promises {
		counts = append(counts, count{"promise " + j.Name, func(c *Choice) (float64, bool) { return calculatedRank(c, j) }})
	}
	for _, n := range counts {
		have := 0
		for i := range r.Choices {
			if _, known := n.of(&r.Choices[i]); known {
				have++
			}
		}
		switch name, is := strings.CutPrefix(n.name, "promise "); {
		case have > 1:
			r.Counts = append(r.Counts, n.name)
		case is:
			r.Uncounted = append(r.Uncounted, name)
		}
	}
	for i := range r.Choices {
		for k := range r.Choices {
			if i != k && beats(&r.Choices[k], &r.Choices[i], counts) {
				r.Choices[i].BeatenBy = append(r.Choices[i].BeatenBy, r.Choices[k].Name)
			}
		}
	}
}

// calculatedRank is how well a choice keeps a promise by what is calculated of it alone, since nobody has measured what was never made.
// It is not known where the choice promises something else, or nothing is calculated.
func calculatedRank(c *Choice, base promise.Judged) (float64, bool) {
	at := slices.IndexFunc(c.Promises, func(j promise.Judged) bool { return j.Name == base.Name })
	if at < 0 {
		return 0, false
	}
	j := c.Promises[at]
	e, ok := j.Calculated()
	if !ok || j.BoundText != base.BoundText || j.Proportion != base.Proportion || !slices.Equal(j.Conditions, base.Conditions) {
		return 0, false
	}
	verdict := promise.Judge(j.Bound, j.Proportion, []promise.Evidence{e})
	return float64(slices.Index(ranks, verdict)), true
}

// beats reports whether a is at least as good as b on every count and better on one, [O1]. What only one of the two has decides nothing, so that neither beats.
func beats(a, b *Choice, counts []count) bool {
	better := false
	for _, n := range counts {
		x, known := n.of(a)
		y, both := n.of(b)
		if !known && !both {
			continue
		}
		switch near := 1e-9 * max(math.Abs(x), math.Abs(y)); {
		case known != both, x < y-near:
			return false
		case x > y+near:
			better = true
		}
	}
	return better
}

// Against says which promises a choice gains and loses against the basis by what is calculated, and which say something else with it.
func (r *Result) Against(name string) (gained, lost, other []string) {
	met := float64(slices.Index(ranks, promise.Met))
	for i := range r.Choices {
		c := &r.Choices[i]
		if c.Name != name {
			continue
		}
		for _, j := range r.Choices[0].Promises {
			is, known := calculatedRank(c, j)
			was, before := calculatedRank(&r.Choices[0], j)
			now := c.promise(j.Name)
			switch {
			case now == nil || now.BoundText != j.BoundText:
				other = append(other, j.Name)
			case !known || !before:
			case is == met && was < met:
				gained = append(gained, j.Name)
			case is < met && was == met:
				lost = append(lost, j.Name)
			}
		}
	}
	return gained, lost, other
}

// Open lists the promises that are not met by what is calculated.
func (c *Choice) Open() (names []string) {
	for _, j := range c.Promises {
		if rank, known := calculatedRank(c, j); known && ranks[int(rank)] != promise.Met {
			names = append(names, j.Name)
		}
	}
	return names
}

// Nearer reports whether a choice brings a promise nearer to being met than the basis does, by what is calculated: a better verdict, a
// larger share of units inside, an end that is less bad.
func (r *Result) Nearer(name, promised string) bool {
	at := slices.IndexFunc(r.Choices, func(c Choice) bool { return c.Name == name })
	base := r.Choices[0].promise(promised)
	if at < 0 || base == nil {
		return false
	}
	c := &r.Choices[at]
	is, known := calculatedRank(c, *base)
	was, before := calculatedRank(&r.Choices[0], *base)
	if !known || !before || is != was {
		return known && before && is > was
	}
	a, _ := c.promise(promised).Calculated()
	b, _ := base.Calculated()
	switch {
	case a.Inside != nil && b.Inside != nil:
		return a.Inside.Best > b.Inside.Best+1e-6
	case a.End != nil && b.End != nil:
		return a.End.Worst < b.End.Worst
	}
	return false
}
