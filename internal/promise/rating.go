package promise

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/rating"
)

// ratingRun is one run of the rating study, for all promises under the same conditions.
type ratingRun struct {
	once   sync.Once
	result *rating.Result
	err    error
}

// ratingSetting is under what a rating is judged.
type ratingSetting struct {
	conditions   rating.Conditions
	installation string
}

func (s *session) ratingSetting(c *product.Conditions) ratingSetting {
	in := ratingSetting{
		conditions: rating.Conditions{
			Ambient: bind.Value(c.Ambient), Current: bind.Value(c.Current), LoadCurrent: bind.Value(c.LoadCurrent), Mounted: c.Mounted.Text,
		},
		installation: s.options.Installation,
	}
	if in.conditions.Current == nil {
		in.conditions.Current = bind.Value(c.ChargeCurrent)
	}
	if c.Installation.Set() {
		in.installation = c.Installation.Text
	}
	return in
}

// text words the setting: "40 °C, 10 A".
func (in ratingSetting) text() string {
	said := []string{"25 °C"}
	if v := in.conditions.Ambient; v != nil {
		said[0] = v.Quantity.String()
	}
	if v := in.conditions.Current; v != nil {
		said = append(said, v.Quantity.String())
	}
	if v := in.conditions.LoadCurrent; v != nil {
		said = append(said, "load "+v.Quantity.String())
	}
	if in.conditions.Mounted != "" {
		said = append(said, "mounted "+in.conditions.Mounted)
	}
	if in.installation != "" {
		said = append(said, "installation "+in.installation)
	}
	return strings.Join(said, ", ")
}

// ratesPromise reports whether a promise is one that the rating can judge.
func (s *session) ratesPromise(asked *product.Promise) bool {
	return asked.Study.Text == "rating" && refuseRating(bind.Plain(asked.Quantity.Text), asked) == nil
}

// ratingUnder returns the study in a setting, with every quantity that a promise asks under it.
func (s *session) ratingUnder(ctx context.Context, in ratingSetting) *ratingRun {
	key := in.text()
	run := once(s, s.ratings, key)
	run.once.Do(func() {
		input := bind.Rating(s.product, in.installation)
		input.Seed, input.Conditions = s.options.Seed, in.conditions
		if s.options.coarse > 0 {
			input.Outer, input.Inner = s.options.units.rated, s.options.units.rated
		}
		for _, p := range s.product.Promises.All() {
			if name := bind.Plain(p.Quantity.Text); s.ratesPromise(p) && s.ratingSetting(&p.Conditions).text() == key && !slices.Contains(input.Quantities, name) {
				input.Quantities = append(input.Quantities, name)
			}
		}
		run.result, run.err = rating.Run(ctx, input)
	})
	return run
}

// judgeRating gathers what is calculated and what was measured of one figure of the rating.
func judgeRating(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	if err := refuseRating(name, asked); err != nil {
		return err
	}
	_, _, j.Axis, _ = rating.Unit(name)
	j.PageID = "rating"
	in := s.ratingSetting(&asked.Conditions)
	run := s.ratingUnder(ctx, in)
	if run.err != nil {
		return run.err
	}
	s.note(run.result.Warnings...)
	j.Lacks = append(j.Lacks, run.result.Lacks(name)...)
	outcome := run.result.Outcome(name)
	var is *sampled
	if outcome != nil {
		one := run.sampled(outcome)
		is = &one
		calculated, err := is.evidence(j)
		if err != nil {
			return err
		}
		calculated.Conditions = in.text()
		if strings.HasPrefix(name, "standby") && !asked.Conditions.Ambient.Set() {
			calculated.Conditions = map[string]string{"standby": "at night", "standby-by-day": "by day"}[name]
		}
		j.Evidence = append(j.Evidence, calculated)
	}
	settle, err := s.measuredRating(ctx, run.result, in, name, j)
	if err != nil {
		return err
	}
	j.judge()
	return j.sayRating(outcome, is, settle)
}

// refuseRating says what of a promise the study cannot judge.
func refuseRating(name string, asked *product.Promise) error {
	dim, unit, _, ok := rating.Unit(name)
	if !ok {
		return asked.Quantity.Fault("is no quantity of the rating study", wantOneOf(name, rating.Quantities()))
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() && bound.Dim != dim {
			return bound.Fault("is a "+bound.Dim.Name(), "want a "+dim.Name()+" in "+unit)
		}
	}
	if asked.Ends.Set() {
		return asked.Ends.Fault("a rating has no ends", "want within, min or max")
	}
	c := &asked.Conditions
	for _, other := range []product.Leaf{c.Voltage.Leaf, c.Batch.Leaf, c.BatchName.Leaf, c.Mistake.Leaf, c.State.Leaf, c.Age.Leaf} {
		if other.Set() {
			return other.Fault("no rating depends on that here", "want ambient, current, load_current, mounted or installation")
		}
	}
	if c.Current.Set() && c.ChargeCurrent.Set() {
		return c.ChargeCurrent.Fault("the current is named twice", "want current alone")
	}
	return nil
}

