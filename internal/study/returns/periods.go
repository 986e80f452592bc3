package returns

import (
	"errors"
	"slices"

	"hindwatt/internal/statistics/survival"
)

const (
	monthDays   = month / daySeconds
	mostPeriods = 60 // beyond that they are longer than a month
)

// width is the length of the periods that are counted, days.
func (r *Result) width() float64 {
	return max(monthDays, float64(r.Input.Today-r.All.First+1)/mostPeriods)
}

// periods fits what came back by period to what was sold by period, at the best values of counts, where no ages are known [B11].
func (r *Result) periods() error {
	if r.Known || !(r.All.Sold.Best > 0) {
		return nil
	}
	sold := r.soldBy()
	fit, err := survival.FromPeriods(sold, r.cameBy(), r.Input.accepted(), r.Input.Confidence)
	var none *survival.NoFit
	if errors.As(err, &none) {
		r.NoFit = none.Why
		return nil
	}
	if err == nil {
		r.Periods = &fit
	}
	return err
}

// soldBy counts sales by period; longer ones stand as they are.
func (r *Result) soldBy() []survival.Span {
	width, first := r.width(), float64(r.All.First)
	short := make([]survival.Span, mostPeriods+1)
	var sold []survival.Span
	sell := func(from, until Day, count float64) {
		if float64(until-from) >= width {
			sold = append(sold, survival.Span{From: float64(from) * daySeconds, To: float64(until) * daySeconds, Count: count})
			return
		}
		short[int((float64(from+until)/2-first)/width)].Count += count
	}
	for _, u := range r.All.units {
		sell(u.Sold, max(u.Sold, u.SoldUntil), 1)
	}
	for _, s := range r.sales {
		sell(s.From, min(s.Until, r.Input.Today), s.Count.Best)
	}
	for i, s := range short {
		if s.Count > 0 {
			s.From, s.To = (first+float64(i)*width)*daySeconds, min(first+float64(i+1)*width, float64(r.Input.Today))*daySeconds
			sold = append(sold, s)
		}
	}
	return sold
}

// cameBy counts returns by period, from the first sale to today; periods that a row of returns spans are taken together.
func (r *Result) cameBy() []survival.Span {
	rows := slices.Clone(r.Input.Returns)
	slices.SortStableFunc(rows, func(a, b *Return) int { return int(a.Day) - int(b.Day) })
	width, first, last := r.width(), float64(r.All.First), float64(r.Input.Today)+1
	var out []survival.Span
	for from := first; from < last; {
		s := survival.Span{From: from, To: min(from+width, last)}
		for len(rows) > 0 && float64(rows[0].Day) < s.To {
			s.Count += rows[0].Count.Best
			s.To = min(max(s.To, float64(rows[0].Until)+1), last)
			rows = rows[1:]
		}
		from = s.To
		s.From, s.To = s.From*daySeconds, s.To*daySeconds
		out = append(out, s)
	}
	return out
}
