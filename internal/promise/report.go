package promise

import (
	"errors"
	"fmt"
	"slices"
	"strings"

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
	BoundText       string // "-0.2 V to 0.2 V"
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
	Axis     string   // what the strip's axis is: "deviation from the target"
	Failed   error    // the study could not be computed
	Doubts   []string // about the evidence, said last
	Coarse   string   // what a first, coarse judgement leaves to follow: "the margin follows"; "" in a judgement in full
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
	Rows                       []page.Note // rows of the records that are wrong, word for word: not to be published
}

// Count returns how many promises have each verdict.
func (r *Report) Count() map[Verdict]int {
	count := map[Verdict]int{}
	for _, p := range r.Promises {
		count[p.Verdict]++
	}
	return count
}

// Failed returns why studies that promises need could not be computed, each reason once.
func (r *Report) Failed() error {
	var all []error
	for _, p := range r.Promises {
		if p.Failed != nil && !slices.ContainsFunc(all, func(e error) bool { return e.Error() == p.Failed.Error() }) {
			all = append(all, p.Failed)
		}
	}
	return errors.Join(all...)
}

// Tally is the last line of a check: how many promises have each verdict.
func (r *Report) Tally() string {
	count := r.Count()
	var said []string
	for _, v := range []Verdict{Met, Unproven, NotMet, NoEvidence} {
		said = append(said, fmt.Sprintf("%d %s", count[v], v))
	}
	n := len(r.Promises)
	return fmt.Sprintf("%d %s: %s", n, plural(n, "promise", "promises"), strings.Join(said, ", "))
}

// Foot is the line at the foot of a page: what it was computed from.
func (r *Report) Foot(seed uint64) string {
	from := "computed by hindwatt from the product folder"
	if r.Variant != "" {
		from += ", variant " + r.Variant
	}
	return fmt.Sprintf("%s, seed %d; the same folder and seed give the same page. A calculation defers to a trial, to local codes and to licensed practice.", from, seed)
}
