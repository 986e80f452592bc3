package setpoint

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// A gather collects a quantity over its places from the blocks of a sampler.
type gather struct {
	c      *chain
	aim    aim
	places []place
	minus  *place      // if not nil, the value there is taken off that of every place
	sums   [][]float64 // of each place: sum over the units of each outer draw
	inner  int
	one    bool    // at one voltage, a display's rounding is drawn, not swept
	beyond float64 // V, of units that never believe themselves there; 0: there are none
	keep   keeper
}

// A keeper takes the lowest and highest of a block of units; at is the number of the first.
type keeper interface {
	put(at int, lows, highs []float64)
}

func newGather(c *chain, a aim, places []place, outer, inner int, keep keeper) *gather {
	g := &gather{c: c, aim: a, places: places, inner: inner, keep: keep}
	g.sums = make([][]float64, len(places))
	for p := range places {
		g.sums[p] = make([]float64, outer)
	}
	return g
}

// single reports whether each unit has one value: lowest and highest are the same.
func (c *chain) single(a aim, places []place) bool { return len(places) == 1 && !c.sweeps(a) }

func (c *chain) sweeps(a aim) bool { return a.display() && c.display.sweeps() }

// sample draws units and collects every quantity of gs in one pass.
func (c *chain) sample(ctx context.Context, seed uint64, outer, inner int, gs ...*gather) error {
	s := sampler{draws: c.needed(gs), outer: outer, inner: inner, seed: seed}
	airs := allAirs(gs)
	err := s.run(ctx, func(b *block) {
		c.begin(b)
		b.work.forGathers(len(gs))
		for i, g := range gs {
			b.work.first[i] = true
			if g.minus != nil {
				g.c.evaluate(b, g.aim, *g.minus, b.work.minus[i])
			}
		}
		for _, t := range airs { // outermost, so that gain and leads are computed once
			for i, g := range gs {
				g.visit(b, i, t)
			}
		}
		for i, g := range gs {
			g.keep.put(b.at, b.work.lows[i][:b.n], b.work.highs[i][:b.n])
		}
	})
	if err != nil {
		return err
	}
	for _, g := range gs {
		if err := g.finite(); err != nil {
			return err
		}
	}
	return nil
}

// needed are the draws, those fixed that no quantity of gs depends on.
func (c *chain) needed(gs []*gather) []draw {
	var level [levels]bool
	shown := false
	for _, g := range gs {
		if g.aim.display() {
			shown = shown || !c.sweeps(g.aim) || g.one
			continue
		}
		level[g.aim.level] = true
	}
	charging := level[absorption] || level[float]
	list := slices.Clone(c.draws[:])
	for v, used := range map[variable]bool{
		currentAtAbsorption: level[absorption] && c.mode != dropStop, settingAbsorption: level[absorption],
		currentAtFloat: level[float] && c.mode != dropStop, settingFloat: level[float],
		loadCurrent: level[disconnect], settingDisconnect: level[disconnect], settingReconnect: level[reconnect],
		onCurrent:         charging && (c.mode == dropOn || c.mode == dropStop),
		batteryResistance: charging && (c.mode == dropOn || c.mode == dropOff),
		sensorError:       charging, compensation: charging, batteryRise: charging, rounding: shown,
	} {
		if !used {
			list[v].shape = fixed
		}
	}
	return list
}

// allAirs lists those of all places, each once, in the order of each gather.
func allAirs(gs []*gather) []air {
	var list []air
	for _, g := range gs {
		for _, p := range g.places {
			if !slices.Contains(list, p.air) {
				list = append(list, p.air)
			}
		}
	}
	return list
}

// visit collects the places of one air from a block; index is that of the gather.
func (g *gather) visit(b *block, index int, where air) {
	w, n := &b.work, b.n
	lows, highs, out := w.lows[index][:n], w.highs[index][:n], w.other[:n]
	for k, p := range g.places {
		if p.air != where {
			continue
		}
		var below, above float64
		if g.c.sweeps(g.aim) && !g.one {
			below, above = g.c.sweep(b, p, out)
		} else {
			g.c.evaluate(b, g.aim, p, out)
		}
		if g.minus != nil {
			subtract(out, w.minus[index])
		}
		widen(lows, highs, out, below, above, b.work.first[index])
		b.work.first[index] = false
		if g.beyond != 0 {
			g.stick(b, p, highs)
		}
		g.sums[k][b.at/g.inner] += sum(out) + float64(n)*(below+above)/2
	}
}

func subtract(x, y []float64) {
	for i := range x {
		x[i] -= y[i]
	}
}

// widen takes lows down to out + below and highs up to out + above, if they are not further off already.
func widen(lows, highs, out []float64, below, above float64, first bool) {
	lows, highs = lows[:len(out)], highs[:len(out)]
	if first {
		for i, v := range out {
			lows[i], highs[i] = v+below, v+above
		}
		return
	}
	for i, v := range out {
		lows[i], highs[i] = min(lows[i], v+below), max(highs[i], v+above)
	}
}

// sweep sets out to what a display shows of a voltage without rounding, and returns what rounding adds.
// Over all voltages between two, every rounding and every place within the converter's step
// occurs in every unit, so that they widen its extremes [S11].
func (c *chain) sweep(b *block, p place, out []float64) (below, above float64) {
	w := &b.work
	o, inl := b.column[offset][:b.n], b.column[nonlinearity][:b.n]
	for i := range o {
		w.drop[i] = (o[i] + inl[i]) * c.perCode
	}
	c.at(b, p.air)
	c.believed(b, p.volts, w.drop, out)
	low, high := c.display.ends()
	half := c.stepVolts() / 2
	return low - half, high + half
}

func sum(x []float64) float64 {
	var a, b, c, d float64
	i := 0
	for ; i+3 < len(x); i += 4 {
		a, b, c, d = a+x[i], b+x[i+1], c+x[i+2], d+x[i+3]
	}
	for ; i < len(x); i++ {
		a += x[i]
	}
	return a + b + (c + d)
}

// finite says which quantity has no finite value, if one has not.
func (g *gather) finite() error {
	for k, sums := range g.sums {
		for _, s := range sums {
			if math.IsNaN(s) || math.IsInf(s, 0) {
				return fmt.Errorf("setpoint: %s has no finite value at %s: an input of sense is out of reason",
					g.aim.name, showTemperature(g.places[k].air.ambient))
			}
		}
	}
	return nil
}