// sampled is an outcome as its simulated units give it.
func (r *ratingRun) sampled(o *rating.Outcome) sampled {
	one := sampled{
		from: "rating study", never: o.Never, nominal: o.Nominal, u: o.Linear.U,
		mean: func(confidence float64) (Interval, error) {
			i, err := o.MeanOver(confidence)
			return ratingInterval(i), err
		},
		holds: func(proportion, confidence float64) (Interval, error) {
			i, err := o.Tolerance(proportion, confidence)
			return ratingInterval(i), err
		},
		inside: func(min, max, confidence float64) (Interval, error) {
			i, err := o.Inside(min, max, confidence)
			return ratingInterval(i), err
		},
	}
	if o.Stated {
		one.from, one.note = o.From, "as the folder states it"
	}
	if l := o.Linear.Lines; len(l) > 0 {
		one.top, one.share = "the "+l[0].Words(), l[0].Share
	}
	return one
}

// ratingInterval keeps the side open on which some units run away.
func ratingInterval(i rating.Interval) Interval {
	out := closed(i.Best, i.Low, i.High)
	if i.OpenHigh {
		out.High, out.OpenHigh = 0, true
	}
	return out
}

// sayRating words why the verdict is what it is.
func (j *Judged) sayRating(o *rating.Outcome, is *sampled, settle *settling) error {
	stops := ""
	if o != nil && o.Part != "" {
		stops = o.Stops()
	}
	if err := j.saySampled(is, settle, stops); err != nil {
		return err
	}
	if o != nil && o.Stated && o.Summed > 0 {
		s := scale{dim: j.Dim, unit: j.Unit, digits: 2}
		j.Says = append(j.Says, fmt.Sprintf("the parts add up to %s", s.text(o.Summed)))
	}
	return nil
}

// answerRating answers the study's question in full under the conditions that most promises on it name.
func answerRating(ctx context.Context, s *session, judged []Judged) (*Answer, error) {
	usual := s.usualRating()
	in := bind.Rating(s.product, usual.installation)
	in.Conditions, in.Seed = usual.conditions, s.options.Seed
	result, err := rating.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	shown, err := result.Page(ctx, s.ratingBounds(judged, usual)...)
	if err != nil {
		return nil, err
	}
	read, err := s.readTable(ctx, result)
	if err != nil {
		return nil, err
	}
	if len(read.Rows) > 0 {
		shown.Tables = slices.Insert(shown.Tables, min(1, len(shown.Tables)), read)
	}
	out := s.newAnswer("rating", shown)
	out.Figures, err = figuresOfRating(result)
	return out, err
}

func figuresOfRating(r *rating.Result) (list []Figure, err error) {
	for _, o := range r.Outcomes {
		if o.Never != "" {
			continue
		}
		holds, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return nil, err
		}
		list = append(list, Figure{o.Quantity, ratingInterval(holds), o.Dim, o.Unit})
	}
	if r.Runaway.Part != "" {
		t := r.Runaway.Ambient
		list = append(list, Figure{"runaway", closed(t, t, t), quantity.TemperaturePoint, "°C"})
	}
	return list, nil
}

// usualRating is the setting that the page answers in: that of the first promise of a current, else of any on the rating.
func (s *session) usualRating() ratingSetting {
	usual, found := ratingSetting{installation: s.options.Installation}, false
	for _, p := range s.product.Promises.All() {
		if !s.ratesPromise(p) {
			continue
		}
		if bind.Plain(p.Quantity.Text) == "current" {
			return s.ratingSetting(&p.Conditions)
		}
		if !found {
			usual, found = s.ratingSetting(&p.Conditions), true
		}
	}
	return usual
}

// ratingBounds are the bounds of the promises that hold under the page's conditions, or that name none.
func (s *session) ratingBounds(judged []Judged, usual ratingSetting) []rating.Bound {
	var list []rating.Bound
	for _, j := range judged {
		asked := s.product.Promises.Get(j.Name)
		if j.Study != "rating" || asked == nil || !s.ratesPromise(asked) {
			continue
		}
		in := s.ratingSetting(&asked.Conditions)
		low, high := ambientOf(in.conditions.Ambient)
		mine, _ := ambientOf(usual.conditions.Ambient)
		if name := bind.Plain(j.Quantity); low != mine && !strings.HasPrefix(name, "standby") || in.conditions.Mounted != usual.conditions.Mounted {
			continue
		}
		list = append(list, rating.Bound{Quantity: bind.Plain(j.Quantity), Min: j.Bound.Min, Max: j.Bound.Max, Low: low, High: high, Text: j.BoundText})
	}
	return list
}

// readTable holds what was read against what the model says of the same.
func (s *session) readTable(ctx context.Context, r *rating.Result) (page.Table, error) {
	t := page.Table{Title: "Read on the bench, and calculated for the same conditions", Head: []string{"what", "units", "ambient", "held current", "read", "calculated", "calculated less read"}, Align: "lrrrrrr"}
	if !r.Computable() {
		return t, nil
	}
	for _, what := range s.ratingReadings() {
		for _, g := range s.ratingGatherings(what) {
			at := g.held(what)
			if r.Modelled(at) != nil {
				continue
			}
			is, err := r.At(ctx, at)
			if err != nil {
				return t, err
			}
			dim, unit := readDim(what)
			shown := scale{dim: dim, unit: unit, digits: 2}
			if dim.Point {
				shown.digits = 1
			}
			off := fmt.Sprintf("%+.*f %s", shown.digits, shown.difference(is.Mean-at.Value), map[bool]string{true: "K", false: unit}[dim.Point])
			t.Rows = append(t.Rows, []string{strings.ReplaceAll(what, ".", " of "), fmt.Sprint(g.units()), g.text(), quantity.Format(at.Current, quantity.Current, "A", 1),
				shown.text(at.Value), shown.text(is.Mean), off})
		}
	}
	return t, nil
}
