package setpoint

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// A probe evaluates the chain for one set of inputs.
type probe struct {
	c *chain
	b *block
}

func (c *chain) probe() *probe {
	p := &probe{c, newBlock(int(variables), 1)}
	p.b.n = 1
	p.reset()
	return p
}

// reset takes every input to its nominal.
func (p *probe) reset() {
	for v, d := range p.c.draws {
		p.b.column[v][0] = d.value
	}
}

func (p *probe) set(v variable, x float64) { p.b.column[v][0] = x }

func (p *probe) value(a aim, at place) float64 {
	out := p.b.work.other
	p.c.begin(p.b)
	p.c.evaluate(p.b, a, at, out)
	return out[0]
}

// spreading lists the variables that are not fixed.
func (c *chain) spreading() []variable {
	var list []variable
	for v, d := range c.draws {
		if d.shape != fixed {
			list = append(list, variable(v))
		}
	}
	return list
}

// linear is the law of propagation (JCGM 100) at a place [S12].
func (c *chain) linear(in *Input, a aim, at place) (Linear, error) {
	p, list := c.probe(), c.spreading()
	inputs := make([]statistics.Input, len(list))
	for i, v := range list {
		d := c.draws[v]
		inputs[i] = statistics.Input{Name: in.name(v), Value: d.value, U: d.sd}
		if d.shape == uniform {
			inputs[i].Dist, inputs[i].Low, inputs[i].High = statistics.Rectangular, d.low, d.high
		}
	}
	budget, err := statistics.Propagate(func(x []float64) (float64, error) {
		for i, v := range list {
			p.set(v, x[i])
		}
		return p.value(a, at), nil
	}, inputs, nil)
	if err != nil {
		return Linear{}, fmt.Errorf("setpoint: %s: %w", a.name, err)
	}
	l := Linear{At: a.point(at), Value: budget.Value, U: budget.U, Low: budget.Low, High: budget.High}
	for i, line := range budget.Lines {
		if line.Contribution == 0 {
			continue
		}
		l.Lines = append(l.Lines, Line{Name: line.Name, From: c.draws[list[i]].from, Unknown: c.draws[list[i]].unknown,
			Sensitivity: line.Sensitivity, Contribution: math.Abs(line.Contribution), Share: line.Share})
	}
	slices.SortStableFunc(l.Lines, func(x, y Line) int {
		switch {
		case x.Share > y.Share:
			return -1
		case x.Share < y.Share:
			return 1
		}
		return 0
	})
	return l, nil
}

// worst is the arithmetic worst case at a place: from the nominal, each input in turn goes to
// that of its limits which takes the figure further, until none does [S15].
// An input without limits goes to so many standard deviations.
func (c *chain) worst(a aim, at place, sign, deviations float64) float64 {
	p := c.probe()
	return p.extreme(sign, deviations, func() float64 { return p.value(a, at) })
}

// extreme climbs from where the probe is to the highest (sign 1) or lowest (sign -1) of f.
func (p *probe) extreme(sign, deviations float64, f func() float64) float64 {
	list := p.c.spreading()
	best := sign * f()
	for range 8 { // each pass undoes what a product of inputs turned round; two do as a rule
		moved := false
		for _, v := range list {
			d := p.c.draws[v]
			kept := p.b.column[v][0]
			low, high := d.ends(deviations)
			for _, end := range []float64{low, high} {
				p.set(v, end)
				if y := sign * f(); y > best {
					best, kept, moved = y, end, true
				}
			}
			p.set(v, kept)
		}
		if !moved {
			break
		}
	}
	return sign * best
}
