package promise

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/returns"
)

// returnsQuantities are what a promise may ask of the records of returns.
var returnsQuantities = []string{"came-back", "came-back-with-fault", "came-back-per-year", "failed"}

// returnsRun is the study, run once for all promises and the page.
type returnsRun struct {
	once   sync.Once
	result *returns.Result
	err    error
}

func (s *session) runReturns(ctx context.Context) (*returns.Result, error) {
	run := &s.returns
	run.once.Do(func() {
		in := bind.Returns(s.product)
		in.Seed = s.options.Seed
		run.result, run.err = returns.Run(ctx, in)
	})
	return run.result, run.err
}

// judgeReturns judges a share, or a rate, of units that came back, by the records of the product's own revision.
func judgeReturns(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	name := bind.Plain(asked.Quantity.Text)
	dim := quantity.Ratio
	switch name {
	case "came-back", "came-back-with-fault", "failed":
	case "came-back-per-year":
		dim = quantity.Frequency
	default:
		return asked.Quantity.Fault("returns has no such quantity", wantOneOf(name, returnsQuantities))
	}
	if j.Dim != dim {
		return asked.Quantity.Fault("its bound is a "+j.Dim.Name(), "want a "+dim.Name())
	}
	j.PageID, j.Axis = "returns", name
	if !s.product.Folder.Keeps("returned") {
		j.Lacks, j.Verdict = []page.Lack{notKept}, NoEvidence
		return nil
	}
	r, err := s.runReturns(ctx)
	if err != nil {
		return err
	}
	q := returns.Asked{Fault: name == "came-back-with-fault" || name == "failed", Unreported: name == "failed", Batch: asked.Conditions.BatchName.Text, Confidence: j.Confidence}
	if asked.Conditions.Age.Set() {
		q.Age = asked.Conditions.Age.High
	}
	if q.Unreported && r.Input.Unreported == nil {
		j.Lacks, j.Verdict = []page.Lack{{File: "production.toml", Key: "work.fault_unreported", Why: "how many faults are never told of"}}, NoEvidence
		return nil
	}
	at, err := shareOrRate(r, name, q)
	if errors.Is(err, returns.ErrNone) {
		j.Lacks, j.Verdict = []page.Lack{{File: "records/sold.csv", Key: "date, count", Why: "no unit sold of this revision or batch is known"}}, NoEvidence
		return nil
	}
	if err != nil {
		return err
	}
	e := Evidence{
		Kind: Recorded, Interval: Interval{Best: at.Best, Low: at.Low, High: at.High, OpenHigh: at.Open}, Covers: true, Carried: at.Carried,
		Units: at.Units, Basis: at.Basis, From: []string{"records/sold.csv", "records/returned.csv"}, Note: at.How,
	}
	switch {
	case asked.Conditions.Age.Set():
		e.Conditions = "up to " + asked.Conditions.Age.Text
	case name != "came-back-per-year" && r.Out > 0:
		e.OpenHigh = true
		j.Says = append(j.Says, "more may still come back: name an age in the promise's conditions, up to which it is counted")
	}
	j.Evidence = append(j.Evidence, e)
	j.judge()
	scaled := scaleOf(j.Dim, j.Unit, e.spread())
	j.Says = append(j.Says, fmt.Sprintf("recorded: %s (%s) of %d units, %s", scaled.text(e.Best), scaled.interval(e.Interval), at.Units, at.How))
	return nil
}

func shareOrRate(r *returns.Result, name string, q returns.Asked) (returns.At, error) {
	if name == "came-back-per-year" {
		return r.PerYear(q)
	}
	return r.Share(q)
}

// notKept is what is missing where nothing was written down about returns.
var notKept = page.Lack{File: "records/returned.csv", Key: "date, count", Why: "what came back; a row with count 0 says that none did"}

// answerReturns answers the study's question in full.
func answerReturns(ctx context.Context, s *session, _ []Judged) (*Answer, error) {
	if !s.product.Folder.Keeps("returned") {
		return s.newAnswer("returns", page.Page{
			ID: "returns", Question: "How often does it come back?", Short: "Comes back?",
			Answer: []string{"Whether any came back is not written down yet."}, Lacks: []page.Lack{notKept},
		}), nil
	}
	r, err := s.runReturns(ctx)
	if err != nil {
		return nil, err
	}
	shown, err := r.Page()
	if err != nil {
		return nil, err
	}
	out := s.newAnswer("returns", shown)
	for _, name := range returnsQuantities {
		q := returns.Asked{Fault: name == "came-back-with-fault" || name == "failed", Unreported: name == "failed"}
		if q.Unreported && r.Input.Unreported == nil {
			continue
		}
		at, err := shareOrRate(r, name, q)
		if errors.Is(err, returns.ErrNone) {
			continue
		}
		if err != nil {
			return nil, err
		}
		f := Figure{name, Interval{Best: at.Best, Low: at.Low, High: at.High, OpenHigh: at.Open}, quantity.Ratio, "%"}
		if name == "came-back-per-year" {
			f.Dim, f.Unit = quantity.Frequency, "1/year"
		}
		out.Figures = append(out.Figures, f)
	}
	if f := r.Fit; f != nil {
		out.Figures = append(out.Figures,
			Figure{"shape", Interval{f.Shape, f.ShapeLow.Value, f.ShapeHigh.Value, f.ShapeLow.None != "", f.ShapeHigh.None != ""}, quantity.Ratio, ""},
			Figure{"scale", Interval{f.Scale, f.ScaleLow.Value, f.ScaleHigh.Value, f.ScaleLow.None != "", f.ScaleHigh.None != ""}, quantity.Time, "years"})
	}
	if len(r.Months) > 0 {
		out.Figures = append(out.Figures, Figure{"still-to-come", Interval{Best: r.Coming.Best, Low: r.Coming.Low, High: r.Coming.High, OpenHigh: r.Coming.Open}, quantity.Ratio, ""})
	}
	if m, ok := r.Reserve(); ok && r.Input.Currency != "" {
		out.Figures = append(out.Figures, Figure{"reserve", Interval{Best: m.Best, Low: m.Low, High: m.High, OpenHigh: m.Open}, quantity.Money, r.Input.Currency})
	}
	return out, nil
}
