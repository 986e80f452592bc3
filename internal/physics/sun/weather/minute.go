package weather

import (
	"math"

	"hindwatt/internal/numeric"
)

// What broken cloud does within an hour. The shape is that of two-state models (Suehrcke and McCormick
// 1988; Skartveit and Olseth 1992: minutes crowd at sun and at shade); the numbers are estimates, from memory.
const (
	darkest, lightest = 0.15, 0.45 // of the clear sky, in shade
	sunSpread         = 0.03       // of the clear sky, in sun
	shadeMean         = 270.0      // s
	sunShortest       = 45.0       // s, mean
	sunLongest        = 4 * 3600.0 // s, mean
	edgeChance        = 0.4        // that an edge is enhanced
	edgeLow, edgeHigh = 0.05, 0.30 // how much brighter
	edgeShort         = 10.0       // s
	edgeLong          = 90.0       // s
	overcast          = 0.25       // of the clear sky: where no sun is left
	flicker           = 0.15       // of an overcast sky's light, from minute to minute, relative
	softest, hardest  = 0.4, 2.2   // how far shade is moved to keep the hour's total
	brightest         = 1.3        // of the clear sky: what an hour's mean cannot exceed by beam
)

// spell is one stay in sun or shade.
type spell struct {
	sunny        bool
	length, left float64 // s
	index        float64 // of the clear sky
	head, tail   float64 // enhancement after its start and before its end
	headFor      float64 // s
	tailFor      float64 // s
}

// next draws the spell that follows, for a sky with a sunny fraction s.
func (p *spell) next(r *numeric.Stream, s float64) {
	p.sunny = !p.sunny
	mean := shadeMean
	if p.sunny {
		mean = min(max(shadeMean*s/(1-s), sunShortest), sunLongest)
	} else if s > 0 {
		mean = min(shadeMean, max(sunShortest, sunLongest*(1-s)/s))
	}
	p.length = 1 - mean*numeric.Log(1-r.Float64()) // [SN20]
	p.left += p.length
	p.head, p.tail = 0, 0
	if !p.sunny {
		p.index = r.Uniform(darkest, lightest)
		return
	}
	p.index = 1 + sunSpread*r.Norm()
	if r.Float64() < edgeChance {
		p.head, p.headFor = r.Uniform(edgeLow, edgeHigh), r.Uniform(edgeShort, edgeLong)
	}
	if r.Float64() < edgeChance {
		p.tail, p.tailFor = r.Uniform(edgeLow, edgeHigh), r.Uniform(edgeShort, edgeLong)
	}
}

// sample returns the index now.
func (p *spell) sample() float64 {
	v := p.index
	if p.head > 0 && p.length-p.left < p.headFor {
		v *= 1 + p.head
	}
	if p.tail > 0 && p.left < p.tailFor {
		v *= 1 + p.tail
	}
	return v
}

// minutes spreads the hours of a day over its minutes. The mean of each hour's minutes is the hour's.
func (y *Year) minutes(day int, global, diffuse []float64) {
	r := numeric.NewStream(y.seed, forMinutes, y.number, uint64(day))
	k := sky{ceiling: y.ceiling(), now: spell{sunny: r.Float64() < 0.5}}
	for h := range 24 {
		clear := y.clear[60*h : 60*h+60]
		g, d := global[60*h:60*h+60], diffuse[60*h:60*h+60]
		total := y.hour.global[h]
		if total <= 0 {
			zero(g)
			zero(d)
			continue
		}
		most := brightest * k.ceiling * y.mean[h]
		glow := max(0, total-most) // light without a sun to explain it: twilight, a clock that is off
		k.hour(&r, clear, g, y.mean[h], total-glow)
		divide(g, d, clear, y.mean[h], max(0, y.hour.diffuse[h]-glow))
		for i := range g {
			g[i] += glow
			d[i] += glow
		}
	}
}

// A sky is what lasts from one hour of a day to the next.
type sky struct {
	ceiling float64 // of the clear sky's formula, what counts as clear
	now     spell
	grey    float64 // how an overcast sky differs from its mean, relative
}

// hour fills the minutes of an hour so that their mean is total; that of a clear sky is usual.
func (k *sky) hour(r *numeric.Stream, clear, g []float64, usual, total float64) {
	copy(g, clear)
	index := 0.0
	if c := usual * k.ceiling; c > 0 {
		index = total / c
	}
	s := (index - overcast) / (1 - overcast) // sunny fraction, [SN20]
	switch {
	case s >= 0.98:
	case s > 0.02:
		k.broken(r, s, clear, g, total)
	default:
		for i := range g {
			k.grey = 0.9*k.grey + flicker*0.43589*r.Norm() // 0.43589² = 1 - 0.9²
			g[i] *= max(0.3, 1+k.grey)
		}
	}
	rescale(g, total)
}

// ceiling returns by how much the day's brightest hour exceeds the clear-sky formula, 1..1.15: dry and
// high places have a clearer sky than it knows.
func (y *Year) ceiling() float64 {
	c := 1.0
	for h := range 24 {
		if sky := y.mean[h]; sky > 100 {
			c = max(c, y.hour.global[h]/sky)
		}
	}
	return min(c, 1.15)
}

// broken fills an hour of sun and shade in turn. What the draw misses of the hour's total is put right
// in the shade first: it is made darker or lighter, then lifted toward the sun; the rest everywhere, [SN21].
func (k *sky) broken(r *numeric.Stream, s float64, clear, g []float64, total float64) {
	var shaded [60]bool
	bright, dark, lift := 0.0, 0.0, 0.0
	for i, c := range clear {
		for k.now.left -= 60; k.now.left <= 0; {
			k.now.next(r, s)
		}
		g[i] = c * k.ceiling * k.now.sample()
		if shaded[i] = !k.now.sunny; shaded[i] {
			dark += g[i]
			lift += c * k.ceiling
		} else {
			bright += g[i]
		}
	}
	if dark > 0 {
		f := min(max((total*60-bright)/dark, softest), hardest)
		up := 0.0 // share of the way from shade to sun
		if short := total*60 - bright - f*dark; short > 0 && lift > f*dark {
			up = min(1, short/(lift-f*dark))
		}
		for i, c := range clear {
			if shaded[i] {
				g[i] = g[i]*f*(1-up) + c*k.ceiling*up
			}
		}
	}
}

// divide finds the diffuse part of each minute: it follows the clear sky's course as far as the minute's
// light goes, and its mean is that of the hour within 0.1 %, [SN22]; usual is the clear sky's mean.
func divide(g, d, clear []float64, usual, split float64) {
	if split >= mean(g) {
		copy(d, g)
		return
	}
	if usual <= 0 || split <= 0 {
		zero(d)
		return
	}
	k := split / usual
	for range 6 { // Newton's rule on a broken line that bends one way
		sum, slope := 0.0, 0.0
		for i := range g {
			if d[i] = k * clear[i]; d[i] < g[i] {
				slope += clear[i]
			} else {
				d[i] = g[i]
			}
			sum += d[i]
		}
		short := split*60 - sum
		if slope <= 0 || math.Abs(short) < 1e-4*sum {
			return
		}
		k = max(0, k+short/slope)
	}
}

// rescale brings the mean of g to a value; what is all zero gets it throughout.
func rescale(g []float64, to float64) {
	m := mean(g)
	if m <= 0 {
		for i := range g {
			g[i] = to
		}
		return
	}
	f := to / m
	for i := range g {
		g[i] *= f
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func zero(x []float64) {
	for i := range x {
		x[i] = 0
	}
}
