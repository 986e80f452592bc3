package setpoint

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// A gather collects a quantity over its places from the blocks of a sampler.
type gather struct {
	aim    aim
	places []place
	worst  int    // the place whose values are kept
	minus  *place // if not nil, its value is taken off that of every place
	c      *chain

	lows, highs []float64   // of each unit over the places; one slice if there is one place
	at          []float64   // of each unit at the worst place
	sums        [][]float64 // of each place: sum over the units of each outer draw
	inner       int
}

func newGather(c *chain, a aim, places []place, outer, inner int) *gather {
	g := &gather{aim: a, places: places, c: c, inner: inner, at: make([]float64, outer*inner)}
	g.lows, g.highs = g.at, g.at
	if len(places) > 1 || g.sweeps() {
		g.lows, g.highs = make([]float64, outer*inner), make([]float64, outer*inner)
	}
	g.sums = make([][]float64, len(places))
	for p := range places {
		g.sums[p] = make([]float64, outer)
	}
	return g
}

func (g *gather) sweeps() bool { return g.aim.display() && g.c.display.sweeps() }

// sample draws units and collects every quantity of gs in one pass.
func (c *chain) sample(ctx context.Context, seed uint64, outer, inner int, gs []*gather) error {
	var ambients []float64
	for _, g := range gs {
		for _, p := range g.places {
			ambients = append(ambients, p.ambient)
		}
	}
	slices.Sort(ambients)
	ambients = slices.Compact(ambients)
	s := sampler{draws: c.draws[:], outer: outer, inner: inner, seed: seed}
	return s.run(ctx, func(b *block) {
		c.begin(b)
		for _, g := range gs {
			g.before(b)
		}
		for _, t := range ambients {
			c.board(b, t)
			c.leads(b, t)
			for _, g := range gs {
				g.visit(b, t)
			}
		}
	})
}

// before fills the extremes with what no unit reaches, and the value that is to be taken off.
func (g *gather) before(b *block) {
	if len(g.places) > 1 || g.sweeps() {
		for i := b.at; i < b.at+b.n; i++ {
			g.lows[i], g.highs[i] = math.Inf(1), math.Inf(-1)
		}
	}
	if g.minus != nil {
		g.c.board(b, g.minus.ambient)
		g.c.leads(b, g.minus.ambient)
		g.c.evaluate(b, g.aim, *g.minus, b.work.minus)
	}
}

// visit collects the places of one ambient.
func (g *gather) visit(b *block, ambient float64) {
	w := &b.work
	for k, p := range g.places {
		if p.ambient != ambient {
			continue
		}
		out := w.other[:b.n]
		g.c.evaluate(b, g.aim, p, out)
		if g.minus != nil {
			for i := range out {
				out[i] -= w.minus[i]
			}
		}
		if k == g.worst {
			copy(g.at[b.at:], out)
		}
		outer := b.at / g.inner
		switch {
		case g.sweeps():
			g.sums[k][outer] += g.sweep(b, p)
		case len(g.places) > 1:
			g.sums[k][outer] += extremes(g.lows[b.at:b.at+b.n], g.highs[b.at:b.at+b.n], out, 0, 0)
		default:
			g.sums[k][outer] += sum(out)
		}
	}
}

// sweep collects a display over all voltages between two: every rounding and every place within
// the converter's step occurs, so that they widen each unit's extremes [S11].
func (g *gather) sweep(b *block, p place) float64 {
	c, w := g.c, &b.work
	o, inl := b.column[offset][:b.n], b.column[nonlinearity][:b.n]
	for i := range o {
		w.drop[i] = (o[i] + inl[i]) * c.perCode
	}
	out := w.other[:b.n]
	c.believed(b, p.volts, w.drop, out)
	low, high := c.display.ends()
	half := c.stepVolts() / 2
	return extremes(g.lows[b.at:b.at+b.n], g.highs[b.at:b.at+b.n], out, low-half, high+half)
}

// extremes widens lows and highs to out + below .. out + above and returns the sum of their middles.
func extremes(lows, highs, out []float64, below, above float64) float64 {
	lows, highs = lows[:len(out)], highs[:len(out)]
	var total float64
	for i, v := range out {
		lows[i] = min(lows[i], v+below)
		highs[i] = max(highs[i], v+above)
		total += v
	}
	return total + float64(len(out))*(below+above)/2
}

func sum(x []float64) (total float64) {
	for _, v := range x {
		total += v
	}
	return total
}

// finite says which quantity has no finite value, if one has not.
func (g *gather) finite(in *Input) error {
	for k, sums := range g.sums {
		for _, s := range sums {
			if math.IsNaN(s) || math.IsInf(s, 0) {
				return fmt.Errorf("setpoint: %s has no finite value at %s; check %s", g.aim.name,
					showTemperature(g.places[k].ambient), from(in.Top.From, "sense.top"))
			}
		}
	}
	return nil
}
