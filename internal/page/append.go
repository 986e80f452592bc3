package page

import (
	"slices"
	"strings"
)

// Append adds another page of the same question, its answer as one paragraph, each of its figures,
// tables and warnings headed by what it is about: "float".
func (p *Page) Append(what string, q Page) {
	headed := func(s string) string { return opening(what) + ": " + s }
	if len(q.Answer) > 0 {
		p.Answer = append(p.Answer, headed(strings.Join(q.Answer, " ")))
	}
	for _, f := range q.Figures {
		f.Caption = headed(f.Caption)
		p.Figures = append(p.Figures, f)
	}
	for _, t := range q.Tables {
		t.Title = headed(t.Title)
		p.Tables = append(p.Tables, t)
	}
	for _, n := range q.Warnings {
		n.Text = headed(n.Text)
		p.Warnings = append(p.Warnings, n)
	}
	p.Cautions = append(p.Cautions, q.Cautions...)
	p.Lacks = append(p.Lacks, q.Lacks...)
	p.AddInputs(q.Inputs...)
	for _, m := range q.How {
		if !slices.Contains(p.How, m) {
			p.How = append(p.How, m)
		}
	}
}

// AddInputs adds the inputs that are not on the page yet.
func (p *Page) AddInputs(inputs ...Input) {
	for _, i := range inputs {
		if !slices.Contains(p.Inputs, i) {
			p.Inputs = append(p.Inputs, i)
		}
	}
}
