package returns

import (
	"context"
	"errors"
	"math"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/survival"
)

const (
	month      = year / 12
	mostMonths = 36  // that are looked ahead where there is no end
	quietDays  = 180 // without a sale after which selling has ended (judgement, no source)
)

// A Month is a month from today on.
type Month struct {
	Until           float64  // s from today
	In              Interval // returns in it
	Mean, Low, High float64  // returns from today to its end
}

// Ended is the day of the last sale; ok is false where it is too recent to be the last.
func (r *Result) Ended() (last Day, ok bool) {
	return r.All.Last, r.Input.Today-r.All.Last >= quietDays
}

// out lists the units that still are out and within acceptance.
func (r *Result) out() (all []survival.Out) {
	in := &r.Input
	counts := map[float64]float64{} // by age
	var ages []float64
	add := func(sold, count float64) {
		age := max(0, float64(in.Today)-sold) * daySeconds
		if !(age < in.accepted() && count > 0) {
			return
		}
		if _, known := counts[age]; !known {
			ages = append(ages, age)
		}
		counts[age] += count
		r.Out += count
	}
	for _, u := range r.All.units {
		if u.Back == nil {
			add(u.sold(middle), 1)
		}
	}
	back := r.All.Back.Best - float64(came(r.All.units))
	sold := r.All.Sold.Best - float64(len(r.All.units))
	for _, s := range r.sales {
		add(float64(s.From+min(s.Until, in.Today))/2, s.Count.Best*max(0, 1-back/sold))
	}
	for _, age := range ages {
		if n := int(math.Round(counts[age])); n > 0 {
			all = append(all, survival.Out{Age: age, Until: in.accepted(), Count: n})
		}
	}
	return all
}

// forecast counts on: by Weibull's distribution where the ages follow it and speak against a constant rate, else by a constant
// rate. The interval holds what is not known of the distribution and the chance of each return [B7].
func (r *Result) forecast(ctx context.Context) error {
	out := r.out()
	if len(out) == 0 {
		r.NoComing = "no unit is out for which returns are still accepted"
		return nil
	}
	longest := 0.0
	for _, o := range out {
		longest = max(longest, o.Until-o.Age)
	}
	edges := []float64{0}
	for m := 1; m <= mostMonths && edges[m-1] < longest; m++ {
		edges = append(edges, min(float64(m)*month, longest))
	}
	if !r.Known {
		return r.byExposure(out, edges)
	}
	if r.follows() && r.Belief.Pattern != survival.Chance {
		r.Model = survival.WeibullAges
	}
	made, err := survival.Forecast(ctx, r.lives, r.Model, out, edges, r.Input.Confidence)
	var none *survival.NoFit
	if errors.As(err, &none) || len(r.lives) == 0 {
		r.NoComing = "no unit has been out for a day yet"
		return nil
	}
	if err != nil {
		return err
	}
	for _, p := range made {
		r.Months = append(r.Months, Month{p.To, Interval{Best: p.Mean, Low: p.Low, High: p.High}, p.TotalMean, p.TotalLow, p.TotalHigh})
		r.Coming = Interval{Best: p.TotalMean, Low: p.TotalLow, High: p.TotalHigh}
	}
	return nil
}

// byExposure predicts where ages are not known, by the time that units have been out and will be.
func (r *Result) byExposure(out []survival.Out, edges []float64) error {
	if !(r.All.Exposure.Best > 0) {
		r.NoComing = "no unit has been out for a day yet"
		return nil
	}
	before := 0.0
	for _, until := range edges[1:] {
		exposure := 0.0
		for _, o := range out {
			exposure += float64(o.Count) * min(o.Until-o.Age, until)
		}
		in, err := r.predict(exposure - before)
		if err != nil {
			return err
		}
		if r.Coming, err = r.predict(exposure); err != nil {
			return err
		}
		r.Months = append(r.Months, Month{until, in, r.Coming.Best, r.Coming.Low, r.Coming.High})
		before = exposure
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
