package production

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// check refuses figures that cannot be; the folder's own reading has seen to most.
func check(in *Input) error {
	for i := range in.Lines {
		if err := in.Lines[i].check(); err != nil {
			return err
		}
	}
	rolled := 1.0
	for i := range in.Steps {
		s := &in.Steps[i]
		if err := s.check(); err != nil {
			return err
		}
		if rolled *= s.good(); rolled < 1000*leastRolled {
			return fmt.Errorf("%s: step.%s.yield: of a million units started not one ends good; want more", s.Yield.From, s.Name)
		}
	}
	return within("work.batch", in.Batch, 1, 1e6)
}

func (l *Line) check() error {
	for i, b := range l.Prices {
		if b.From < 1 || i > 0 && b.From <= l.Prices[i-1].From || !finite(b.Price.Value, b.Price.Low, b.Price.High, b.Price.SD) || b.Price.Value < 0 {
			return fmt.Errorf("%s: bom.%s.prices: %s from %d on; want prices of 0 or more at rising quantities", l.PricesFrom, l.Name, b.Price.String(), b.From)
		}
	}
	if err := within("bom."+l.Name+".each", l.Each, 0, 1e6); err != nil {
		return err
	}
	return within("bom."+l.Name+".attrition", l.Attrition, 0, 0.99)
}

func (s *Step) check() error {
	for _, c := range []struct {
		key  string
		v    *Value
		most float64
	}{{"minutes", s.Minutes, 1e9}, {"setup", s.Setup, 1e9}, {"rework", s.Rework, 1e9}, {"allowance", s.Allowance, 1000}, {"yield", s.Yield, 1}, {"rework_success", s.ReworkSuccess, 1}} {
		if err := within("step."+s.Name+"."+c.key, c.v, 0, c.most); err != nil {
			return err
		}
	}
	if s.good() < leastYield {
		return fmt.Errorf("%s: step.%s.yield: nothing passes; want more than 0", s.Yield.From, s.Name)
	}
	return nil
}

// good is the share that passes in the end.
func (s *Step) good() float64 {
	y, r := 1.0, 0.0
	if s.Yield != nil {
		y = s.Yield.Value
	}
	if s.ReworkSuccess != nil {
		r = s.ReworkSuccess.Value
	}
	return y + (1-y)*r // [P3]
}

func within(key string, v *Value, low, high float64) error {
	if v != nil && (!finite(v.Value, v.Low, v.High, v.SD) || v.Value < low || v.Value > high) {
		return fmt.Errorf("%s: %s: %s; want %g to %g", v.From, key, v.Quantity.String(), low, high)
	}
	return nil
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// order enters the steps in the order of work: each after those that it names, else as written.
func (m *model) order() error {
	left := make([]*Step, len(m.in.Steps))
	for i := range m.in.Steps {
		left[i] = &m.in.Steps[i]
	}
	for len(left) > 0 {
		next := slices.IndexFunc(left, func(s *Step) bool {
			return !slices.ContainsFunc(s.After, func(a string) bool {
				return slices.ContainsFunc(left, func(o *Step) bool { return o.Name == a })
			})
		})
		if next < 0 {
			var names []string
			for _, s := range left {
				names = append(names, s.Name)
			}
			return fmt.Errorf("production.toml: step.%s.after: the steps %s wait for each other; want an order without a circle", names[0], strings.Join(names, ", "))
		}
		m.step(left[next])
		left = slices.Delete(left, next, next+1)
	}
	return nil
}

// step enters one step.
func (m *model) step(s *Step) {
	name := "step." + s.Name
	if s.Minutes == nil {
		m.lack(name+".minutes", "how long it takes: it is left out")
		m.incomplete = append(m.incomplete, s.Name)
	}
	if s.Yield != nil && s.Yield.Value < 1 && s.ReworkSuccess == nil {
		m.note(fmt.Sprintf("Step %s does not say how often rework helps; all that does not pass counts as scrap.", s.Name), "write rework_success", s.Yield.From)
	}
	out := step{
		source: s, minutes: m.add(name+".minutes", s.Minutes, 0), setup: m.add(name+".setup", s.Setup, 0),
		rework: m.add(name+".rework", s.Rework, 0), allowance: m.add(name+".allowance", s.Allowance, 0),
		yield: m.add(name+".yield", s.Yield, 1), success: m.add(name+".rework_success", s.ReworkSuccess, 0),
	}
	var ok bool
	if out.scrap, ok = m.money(name+".scrap_cost", s.ScrapCost); !ok {
		m.incomplete = append(m.incomplete, s.Name)
	}
	m.steps = append(m.steps, out)
}
