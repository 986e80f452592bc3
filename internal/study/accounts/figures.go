package accounts

import (
	"context"
	"math"
	"slices"

	"hindwatt/internal/money"
	"hindwatt/internal/statistics"
)

// figures computes the figures with their 95 % intervals: by drawing from all groups' spreads (JCGM 101) [A5], and the budget of
// the hour's pay by the law of propagation (JCGM 100).
func (r *Result) figures(ctx context.Context) error {
	none := Figure{None: "nothing came in or went out that is known"}
	for _, f := range []*Figure{&r.CameIn, &r.WentOut, &r.Net, &r.Hours, &r.HourPaid, &r.HourPaidBut, &r.RateOfReturn, &r.Turned, &r.Calculated, &r.Apart, &r.SetAside} {
		*f = none
	}
	if len(r.Months) == 0 {
		return nil
	}
	r.model = r.newModel()
	f, err := r.drawn(ctx)
	if err != nil {
		return err
	}
	r.WentOut, r.Hours = f[iOut], f[iHours]
	if sold := len(r.Lines) > 0 && r.Lines[0].In; sold {
		r.CameIn, r.Net = f[iIn], f[iNet]
		r.paid(f)
		r.Turned = f[iTurned].times(year / 12)
		if never := float64(len(r.Months)) * year / 12; r.Turned.Best > never {
			r.Turned = Figure{None: "it has not turned"}
		} else if r.Turned.High > never {
			r.Turned.High, r.Turned.OpenHigh = 0, true
		}
		r.returnRate()
	}
	return r.curve(ctx)
}

// drawn computes the model's figures and their intervals, and the budget.
func (r *Result) drawn(ctx context.Context) ([]Figure, error) {
	m, in := r.model, r.book.groups.inputs()
	y, out := make([]float64, figures), make([]Figure, figures)
	if err := m.at(make([]float64, len(in)), y); err != nil {
		return nil, err
	}
	for i, v := range y {
		out[i] = Figure{Best: v, Low: v, High: v}
	}
	if len(in) == 0 {
		return out, nil
	}
	spread, err := statistics.MonteCarloVector(ctx, m.at, figures, in, nil, samples, r.Input.Seed, 0.95)
	if err != nil {
		return nil, err
	}
	for i := range out {
		out[i].Low, out[i].High = min(y[i], spread[i].Low), max(y[i], spread[i].High)
	}
	r.Budget, err = statistics.Propagate(func(z []float64) (float64, error) {
		return ratio(m.in.at(z)-m.out.at(z), m.hours.at(z)/3600), nil
	}, in, nil)
	return out, err
}

// paid takes over what an hour paid, by the records and by the list of parts and the steps.
func (r *Result) paid(f []Figure) {
	if f[iHours].Best <= 0 || !r.madeHours() {
		r.HourPaid.None, r.HourPaidBut.None = "hours of making are missing", "hours of making are missing"
		return
	}
	r.HourPaid, r.HourPaidBut = f[iPaid].times(1./3600), f[iBut].times(1./3600)
	if r.model.other {
		r.Calculated, r.Apart = f[iOther].times(1./3600), f[iApart].times(1./3600)
	}
}

// times scales a figure by a factor above 0.
func (f Figure) times(factor float64) Figure {
	return Figure{Best: f.Best * factor, Low: f.Low * factor, High: f.High * factor}
}

func (r *Result) madeHours() bool {
	return slices.ContainsFunc(r.Worked, func(w Worked) bool { return slices.Contains(making, w.Group) && w.Best > 0 })
}

func (r *Result) flows() []float64 {
	flows := make([]float64, len(r.Months))
	for k, m := range r.Months {
		flows[k] = m.In.Minus(m.Out).Float64()
	}
	return flows
}

// returnRate is the one rate of return per year of the months' flows, its interval from first-order sensitivities [A8].
func (r *Result) returnRate() {
	flows := r.flows()
	rates, err := money.RatesOfReturn(flows)
	switch {
	case err != nil:
		r.RateOfReturn.None = err.Error()
		return
	case len(rates) != 1:
		r.RateOfReturn.None = "the flows have none, or more than one"
		return
	}
	v := 1 / (1 + rates[0])
	slope, z := 0.0, make([]float64, len(r.book.groups.names))
	for k, f := range flows {
		slope -= float64(k) * f * math.Pow(v, float64(k+1))
	}
	u := 0.0
	for g := range z {
		d := 0.0
		for k, s := range r.model.months {
			z[g] = 1
			up := s.at(z)
			z[g] = -1
			d += (up - s.at(z)) / 2 * math.Pow(v, float64(k))
		}
		z[g] = 0
		u += d * d / 3 / slope / slope
	}
	u = math.Sqrt(u)
	perYear := func(rate float64) float64 { return math.Pow(1+max(rate, -0.999), 12) - 1 }
	f := Figure{Best: perYear(rates[0]), Low: perYear(rates[0] - within*u), High: perYear(rates[0] + within*u)}
	if math.IsInf(f.High, 0) || math.IsNaN(f.High) || math.IsInf(f.Best, 0) || f.Best > 1e6 {
		f = Figure{None: "it lies beyond any meaning"}
	} else if f.High > 1e6 {
		f.High, f.OpenHigh = 0, true
	}
	r.RateOfReturn = f
}

// curve gathers the money month by month, and what an hour paid year by year, with their 95 % bands.
func (r *Result) curve(ctx context.Context) error {
	in, n := r.book.groups.inputs(), len(r.Months)
	all := n + len(r.Years)
	best := make([]float64, all)
	r.model.over(make([]float64, len(in)), best)
	var band []statistics.Result
	if len(in) > 0 {
		var err error
		band, err = statistics.MonteCarloVector(ctx, func(z, y []float64) error {
			r.model.over(z, y)
			return nil
		}, all, in, nil, curveSamples, r.Input.Seed, 0.95)
		if err != nil {
			return err
		}
	}
	figure := func(i int, mid float64) Figure {
		f := Figure{Best: mid, Low: mid, High: mid}
		if len(in) > 0 {
			f.Low, f.High = min(mid, band[i].Low), max(mid, band[i].High)
		}
		return f
	}
	gathered := money.Amount{}
	for k, m := range r.Months {
		gathered = gathered.Plus(m.In.Minus(m.Out))
		f := figure(k, gathered.Float64())
		r.Cumulative = append(r.Cumulative, Point{At: m.First.AddDate(0, 1, 0), Mid: f.Best, Low: f.Low, High: f.High})
	}
	for i := range r.Years {
		y := &r.Years[i]
		if y.Paid = figure(n+i, best[n+i]); y.Hours-y.Design <= 0 {
			y.Paid = Figure{None: "none"}
		}
	}
	return nil
}

// doubt warns of an hour's pay outside the usual (trade practice, no source), and of what would say more.
func (r *Result) doubt() {
	r.market() // says where its currency has no rate
	if f := r.HourPaid; f.None == "" && (f.Best*3600 > 60 || f.Best*3600 < -10) {
		r.book.warn("the hour's pay lies outside -10 to 60 an hour (common practice, no source)", "check that hours.csv holds all hours", "")
	}
	if r.Input.Hour == nil && r.HourPaid.None == "" {
		r.book.lack("production.toml", "work.hour", "whether the hour paid more than elsewhere")
	}
}
