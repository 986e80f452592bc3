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
	otherOut, otherHours   sum   // with parts and making from production.toml
	other                  bool  // both are known
	months                 []sum // net of each month
}

const year = 365.25 * 86400

func (r *Result) newModel() *model {
	b, m := r.book, &model{}
	in, out, hours, design, otherOut, otherHours := form{}, form{}, form{}, form{}, form{}, form{}
	months := make([]form, len(r.Months))
	for k := range months {
		months[k] = form{}
	}
	recorded, making := false, false
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
		}
		if unit := slices.Contains(madeOf, w.group) && w.kind != kindBack && !w.calculated; unit {
			making = true
		} else {
			otherHours.plus(w.form, 1)
		}
	}
	parts, _, ok := b.partsAndMinutes()
	if m.other = recorded && making && ok; m.other {
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
	return m
}

var madeOf = []string{"building", "testing", "packing"}

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
	return slices.ContainsFunc(r.Worked, func(w Worked) bool { return slices.Contains(madeOf, w.Group) && w.Best > 0 })
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

// curve gathers the money month by month, with its 95 % band.
func (r *Result) curve(ctx context.Context) error {
	in, n := r.book.groups.inputs(), len(r.Months)
	var band []statistics.Result
	if len(in) > 0 {
		var err error
		band, err = statistics.MonteCarloVector(ctx, func(z, y []float64) error {
			sum := 0.0
			for k, s := range r.model.months {
				sum += s.at(z)
				y[k] = sum
			}
			return nil
		}, n, in, nil, curveSamples, r.Input.Seed, 0.95)
		if err != nil {
			return err
		}
	}
	gathered := money.Amount{}
	for k, m := range r.Months {
		gathered = gathered.Plus(m.In.Minus(m.Out))
		p := Point{At: m.First.AddDate(0, 1, 0), Mid: gathered.Float64()}
		p.Low, p.High = p.Mid, p.Mid
		if len(in) > 0 {
			p.Low, p.High = min(p.Mid, band[k].Low), max(p.Mid, band[k].High)
		}
		r.Cumulative = append(r.Cumulative, p)
	}
	return nil
}

// setAside is the money for what will still come back within acceptance after the last row: the rate of returns so far, with its
// exact limits, times the time that units are still out within it, times what one cost [A9].
func (r *Result) setAside() {
	in := &r.Input
	r.Units = r.sold()
	if in.AcceptedFor == nil {
		r.SetAside.None = "accepted_for of product.toml is missing"
		return
	}
	if len(r.Months) == 0 {
		return
	}
	asOf := r.Months[len(r.Months)-1].First.AddDate(0, 1, 0)
	accepted := in.AcceptedFor.Value / year
	var past, ahead float64
	for _, s := range in.Sold {
		n := 1.0
		if s.Count != nil {
			n = s.Count.Value
		}
		middle := s.Date.Add(s.last().Sub(s.Date) / 2)
		age := max(0, asOf.Sub(middle).Hours()/24/365.25)
		past += n * min(age, accepted)
		ahead += n * max(0, accepted-age)
	}
	events, cost, costed := [3]float64{}, [3]float64{}, 0.0
	for _, back := range in.Returned {
		count := [3]float64{1, 1, 1}
		if back.Count != nil {
			count = ends(back.Count.Quantity)
		}
		for i := range events {
			events[i] += count[i]
		}
		if back.Cost == nil || back.Cost.Currency != r.Currency {
			continue
		}
		costed += count[1]
		for i, c := range ends(back.Cost.Quantity) {
			cost[i] += count[1] * c
		}
	}
	switch {
	case past <= 0:
		r.SetAside.None = "nothing was sold long enough"
		return
	case costed == 0:
		r.SetAside.None = "what a return costs is not known"
		r.book.lack("records/returned.csv", "cost", "the money to set aside for what still comes back")
		return
	}
	low, _, err := statistics.PoissonLimits(int(math.Floor(events[0])), past, 0.95)
	_, high, err2 := statistics.PoissonLimits(int(math.Ceil(events[2])), past, 0.95)
	if err != nil || err2 != nil {
		return
	}
	r.SetAside = Figure{Best: events[1] / past * ahead * cost[1] / costed, Low: low * ahead * cost[0] / costed, High: high * ahead * cost[2] / costed}
}

// doubt warns of an hour's pay outside the usual (trade practice, no source).
func (r *Result) doubt() {
	if f := r.HourPaid; f.None == "" && (f.Best*3600 > 60 || f.Best*3600 < -10) {
		r.book.warn("the hour's pay lies outside -10 to 60 an hour (common practice, no source)", "check that hours.csv holds all hours", "")
	}
	if r.Input.Hour == nil && r.HourPaid.None == "" {
		r.book.lack("production.toml", "work.hour", "whether the hour paid more than elsewhere")
	}
}
