package promise

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/figure"
	"hindwatt/internal/product"
	"hindwatt/internal/study/fault"
)

// endQuantity is the one quantity of the fault study.
const endQuantity = "end"

// faultRun is one run of the fault study, for all promises in the same surroundings.
type faultRun struct {
	once   sync.Once
	result *fault.Result
	names  []string // of all mistakes and failures of the circuit
	err    error
}

// faultSetting is in which surroundings mistakes are looked at.
type faultSetting struct {
	ambient      *fault.Value
	installation string
}

func (s *session) faultSetting(c *product.Conditions) faultSetting {
	in := faultSetting{ambient: bind.Value(c.Ambient), installation: s.options.Installation}
	if c.Installation.Set() {
		in.installation = c.Installation.Text
	}
	return in
}

func (in faultSetting) key() string {
	key := in.installation
	if in.ambient != nil {
		key += " " + in.ambient.Quantity.String()
	}
	return key
}

func (s *session) faultInput(in faultSetting) fault.Input {
	input := bind.Fault(s.product, in.installation)
	input.Ambient, input.Seed = in.ambient, s.options.Seed
	return input
}

// faultsUnder follows the mistakes that promises name in a setting and that the circuit has.
func (s *session) faultsUnder(ctx context.Context, in faultSetting) *faultRun {
	run := once(s, s.faults, in.key())
	run.once.Do(func() {
		input := s.faultInput(in)
		input.NoRescues = true
		if s.options.coarse > 0 {
			input.Units = -1
		}
		run.names, run.err = input.Names()
		for _, p := range s.product.Promises.All() {
			name := p.Conditions.Mistake.Text
			if p.Study.Text == "fault" && s.faultSetting(&p.Conditions).key() == in.key() && slices.Contains(run.names, name) && !slices.Contains(input.Only, name) {
				input.Only = append(input.Only, name)
			}
		}
		if run.err == nil && (len(run.names) == 0 || len(input.Only) > 0) {
			run.result, run.err = fault.Run(ctx, input)
		}
	})
	return run
}

// judgeFault gathers how a mistake ends, as calculated and as tried.
func judgeFault(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	if err := refuseFault(asked); err != nil {
		return err
	}
	j.PageID, j.EachUnit, j.Axis = "fault", false, "how it ends"
	run := s.faultsUnder(ctx, s.faultSetting(&asked.Conditions))
	if run.err != nil {
		return run.err
	}
	mistake, state := asked.Conditions.Mistake, asked.Conditions.State.Text
	if len(run.names) > 0 && !slices.Contains(run.names, mistake.Text) {
		return mistake.Fault("is nothing that can happen to this circuit", wantCase(mistake.Text, run.names))
	}
	s.strayTrials(run.names)
	r := run.result
	j.Lacks = append(j.Lacks, r.Lacks...)
	if len(r.Lacks) > 0 {
		j.judge()
		return nil
	}
	if names := stateNames(r); state != "" && !slices.Contains(names, state) {
		return asked.Conditions.State.Fault("there is no such state", wantOneOf(state, names))
	}
	worst := r.Under(mistake.Text, state)
	if worst == nil {
		j.Says = append(j.Says, "in that state this mistake changes nothing")
		j.judge()
		return nil
	}
	j.Evidence = append(j.Evidence, calculatedEnd(r, worst, mistake.Text, state))
	s.triedEnds(r, worst, mistake.Text, state, j)
	j.judge()
	j.sayShares()
	j.Says = append(j.Says, worst.Text)
	return nil
}

// wantCase suggests the cases of the circuit that a reader may have meant.
func wantCase(name string, known []string) string {
	if near := product.Nearest(name, known); near != "" {
		return "did you mean " + near
	}
	var like []string
	for _, k := range known {
		if fault.Alike(name, k) && len(like) < mostAlike {
			like = append(like, k)
		}
	}
	if len(like) > 0 {
		return "want one that hindwatt study fault lists, such as " + strings.Join(like, "; ")
	}
	return "want one that hindwatt study fault lists, such as " + known[0]
}

const mostAlike = 4 // cases that are suggested

