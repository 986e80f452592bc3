package promise

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/setpoint"
)

// mostUnits is how many units are thought of to settle a promise.
const mostUnits = 10000

// setpointRun is one run of the setpoint study, for all promises under the same conditions.
type setpointRun struct {
	setting
	asked  []string // quantities
	input  setpoint.Input
	result *setpoint.Result
	err    error
}

// reaches reports whether the model can say how far off a quantity is.
func (r *setpointRun) reaches(name string) bool {
	o := r.result.Outcome(name)
	return o != nil && o.Never == ""
}

// setting is under what a setpoint is judged: the conditions that a promise names, and the
// installation whose leads count ("" for those that the leaflet asks for).
type setting struct {
	conditions   setpoint.Conditions
	installation string
}

func (s *session) settingOf(c *product.Conditions) setting {
	in := setting{
		conditions: setpoint.Conditions{
			Ambient:       bind.Value(c.Ambient),
			ChargeCurrent: bind.Value(c.ChargeCurrent),
			LoadCurrent:   bind.Value(c.LoadCurrent),
			Aged:          c.Age.Set(),
		},
		installation: s.options.Installation,
	}
	if c.Installation.Set() {
		in.installation = c.Installation.Text
	}
	return in
}

// key is the same for settings that are the same.
func (s setting) key() string {
	var key strings.Builder
	for _, v := range []*setpoint.Value{s.conditions.Ambient, s.conditions.ChargeCurrent, s.conditions.LoadCurrent} {
		if v != nil {
			key.WriteString(v.Quantity.String())
		}
		key.WriteByte('|')
	}
	fmt.Fprint(&key, s.conditions.Aged, s.installation)
	return key.String()
}

// text words the setting: "-10..45 °C, load 0..10 A".
func (s setting) text() string {
	said := []string{"25 °C"}
	if v := s.conditions.Ambient; v != nil {
		said[0] = v.Quantity.String()
	}
	if v := s.conditions.ChargeCurrent; v != nil {
		said = append(said, "charging with "+v.Quantity.String())
	}
	if v := s.conditions.LoadCurrent; v != nil {
		said = append(said, "load "+v.Quantity.String())
	}
	if s.conditions.Aged {
		said = append(said, "aged")
	}
	if s.installation != "" {
		said = append(said, "installation "+s.installation)
	}
	return strings.Join(said, ", ")
}

// setpointUnder returns the study in a setting. The first call runs it in the settings of all
// promises, those of one age and installation on the same simulated units.
func (s *session) setpointUnder(ctx context.Context, in setting) *setpointRun {
	s.setpoints.Do(func() { s.runSetpoints(ctx) })
	return s.runs[in.key()]
}

func (s *session) runSetpoints(ctx context.Context) {
	type group struct {
		aged         bool
		installation string
	}
	together := map[group][]*setpointRun{}
	var order []group
	for _, asked := range s.product.Promises.All() {
		name := bind.Plain(asked.Quantity.Text)
		if asked.Study.Text != "setpoint" || refuseSetpoint(name, asked) != nil || s.unaged(asked) {
			continue
		}
		in := s.settingOf(&asked.Conditions)
		run := s.runs[in.key()]
		if run == nil {
			run = &setpointRun{setting: in}
			s.runs[in.key()] = run
			g := group{in.conditions.Aged, in.installation}
			if together[g] == nil {
				order = append(order, g)
			}
			together[g] = append(together[g], run)
		}
		if !slices.Contains(run.asked, name) {
			run.asked = append(run.asked, name)
		}
	}
	for _, g := range order {
		s.runTogether(ctx, g.installation, together[g])
	}
}

func (s *session) runTogether(ctx context.Context, installation string, runs []*setpointRun) {
	input := bind.Setpoint(s.product, installation)
	input.Seed = s.options.Seed
	if s.options.coarse > 0 {
		input.Outer, input.Inner = s.options.units.outer, s.options.units.inner
	}
	var cases []setpoint.Case
	for _, run := range runs {
		cases = append(cases, setpoint.Case{Conditions: run.conditions, Quantities: run.asked})
	}
	results, err := setpoint.RunAll(ctx, input, cases)
	if err != nil && len(runs) > 1 { // one at fault does not spoil the others
		for _, run := range runs {
			s.runTogether(ctx, installation, []*setpointRun{run})
		}
		return
	}
	for i, run := range runs {
		run.input = input
		run.input.Conditions, run.input.Quantities = run.conditions, run.asked
		if run.err = err; err == nil {
			run.result = results[i]
		}
	}
}

