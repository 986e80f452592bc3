package accounts

import (
	"context"
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
	for i := range r.Years {
		y := &r.Years[i]
		if y.Paid = f[figures+i]; y.Hours-y.Design <= 0 {
			y.Paid = Figure{None: "none"}
		}
	}
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
		r.open()
	}
	return r.curve(ctx)
}

// drawn computes the model's figures, each year's hour's pay, and their intervals, and the budget.
func (r *Result) drawn(ctx context.Context) ([]Figure, error) {
	m, in := r.model, r.book.groups.inputs()
	n := figures + len(m.years)
	y, out := make([]float64, n), make([]Figure, n)
	if err := m.at(make([]float64, len(in)), y); err != nil {
		return nil, err
	}
	for i, v := range y {
		out[i] = Figure{Best: v, Low: v, High: v}
	}
	if len(in) == 0 {
		return out, nil
	}
	spread, err := statistics.MonteCarloVector(ctx, m.at, n, in, nil, samples, r.Input.Seed, 0.95)
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

// open opens the sides that nothing bounds: where nothing tells what parts cost, more went out.
func (r *Result) open() {
	if r.book.noParts {
		r.WentOut.OpenHigh = true
		for _, f := range []*Figure{&r.Net, &r.HourPaid, &r.HourPaidBut} {
			f.OpenLow = f.None == ""
		}
		why := Figure{None: "what the parts cost is not known"}
		r.RateOfReturn, r.Turned = why, why
	}
}

// curve gathers the money month by month, with its 95 % band.
func (r *Result) curve(ctx context.Context) error {
	in, n := r.book.groups.inputs(), len(r.Months)
	var band []statistics.Result
	if len(in) > 0 {
		var err error
		if band, err = statistics.MonteCarloVector(ctx, r.model.over, n, in, nil, curveSamples, r.Input.Seed, 0.95); err != nil {
			return err
		}
	}
	gathered := money.Amount{}
	for k, m := range r.Months {
		gathered = gathered.Plus(m.In.Minus(m.Out))
		mid := gathered.Float64()
		p := Point{At: m.First.AddDate(0, 1, -1), Mid: mid, Low: mid, High: mid}
		if len(in) > 0 {
			p.Low, p.High = min(mid, band[k].Low), max(mid, band[k].High)
		}
		r.Cumulative = append(r.Cumulative, p)
	}
	if last := &r.Cumulative[n-1]; r.Net.None == "" { // the same draws as the answer
		last.Low, last.High = min(last.Mid, r.Net.Low), max(last.Mid, r.Net.High)
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
