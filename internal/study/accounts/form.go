package accounts

import (
	"maps"
	"math"
	"slices"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// power names the groups of a product of up to four spreads, descending; 0 is none. A group with the bit absolute is the size of its spread.
type power [4]uint16

const absolute = 1 << 15

// A form is a figure as a sum of products of the groups' spreads, each 0 at the best value and ±1 at
// the ends.
type form map[power]float64

func constant(v float64) form { return form{power{}: v} }

// plus adds share times other to f.
func (f form) plus(other form, share float64) {
	for at, c := range other {
		f[at] += c * share // each key is added to once: the order does not matter
	}
}

// times returns f·g; products of more than four spreads, which no row has, are left out.
func (f form) times(g form) form {
	out := form{}
	if len(f) == 1 && len(g) == 1 {
		if a, ok := f[power{}]; ok {
			if b, ok := g[power{}]; ok {
				out[power{}] = a * b
				return out
			}
		}
	}
	for _, p := range f.powers() {
		for _, q := range g.powers() {
			all := append(slices.Clone(p[:]), q[:]...)
			slices.SortFunc(all, func(a, b uint16) int { return int(b) - int(a) })
			if all[4] == 0 {
				out[power(all[:4])] += f[p] * g[q]
			}
		}
	}
	return out
}

func (f form) powers() []power {
	return slices.SortedFunc(maps.Keys(f), func(a, b power) int { return slices.Compare(a[:], b[:]) })
}

// A sum is a form made ready for many evaluations.
type sum struct {
	powers []power
	c      []float64
}

func (f form) ready() sum {
	s := sum{powers: f.powers()}
	for _, p := range s.powers {
		s.c = append(s.c, f[p])
	}
	return s
}

// at evaluates the form at the groups' spreads.
func (s sum) at(z []float64) float64 {
	total := 0.0
	for i, p := range s.powers {
		v := s.c[i]
		for _, g := range p {
			switch {
			case g > absolute:
				v *= math.Abs(z[g-absolute-1])
			case g > 0:
				v *= z[g-1]
			}
		}
		total += v
	}
	return total
}

// groups are the spreads that err together, each by file, column and kind; those written as normal apart from those between limits.
type groups struct {
	names  []string
	normal []bool
	index  map[groupKey]uint16
}

type groupKey struct {
	name   string
	normal bool
}

// of returns a quantity as a form: its best value and its spread within a group [A5].
func (g *groups) of(q quantity.Quantity, group string) form {
	f := constant(q.Value)
	if half := halfWidth(q); half > 0 {
		f[power{g.at(group, q.Spread == quantity.Normal)}] = half
	}
	return f
}

// between returns a figure that is its ends at -1 and 1 and its best value at 0, straight in between [A5].
func (g *groups) between(ends [3]float64, group string) form {
	f := constant(ends[1])
	if ends[0] == ends[2] {
		return f
	}
	at := g.at(group, false)
	f[power{at}] = ends[2]/2 - ends[0]/2
	if skew := ends[2]/2 + ends[0]/2 - ends[1]; skew != 0 {
		f[power{at | absolute}] = skew
	}
	return f
}

func (g *groups) at(name string, normal bool) uint16 {
	if g.index == nil {
		g.index = map[groupKey]uint16{}
	}
	key := groupKey{name, normal}
	if g.index[key] == 0 {
		g.names, g.normal = append(g.names, name), append(g.normal, normal)
		g.index[key] = uint16(len(g.names))
	}
	return g.index[key]
}

// inputs are the groups as inputs of an uncertainty budget: rectangular between the ends, or normal with the ends as 95 % limits.
func (g *groups) inputs() []statistics.Input {
	var in []statistics.Input
	for i, name := range g.names {
		one := statistics.Input{Name: name, Dist: statistics.Rectangular, Low: -1, High: 1}
		if g.normal[i] {
			one = statistics.Input{Name: name, Dist: statistics.NormalDist, U: 1 / within}
		}
		in = append(in, one)
	}
	return in
}

// variance is that of a group's spread.
func (g *groups) variance(i int) float64 {
	if g.normal[i] {
		return 1 / (within * within)
	}
	return 1. / 3
}

// within is the half-width, in standard deviations, at which a normal spread is cut for the ends.
const within = 1.959963984540054

func halfWidth(q quantity.Quantity) float64 {
	if q.Spread == quantity.Normal {
		return within * q.SD
	}
	return q.High/2 - q.Low/2
}

// ends are the low end, the best value and the high end of a quantity.
func ends(q quantity.Quantity) [3]float64 {
	h := halfWidth(q)
	if q.Spread == quantity.Normal {
		return [3]float64{q.Value - h, q.Value, q.Value + h}
	}
	return [3]float64{q.Low, q.Value, q.High}
}
