package influence

import (
	"context"
	"errors"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// A lever is one thing that is moved: an input with its spread, or how wide its tolerance or its drift is.
type lever struct {
	source    Source
	of        string // as Flip.Of
	is        float64
	low, high float64
	ratio     bool // steps are in equal ratios
	put       func(v float64) product.Put
	wide      func(v float64) string // how wide a tolerance or drift is there; nil of a value
}

// How many times as wide a tolerance or drift is thought of, at least and at most: never as nothing, so that each run draws the same units.
const (
	narrowest = 0.01
	widest    = 4
)

// leversOf are what may turn a promise: inputs over their reach; tolerances and drifts narrower where the promise is not met, and wider
// where it is; drifts where they count.
func leversOf(inputs, wide []product.Input, met, drifts bool) (list []lever) {
	for _, in := range inputs {
		if low, high, ok := in.Reach(); ok {
			list = append(list, lever{source: source(in), is: in.Value, low: low, high: high, ratio: !in.Dim.Point,
				put: func(v float64) product.Put { return product.Put{Path: in.Path, Source: in.Shifted(v)} }})
		}
	}
	low, high := narrowest, 1.0
	if met {
		low, high = 1, widest
	}
	for _, in := range wide {
		if in.Spread != quantity.Exact {
			list = append(list, lever{source: source(in), of: "tolerance", is: 1, low: low, high: high,
				put:  func(v float64) product.Put { return product.Put{Path: in.Path, Source: in.Widened(v, 1)} },
				wide: func(v float64) string { return halfWidth(in, v) }})
		}
		if in.Drift != 0 && drifts {
			list = append(list, lever{source: source(in), of: "drift", is: 1, low: low, high: high,
				put:  func(v float64) product.Put { return product.Put{Path: in.Path, Source: in.Widened(1, v)} },
				wide: func(v float64) string { return "±" + quantity.Format(v*in.Drift, quantity.PerKelvin, "ppm/K", -2) }})
		}
	}
	return list
}

// A search looks where a promise turns.
type search struct {
	*work
	name  string
	years int
	full  float64 // the margin as the product is
	off   float64 // it less the rough one
}

func (s *search) options() promise.Options {
	options := s.Options()
	options.Years = s.years
	return options
}

// margin judges the promise by what is calculated of a product.
func (s *search) margin(ctx context.Context, p *product.Product, rough bool) (float64, error) {
	j, err := promise.One(ctx, p, s.name, promise.Briefly{Rough: rough, Unmeasured: true}, s.options())
	if err != nil {
		return 0, err
	}
	return marginOf(j, rough)
}

// marginOf is by how much a promise is kept by what is calculated, in the unit of its bound; below 0 where it is not met. In full its
// sign is that of the verdict, whatever the interval that is drawn says. [Z3]
func marginOf(j promise.Judged, rough bool) (float64, error) {
	evidence := calculatedOf(j)
	if len(evidence) == 0 {
		return 0, errors.New("nothing is calculated for it")
	}
	e := evidence[len(evidence)-1]
	size := room(e, j.Bound)
	if rough {
		return size, nil
	}
	least := same * max(math.Abs(e.Best), math.Abs(e.High-e.Low), 1e-300)
	if calculated(j) == promise.Met {
		return max(math.Abs(size), least), nil
	}
	return -max(math.Abs(size), least), nil
}

// room is how far the nearer end of the evidence's interval is inside the bound; of a mistake's end the logarithm of its margin.
func room(e promise.Evidence, b promise.Bound) float64 {
	if e.End != nil {
		if e.End.Margin == nil || !(e.End.Margin.Low > 0) {
			return 0
		}
		return math.Log(e.End.Margin.Low)
	}
	size := math.Inf(1)
	if b.Min != nil {
		size = min(size, e.Low-*b.Min)
		if e.OpenLow {
			size = -math.MaxFloat32
		}
	}
	if b.Max != nil {
		size = min(size, *b.Max-e.High)
		if e.OpenHigh {
			size = -math.MaxFloat32
		}
	}
	return size
}

// halfWidth words a tolerance that is so many times as wide: "±0.3 %", "sd 0.2 mA".
func halfWidth(in product.Input, times float64) string {
	half, sign := times*max(in.High-in.Value, in.Value-in.Low), "±"
	if in.Spread == quantity.Normal {
		half, sign = times*in.SD, "sd "
	}
	if in.Percent && in.Value != 0 {
		return sign + quantity.Format(half/math.Abs(in.Value), quantity.Ratio, "%", -2)
	}
	dim, unit := in.Dim, in.Unit
	if dim.Point {
		dim, unit = quantity.TemperatureDifference, "K"
	}
	return sign + quantity.Format(half, dim, unit, -2)
}

type outcome struct {
	flips     []float64
	low, high float64
	short     bool
}

// at is the product with a lever moved.
func (s *search) at(l lever, v float64) (*product.Product, error) { return s.Product(l.put(v)) }

// probes are how many places are looked at on the way to either end of the range.
const probes = 2

// move looks on both sides of where a lever is for the nearest place at which the verdict turns.
func (s *search) move(ctx context.Context, l lever) (out outcome, err error) {
	out.low, out.high = l.is, l.is
	for _, side := range []struct {
		end  float64
		seen *float64
	}{{l.low, &out.low}, {l.high, &out.high}} {
		if side.end == l.is {
			continue
		}
		from := l.is
		for k := range probes {
			to := l.step(side.end, float64(k+1)/probes)
			m, err := s.rough(ctx, l, to)
			if ctx.Err() != nil {
				return out, ctx.Err()
			}
			if err != nil {
				out.short = true
				break
			}
			*side.seen = to
			at, found := 0.0, false
			switch {
			case s.turned(m):
				at, found, err = s.turn(ctx, l, from, to, side.end)
			case k == probes-1 && math.Abs(m) < closer*math.Abs(s.full):
				at, found, err = s.turnInFull(ctx, l, to)
			}
			if err != nil {
				return out, err
			}
			if found {
				out.flips = append(out.flips, at)
			}
			if s.turned(m) {
				break
			}
			from = to
		}
	}
	return out, nil
}

// step is a part of the way from where a lever is to an end: in equal ratios where both are of one sign.
func (l lever) step(end, part float64) float64 {
	if l.ratio && l.is*end > 0 && part < 1 {
		return l.is * math.Pow(end/l.is, part)
	}
	if part == 1 {
		return end
	}
	return l.is + part*(end-l.is)
}

// rough is the margin from few units, set right by how far off it was as the product is.
func (s *search) rough(ctx context.Context, l lever, v float64) (float64, error) {
	p, err := s.at(l, v)
	if err != nil {
		return 0, err
	}
	m, err := s.margin(ctx, p, true)
	return m + s.off, err
}

// exact is the margin in full.
func (s *search) exact(ctx context.Context, l lever, v float64) (float64, error) {
	p, err := s.at(l, v)
	if err != nil {
		return 0, err
	}
	return s.margin(ctx, p, false)
}

// turned reports whether a margin is on the other side than that of the product as it is.
func (s *search) turned(m float64) bool { return (m > 0) != (s.full > 0) }

// root is where a margin is 0 between two places at which it has different signs; ok is false where it cannot be computed.
func root(m func(v float64) (float64, error), a, b, tol float64) (at float64, ok bool) {
	ok = true
	at, err := numeric.FindRoot(func(v float64) float64 {
		y, err := m(v)
		ok = ok && err == nil
		return y
	}, a, b, tol)
	return at, ok && err == nil
}

// turn finds the place between two probes at which the verdict turns: first from few units, and then, about there, in full. [Z4]
func (s *search) turn(ctx context.Context, l lever, from, to, end float64) (float64, bool, error) {
	exact := func(v float64) (float64, error) { return s.exact(ctx, l, v) }
	near, ok := root(func(v float64) (float64, error) { return s.rough(ctx, l, v) }, from, to, math.Abs(to-from)/100)
	if !ok {
		return 0, false, ctx.Err() // where it is not to be computed there is nothing to say
	}
	side := math.Copysign(max(math.Abs(near-l.is)/20, math.Abs(end-l.is)/500), end-l.is)
	inner, outer := near, near
	for range 6 { // away on both sides until the verdict differs between them
		if outer += side; (outer-end)*side > 0 {
			outer = end
		}
		if inner -= side; (inner-l.is)*side < 0 {
			inner = l.is
		}
		mo, err := exact(outer)
		if err != nil {
			return 0, false, ctx.Err()
		}
		mi := s.full
		if inner != l.is {
			if mi, err = exact(inner); err != nil {
				return 0, false, ctx.Err()
			}
		}
		switch {
		case s.turned(mi):
			outer = inner
		case s.turned(mo):
			at, ok := root(exact, inner, outer, math.Abs(outer-inner)/10)
			return at, ok, ctx.Err()
		case outer == end:
			return 0, false, nil
		}
		side *= 2
	}
	return 0, false, ctx.Err()
}

// closer is what part of its present size a margin from few units must have gone down to for the end of the range to be judged in full:
// a verdict rests on the share of units, which the interval's ends do not tell to the last.
const closer = 0.5

// turnInFull finds the place at which the verdict turns on the way to the end of the range, where few units have shown none, in full.
func (s *search) turnInFull(ctx context.Context, l lever, end float64) (float64, bool, error) {
	exact := func(v float64) (float64, error) { return s.exact(ctx, l, v) }
	m, err := exact(end)
	if err != nil || !s.turned(m) {
		return 0, false, ctx.Err()
	}
	at, ok := root(exact, l.is, end, math.Abs(end-l.is)/100)
	return at, ok, ctx.Err()
}
