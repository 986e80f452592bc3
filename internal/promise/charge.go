package promise

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/product/caution"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge"
	"hindwatt/internal/study/setpoint"
)

// chargeRun is the years of one installation, for all promises on it.
type chargeRun struct {
	once   sync.Once
	result *charge.Result
	err    error
}

// yearsForEach is how many years are drawn where a promise asks for a share of units: all of them inside then prove 95 % of them at 95 %.
const yearsForEach = 80

// chargeIn is the installation that a promise speaks of: that which it names, else that which was asked for, else the only one.
func (s *session) chargeIn(asked *product.Promise) string {
	all := s.product.Installations.Names()
	switch {
	case asked != nil && asked.Conditions.Installation.Set():
		return asked.Conditions.Installation.Text
	case s.options.Installation != "":
		return s.options.Installation
	case len(all) == 1:
		return all[0]
	}
	return ""
}

// chargeOf returns the years of an installation.
func (s *session) chargeOf(ctx context.Context, installation string) *chargeRun {
	run := once(s, s.charges, installation)
	run.once.Do(func() {
		var in charge.Input
		if in, run.err = s.chargeInput(ctx, installation); run.err != nil {
			return
		}
		run.result, run.err = charge.RunKept(numeric.Doing(ctx, "charge study, years of "+installation), in, func(draw func() ([]charge.Year, error)) ([]charge.Year, error) {
			return kept.Result(s.options.Kept, "charge years", in, draw)
		})
	})
	return run
}

func (s *session) chargeInput(ctx context.Context, installation string) (charge.Input, error) {
	in, err := s.chargeBound(installation)
	if err != nil {
		return in, err
	}
	in.Seed, in.Years = s.options.Seed, s.chargeYears(installation)
	if stage := s.options.coarse; stage > 0 {
		in.Years = sketchYears[stage-1]
	} else if s.options.Years > 0 {
		in.Years = s.options.Years
	}
	in.Regulation.Error, err = s.held(ctx, installation)
	return in, err
}

// chargeYears is how many years of an installation are drawn; 0: as many as is usual.
func (s *session) chargeYears(installation string) int {
	for _, p := range s.product.Promises.All() {
		if p.Study.Text == "charge" && p.For.Is("each unit") && s.chargeIn(p) == installation {
			return yearsForEach
		}
	}
	return 0
}

// held is how far units hold the battery off the target, by the setpoint study; nil where that cannot be computed.
func (s *session) held(ctx context.Context, installation string) (*charge.Value, error) {
	in := bind.Setpoint(s.product, installation)
	in.Seed, in.Outer, in.Inner = s.options.Seed, 4, 16 // only the law of propagation is asked
	in.Quantities = []string{"absorption-error"}
	r, err := setpoint.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	o := r.Outcome("absorption-error")
	if o == nil || o.Never != "" {
		return nil, nil
	}
	q := quantity.Quantity{Value: o.Linear.Value, SD: o.Linear.U, Low: o.Linear.Low, High: o.Linear.High, Spread: quantity.Normal, Dim: quantity.Voltage, Unit: "V"}
	return &charge.Value{Quantity: q, From: "setpoint study"}, nil
}

// judgeCharge gathers what the years say of one quantity.
func judgeCharge(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	if err := refuseCharge(name, asked); err != nil {
		return err
	}
	_, _, j.Axis, _ = charge.Unit(name)
	j.PageID = "charge"
	installation := s.chargeIn(asked)
	if installation == "" && s.product.Installations.Len() > 0 {
		return asked.Study.Fault("holds for one installation, and the promise names none", "want conditions = { installation = \"…\" } with "+wantOneOf("", s.product.Installations.Names()))
	}
	if installation != "" && s.product.Installations.Get(installation) == nil {
		return asked.Conditions.Installation.Fault("there is no such installation", wantOneOf(installation, s.product.Installations.Names()))
	}
	run := s.chargeOf(ctx, installation)
	if run.err != nil {
		return run.err
	}
	j.Lacks = append(j.Lacks, run.result.Lacks(name)...)
	o := run.result.Outcome(name)
	if o == nil {
		if len(j.Lacks) == 0 {
			j.Says = append(j.Says, "the battery of this installation has no such figure")
		}
		j.judge()
		return nil
	}
	next := o.Next(j.Confidence)
	e := Evidence{Kind: Calculated, Covers: true, From: []string{"charge study"}, Conditions: installation, Interval: closed(next.Best, next.Low, next.High)}
	if j.EachUnit {
		inside, err := o.Inside(j.Bound.min(), j.Bound.max(), j.Confidence)
		if err != nil {
			return err
		}
		share := closed(inside.Best, inside.Low, inside.High)
		e.Inside = &share
	}
	j.Evidence = append(j.Evidence, e)
	j.judge()
	if j.EachUnit {
		j.sayShares()
	}
	j.Says = append(j.Says, run.result.Says(name, j.Confidence))
	return nil
}

