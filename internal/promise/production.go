package promise

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/production"
	"hindwatt/internal/study/rating"
)

var productionDims = map[string]quantity.Dimension{
	"unit-cost": quantity.Money, "unit-cost-sold": quantity.Money, "left-over": quantity.Money,
	"unit-minutes": quantity.Time, "week": quantity.Ratio,
}

// productionJudged is what a judgement reads: one unit in one size of batch, without what could be done instead.
func (s *session) productionJudged() production.Input {
	in := bind.Production(s.product)
	in.Seed, in.OneSize, in.Instead, in.Quotes = s.options.Seed, true, nil, nil
	return in
}

// warmth hands over how warm each enclosure gets inside, where another one is an alternative. What cannot be computed is left out.
func (s *session) warmth(in *production.Input) {
	if !slices.ContainsFunc(in.Instead, func(a production.Alternative) bool { return a.Enclosure }) {
		return
	}
	in.Rise = rating.Rise(bind.Rating(s.product, s.options.Installation))
	for i := range in.Instead {
		if other, err := s.product.Folder.Resolve(in.Instead[i].Name); err == nil {
			in.Instead[i].Input.Rise = rating.Rise(bind.Rating(other, s.options.Installation))
		}
	}
}

// mostBatch is the largest batch that a promise may name.
const mostBatch = 1_000_000

func batchesOf(n int) string { return fmt.Sprintf("batches of %d", n) }

// judgeProduction gathers what is calculated and what was recorded of making.
func judgeProduction(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	dim, known := productionDims[name]
	if !known {
		return asked.Quantity.Fault("is no quantity of the production study", wantOneOf(name, production.Names()))
	}
	j.PageID, j.EachUnit = "production", false
	batch := asked.Conditions.Batch
	if batch.Set() && batch.High > mostBatch {
		return batch.Fault("is more than a batch can be", fmt.Sprintf("want 1 to %d", mostBatch))
	}
	in := s.productionJudged()
	in.At = int(math.Round(batch.Value))
	if s.options.coarse > 0 {
		in.Samples = s.options.units.outer * s.options.units.inner
	}
	r, err := production.Run(ctx, in)
	if err != nil {
		return err
	}
	for _, b := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if b.Set() && b.Dim != dim {
			return b.Fault("is a "+b.Dim.Name(), "want a "+dim.Name())
		}
		if b.Set() && dim == quantity.Money && b.Currency != r.Currency && r.Currency != "" {
			return b.Fault("is another currency than the study's", "want "+r.Currency)
		}
	}
	j.Lacks = append(j.Lacks, r.Lacks...)
	if is, ok := r.Quantities[name]; ok {
		e := Evidence{Kind: Calculated, Covers: true, From: []string{"production study"}, Interval: closed(is.Best, is.Low, is.High),
			Conditions: batchesOf(r.Batch)}
		if len(r.Incomplete) > 0 { // the true cost is more, and what is left over less
			e.OpenHigh = name != "left-over" && name != "week"
			e.OpenLow = !e.OpenHigh
		}
		j.Evidence = append(j.Evidence, e)
	}
	if r.IsUsualBatch() {
		s.recordedProduction(r, name, j)
	} else if r.Recorded != nil {
		j.Says = append(j.Says, fmt.Sprintf("what was recorded is of batches as they were made and says nothing of %s", batchesOf(r.Batch)))
	}
	j.judge()
	j.sayShares()
	return nil
}

// recordedProduction adds what was recorded of the same thing.
func (s *session) recordedProduction(r *production.Result, name string, j *Judged) {
	rec := r.Recorded
	if rec == nil {
		return
	}
	e := Evidence{Kind: Recorded, Covers: true, Units: int(rec.Units), Basis: rec.Basis, From: rec.From, Conditions: "as made"}
	open, difference, differs := "", production.Interval{}, false
	switch {
	case name == "unit-cost" && rec.HasCost:
		open, difference, differs = rec.CostOpen, rec.Difference, rec.Disagrees()
		e.Interval = closed(rec.Cost.Best, rec.Cost.Low, rec.Cost.High)
		e.OpenHigh = rec.Short || slices.ContainsFunc(r.Incomplete, func(what string) bool { return what != "parts" && what != "minutes" })
		e.Note = "parts and hours as recorded, overheads as calculated; rows without a revision count by their day"
	case name == "unit-minutes" && rec.HasTime:
		open, difference, differs = rec.TimeOpen, rec.TimeDifference, rec.TimeDisagrees()
		e.Interval = closed(rec.Time.Best, rec.Time.Low, rec.Time.High)
		e.Note = "rows without a revision count by their day"
	default:
		return
	}
	if open != "" {
		e.OpenLow, e.OpenHigh, e.Note = true, true, open+": no limits"
	}
	if d, found := disagrees(Calculated, Recorded, difference.Best, difference.High-difference.Best, batchesOf(r.Batch)); found && differs {
		j.Disagree = append(j.Disagree, d)
	}
	j.Evidence = append(j.Evidence, e)
}

// answerProduction answers the study's question in full.
func answerProduction(ctx context.Context, s *session, _ []Judged) (*Answer, error) {
	in := bind.Production(s.product)
	in.Seed = s.options.Seed
	s.warmth(&in)
	r, err := production.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	shown, err := r.Page()
	if err != nil {
		return nil, err
	}
	out := s.newAnswer("production", shown)
	out.Figures = figuresOfProduction(r)
	return out, nil
}

func figuresOfProduction(r *production.Result) (list []Figure) {
	units := map[quantity.Dimension]string{quantity.Money: r.Currency, quantity.Time: "min", quantity.Ratio: ""}
	for _, name := range production.Names() {
		if is, ok := r.Quantities[name]; ok {
			dim := productionDims[name]
			list = append(list, Figure{name, closed(is.Best, is.Low, is.High), dim, units[dim]})
		}
	}
	if _, known := r.Quantities["unit-cost"]; known && len(r.Sizes) > 1 {
		for _, b := range []struct {
			name string
			n    int
		}{{"best-batch-low", r.BestLow}, {"best-batch-high", r.BestHigh}} {
			v := float64(b.n)
			list = append(list, Figure{b.name, closed(v, v, v), quantity.Ratio, ""})
		}
	}
	return list
}
