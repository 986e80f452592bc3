package setpoint

import (
	"context"
	"slices"

	"hindwatt/internal/page"
)

// Beside adds to a page of this study what other conditions give: a sentence on each quantity, the
// spread of each one that is bounded, and the table of results.
func (r *Result) Beside(ctx context.Context, p *page.Page, bounds ...Bound) error {
	p.Lacks = append(p.Lacks, r.Lacks()...)
	if len(r.Outcomes) == 0 {
		return nil
	}
	said, err := r.answers(bounds)
	if err != nil {
		return err
	}
	p.Answer = append(p.Answer, said...)
	for _, n := range r.stuckNotes() {
		if !slices.Contains(p.Cautions, n) {
			p.Cautions = append([]page.Note{n}, p.Cautions...)
		}
	}
	for _, o := range r.Outcomes {
		if b := boundOf(bounds, o.Quantity); b != nil && o.Never == "" {
			spread, err := o.distribution(b, ", "+r.Input.conditionWords())
			if err != nil {
				return err
			}
			p.Figures = append(p.Figures, spread)
		}
	}
	p.Warnings = append(p.Warnings, r.warnings(bounds)...)
	results, err := r.resultTable(ctx)
	if err != nil {
		return err
	}
	p.Tables = append(p.Tables, results)
	p.AddInputs(r.inputs()...) // the conditions; the rest is on the page already
	return nil
}
