package production

import (
	"context"
	"math"
	"slices"

	"hindwatt/internal/money"
	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics"
)

// samples of a run.
const samples = 50_000

// An Interval is a best value between its 95 % limits.
type Interval struct{ Best, Low, High float64 }

// A Size is what one costs in batches of so many.
type Size struct {
	Units     int
	Cost      float64 // what is left over is used later
	NeverUsed float64 // what is left over never is
	Tied      float64 // money that lies in it
	Minutes   float64 // s of a good unit
}

// Result is the answer of the study.
type Result struct {
	Input    Input
	Currency string
	Batch    int
	Unit     Unit
	Sale     Sale
	Steps    []StepTime // in the order of work
	// Quantities by name: unit-cost, unit-cost-sold, unit-minutes (s), week, left-over.
	Quantities map[string]Interval
	PerHour    Interval // what is left over for an hour of making, money/h
	Budget     statistics.Budget
	From       []string // of the lines of Budget
	Sizes      []Size
	BestLow    int // of the batch: within 1 % of the least cost from here
	BestHigh   int // to here
	Choices    []Choice
	Fit        *money.LearningFit
	FitWhy     string // why there is none
	Lots       []money.Lot
	MakeShare  float64 // of all hours but design; 1 where nothing is recorded
	Recorded   *Record // nil where too little is
	Yields     []StepYield
	Incomplete []string // what of the cost to make is left out
	Lacks      []page.Lack
	Notes      []page.Note
	tied       float64
	model      *model
}

// StepTime is a step and its minutes.
type StepTime struct {
	Name, What string
	Minutes
}

// Names lists the quantities that a promise may ask for.
func Names() []string {
	return []string{"unit-cost", "unit-cost-sold", "unit-minutes", "week", "left-over"}
}

// Run computes all that the input allows. What is missing stands in Result.Lacks; a figure that
// cannot be is an error that names it.
func Run(ctx context.Context, in Input) (*Result, error) {
	r := &Result{Input: in, Quantities: map[string]Interval{}, MakeShare: 1}
	m, err := newModel(&r.Input)
	if err != nil {
		return nil, err
	}
	r.model, r.Currency, r.Batch = m, m.currency, m.batch
	r.learn()
	r.makeShare()
	m.wants()
	r.Lacks, r.Notes, r.Incomplete = m.lacks, m.notes, m.incomplete
	if len(m.lines) == 0 && len(m.steps) == 0 {
		return r, nil
	}
	p, err := m.planFor(m.batch)
	if err != nil {
		return nil, err
	}
	if err := r.quotes(); err != nil {
		return nil, err
	}
	if err := r.spread(ctx, p); err != nil {
		return nil, err
	}
	if err := r.sizes(ctx); err != nil {
		return nil, err
	}
	r.record()
	r.yields()
	r.Notes = m.notes
	return r, nil
}

// wants lists what is missing altogether.
func (m *model) wants() {
	if len(m.in.Lines) == 0 {
		m.lack("bom.NAME.prices", "what the parts cost")
		m.incomplete = append(m.incomplete, "parts")
	}
	if len(m.in.Steps) == 0 {
		m.lack("step.NAME.minutes", "how long one takes")
		m.incomplete = append(m.incomplete, "minutes")
	}
	if !m.hasHour {
		m.lack("work.hour", "what our time counts for")
		m.incomplete = append(m.incomplete, "our time")
	}
	if !m.hasWeek {
		m.lack("work.week", "how many one can make a week")
	}
	if !m.hasPrice {
		m.lack("work.price", "what one leaves over")
	}
}

func (m *model) estimates() []float64 {
	x := make([]float64, len(m.inputs))
	for i := range x {
		x[i] = m.inputs[i].Value
	}
	return x
}

