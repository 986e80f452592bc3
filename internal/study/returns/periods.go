package returns

import (
	"errors"
	"slices"

	"hindwatt/internal/statistics/survival"
)

// periods fits what came back by period to what was sold by period, at the best values of counts, where no ages are known [B11].
func (r *Result) periods() error {
	if r.Known || !(r.All.Sold.Best > 0) {
		return nil
	}
	var sold []survival.Span
	at := map[Span]int{}
	sell := func(from, until Day, count float64) {
		days := Span{from, until}
		i, known := at[days]
		if !known {
			i = len(sold)
			at[days] = i
			sold = append(sold, survival.Span{From: float64(from) * daySeconds, To: float64(until) * daySeconds})
		}
		sold[i].Count += count
	}
	for _, u := range r.All.units {
		sell(u.Sold, max(u.Sold, u.SoldUntil), 1)
	}
	for _, s := range r.sales {
		sell(s.From, min(s.Until, r.Input.Today), s.Count.Best)
	}
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

// cameBy counts returns by month, from the first sale to today; months that a row of returns spans are taken together.
func (r *Result) cameBy() []survival.Span {
	rows := slices.Clone(r.Input.Returns)
	slices.SortStableFunc(rows, func(a, b *Return) int { return int(a.Day) - int(b.Day) })
	const days = month / daySeconds
	first, last := float64(r.All.First), float64(r.Input.Today)+1
	var out []survival.Span
	for from := first; from < last; {
		s := survival.Span{From: from, To: min(from+days, last)}
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
