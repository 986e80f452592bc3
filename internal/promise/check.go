// Package promise judges every promise of a product: it runs the studies that the promises name,
// gathers what is calculated, measured and recorded, and gives the verdicts.
package promise

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/product/caution"
	"hindwatt/internal/quantity"
)

const (
	usualProportion = 0.95
	usualConfidence = 0.95
)

// Check judges every promise of the product and, unless only the verdicts are asked for, answers
// the questions of the studies that exist.
//
// A study that a promise needs and that cannot be computed does not stop the others: see
// Report.Failed. An interrupted ctx does.
func Check(ctx context.Context, p *product.Product, options Options) (*Report, error) {
	s := newSession(p, options)
	report := s.report()
	if p.Promises.Len() == 0 {
		report.Advice = append(report.Advice, page.Note{
			Text: "There is no promise to judge yet.", Remedy: "write the label's sentences into promises.toml, as docs/folder.md shows",
		})
	}
	for _, r := range p.Folder.Records.Readings {
		if _, err := Readable(r.What.Text); err != nil {
			s.advise(r.Leaf, "bears on nothing: "+err.Error(), "mend what")
		} else if part, ok := strings.CutPrefix(bind.Plain(r.What.Text), "rating."+partReading); ok && !hasComponent(p, part) {
			s.advise(r.Leaf, "bears on nothing: no part of [circuit] is called "+part, "mend what, or name the part in product.toml")
		}
	}
	for _, run := range p.Folder.Runs.All() {
		for _, shows := range run.Shows.Items {
			if _, err := Readable(shows.Text); err != nil {
				s.advise(shows.Leaf, "bears on nothing: "+err.Error(), "mend shows")
			}
		}
	}
	if err := s.judgeAll(ctx, report); err != nil {
		return nil, err
	}
	defer func() { report.Advice = append(report.Advice, s.sortedAdvice()...) }()
	if options.VerdictsOnly {
		return report, nil
	}
	for _, study := range studies {
		if !study.built() {
			continue
		}
		answer, err := s.answer(ctx, &study, report.Promises)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			report.Warnings = append(report.Warnings, page.Note{Text: err.Error()})
			continue
		}
		report.Pages = append(report.Pages, answer.Pages...)
	}
	return report, nil
}

// Study answers the question of one study; judged promises give the bounds.
func Study(ctx context.Context, p *product.Product, name string, options Options) (*Answer, error) {
	study := studyOf(name)
	if !study.built() {
		return nil, fmt.Errorf("there is no study %q; want one of: %s", name, strings.Join(studyNames(true), ", "))
	}
	s := newSession(p, options)
	var judged []Judged
	for promised, asked := range p.Promises.All() {
		if asked.Study.Text == name {
			judged = append(judged, newJudged(promised, asked))
		}
	}
	return s.answer(ctx, study, judged)
}

func (s *session) answer(ctx context.Context, study *study, judged []Judged) (*Answer, error) {
	a, err := s.answeredBy(ctx, study, judged)
	if err == nil {
		s.warn(a)
	}
	return a, err
}

func newSession(p *product.Product, options Options) *session {
	return &session{told: &told{}, common: &common{
		product: p, options: options, runs: map[string]*setpointRun{}, ratings: map[string]*ratingRun{}, faults: map[string]*faultRun{}, charges: map[string]*chargeRun{}, bound: map[string]boundCharge{}, hashes: map[string]*hashed{},
	}}
}

func (s *session) judge(ctx context.Context, asked *product.Promise, j *Judged) error {
	if is, ok := s.options.known(j.Name); ok {
		*j = is
		return nil
	}
	if lacks := j.unjudgeable(asked); len(lacks) > 0 {
		j.Lacks, j.Verdict = lacks, NoEvidence
		return nil
	}
	study := studyOf(j.Study)
	switch {
	case study == nil:
		return asked.Study.Fault("there is no such study", wantOneOf(j.Study, studyNames(false)))
	case !study.built():
		j.Verdict = NoEvidence
		j.Says = append(j.Says, fmt.Sprintf("the study that answers %q is not built yet", study.question))
		return nil
	}
	err := s.judgedBy(ctx, study, asked, j)
	if err == nil {
		s.doubt(j)
	}
	j.Says = append(j.Says, j.Doubts...)
	return err
}

// wantOneOf offers the nearest of the known names, or else all of them.
func wantOneOf(name string, known []string) string {
	if near := product.Nearest(name, known); near != "" {
		return "did you mean " + near
	}
	return "want one of: " + strings.Join(known, ", ")
}

func (s *session) sortedAdvice() []page.Note {
	return slices.SortedFunc(slices.Values(s.told.notes), func(a, b page.Note) int { return strings.Compare(a.Text, b.Text) })
}

