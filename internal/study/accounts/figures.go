package accounts

import (
	"context"
	"math"
	"slices"

	"hindwatt/internal/money"
	"hindwatt/internal/statistics"
)

// A model is the accounts as forms of the groups' spreads.
type model struct {
	in, out, hours, design sum
	otherOut, otherHours   sum      // with parts and making from production.toml
	other                  bool     // both are known
	months                 []sum    // net of each month
	years                  [][2]sum // net of each year, and its hours without design
}

const year = 365.25 * 86400

func (r *Result) newModel() *model {
	b, m := r.book, &model{}
	in, out, hours, design, otherOut, otherHours := form{}, form{}, form{}, form{}, form{}, form{}
	months, worked := make([]form, len(r.Months)), make([]form, len(r.Months))
	for k := range months {
		months[k], worked[k] = form{}, form{}
	}
	recorded, recordedHours := false, false
	for _, e := range b.entries {
		sign := -1.0
		if e.in {
			sign = 1
			in.plus(e.form, 1)
		} else {
			out.plus(e.form, 1)
			if recorded = recorded || e.units; !e.units {
				otherOut.plus(e.form, 1)
			}
		}
		from, days := r.days(e.row)
		for k, d := range days {
			months[from+k].plus(e.form, sign*float64(d)/float64(total(days)))
		}
	}
	for _, w := range b.works {
		hours.plus(w.form, 1)
		if w.group == "design" {
			design.plus(w.form, 1)
		} else {
			from, days := r.days(w.row)
			for k, d := range days {
				worked[from+k].plus(w.form, float64(d)/float64(total(days)))
			}
		}
		if slices.Contains(making, w.group) && w.kind != kindBack {
			recordedHours = recordedHours || !w.calculated
		} else {
			otherHours.plus(w.form, 1)
		}
	}
	parts, _, ok := b.partsAndMinutes()
	if m.other = recorded && recordedHours && ok; m.other {
		minutes, _, _ := b.unitMinutes()
		b.eachUnit(func(_ Row, _ [3]float64, f form) {
			otherOut.plus(parts.form.times(f), 1)
			otherHours.plus(minutes.times(f), 1)
		})
	}
	m.in, m.out, m.hours, m.design = in.ready(), out.ready(), hours.ready(), design.ready()
	m.otherOut, m.otherHours = otherOut.ready(), otherHours.ready()
	for _, f := range months {
		m.months = append(m.months, f.ready())
	}
	m.years = r.perYear(months, worked)
	return m
}

// perYear adds up the months' forms by the years of r.
func (r *Result) perYear(net, hours []form) (out [][2]sum) {
	k := 0
	for _, y := range r.Years {
		left, worked := form{}, form{}
		for ; k < len(net) && r.Months[k].First.Year() == y.Year; k++ {
			left.plus(net[k], 1)
			worked.plus(hours[k], 1)
		}
		out = append(out, [2]sum{left.ready(), worked.ready()})
	}
	return out
}

func (b *book) partsAndMinutes() (parts price, minutes form, ok bool) {
	parts, ok = b.unitParts()
	minutes, _, timed := b.unitMinutes()
	return parts, minutes, ok && timed
}

// The figures of the model, in order.
const (
	iIn = iota
	iOut
	iNet
	iHours
	iPaid
	iBut
	iOther
	iApart
	iTurned
	figures
)

// at computes all figures at the groups' spreads [A7].
func (m *model) at(z, y []float64) error {
	in, out, hours := m.in.at(z), m.out.at(z), m.hours.at(z)
	y[iIn], y[iOut], y[iNet], y[iHours] = in, out, in-out, hours
	y[iPaid] = ratio(in-out, hours/3600)
	y[iBut] = ratio(in-out, (hours-m.design.at(z))/3600)
	y[iOther] = ratio(in-m.otherOut.at(z), m.otherHours.at(z)/3600)
	y[iApart] = y[iPaid] - y[iOther]
	y[iTurned] = float64(m.turned(z))
	return nil
}

func ratio(a, b float64) float64 {
	if b <= 0 {
		return 0
	}
	return a / b
}

// turned counts the months until the gathered money stays above 0; one more than there are where it never does.
func (m *model) turned(z []float64) int {
	sum, since := 0.0, len(m.months)+1
	for k, s := range m.months {
		if sum += s.at(z); sum <= 0 {
			since = len(m.months) + 1
		} else if since > len(m.months) {
			since = k + 1
		}
	}
	return since
}

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
	m := r.newModel()
	r.model = m
	in := r.book.groups.inputs()
	y := make([]float64, figures)
	if err := m.at(make([]float64, len(in)), y); err != nil {
		return err
	}
	spread := make([]statistics.Result, figures)
	if len(in) > 0 {
		var err error
		spread, err = statistics.MonteCarloVector(ctx, m.at, figures, in, nil, samples, r.Input.Seed, 0.95)
		if err != nil {
			return err
		}
		r.Budget, err = statistics.Propagate(func(z []float64) (float64, error) {
			return ratio(m.in.at(z)-m.out.at(z), m.hours.at(z)/3600), nil
		}, in, nil)
		if err != nil {
			return err
		}
	}
	put := func(to *Figure, i int, scale float64) {
		*to = Figure{Best: y[i] * scale, Low: y[i] * scale, High: y[i] * scale}
		if len(in) > 0 {
			to.Low, to.High = min(to.Best, spread[i].Low*scale), max(to.Best, spread[i].High*scale)
		}
	}
	sold, any := len(r.Lines) > 0 && r.Lines[0].In, y[iHours] > 0
	put(&r.WentOut, iOut, 1)
	put(&r.Hours, iHours, 1)
	if !sold {
		return r.curve(ctx)
	}
	put(&r.CameIn, iIn, 1)
	put(&r.Net, iNet, 1)
	if any && r.madeHours() {
		put(&r.HourPaid, iPaid, 1./3600)
		put(&r.HourPaidBut, iBut, 1./3600)
		if m.other {
			put(&r.Calculated, iOther, 1./3600)
			put(&r.Apart, iApart, 1./3600)
		}
	} else {
		r.HourPaid.None, r.HourPaidBut.None = "hours of making are missing", "hours of making are missing"
	}
	put(&r.Turned, iTurned, year/12)
	if never := float64(len(m.months)) * year / 12; r.Turned.Best > never {
		r.Turned = Figure{None: "it has not turned"}
	} else if r.Turned.High > never {
		r.Turned.High, r.Turned.OpenHigh = 0, true
	}
	r.returnRate()
	return r.curve(ctx)
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

// over computes the money gathered by the end of each month, then each year's hour's pay, at the groups' spreads.
func (m *model) over(z, y []float64) {
	sum := 0.0
	for k, s := range m.months {
		sum += s.at(z)
		y[k] = sum
	}
	for i, s := range m.years {
		y[len(m.months)+i] = ratio(s[0].at(z), s[1].at(z))
	}
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
