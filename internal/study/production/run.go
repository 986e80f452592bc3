package production

import (
	"context"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics"
)

// usualSamples of a run.
const usualSamples = 50_000

// An Interval is a best value between its 95 % limits.
type Interval struct{ Best, Low, High float64 }

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
	Others     []Other // what else could be made, the cheapest first
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
	if in.Samples == 0 {
		in.Samples = usualSamples
	}
	r := &Result{Input: in, Quantities: map[string]Interval{}, MakeShare: 1}
	m, err := newModel(&r.Input)
	if err != nil {
		return nil, err
	}
	r.model, r.Currency, r.Batch = m, m.currency, m.batch
	if in.At > 0 {
		r.Batch = in.At
	}
	r.learn()
	r.makeShare()
	m.wants()
	r.Lacks, r.Notes, r.Incomplete = m.lacks, m.notes, m.incomplete
	if len(m.lines) == 0 && len(m.steps) == 0 {
		return r, nil
	}
	p, err := m.planFor(r.Batch)
	if err != nil {
		return nil, err
	}
	if err := r.quotes(); err != nil {
		return nil, err
	}
	if err := r.spread(ctx, p); err != nil {
		return nil, err
	}
	if !in.OneSize {
		if err := r.sizes(ctx); err != nil {
			return nil, err
		}
	}
	if err := r.record(p); err != nil {
		return nil, err
	}
	r.instead(p)
	r.yields()
	r.Notes = m.notes
	return r, nil
}

// IsUsualBatch reports whether the batch is the one that is usually made, to which the records belong.
func (r *Result) IsUsualBatch() bool { return r.Batch == r.model.batch }

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

// An output is one figure that is computed from the same draws as all others.
type output struct {
	of func(x []float64, u Unit, s Sale) float64
	to func(Interval)
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
	outputs := r.outputs()
	for i := range r.Choices {
		outputs = append(outputs, r.Choices[i].outputs(m, p)...)
	}
	all := func(x, y []float64) error {
		u := m.unit(x, p, nil, nil)
		s := m.sale(x, u.Cash)
		for i, o := range outputs {
			y[i] = o.of(x, u, s)
		}
		return nil
	}
	found := make([]statistics.Result, len(outputs))
	if len(m.inputs) > 0 {
		var err error
		if found, err = statistics.MonteCarloVector(ctx, all, len(outputs), m.inputs, nil, r.Input.Samples, r.Input.Seed, 0.95); err != nil {
			return err
		}
	}
	for i, o := range outputs {
		best := o.of(x, r.Unit, r.Sale)
		is := Interval{best, best, best}
		if len(m.inputs) > 0 {
			is.Low, is.High = min(best, found[i].Low), max(best, found[i].High)
		}
		o.to(is)
	}
	var err error
	r.Budget, err = statistics.Propagate(func(x []float64) (float64, error) { return m.unit(x, p, nil, nil).Total, nil }, m.inputs, nil)
	r.From = m.from
	return err
}

// outputs are the figures of the study that its input allows.
func (r *Result) outputs() []output {
	m := r.model
	named := func(name string) func(Interval) { return func(is Interval) { r.Quantities[name] = is } }
	var list []output
	if r.Unit.Total > 0 || len(r.Incomplete) == 0 { // else all that is known is that it costs something
		list = append(list, output{func(_ []float64, u Unit, _ Sale) float64 { return u.Total }, named("unit-cost")})
	}
	if len(m.in.Channels) > 0 || len(m.in.Carriage) > 0 {
		list = append(list, output{func(_ []float64, u Unit, s Sale) float64 { return u.Total + s.cost() }, named("unit-cost-sold")})
	}
	if m.hasPrice {
		list = append(list, output{func(_ []float64, _ Unit, s Sale) float64 { return s.Left }, named("left-over")})
	}
	if !(r.Unit.Time > 0) {
		return list
	}
	list = append(list, output{func(_ []float64, u Unit, _ Sale) float64 { return u.Time }, named("unit-minutes")})
	if m.hasWeek {
		list = append(list, output{func(x []float64, u Unit, _ Sale) float64 {
			return m.week.at(x) * r.MakeShare / max(u.Time, leastTime) // [P8]
		}, named("week")})
	}
	if m.hasPrice {
		list = append(list, output{func(_ []float64, u Unit, s Sale) float64 {
			return s.Left / max(u.Time, leastTime) * 3600
		}, func(is Interval) { r.PerHour = is }})
	}
	return list
}

// leastTime of a unit that is divided by, s: a sample of a normal time can be 0.
const leastTime = 1e-3