// strayTrials tells of trials of a mistake that the circuit does not have.
func (s *session) strayTrials(names []string) {
	for _, row := range bind.Readings(s.product, "fault."+endQuantity) {
		if len(names) > 0 && !slices.Contains(names, row.Mistake.Text) {
			s.advise(row.Mistake.Leaf, "is left out: "+row.Mistake.Text+" is nothing that can happen to this circuit", wantCase(row.Mistake.Text, names))
		}
	}
}

func stateNames(r *fault.Result) []string {
	names := []string{"all"}
	for _, s := range r.States {
		names = append(names, s.Name)
	}
	return names
}

// faultRests is all that the study reads: the circuit in each of the surroundings, the names of the mistakes that are followed
// together, and the trials.
func faultRests(s *session, mine []*product.Promise) []any {
	read := func(in faultSetting) any {
		return s.hash("fault "+in.key(), func() any {
			input := s.faultInput(in)
			input.Prices, input.Returned = nil, nil
			return input
		})
	}
	on := []any{s.options.Depth, read(faultSetting{installation: s.options.Installation})}
	for _, row := range s.product.Folder.Records.Readings { // of whatever revision: which are the product's own, its name says
		if bind.Plain(row.What.Text) == "fault."+endQuantity {
			on = append(on, bind.RevisionOf(s.product.Folder, row), row)
		}
	}
	for _, asked := range mine {
		on = append(on, read(s.faultSetting(&asked.Conditions)))
	}
	for _, asked := range s.product.Promises.All() {
		if asked.Study.Text == "fault" {
			on = append(on, s.faultSetting(&asked.Conditions).key(), asked.Conditions.Mistake.Text)
		}
	}
	return on
}

// faultShows is what the page has beside the ends: what a change costs, and what came back.
func faultShows(s *session) []any {
	in := s.faultInput(faultSetting{installation: s.options.Installation})
	return []any{in.Prices, in.Returned}
}

// refuseFault says what of a promise the study cannot judge.
func refuseFault(asked *product.Promise) error {
	if asked.Quantity.Text != endQuantity {
		return asked.Quantity.Fault("is no quantity of the fault study", "want "+endQuantity)
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() {
			return bound.Fault("a mistake has an end, no figure", `want ends = "unharmed or recovers"`)
		}
	}
	c := &asked.Conditions
	if !c.Mistake.Set() {
		return asked.Study.Fault("looks at one mistake, and the promise names none", `want conditions = { mistake = "panel reversed", state = "all" }`)
	}
	for _, other := range []product.Leaf{c.Current.Leaf, c.ChargeCurrent.Leaf, c.LoadCurrent.Leaf, c.Voltage.Leaf, c.Batch.Leaf, c.BatchName.Leaf, c.Age.Leaf, c.Mounted.Leaf} {
		if other.Set() {
			return other.Fault("the end of a mistake does not depend on that here", "want mistake, state, ambient or installation")
		}
	}
	return nil
}

// leastShare is what a share of the units must be to count within 95 % of them.
const leastShare = 0.025

// calculatedEnd is the worst end of a case, with what the spread of the data sheets leaves open.
func calculatedEnd(r *fault.Result, worst *fault.Outcome, mistake, state string) Evidence {
	e := End{Worst: worst.End, Least: worst.End, Most: worst.Reach, Case: worst.State.Name}
	sum := 0.0
	for k := figure.Unharmed; k < worst.End; k++ {
		if sum += worst.Shares[k]; sum > leastShare {
			e.Least = k
			break
		}
	}
	for _, o := range r.Outcomes {
		if o.Case.Name == mistake && (state == "" || state == "all") {
			e.Most = max(e.Most, o.Reach)
		}
	}
	if m := worst.Margin; !m.None() {
		margin := closed(m.Ratio, m.Low, m.High)
		if m.Low == 0 && m.High == 0 {
			margin = closed(m.Ratio, m.Ratio, m.Ratio)
		}
		e.Margin = &margin
	}
	where := "all states"
	if state != "" && state != "all" {
		where = state
	}
	return Evidence{Kind: Calculated, Covers: true, End: &e, Conditions: where, From: []string{"fault study"}}
}

