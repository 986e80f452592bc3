package promise

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/setpoint"
)

// mostUnits is how many units are thought of to settle a promise.
const mostUnits = 10000

// setpointRun is one run of the setpoint study, for all promises under the same conditions.
type setpointRun struct {
	once   sync.Once
	input  setpoint.Input
	result *setpoint.Result
	err    error
}

// setpointConditions are those of a promise that the setpoint study knows.
func setpointConditions(c *product.Conditions) setpoint.Conditions {
	return setpoint.Conditions{
		Ambient:       bind.Value(c.Ambient),
		ChargeCurrent: bind.Value(c.ChargeCurrent),
		LoadCurrent:   bind.Value(c.LoadCurrent),
	}
}

func conditionsKey(c setpoint.Conditions) string {
	var key strings.Builder
	for _, v := range []*setpoint.Value{c.Ambient, c.ChargeCurrent, c.LoadCurrent} {
		if v != nil {
			key.WriteString(v.Quantity.String())
		}
		key.WriteByte('|')
	}
	return key.String()
}

// setpointUnder runs the study under the conditions once, for the quantities that any promise
// under them asks for.
func (s *session) setpointUnder(ctx context.Context, c setpoint.Conditions) *setpointRun {
	key := conditionsKey(c)
	s.mutex.Lock()
	run := s.runs[key]
	if run == nil {
		run = &setpointRun{}
		s.runs[key] = run
	}
	s.mutex.Unlock()
	run.once.Do(func() {
		run.input = s.setpointInput(c, key)
		run.result, run.err = setpoint.Run(ctx, run.input)
	})
	return run
}

// setpointInput asks for the quantities of all promises under the same conditions.
func (s *session) setpointInput(c setpoint.Conditions, key string) setpoint.Input {
	in := bind.Setpoint(s.product, s.options.Installation)
	in.Conditions, in.Seed = c, s.options.Seed
	for _, p := range s.product.Promises.All() {
		name := bind.Plain(p.Quantity.Text)
		if p.Study.Text == "setpoint" && isSetpoint(name) && conditionsKey(setpointConditions(&p.Conditions)) == key {
			in.Quantities = append(in.Quantities, name)
		}
	}
	return in
}

// judgeSetpoint gathers what is calculated and what was measured of one setpoint.
func judgeSetpoint(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	if !isSetpoint(name) {
		return fmt.Errorf("%s: promise.%s.quantity: %q is not a quantity of the setpoint study; want one of %s",
			asked.Quantity.Origin, j.Name, asked.Quantity.Text, strings.Join(setpoint.Quantities(), ", "))
	}
	j.Axis, j.PageID = setpointAxis(name), "setpoint"
	if s.unaged(asked) {
		j.Lacks = []page.Lack{{File: "product.toml", Key: "sense.ageing", Why: "how far the sense chain drifts by that age"}}
		j.Verdict = NoEvidence
		return nil
	}
	run := s.setpointUnder(ctx, setpointConditions(&asked.Conditions))
	if run.err != nil {
		return run.err
	}
	j.Lacks = append(j.Lacks, run.result.Lacks(name)...)
	outcome := run.result.Outcome(name)
	if outcome != nil {
		calculated, err := calculatedSetpoint(outcome, j)
		if err != nil {
			return err
		}
		calculated.Conditions = conditionsText(run.input.Conditions)
		j.Evidence = append(j.Evidence, calculated)
	}
	settle, err := s.measuredSetpoint(ctx, run, name, j)
	if err != nil {
		return err
	}
	j.judge()
	return j.saySetpoint(outcome, settle)
}

func isSetpoint(name string) bool { return slices.Contains(setpoint.Quantities(), name) }

func setpointAxis(name string) string {
	switch {
	case name == "display-error":
		return "shown less true voltage"
	case strings.HasSuffix(name, "-error"):
		return "deviation from the target"
	}
	return "voltage at the battery"
}

func calculatedSetpoint(o *setpoint.Outcome, j *Judged) (Evidence, error) {
	e := Evidence{Kind: Calculated, Covers: true, From: []string{"setpoint study"}}
	if !j.EachUnit {
		mean, err := o.MeanOver(j.Confidence)
		e.Interval = closed(mean.Best, mean.Low, mean.High)
		return e, err
	}
	holds, err := o.Tolerance(j.Proportion, j.Confidence)
	if err != nil {
		return e, err
	}
	inside, err := o.Inside(j.Bound.min(), j.Bound.max(), j.Confidence)
	if err != nil {
		return e, err
	}
	share := closed(inside.Best, inside.Low, inside.High)
	e.Interval, e.Inside = closed(holds.Best, holds.Low, holds.High), &share
	return e, nil
}