// newJudged copies what the promise says.
func newJudged(name string, asked *product.Promise) Judged {
	j := Judged{
		Name: name, Label: asked.Label.Text, From: asked.Origin.String(),
		Study: asked.Study.Text, Quantity: asked.Quantity.Text, Safety: asked.Safety.On,
		EachUnit:   asked.For.Text != "the mean" && perUnit[asked.Study.Text],
		Proportion: usualProportion, Confidence: usualConfidence,
	}
	if j.Label == "" {
		j.Label = name
	}
	if asked.For.Is("each unit") {
		j.EachUnit = true
	}
	if asked.Proportion.Set() {
		j.Proportion = asked.Proportion.Value
	}
	if asked.Confidence.Set() {
		j.Confidence = asked.Confidence.Value
	}
	j.Axis = strings.ReplaceAll(bind.Plain(j.Quantity), "-", " ")
	j.bound(asked)
	c := &asked.Conditions
	for _, one := range []struct {
		name string
		leaf product.Leaf
	}{
		{"ambient", c.Ambient.Leaf}, {"charge_current", c.ChargeCurrent.Leaf}, {"load_current", c.LoadCurrent.Leaf},
		{"current", c.Current.Leaf}, {"voltage", c.Voltage.Leaf}, {"age", c.Age.Leaf}, {"batch", c.Batch.Leaf},
		{"installation", c.Installation.Leaf}, {"mistake", c.Mistake.Leaf}, {"state", c.State.Leaf}, {"mounted", c.Mounted.Leaf},
	} {
		if one.leaf.Set() {
			j.Conditions = append(j.Conditions, Condition{one.name, one.leaf.Text})
		}
	}
	return j
}

// perUnit names the studies whose promises hold for each unit unless they say otherwise.
var perUnit = map[string]bool{"setpoint": true, "rating": true}

func (j *Judged) bound(asked *product.Promise) {
	low, high := func(q quantity.Quantity) *float64 { v := q.Low; return &v }, func(q quantity.Quantity) *float64 { v := q.High; return &v }
	switch {
	case asked.Within.Set():
		q := asked.Within.Quantity
		j.Bound = Bound{Min: low(q), Max: high(q)}
		j.show(q, asked.Within.Text)
	case asked.Min.Set() && asked.Max.Set():
		j.Bound = Bound{Min: low(asked.Min.Quantity), Max: high(asked.Max.Quantity)}
		j.show(asked.Min.Quantity, asked.Min.Text+" to "+asked.Max.Text)
	case asked.Min.Set():
		j.Bound.Min = low(asked.Min.Quantity)
		j.show(asked.Min.Quantity, "at least "+asked.Min.Text)
	case asked.Max.Set():
		j.Bound.Max = high(asked.Max.Quantity)
		j.show(asked.Max.Quantity, "at most "+asked.Max.Text)
	case asked.Ends.Set():
		j.Bound.Ends = endsOf(asked.Ends.Accepted)
		j.BoundText = strings.Join(asked.Ends.Accepted, " or ")
	}
}

func (j *Judged) show(q quantity.Quantity, text string) {
	j.Dim, j.Unit, j.BoundText = q.Dim, q.Unit, text
	if j.Unit == "" {
		j.Unit = q.Dim.Unit()
	}
}

// unjudgeable lists what the promise itself lacks.
func (j *Judged) unjudgeable(asked *product.Promise) []page.Lack {
	var lacks []page.Lack
	lack := func(key, why string) {
		lacks = append(lacks, page.Lack{File: "promises.toml", Key: "promise." + j.Name + "." + key, Why: why})
	}
	if !asked.Study.Set() {
		lack("study", "what is to judge it")
	}
	if !asked.Quantity.Set() {
		lack("quantity", "what is judged")
	}
	if j.BoundText == "" {
		lack("within", "the bound; or min, max, ends")
	}
	return lacks
}

// judge gives the verdict of the evidence gathered so far.
func (j *Judged) judge() { j.Verdict = Judge(j.Bound, j.Proportion, j.Evidence) }

// report starts a report on the product.
func (s *session) report() *Report {
	p := s.product
	r := &Report{Product: p.Name.Text, Variant: p.Variant, Revision: p.Revision.Text, Invented: p.Invented.Text}
	if r.Product == "" {
		r.Product = "unnamed product"
	}
	r.Subtitle = subtitle(p)
	for _, c := range caution.Of(p) {
		if c.Safety {
			r.Cautions = append(r.Cautions, bind.Note(c))
		} else {
			r.Advice = append(r.Advice, bind.Note(c))
		}
	}
	for _, w := range p.Folder.Warnings {
		r.Warnings = append(r.Warnings, page.Note{Text: w.Text, Remedy: w.Remedy})
	}
	s.design(r)
	r.rows(p.Folder.RecordErrors, "the row is left out; mend it and check again")
	r.rows(p.Folder.Breaches(), "the row counts all the same; mend it and check again")
	return r
}

// rowsShown is how many rows of records that are wrong are listed one by one.
const rowsShown = 10

// rows warns of rows of the records, and counts those beyond the first.
func (r *Report) rows(wrong product.Errors, remedy string) {
	for _, e := range wrong[:min(len(wrong), rowsShown)] {
		r.Rows = append(r.Rows, page.Note{Text: e.Error(), Remedy: remedy})
	}
	if more := len(wrong) - rowsShown; more > 0 {
		r.Rows = append(r.Rows, page.Note{Text: fmt.Sprintf("and %d more rows such as these", more), Remedy: remedy})
	}
}

func subtitle(p *product.Product) string {
	var said []string
	if p.NominalVoltage.Set() {
		said = append(said, p.NominalVoltage.Text)
	}
	if p.Current.Set() {
		said = append(said, p.Current.Text)
	}
	line := strings.Join(said, ", ")
	if p.Summary.Text != "" {
		line += " · " + p.Summary.Text
	}
	switch {
	case p.Variant != "" && p.Revision.Text == "":
		line += " · variant " + p.Variant
	case p.Revision.Text != "":
		line += " · revision " + p.Revision.Text
	}
	return strings.TrimPrefix(line, " · ")
}