// triedEnds adds what trials on the bench ended in. A trial in the state that is calculated as the worst stands for the others as well;
// one in another state stands for nothing else, but may break the promise.
func (s *session) triedEnds(r *fault.Result, worst *fault.Outcome, mistake, state string, j *Judged) {
	type trial struct {
		state  string
		end    figure.FaultEnd
		units  int
		basis  gathering
		from   []string
		serial []string
	}
	var tried []*trial
	for _, row := range bind.Readings(s.product, "fault."+endQuantity) {
		if row.Mistake.Text != mistake {
			continue
		}
		if o := r.Of(mistake, row.State.Text); o == nil {
			s.advise(row.Leaf, "is left out: there is no such state", wantOneOf(row.State.Text, stateNames(r)[1:]))
			continue
		}
		k := slices.IndexFunc(tried, func(t *trial) bool { return t.state == row.State.Text })
		if k < 0 {
			tried, k = append(tried, &trial{state: row.State.Text}), len(tried)
		}
		t := tried[k]
		t.end = max(t.end, endsOf([]string{row.Value.End})[0])
		t.from, t.basis.rows = append(t.from, row.Value.Origin.String()), append(t.basis.rows, row)
		if serial := row.Serial.Text; serial == "" || !slices.Contains(t.serial, serial) {
			t.serial, t.units = append(t.serial, serial), t.units+1
		}
	}
	for _, t := range tried {
		same := r.Of(mistake, t.state)
		j.contradict(same, t.end, t.state)
		asked := state == t.state
		carried := !asked && same == worst && (state == "" || state == "all")
		e := Evidence{Kind: Measured, Covers: asked || carried, Carried: carried, Conditions: t.state, Units: t.units, Basis: t.basis.basis(), From: t.from,
			End: &End{Worst: t.end, Least: t.end, Most: t.end, Case: t.state}}
		if carried {
			e.Note = "in the state that is calculated as the worst"
		}
		if e.Covers || !j.Bound.allows(t.end) {
			j.Evidence = append(j.Evidence, e)
			continue
		}
		j.Says = append(j.Says, fmt.Sprintf("tried in another state, %s: %s", t.state, t.end))
	}
}

// contradict notes a trial that ended otherwise than any unit should.
func (j *Judged) contradict(o *fault.Outcome, end figure.FaultEnd, state string) {
	if o.Shares[end] > 0 || end == o.End {
		return
	}
	d := float64(o.End) - float64(end)
	j.Disagree = append(j.Disagree, Disagreement{A: Calculated, B: Measured, Of: "end", Difference: d, Low: d, High: d, Conditions: state,
		Says: fmt.Sprintf("calculated and measured disagree on the end, %s: %s by calculation, %s in the trial", state, o.End, end)})
}

// answerFault answers the study's question.
func answerFault(ctx context.Context, s *session, judged []Judged) (*Answer, error) {
	in := faultSetting{installation: s.options.Installation}
	var bounds []fault.Bound
	for _, j := range judged {
		asked := s.product.Promises.Get(j.Name)
		if j.Study != "fault" || asked == nil || refuseFault(asked) != nil {
			continue
		}
		if len(bounds) == 0 {
			in = s.faultSetting(&asked.Conditions)
		}
		bounds = append(bounds, fault.Bound{Case: asked.Conditions.Mistake.Text, State: asked.Conditions.State.Text, Allowed: j.Bound.Ends})
	}
	input := s.faultInput(in)
	input.Depth = s.options.Depth
	result, err := fault.Run(ctx, input)
	if err != nil {
		return nil, err
	}
	shown, err := result.Page(ctx, bounds...)
	if err != nil {
		return nil, err
	}
	out := s.newAnswer("fault", shown)
	if all := result.AllPairs(); len(all.Rows) > 0 {
		out.More = append(out.More, all)
	}
	var names []string
	for _, c := range result.Cases {
		names = append(names, c.Name)
		if worst := result.Worst(c.Name); worst != nil {
			e := calculatedEnd(result, worst, c.Name, "all")
			out.Ends = append(out.Ends, NamedEnd{c.Name, *e.End})
		}
	}
	s.strayTrials(names)
	return out, nil
}
