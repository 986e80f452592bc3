package production

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/money"
	"hindwatt/internal/statistics"
)

// Record is what the records give for one good unit.
type Record struct {
	Parts, Time, Cost Interval // money, s, money
	Units             float64
	Ordered           float64 // good units to an order of parts; 0 where no single orders are known
	Basis             string
	From              []string
	Difference        Interval // calculated less recorded cost, shared inputs cancelled; 0 where CostOpen
	TimeDifference    Interval // calculated less recorded time, s; 0 where TimeOpen
	HasCost, HasTime  bool
	// Why there are no limits: "one row only". Both limits are then the best value, and say nothing.
	PartsOpen, TimeOpen, CostOpen string
	Short                         bool // rows of spending are left out: Parts and Cost are at least so much
	uParts, uTime                 float64
}

// batches puts the rows of hours of one period together: their time for one started unit.
func (r *Result) batches(hours []Hours) (lots []money.Lot, total Amount, partly int) {
	whole := len(r.model.steps)
	for i := 0; i < len(hours); {
		j, time, steps, all := i, Amount{}, 0, false
		for ; j < len(hours) && hours[j].Day == hours[i].Day && hours[j].Until == hours[i].Until; j++ {
			t := hours[j].Time
			time = Amount{time.Best + t.Best, time.Low + t.Low, time.High + t.High}
			if hours[j].Step == "" {
				all = true
			} else {
				steps++
			}
		}
		total = Amount{total.Best + time.Best, total.Low + time.Low, total.High + time.High}
		n := hours[i].Units.Best
		switch {
		case n < 1 || time.Best <= 0:
		case all && steps == 0 || steps >= whole:
			lots = append(lots, money.Lot{Units: int(math.Round(n)), Each: time.Best / n})
		default:
			partly++
		}
		i = j
	}
	return lots, total, partly
}

// learn fits the learning curve, or takes the folder's.
func (r *Result) learn() {
	m := r.model
	m.rate = constant(1)
	lots, _, partly := r.batches(r.Input.Recorded.AllHours)
	r.Lots = lots
	if partly > 0 {
		m.note(fmt.Sprintf("%d batches in records/hours.csv have the hours of some steps only: learning leaves them out.", partly), "write down the other steps too", "records/hours.csv")
	}
	fit, err := money.FitLearning(lots, statistics.StudentTQuantile)
	switch {
	case err == nil:
		r.Fit, m.learns = &fit, true
		m.rate = constant(fit.Rate)
		if u := fit.Rate * math.Ln2 * fit.SlopeU; u > 0 {
			m.rate = m.enter(statistics.Input{Name: "learning, as fitted", Value: fit.Rate, U: u, DOF: fit.DOF}, "records/hours.csv")
		}
	case errors.Is(err, money.ErrFewLots):
		r.FitWhy = "Too few batches with their hours for a curve of our own."
	default:
		r.FitWhy = err.Error()
	}
	if r.Fit == nil && r.Input.Learning != nil {
		m.rate, m.learns = m.add("work.learning", r.Input.Learning, 1), true
	}
}

// makeShare is the part of all hours but design that went into making.
func (r *Result) makeShare() {
	rec := r.Input.Recorded
	if all := rec.MakeTime.Best + rec.OtherTime.Best; rec.MakeTime.Best > 0 && all > 0 {
		r.MakeShare = rec.MakeTime.Best / all
	}
}

// record computes what was recorded for one good unit, and how far the calculation is off.
func (r *Result) record(p plan) error {
	rec, m := r.Input.Recorded, r.model
	if n := len(m.unpriced); n > 0 {
		m.note(fmt.Sprintf("There is no rate for %s, in which parts were paid (rows: %d): what was paid for parts is not compared.", m.unpriced[0].Currency, n),
			"write what one "+m.unpriced[0].Currency+" is worth under [rates]", m.unpriced[0].From)
	}
	if !(rec.Good.Low > 0) {
		return nil
	}
	out := &Record{Units: rec.Good.Best, Basis: "counted", Short: rec.SpentShort}
	if len(m.unpriced) == 0 {
		r.recordParts(out)
	}
	if err := r.recordTime(out, p); err != nil {
		return err
	}
	if out.Parts.Best > 0 || out.HasTime {
		r.Recorded = out
	}
	if out.Parts.Best > 0 && out.HasTime && m.hasHour {
		return r.recordCost(out, p)
	}
	return nil
}

// recordParts adds what was paid for parts.
func (r *Result) recordParts(out *Record) {
	rec := r.Input.Recorded
	var parts Amount
	orders, ordered := 0.0, 0.0
	for _, p := range rec.Parts {
		rate, _ := r.model.rateOf(p.Currency, "")
		parts = Amount{parts.Best + p.Amount.Best*rate.value, parts.Low + p.Amount.Low*rate.value, parts.High + p.Amount.High*rate.value}
		out.weaken(p.Basis, p.From)
		if !p.Period {
			orders++
			ordered += p.Amount.Best * rate.value
		}
	}
	if !(parts.Best > 0) {
		return
	}
	edge := 0.0 // one order more or less belongs to these units: what lay in stock is not known
	if orders > 0 {
		edge = ordered / orders
		out.Ordered = rec.Good.Best / orders
	}
	out.Parts = Interval{parts.Best / rec.Good.Best, max(0, parts.Low-edge) / rec.Good.High, (parts.High + edge) / rec.Good.Low} // [P13]
	out.uParts = (out.Parts.High - out.Parts.Low) / 2 / math.Sqrt(3)
	if out.Parts.isPoint() {
		out.PartsOpen = whyPoint(len(rec.Parts), "rows of no spread")
	}
}

