package fit

import "math"

// Serial is how residuals in their order follow each other: each is told in part by those before it, an autoregression.
type Serial struct {
	weights [][]float64 // of the last one, the one before it …, for each order from 0
	spread  []float64   // standard deviation of what each order leaves, over that of the residuals; ≤ 1
}

// Follow finds how residuals of a fit follow each other.
//
//	r           residuals, evenly spaced; a value after a gap begins anew
//	begins      r[i] does not follow r[i-1]; nil: all do but the first
//	parameters  of the fit that left them
//	most        largest order, ≥ 0; the order is chosen by Akaike's criterion with its correction for few readings
//
// Method: autocovariances, Durbin and Levinson's recursion (Brockwell and Davis, Time Series, 2nd ed. 1991,
// 5.2). A fit takes slow parts out of residuals, so that these look less alike than they are: each
// autocovariance is raised by parameters/n times the variance at frequency 0 (ours; see the tests).
func Follow(r []float64, begins []bool, parameters, most int) Serial {
	n := len(r)
	most = max(0, min(most, n/20))
	plain := Serial{weights: [][]float64{nil}, spread: []float64{1}}
	c := autocovariances(r, begins, most)
	if !(c[0] > 0) {
		return plain
	}
	s := plain
	var raised float64
	for range 4 {
		up := append([]float64(nil), c...)
		for k := range up {
			up[k] += raised
		}
		s = levinson(up).chosen(n)
		raised = math.Min(float64(parameters)/float64(n)*up[0]*s.inflation(), up[0])
	}
	return s
}

// autocovariances up to a lag, over n, so that they belong to a process.
func autocovariances(r []float64, begins []bool, most int) []float64 {
	c := make([]float64, most+1)
	since := 0 // residuals since the last beginning
	for i, v := range r {
		if since++; begins != nil && begins[i] || i == 0 {
			since = 1
		}
		for k := 0; k < min(since, most+1); k++ {
			c[k] += v * r[i-k] / float64(len(r))
		}
	}
	return c
}

// levinson returns the autoregressions of all orders.
func levinson(c []float64) Serial {
	s := Serial{weights: [][]float64{nil}, spread: []float64{1}}
	left := c[0]
	var w []float64
	for k := 1; k < len(c); k++ {
		rest := c[k]
		for j, a := range w {
			rest -= a * c[k-1-j]
		}
		last := rest / left
		next := make([]float64, k)
		for j, a := range w {
			next[j] = a - last*w[k-2-j]
		}
		next[k-1] = last
		if left *= 1 - last*last; !(left > 1e-6*c[0]) { // as good as told by those before
			return s
		}
		w = next
		s.weights, s.spread = append(s.weights, w), append(s.spread, math.Sqrt(left/c[0]))
	}
	return s
}

// chosen keeps the orders that the criterion wants.
func (s Serial) chosen(n int) Serial {
	best := math.Inf(1)
	criterion := make([]float64, len(s.spread))
	for k, sd := range s.spread {
		criterion[k] = float64(n)*2*math.Log(sd) + 2*float64(k+1)*float64(n)/float64(n-k-2)
		best = math.Min(best, criterion[k])
	}
	var widest Serial
	for k := range s.spread {
		of := Serial{s.weights[:k+1], s.spread[:k+1]}
		if criterion[k] <= best+asGood && (widest.spread == nil || of.inflation() > widest.inflation()) {
			widest = of
		}
	}
	return widest
}

// asGood is the criterion's difference up to which an order is held for as good (Burnham and Anderson, Model Selection and
// Multimodel Inference, 2nd ed. 2002, 2.6, from memory: up to 4 to 7 has some support); of these the one that tells least is taken.
const asGood = 4.0

// Order is how many residuals before tell of the next.
func (s Serial) Order() int { return max(0, len(s.spread)-1) }

// inflation is the variance of a mean of many residuals, over what it were if they did not follow each other.
func (s Serial) inflation() float64 {
	if s.Order() == 0 {
		return 1
	}
	rest := 1.0
	for _, a := range s.weights[s.Order()] {
		rest -= a
	}
	const least = 0.02 // more than 2500 as good as one cannot be told from a drift
	rest = math.Max(rest, least)
	return math.Pow(s.spread[s.Order()]/rest, 2)
}

// Effective is how many independent residuals tell as much of a mean as n of these; at most n.
func (s Serial) Effective(n int) float64 { return float64(n) / math.Max(1, s.inflation()) }

// Whiten takes out of residuals what those before tell, in place; what is left has one variance.
//
//	begins  as in Follow
func (s Serial) Whiten(r []float64, begins []bool) {
	order := s.Order()
	if order == 0 {
		return
	}
	before := make([]float64, 0, order) // the last one first
	for i, v := range r {
		if begins != nil && begins[i] {
			before = before[:0]
		}
		k := len(before)
		left := v
		for j, a := range s.weights[k] {
			left -= a * before[j]
		}
		r[i] = left * s.spread[order] / s.spread[k]
		if k < order {
			before = append(before, 0)
		}
		copy(before[1:], before)
		before[0] = v
	}
}