// spread computes all figures with their intervals at the usual batch.
func (r *Result) spread(ctx context.Context, p plan) error {
	m, x := r.model, r.model.estimates()
	times := make([]Minutes, len(m.steps))
	r.Unit = m.unit(x, p, nil, times)
	r.Sale = m.sale(x, r.Unit.Cash)
	r.tied = m.left(x, p)
	for k, s := range m.steps {
		r.Steps = append(r.Steps, StepTime{s.source.Name, s.source.What, times[k]})
	}
	const fixed = 6
	all := func(x, y []float64) error {
		u := m.unit(x, p, nil, nil)
		s := m.sale(x, u.Cash)
		y[0], y[1], y[2], y[3], y[4], y[5] = u.Total, u.Total+s.cost(), u.Time, 0, s.Left, 0
		if u.Time > 0 {
			y[3], y[5] = m.week.at(x)*r.MakeShare/u.Time, s.Left/u.Time*3600 // [P8]
		}
		for i := range r.Choices {
			c := &r.Choices[i]
			y[fixed+i] = u.Total - c.cost(m, x, p) // [P11]
		}
		return nil
	}
	best := make([]float64, fixed+len(r.Choices))
	if err := all(x, best); err != nil {
		return err
	}
	is := make([]Interval, len(best))
	for i, v := range best {
		is[i] = Interval{v, v, v}
	}
	if len(m.inputs) > 0 {
		found, err := statistics.MonteCarloVector(ctx, all, len(best), m.inputs, nil, samples, r.Input.Seed, 0.95)
		if err != nil {
			return err
		}
		for i, f := range found {
			is[i].Low, is[i].High = min(is[i].Best, f.Low), max(is[i].Best, f.High)
		}
	}
	var err error
	r.Budget, err = statistics.Propagate(func(x []float64) (float64, error) { return m.unit(x, p, nil, nil).Total, nil }, m.inputs, nil)
	if err != nil {
		return err
	}
	r.From = m.from
	r.Quantities["unit-cost"] = is[0]
	if len(m.in.Channels) > 0 || len(m.in.Carriage) > 0 {
		r.Quantities["unit-cost-sold"] = is[1]
	}
	if r.Unit.Time > 0 {
		r.Quantities["unit-minutes"] = is[2]
		if m.hasWeek {
			r.Quantities["week"] = is[3]
		}
	}
	if m.hasPrice {
		r.Quantities["left-over"] = is[4]
		if r.Unit.Time > 0 {
			r.PerHour = is[5]
		}
	}
	for i := range r.Choices {
		r.Choices[i].settle(m, x, p, is[fixed+i])
	}
	return nil
}

// sizes computes what one costs over batch sizes, and the flat part about the least.
func (r *Result) sizes(ctx context.Context) error {
	m := r.model
	most := max(4*m.batch, 100)
	if all := r.Input.Recorded; all.Years > 0 && all.AllGood.Best > 0 {
		most = max(m.batch, min(most, int(all.AllGood.Best/all.Years)))
	}
	var units []int
	for n := 1; n <= most; {
		units = append(units, n)
		n = max(n+1, int(math.Round(float64(n)*1.04)))
	}
	for _, n := range []int{m.batch, most} {
		if !slices.Contains(units, n) {
			units = append(units, n)
		}
	}
	slices.Sort(units)
	r.Sizes = make([]Size, len(units))
	x := m.estimates()
	err := numeric.Parallel(ctx, len(units), func(i int) error {
		p, err := m.planFor(units[i])
		if err != nil {
			return err
		}
		if m.learns {
			there, err := money.LotMean(m.rate.value, m.done, units[i])
			if err != nil {
				return err
			}
			usual, err := money.LotMean(m.rate.value, m.done, m.batch)
			if err != nil {
				return err
			}
			p.factor = there / usual // [P9]
		}
		u := m.unit(x, p, nil, nil)
		tied := m.left(x, p)
		r.Sizes[i] = Size{units[i], u.Total, u.Total + tied/float64(units[i])/u.Yield, tied, u.Time}
		return nil
	})
	if err != nil {
		return err
	}
	least := 0
	for i, s := range r.Sizes {
		if s.Cost < r.Sizes[least].Cost {
			least = i
		}
	}
	low, high := least, least
	enough := 1.01 * r.Sizes[least].Cost
	for low > 0 && r.Sizes[low-1].Cost <= enough {
		low--
	}
	for high < len(r.Sizes)-1 && r.Sizes[high+1].Cost <= enough {
		high++
	}
	r.BestLow, r.BestHigh = r.Sizes[low].Units, r.Sizes[high].Units
	return nil
}
