package production

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/money"
	"hindwatt/internal/statistics"
)

// Record is what the records give for one good unit.
type Record struct {
	Parts, Time, Cost Interval // money, s, money
	Units             float64
	Basis             string
	From              []string
	Difference        Interval // calculated less recorded cost, shared inputs cancelled
	HasCost, HasTime  bool
	uParts, uTime     float64
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
		r.Fit = &fit
		m.rate, m.learns = constant(min(1, fit.Rate)), true
	case errors.Is(err, money.ErrFewLots):
		r.FitWhy = "too few batches with their hours for a curve of our own"
	default:
		r.FitWhy = err.Error()
	}
	if r.Fit == nil && r.Input.Learning != nil {
		m.rate, m.learns = constant(min(1, max(0.3, r.Input.Learning.Value))), true
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
func (r *Result) record() {
	rec, m := r.Input.Recorded, r.model
	if !(rec.Good.Low > 0) {
		return
	}
	out := &Record{Units: rec.Good.Best, Basis: "counted"}
	good := rec.Good
	var parts Amount
	orders, largest := 0.0, 0.0
	for _, p := range rec.Parts {
		parts = Amount{parts.Best + p.Amount.Best, parts.Low + p.Amount.Low, parts.High + p.Amount.High}
		out.weaken(p.Basis, p.From)
		if !p.Period {
			orders++
			largest += p.Amount.Best
		}
	}
	if parts.Best > 0 {
		edge := 0.0 // one order more or less belongs to these units: what lay in stock is not known
		if orders > 0 {
			edge = largest / orders
		}
		out.Parts = Interval{parts.Best / good.Best, max(0, parts.Low-edge) / good.High, (parts.High + edge) / good.Low} // [P13]
		out.uParts = (out.Parts.High - out.Parts.Low) / 2 / math.Sqrt(3)
	}
	lots, time, _ := r.batches(rec.Hours)
	for _, h := range rec.Hours {
		out.weaken(h.Basis, h.From)
	}
	if time.Best > 0 {
		half := 0.0
		if k := float64(len(lots)); k >= 3 {
			mean, squares := 0.0, 0.0
			for _, l := range lots {
				mean += l.Each / k
			}
			for _, l := range lots {
				squares += (l.Each - mean) * (l.Each - mean)
			}
			half = statistics.StudentTQuantile(0.975, k-1) * math.Sqrt(squares/(k-1)/k)
		}
		out.HasTime = true
		out.Time = Interval{time.Best / good.Best, max(0, time.Low/good.High-half), time.High/good.Low + half} // [P14]
		out.uTime = math.Hypot(half/1.96, (time.High-time.Low)/good.Best/2/math.Sqrt(3))
	}
	if parts.Best > 0 && out.HasTime && m.hasHour {
		r.recordCost(out)
	}
	if parts.Best > 0 || out.HasTime {
		r.Recorded = out
	}
}

// recordCost adds the overheads, which are the calculation's, and holds one against the other.
func (r *Result) recordCost(out *Record) {
	m, hour := r.model, r.model.hour.value
	var uHour, uOver, uOwn float64
	for i, l := range r.Budget.Lines {
		switch name := m.inputs[i].Name; {
		case name == "work.hour":
			uHour = l.U
		case shared(name):
			uOver = math.Hypot(uOver, l.Contribution)
		default:
			uOwn = math.Hypot(uOwn, l.Contribution)
		}
	}
	out.HasCost = true
	best := out.Parts.Best + out.Time.Best*hour + r.Unit.Overhead // [P15]
	direct := math.Hypot(out.uParts, out.uTime*hour)
	half := 1.96 * math.Hypot(math.Hypot(direct, out.Time.Best*uHour), uOver)
	out.Cost = Interval{best, max(0, best-half), best + half}
	d := r.Unit.Total - best
	half = 1.96 * math.Hypot(math.Hypot(uOwn, direct), (r.Unit.Time-out.Time.Best)*uHour) // [P16]
	out.Difference = Interval{d, d - half, d + half}
}

// shared reports whether the record takes an input over from the calculation.
func shared(name string) bool {
	return len(name) > 9 && name[:9] == "overhead." || name == "units made"
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

// StepYield holds what passed a step at first against the folder.
type StepYield struct {
	Step                   string
	Entered, Rework, Scrap int
	Passed                 Interval // at first, exact limits at 95 %
	Folder                 float64
	Differs                bool // at 95 % for all steps together
}

// fewNotRecorded is from how many units on a record without any fault is not believed.
const fewNotRecorded = 50

// yields counts what passed at each step.
func (r *Result) yields() {
	rec, m := r.Input.Recorded, r.model
	entered, faults := int(rec.Started.Low), 0
	for _, c := range rec.Steps {
		faults += c.Rework + c.Scrap
	}
	if faults == 0 {
		if entered > fewNotRecorded {
			m.note(fmt.Sprintf("All of %d units are recorded as passed at first: rework and scrap were probably not recorded.", entered), "record rework and scrap too", "records/made.csv")
		}
		return
	}
	for _, s := range m.steps {
		y := StepYield{Step: s.source.Name, Entered: entered, Folder: s.yield.value}
		for _, c := range rec.Steps {
			if c.Step == y.Step {
				y.Rework, y.Scrap = y.Rework+c.Rework, y.Scrap+c.Scrap
			}
		}
		passed := entered - y.Rework - y.Scrap
		if entered < 1 || passed < 0 {
			continue
		}
		low, high, err := statistics.BinomialLimits(passed, entered, 0.95)
		if err != nil {
			continue
		}
		y.Passed = Interval{float64(passed) / float64(entered), low, high}
		wideLow, wideHigh, err := statistics.BinomialLimits(passed, entered, 1-0.05/float64(len(m.steps)))
		y.Differs = err == nil && (y.Folder < wideLow || y.Folder > wideHigh)
		r.Yields = append(r.Yields, y)
		entered -= y.Scrap
	}
}
