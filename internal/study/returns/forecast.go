package returns

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

const (
	month      = year / 12
	mostMonths = 36 // that are looked ahead where there is no end
)

// A Month is a month from today on; returns are counted from today to its end.
type Month struct {
	Until           float64 // s from today
	Mean, Low, High float64 // returns up to then
}

// leaving is a number of units that stay under watch for a while yet.
type leaving struct{ count, rest float64 }

// out lists the units that still are out, and for how long returns of them are accepted.
func (r *Result) out() (all []leaving) {
	in := &r.Input
	add := func(sold Day, count float64) {
		rest := in.accepted() - float64(in.Today-sold)*daySeconds
		if rest > 0 && count > 0 {
			all = append(all, leaving{count, rest})
			r.Out += count
		}
	}
	for i := range in.Units {
		if u := &in.Units[i]; u.Back == nil {
			add(u.Sold, 1)
		}
	}
	back := r.All.Back.Best - float64(joined(in.Units))
	sold := r.All.Sold.Best - float64(len(in.Units))
	for _, s := range in.Sales {
		add((s.From+min(s.Until, in.Today))/2, s.Count.Best*max(0, 1-back/sold))
	}
	return all
}

// forecast counts on at a constant rate of returns, the uncertainty of the rate and the chance of each return included [B7].
func (r *Result) forecast(ctx context.Context) error {
	out := r.out()
	if len(out) == 0 {
		r.NoComing = "no unit is out for which returns are still accepted"
		return nil
	}
	if !(r.All.Exposure.Best > 0) {
		r.NoComing = "no unit has been out for a day yet"
		return nil
	}
	longest := 0.0
	for _, l := range out {
		longest = max(longest, l.rest)
	}
	months := min(int(math.Ceil(longest/month-1e-9)), mostMonths)
	for m := 1; m <= months; m++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		until := min(float64(m)*month, longest)
		exposure := 0.0
		for _, l := range out {
			exposure += l.count * min(l.rest, until)
		}
		coming, err := r.predict(exposure)
		if err != nil {
			return fmt.Errorf("returns: forecast: %w", err)
		}
		r.Months = append(r.Months, Month{until, coming.Best, coming.Low, coming.High})
		r.Coming = coming
	}
	return nil
}

func (r *Result) predict(exposure float64) (Interval, error) {
	g := &r.All
	low, high, err := 0, 0, error(nil)
	if low, _, err = statistics.PredictPoisson(int(math.Floor(g.InTime.Low)), g.Exposure.High, exposure, r.Input.Confidence); err != nil {
		return Interval{}, err
	}
	if !(g.Exposure.Low > 0) {
		return Interval{Best: g.PerSecond.Best * exposure, Low: float64(low), Open: true}, nil
	}
	_, high, err = statistics.PredictPoisson(int(math.Ceil(g.InTime.High)), g.Exposure.Low, exposure, r.Input.Confidence)
	return Interval{Best: g.PerSecond.Best * exposure, Low: float64(low), High: float64(high)}, err
}

// Reserve is the money to set aside for what is still to come: its mean, and between the limits of the number and of the cost [B9].
func (r *Result) Reserve() (Interval, bool) {
	if r.Cost == nil || len(r.Months) == 0 {
		return Interval{}, false
	}
	return Interval{Best: r.Coming.Best * r.Cost.Best, Low: r.Coming.Low * r.Cost.Low, High: r.Coming.High * r.Cost.High, Open: r.Coming.Open}, true
}