// saySetpoint words why the verdict is what it is.
func (j *Judged) saySetpoint(o *setpoint.Outcome, settle *settling) error {
	j.sayShares()
	if settle == nil && o != nil && j.Verdict == Unproven && j.EachUnit {
		if mean, sd := o.Linear.Value, o.Linear.U; sd > 0 {
			n, _, ok, err := statistics.SettleN(mean, sd, 2, statistics.Bound{
				Min: j.Bound.min(), Max: j.Bound.max(), Proportion: j.Proportion, Confidence: j.Confidence,
			}, mostUnits)
			if err != nil {
				return err
			}
			if ok {
				settle = &settling{more: n}
			}
		}
	}
	j.saySettling(settle)
	if o != nil && len(o.Linear.Lines) > 0 && o.Linear.Lines[0].Share > 0 {
		top := o.Linear.Lines[0]
		j.Says = append(j.Says, fmt.Sprintf("%s of the spread is %s", percent(top.Share), top.Name))
	}
	return nil
}

// answerSetpoint answers the study's question in full under the conditions that most promises
// name, and adds what those of the other promises give.
func answerSetpoint(ctx context.Context, s *session, judged []Judged) (*Answer, error) {
	usual := s.usualConditions()
	in := bind.Setpoint(s.product, s.options.Installation)
	in.Conditions, in.Seed = usual, s.options.Seed
	result, err := setpoint.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	bounds, others := s.setpointBounds(judged)
	shown, err := result.Page(ctx, bounds[conditionsKey(usual)]...)
	if err != nil {
		return nil, err
	}
	for _, c := range others {
		key := conditionsKey(c)
		if key == conditionsKey(usual) {
			continue
		}
		run := s.setpointUnder(ctx, c)
		if run.err != nil {
			return nil, run.err
		}
		if err := run.result.Beside(ctx, &shown, bounds[key]...); err != nil {
			return nil, err
		}
	}
	out := s.newAnswer("setpoint", shown)
	for _, o := range result.Outcomes {
		holds, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return nil, err
		}
		out.Figures = append(out.Figures, Figure{o.Quantity, closed(holds.Best, holds.Low, holds.High), quantity.Voltage, "V"})
	}
	return out, nil
}

// setpointBounds are the bounds of the setpoint promises by their conditions, and the conditions in
// the order of the promises. A promise that the study cannot judge, for want of what its age asks
// for, is not among them.
func (s *session) setpointBounds(judged []Judged) (map[string][]setpoint.Bound, []setpoint.Conditions) {
	bounds := map[string][]setpoint.Bound{}
	var order []setpoint.Conditions
	for _, j := range judged {
		asked := s.product.Promises.Get(j.Name)
		name := bind.Plain(j.Quantity)
		if j.Study != "setpoint" || !isSetpoint(name) || asked == nil || s.unaged(asked) {
			continue
		}
		c := setpointConditions(&asked.Conditions)
		key := conditionsKey(c)
		if len(bounds[key]) == 0 {
			order = append(order, c)
		}
		bounds[key] = append(bounds[key], setpoint.Bound{Quantity: name, Min: j.Bound.Min, Max: j.Bound.Max, Text: j.BoundText})
	}
	return bounds, order
}

// unaged reports whether a promise speaks of an age and the folder does not say how the chain ages.
func (s *session) unaged(asked *product.Promise) bool {
	return asked.Conditions.Age.Set() && !s.product.Sense.Ageing.Set()
}

// usualConditions are those that most setpoint promises name.
func (s *session) usualConditions() (most setpoint.Conditions) {
	count, best := map[string]int{}, 0
	for _, p := range s.product.Promises.All() {
		if p.Study.Text != "setpoint" {
			continue
		}
		c := setpointConditions(&p.Conditions)
		key := conditionsKey(c)
		if count[key]++; count[key] > best {
			most, best = c, count[key]
		}
	}
	return most
}

func conditionsText(c setpoint.Conditions) string {
	said := []string{"25 °C"}
	if c.Ambient != nil {
		said[0] = c.Ambient.Quantity.String()
	}
	if c.ChargeCurrent != nil {
		said = append(said, "charging with "+c.ChargeCurrent.Quantity.String())
	}
	if c.LoadCurrent != nil {
		said = append(said, "load "+c.LoadCurrent.Quantity.String())
	}
	return strings.Join(said, ", ")
}

func closed(best, low, high float64) Interval { return Interval{Best: best, Low: low, High: high} }

func (b Bound) min() float64 {
	if b.Min == nil {
		return math.Inf(-1)
	}
	return *b.Min
}

func (b Bound) max() float64 {
	if b.Max == nil {
		return math.Inf(1)
	}
	return *b.Max
}

// ambientOf is the range of ambient that conditions name, K.
func ambientOf(v *setpoint.Value) (low, high float64) {
	if v == nil {
		return 298.15, 298.15
	}
	return bounds(v.Quantity)
}

func bounds(q quantity.Quantity) (low, high float64) {
	if q.Spread == quantity.Exact || q.Spread == quantity.Normal {
		return q.Value, q.Value
	}
	return q.Low, q.High
}
