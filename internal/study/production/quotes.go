package production

import (
	"fmt"
	"math"
	"slices"
)

// A Choice is one quote against making the same steps.
type Choice struct {
	Name, What string
	Own, Given Interval // Own: cost of one good unit made wholly; Given: with the quote (best only)
	Saves      Interval // by having it made, of one good unit
	BreakEven  float64  // units of a batch from which it is cheaper; 0: none
	Minimum    int
	Verdict    string

	skip        []bool
	setup, each sum
}

// quotes enters the quotes.
func (r *Result) quotes() error {
	m := r.model
	for _, q := range r.Input.Quotes {
		name := "quote." + q.Name
		if q.Each == nil || len(q.Replaces) == 0 {
			key := ".each"
			if q.Each != nil {
				key = ".replaces"
			}
			m.lack(name+key, "whether it is better made or had made")
			r.Lacks = m.lacks
			continue
		}
		c := Choice{Name: q.Name, What: q.What, Minimum: max(1, q.Minimum), skip: make([]bool, len(m.steps))}
		for i, s := range m.steps {
			c.skip[i] = slices.Contains(q.Replaces, s.source.Name)
		}
		if !slices.Contains(c.skip, true) {
			return fmt.Errorf("%s: %s.replaces: none of the steps is there; want names of steps", q.From, name)
		}
		var known, all bool
		c.setup, known = m.money(name+".setup", q.Setup)
		c.each, all = m.money(name+".each", q.Each)
		if known && all && m.hasHour {
			r.Choices = append(r.Choices, c)
		}
	}
	r.Lacks = m.lacks
	return nil
}

// cost is that of one good unit if the steps are given out: the order is of at least the minimum,
// what is too many waiting for the next batch. What is delivered is good; we pay before our own
// steps scrap any.
func (c *Choice) cost(m *model, x []float64, p plan) float64 {
	u := m.unit(x, p, c.skip, nil)
	order := max(float64(p.units), float64(c.Minimum))
	return u.Total + (c.each.at(x)+c.setup.at(x)/order)/u.Yield // [P10]
}

// settle finds the break-even and words the verdict.
func (c *Choice) settle(m *model, x []float64, p plan, saves Interval) {
	own, given := m.unit(x, p, nil, nil), m.unit(x, p, c.skip, nil)
	c.Saves = saves
	c.Own.Best, c.Given.Best = own.Total, own.Total-saves.Best
	n := float64(p.units)
	setupOwn := 0.0 // money a good unit
	for k, s := range m.steps {
		if c.skip[k] {
			setupOwn += s.setup.at(x) * (1 + s.allowance.at(x)) * m.hour.at(x) / n
		}
	}
	// what does not depend on the batch, and what is divided by it; MODELS H8 for a good unit
	fixed := c.setup.at(x)/given.Yield - setupOwn*n/own.Yield
	variable := (own.Total - setupOwn/own.Yield) - (given.Total + c.each.at(x)/given.Yield)
	switch {
	case variable > 0:
		c.BreakEven = math.Ceil(max(float64(c.Minimum), fixed/variable)) // [P12]
	case fixed < 0 && variable == 0:
		c.BreakEven = float64(c.Minimum)
	}
	switch {
	case saves.Low > 0:
		c.Verdict = "having it made is cheaper"
	case saves.High < 0:
		c.Verdict = "making it is cheaper"
	default:
		c.Verdict = "not told apart"
	}
}