// isPoint reports whether the limits are the best value itself, but for rounding.
func (i Interval) isPoint() bool { return i.High-i.Low <= 1e-12*math.Abs(i.Best) }

// whyPoint says why rows give no limits.
func whyPoint(rows int, otherwise string) string {
	if rows == 1 {
		return "one row only"
	}
	return otherwise
}

// recordTime adds the hours of making, and how far the steps are off them. One batch has no t
// interval: where nothing else is written of the spread, there are no limits.
func (r *Result) recordTime(out *Record, p plan) error {
	good := r.Input.Recorded.Good
	lots, time, _ := r.batches(r.Input.Recorded.Hours)
	for _, h := range r.Input.Recorded.Hours {
		out.weaken(h.Basis, h.From)
	}
	if !(time.Best > 0) {
		return nil
	}
	half := scatter(lots)
	out.HasTime = true
	out.Time = Interval{time.Best / good.Best, max(0, time.Low/good.High-half), time.High/good.Low + half} // [P14]
	out.uTime = math.Hypot(half/1.96, (time.High-time.Low)/good.Best/2/math.Sqrt(3))
	if !out.Time.isPoint() {
		return r.timeDifference(out, p)
	}
	why := "rows of no spread"
	if len(lots) < 2 {
		why = "no two batches with their count"
	}
	out.TimeOpen = whyPoint(len(r.Input.Recorded.Hours), why)
	return nil
}

// scatter is the half width of the 95 % t interval of the batches' mean; 0 where there is none.
func scatter(lots []money.Lot) float64 {
	k := float64(len(lots))
	if k < 2 {
		return 0
	}
	mean, squares := 0.0, 0.0
	for _, l := range lots {
		mean += l.Each / k
	}
	for _, l := range lots {
		squares += (l.Each - mean) * (l.Each - mean)
	}
	return statistics.StudentTQuantile(0.975, k-1) * math.Sqrt(squares/(k-1)/k)
}

// timeDifference holds the minutes of the steps against the hours.
func (r *Result) timeDifference(out *Record, p plan) error {
	m, n := r.model, len(r.model.inputs)
	if len(m.steps) == 0 {
		return nil
	}
	in := append(slices.Clone(m.inputs), statistics.Input{Name: "hours as recorded", Value: out.Time.Best, U: out.uTime})
	d, err := statistics.Propagate(func(x []float64) (float64, error) { return m.unit(x, p, nil, nil).Time - x[n], nil }, in, nil) // [P16]
	out.TimeDifference = Interval{d.Value, d.Low, d.High}
	return err
}

// recordCost adds the overheads, which are the calculation's, and holds one against the other:
// hour, rates and overheads are the same inputs on both sides and cancel.
func (r *Result) recordCost(out *Record, p plan) error {
	m, n := r.model, len(r.model.inputs)
	in := append(slices.Clone(m.inputs), statistics.Input{Name: "parts as recorded", Value: out.Parts.Best, U: out.uParts},
		statistics.Input{Name: "hours as recorded", Value: out.Time.Best, U: out.uTime})
	recorded := func(x []float64, u Unit) float64 { return x[n] + x[n+1]*m.hour.at(x) + u.Overhead } // [P15]
	cost, err := statistics.Propagate(func(x []float64) (float64, error) { return recorded(x, m.unit(x, p, nil, nil)), nil }, in, nil)
	if err != nil {
		return err
	}
	difference, err := statistics.Propagate(func(x []float64) (float64, error) {
		u := m.unit(x, p, nil, nil)
		return u.Total - recorded(x, u), nil // [P16]
	}, in, nil)
	if err != nil {
		return err
	}
	out.HasCost = true
	if m.hour.best() > 0 {
		out.CostOpen = out.TimeOpen
	}
	out.CostOpen = cmp.Or(out.CostOpen, out.PartsOpen)
	if out.CostOpen != "" {
		out.Cost = Interval{cost.Value, cost.Value, cost.Value}
		return nil
	}
	out.Cost = Interval{cost.Value, max(0, cost.Low), cost.High}
	out.Difference = Interval{difference.Value, difference.Low, difference.High}
	return nil
}

// weaken keeps the weakest basis, and where it stands.
func (o *Record) weaken(basis, from string) {
	switch {
	case basis == "remembered" || o.Basis == "remembered":
		o.Basis = "remembered"
	case basis == "booked":
		o.Basis = "booked"
	}
	o.From = append(o.From, from)
}
