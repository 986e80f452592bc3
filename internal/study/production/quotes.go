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
	BreakEven  Interval // units of a batch from which it is cheaper; 0 as Best or High: none
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

// outputs are the saving of one good unit and the break-even.
func (c *Choice) outputs(m *model, p plan) []output {
	return []output{
		{func(x []float64, u Unit, _ Sale) float64 {
			saves, _, _ := c.against(m, x, p, u)
			return saves
		}, func(is Interval) { c.settle(m, p, is) }},
		{func(x []float64, u Unit, _ Sale) float64 {
			_, once, each := c.against(m, x, p, u)
			return each / max(once, leastSum)
		}, func(is Interval) { c.breaksEven(is) }},
	}
}

// leastSum of money that is divided by.
const leastSum = 1e-9

// against holds the quote against our own making, for one good unit. The order is of at least the
// minimum, what is too many waiting for the next batch. What is delivered is good; we pay before
// our own steps scrap any.
//
//	once  what a batch costs more with the quote whatever its size
//	each  what a unit saves beside
func (c *Choice) against(m *model, x []float64, p plan, own Unit) (saves, once, each float64) {
	given := m.unit(x, p, c.skip, nil)
	n, hour := float64(p.units), m.hour.at(x)
	order := max(n, float64(c.Minimum))
	with := given.Total + (c.each.at(x)+c.setup.at(x)/order)/given.Yield // [P10]
	setup := 0.0                                                         // of our own, of a batch
	for k, s := range m.steps {
		if c.skip[k] {
			setup += s.setup.at(x) * (1 + s.allowance.at(x)) * hour
		}
	}
	once = c.setup.at(x)/given.Yield - setup/own.Yield
	each = own.Total - setup/n/own.Yield - given.Total - c.each.at(x)/given.Yield
	return own.Total - with, once, each // [P11]
}

// settle words the verdict.
func (c *Choice) settle(m *model, p plan, saves Interval) {
	c.Saves = saves
	c.Own.Best = m.unit(m.estimates(), p, nil, nil).Total
	c.Given.Best = c.Own.Best - saves.Best
	switch {
	case saves.Low > 0:
		c.Verdict = "having it made is cheaper"
	case saves.High < 0:
		c.Verdict = "making it is cheaper"
	default:
		c.Verdict = "not told apart"
	}
}

// breaksEven finds from how many units on the quote pays; is holds the shares of what it costs
// once that one unit earns.
func (c *Choice) breaksEven(is Interval) {
	units := func(share float64) float64 {
		if !(share > 1/mostUnits) {
			return 0
		}
		return math.Ceil(max(float64(c.Minimum), 1/share) - 1e-9) // [P12]
	}
	c.BreakEven = Interval{units(is.Best), units(is.High), units(is.Low)}
}

// mostUnits of a break-even; one beyond is none.
const mostUnits = 1e7
