package returns

import (
	"fmt"
	"math"
	"slices"
)

// reasons are counted over all rows, the commonest first, those without a fault after the others.
func (r *Result) reasons() {
	at := map[string]int{}
	var cost, rows float64
	var low, high float64
	for _, back := range r.Input.Returns {
		name := back.Reason
		if name == "" {
			name = "not noted"
		}
		key := fmt.Sprint(back.Found, name)
		i, ok := at[key]
		if !ok {
			i = len(r.Reasons)
			at[key] = i
			r.Reasons = append(r.Reasons, Reason{Name: name, Found: back.Found})
		}
		r.Reasons[i].Count = r.Reasons[i].Count.plus(back.Count)
		if best, least, most, known := r.Input.costOf(back); known {
			r.Reasons[i].Cost += best * back.Count.Best
			cost, low, high, rows = cost+best*back.Count.Best, low+least*back.Count.Best, high+most*back.Count.Best, rows+back.Count.Best
		}
	}
	slices.SortStableFunc(r.Reasons, func(a, b Reason) int {
		switch {
		case a.Found == NoFault && b.Found != NoFault:
			return 1
		case a.Found != NoFault && b.Found == NoFault:
			return -1
		case a.Count.Best != b.Count.Best:
			return int(math.Copysign(1, b.Count.Best-a.Count.Best))
		case a.Cost > b.Cost:
			return -1
		case a.Cost < b.Cost:
			return 1
		}
		return 0
	})
	if rows > 0 {
		r.Cost = &Interval{Best: cost / rows, Low: low / rows, High: high / rows}
	}
}

// costOf is what one return cost: what was paid, and the minutes at what an hour is worth [B9].
func (in *Input) costOf(back *Return) (best, low, high float64, known bool) {
	if v := back.Cost; v != nil {
		best, low, high, known = v.Value, v.Low, v.High, true
	}
	if m, h := back.Minutes, in.Hour; m != nil && h != nil {
		best, low, high, known = best+m.Value*h.Value, low+m.Low*h.Low, high+m.High*h.High, true
	}
	return best, low, high, known
}

// unseen estimates the failures behind the returns with a fault [B8].
func (r *Result) unseen() {
	if u := r.Input.Unreported; u != nil && u.High < 1 {
		g := &r.All
		n := Interval{Best: g.Sold.Best * g.Faulty.Best / (1 - u.Value), Low: g.Sold.Low * g.Faulty.Low / (1 - u.Low), High: g.Sold.High * min(1, g.Faulty.High/(1-u.High))}
		r.Unseen = &n
	}
}
