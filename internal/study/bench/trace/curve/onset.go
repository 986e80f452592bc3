package curve

import (
	"math"

	"hindwatt/internal/study/bench/trace"
)

const (
	about      = 3600.0 // s before and after the corner that are looked at
	worse      = 3.8415 // χ² of one number at 95 %
	fewCorners = 8      // blocks on each side
)

// onset finds the corner between the first bulk that a level follows and that level: two straight lines
// that meet, the sum of squares least [L9]. Its limits are where that sum has grown by as much as 95 %
// allow. Source: Hinkley, Journal of the American Statistical Association 66 (1971), p. 736.
func (r *Result) onset(b trace.Blocks) {
	for i := 1; i < len(r.Phases); i++ {
		p, before := &r.Phases[i], &r.Phases[i-1]
		if len(p.held) == 0 || before.Name != Bulk {
			continue
		}
		from, until := max(before.Begin, p.Begin-about), min(p.End, p.Begin+about)
		var t, y, w []float64
		for k, at := range b.Time {
			if at >= from && at <= until {
				t, y, w = append(t, at), append(y, b.Mean[k]), append(w, b.Weight[k])
			}
		}
		if o, ok := corner(t, y, w); ok {
			o.Phase = p.Name
			r.Onset = &o
			return
		}
	}
}

// corner lays two lines that meet through points.
func corner(t, y, w []float64) (o Onset, ok bool) {
	n := len(t)
	if n < 2*fewCorners {
		return o, false
	}
	cost := make([]float64, n)
	best := -1
	for k := range t {
		cost[k] = math.Inf(1)
		if k < fewCorners/2 || k >= n-fewCorners/2 {
			continue
		}
		if _, cost[k] = hinge(t, y, w, t[k]); best < 0 || cost[k] < cost[best] {
			best = k
		}
	}
	at, rest := refine(t, y, w, best, cost[best])
	o.At = at
	h, _ := hinge(t, y, w, at)
	o.Volts = h.level
	residuals := make([]float64, n)
	for i := range t {
		residuals[i] = (y[i] - h.at(t[i])) * math.Sqrt(w[i])
	}
	variance := rest / float64(n-4) * float64(n) / trace.Independent(residuals)
	o.From, o.Until = t[best-1], t[best+1] // no finer than the blocks
	for k := range t {
		if cost[k]-rest <= worse*variance {
			o.From, o.Until = min(o.From, t[max(k-1, 0)]), max(o.Until, t[min(k+1, n-1)])
		}
	}
	return o, h.before > 0 && h.before > h.after
}

// refine looks for the corner between the blocks.
func refine(t, y, w []float64, best int, cost float64) (at, rest float64) {
	at, rest = t[best], cost
	const parts = 16
	low, high := t[best-1], t[best+1]
	for i := 1; i < parts; i++ {
		x := low + (high-low)*float64(i)/parts
		if _, c := hinge(t, y, w, x); c < rest {
			at, rest = x, c
		}
	}
	return at, rest
}

// bend is two lines that meet.
type bend struct{ corner, level, before, after float64 }

func (h bend) at(t float64) float64 {
	return h.level + h.before*min(t-h.corner, 0) + h.after*max(t-h.corner, 0)
}

// hinge fits two lines that meet at a time, by normal equations about it.
func hinge(t, y, w []float64, corner float64) (h bend, rest float64) {
	y0 := y[0]
	var s [3][4]float64
	for i := range t {
		v := [4]float64{1, min(t[i]-corner, 0), max(t[i]-corner, 0), y[i] - y0}
		for a := range 3 {
			for b := range 4 {
				s[a][b] += w[i] * v[a] * v[b]
			}
		}
	}
	for a := range 3 { // elimination; the matrix is a Gram matrix, so its diagonal is the pivot
		if !(s[a][a] > 0) {
			return bend{}, math.Inf(1)
		}
		for c := a + 1; c < 3; c++ {
			f := s[c][a] / s[a][a]
			for b := a; b < 4; b++ {
				s[c][b] -= f * s[a][b]
			}
		}
	}
	var x [3]float64
	for a := 2; a >= 0; a-- {
		x[a] = s[a][3]
		for b := a + 1; b < 3; b++ {
			x[a] -= s[a][b] * x[b]
		}
		if !(s[a][a] > 0) {
			return bend{}, math.Inf(1)
		}
		x[a] /= s[a][a]
	}
	h = bend{corner, x[0] + y0, x[1], x[2]}
	for i := range t {
		d := y[i] - h.at(t[i])
		rest += w[i] * d * d
	}
	return h, rest
}