// refuseCharge says what of a promise the study cannot judge.
func refuseCharge(name string, asked *product.Promise) error {
	dim, unit, _, ok := charge.Unit(name)
	if !ok {
		return asked.Quantity.Fault("is no quantity of the charge study", wantOneOf(name, charge.Quantities()))
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() && bound.Dim != dim {
			return bound.Fault("is a "+bound.Dim.Name(), "want a "+dim.Name()+unitWords(unit))
		}
	}
	if asked.Ends.Set() {
		return asked.Ends.Fault("a year has no ends", "want within, min or max")
	}
	c := &asked.Conditions
	for _, other := range []product.Leaf{c.Ambient.Leaf, c.Current.Leaf, c.ChargeCurrent.Leaf, c.LoadCurrent.Leaf, c.Voltage.Leaf, c.Batch.Leaf, c.BatchName.Leaf,
		c.Mistake.Leaf, c.State.Leaf, c.Age.Leaf, c.Mounted.Leaf} {
		if other.Set() {
			return other.Fault("a year in an installation does not depend on that", "want installation, which tells place, panel, battery and loads")
		}
	}
	return nil
}

func unitWords(unit string) string {
	if unit == "" {
		return ""
	}
	return " in " + unit
}

// answerCharge answers the study's question for one installation: that which is asked for, else that of the first promise, else the first.
func answerCharge(ctx context.Context, s *session, judged []Judged) (*Answer, error) {
	installation := s.chargeShown()
	run := s.chargeOf(ctx, installation)
	if run.err != nil {
		return nil, run.err
	}
	var bounds []charge.Bound
	for _, j := range judged {
		asked := s.product.Promises.Get(j.Name)
		if j.Study == "charge" && asked != nil && s.chargeIn(asked) == installation && refuseCharge(bind.Plain(j.Quantity), asked) == nil {
			bounds = append(bounds, charge.Bound{Quantity: bind.Plain(j.Quantity), Min: j.Bound.Min, Max: j.Bound.Max, Text: j.BoundText})
		}
	}
	if err := s.besides(ctx, run.result, installation); err != nil {
		return nil, err
	}
	shown, err := run.result.Page(ctx, bounds...)
	if err != nil {
		return nil, err
	}
	s.batteryCautions(&shown, run.result)
	out := s.newAnswer("charge", shown)
	if run.result.Input.Installation != "" {
		out.Installation = run.result.Input.Installation
	}
	out.Figures = figuresOfCharge(run.result)
	return out, nil
}

func figuresOfCharge(r *charge.Result) (list []Figure) {
	for _, o := range r.Outcomes {
		next := o.Next(usualConfidence)
		list = append(list, Figure{o.Quantity, closed(next.Best, next.Low, next.High), o.Dim, o.Unit})
	}
	return list
}

// mostBeside is how many installations share the figure on which settings are varied.
const mostBeside = 3

// besides lays the other installations that promises name beside the one that is shown.
func (s *session) besides(ctx context.Context, r *charge.Result, shown string) error {
	names := []string{shown}
	for _, p := range s.product.Promises.All() {
		name := s.chargeIn(p)
		if p.Study.Text != "charge" || slices.Contains(names, name) || s.product.Installations.Get(name) == nil || len(names) == mostBeside {
			continue
		}
		in, err := s.chargeInput(ctx, name)
		if err != nil {
			return err
		}
		names = append(names, name)
		r.With(in)
	}
	return nil
}

func (s *session) chargeShown() string {
	if s.options.Installation != "" {
		return s.options.Installation
	}
	for _, p := range s.product.Promises.All() {
		if p.Study.Text == "charge" {
			if name := s.chargeIn(p); name != "" {
				return name
			}
		}
	}
	if names := s.product.Installations.Names(); len(names) > 0 {
		return names[0]
	}
	return ""
}

// batteryCautions says what has to be said wherever a battery is charged.
func (s *session) batteryCautions(p *page.Page, r *charge.Result) {
	chemistry := r.Input.Battery.Chemistry
	if chemistry == "" {
		return
	}
	for _, c := range caution.BatteryWork([]string{chemistry}) {
		if n := bind.Note(c); !slices.Contains(p.Cautions, n) {
			p.Cautions = append(p.Cautions, n)
		}
	}
	p.Cautions = append(p.Cautions, page.Note{
		Text:   fmt.Sprintf(`These are figures of a model of the installation "%s", not a plan for one.`, r.Input.Installation),
		Remedy: "local codes and the work of a licensed electrician go before anything on this page",
	})
}