// judgeSetpoint gathers what is calculated and what was measured of one setpoint.
func judgeSetpoint(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	if err := refuseSetpoint(name, asked); err != nil {
		return err
	}
	j.Axis, j.PageID = setpointAxis(name), "setpoint"
	if s.unaged(asked) {
		j.Lacks = []page.Lack{{File: "product.toml", Key: "sense.ageing", Why: "how far the sense chain drifts by that age"}}
		j.Verdict = NoEvidence
		return nil
	}
	run := s.setpointUnder(ctx, s.settingOf(&asked.Conditions))
	if run.err != nil {
		return run.err
	}
	s.note(run.result.Cautions...)
	j.Lacks = append(j.Lacks, run.result.Lacks(name)...)
	if len(run.result.Outcomes) == 0 && len(j.Lacks) > 0 {
		j.Failed = fmt.Errorf("the setpoint study cannot be computed: %s: %s is missing", j.Lacks[0].File, j.Lacks[0].Key)
	}
	is := sampledSetpoint(run.result.Outcome(name))
	if is != nil {
		calculated, err := is.evidence(j)
		if err != nil {
			return err
		}
		calculated.Conditions = run.text()
		j.Evidence = append(j.Evidence, calculated)
	}
	settle, err := s.measuredSetpoint(ctx, run, name, j)
	if err != nil {
		return err
	}
	j.judge()
	return j.saySampled(is, settle, "")
}

// refuseSetpoint says what of a promise the study cannot judge.
func refuseSetpoint(name string, asked *product.Promise) error {
	if !isSetpoint(name) {
		return asked.Quantity.Fault("is no quantity of the setpoint study", wantOneOf(name, setpoint.Quantities()))
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() && bound.Dim != quantity.Voltage {
			return bound.Fault("is a "+bound.Dim.Name(), "want a voltage such as 0.2 V")
		}
	}
	if asked.Ends.Set() {
		return asked.Ends.Fault("a setpoint has no ends", "want within, min or max")
	}
	c := &asked.Conditions
	for _, other := range []product.Leaf{c.Current.Leaf, c.Voltage.Leaf, c.Batch.Leaf, c.Mistake.Leaf, c.State.Leaf, c.Mounted.Leaf} {
		if other.Set() {
			return other.Fault("no setpoint depends on that here", "want ambient, charge_current, load_current, age or installation")
		}
	}
	return nil
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

// sampledSetpoint is an outcome as its simulated units give it.
func sampledSetpoint(o *setpoint.Outcome) *sampled {
	if o == nil {
		return nil
	}
	one := &sampled{
		from: "setpoint study", never: o.Never, nominal: o.Linear.Value, u: o.Linear.U,
		mean: func(confidence float64) (Interval, error) {
			i, err := o.MeanOver(confidence)
			return closed(i.Best, i.Low, i.High), err
		},
		holds: func(proportion, confidence float64) (Interval, error) {
			i, err := o.Tolerance(proportion, confidence)
			return closed(i.Best, i.Low, i.High), err
		},
		inside: func(min, max, confidence float64) (Interval, error) {
			i, err := o.Inside(min, max, confidence)
			return closed(i.Best, i.Low, i.High), err
		},
	}
	if l := o.Linear.Lines; len(l) > 0 {
		one.top, one.share = "the "+l[0].Name, l[0].Share
	}
	return one
}

// answerSetpoint answers the study's question in full under the conditions that most promises
// name, and adds what those of the other promises give.
func answerSetpoint(ctx context.Context, s *session, judged []Judged) (*Answer, error) {
	usual := s.usualSetting()
	in := bind.Setpoint(s.product, usual.installation)
	in.Conditions, in.Seed = usual.conditions, s.options.Seed
	result, err := setpoint.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	bounds, others := s.setpointBounds(judged)
	shown, err := result.Page(ctx, bounds[usual.key()]...)
	if err != nil {
		return nil, err
	}
	for _, c := range others {
		key := c.key()
		if key == usual.key() {
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
	out.Figures, err = figuresOfSetpoint(result)
	return out, err
}

func figuresOfSetpoint(r *setpoint.Result) (list []Figure, err error) {
	for _, o := range r.Outcomes {
		if o.Never != "" {
			continue
		}
		holds, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return nil, err
		}
		list = append(list, Figure{o.Quantity, closed(holds.Best, holds.Low, holds.High), quantity.Voltage, "V"})
	}
	return list, nil
}

// setpointBounds are the bounds of the setpoint promises by their conditions, and the conditions in
// the order of the promises. A promise that the study cannot judge, for want of what its age asks
// for, is not among them.
func (s *session) setpointBounds(judged []Judged) (map[string][]setpoint.Bound, []setting) {
	bounds := map[string][]setpoint.Bound{}
	var order []setting
	for _, j := range judged {
		asked := s.product.Promises.Get(j.Name)
		name := bind.Plain(j.Quantity)
		if j.Study != "setpoint" || asked == nil || refuseSetpoint(name, asked) != nil || s.unaged(asked) {
			continue
		}
		c := s.settingOf(&asked.Conditions)
		key := c.key()
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

// usualSetting is the one that most setpoint promises name.
func (s *session) usualSetting() setting {
	most, best := setting{installation: s.options.Installation}, 0
	count := map[string]int{}
	for _, p := range s.product.Promises.All() {
		if p.Study.Text != "setpoint" {
			continue
		}
		in := s.settingOf(&p.Conditions)
		if count[in.key()]++; count[in.key()] > best {
			most, best = in, count[in.key()]
		}
	}
	return most
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
