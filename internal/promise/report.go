package promise

import (
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A Judged promise is the sentence of the label with its verdict and all that it stands on.
// Figures are in SI units.
type Judged struct {
	Name, Label     string
	From            string // "promises.toml:12"
	Study, Quantity string
	Dim             quantity.Dimension
	Unit            string // to show figures in
	Bound           Bound
	BoundText       string   // "-0.2 V to 0.2 V"
	Ends            []string // for a mistake or a part failure
	Conditions      []Condition
	EachUnit        bool
	Proportion      float64 // of units, where EachUnit
	Confidence      float64
	Safety          bool

	Verdict  Verdict
	Evidence []Evidence
	Disagree []Disagreement
	More     *int   // how many more units would settle it; nil where that is not the question
	MoreWhy  string // what would settle it otherwise
	Says     []string
	Lacks    []page.Lack
	PageID   string
	Axis     string // what the strip's axis is: "deviation from the target"
	Failed   error  // the study could not be computed
}

// A Condition is one that the promise names.
type Condition struct{ Name, Text string }

// A Report is the product with every promise judged.
type Report struct {
	Product, Variant, Revision string
	Subtitle, Invented         string
	Promises                   []Judged
	Pages                      []page.Page
	Cautions                   []page.Note // what may do harm
	Advice                     []page.Note // what else the engineering checks say
	Warnings                   []page.Note // doubt about the folder
}

// Count returns how many promises have each verdict.
func (r *Report) Count() map[Verdict]int {
	count := map[Verdict]int{}
	for _, p := range r.Promises {
		count[p.Verdict]++
	}
	return count
}

// Failed returns the first error of a study that a promise needs.
func (r *Report) Failed() error {
	for _, p := range r.Promises {
		if p.Failed != nil {
			return p.Failed
		}
	}
	return nil
}
