package promise

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench/sheet"
)

// Page is the answer as a page.
func (t *Testing) Page() page.Page {
	p := page.Page{ID: "testing", Question: "Is this unit good enough to go out?", Short: "Good enough?", Lacks: t.Lacks, Warnings: t.Warnings}
	switch {
	case len(t.Lacks) > 0:
		p.Answer = []string{"The folder does not say yet how units are tested."}
	case len(t.Sheet.Rows) == 0:
		p.Answer = []string{"No promise binds a level that can be read on each unit."}
	default:
		for i := range t.Sheet.Rows {
			p.Answer = append(p.Answer, t.Sheet.Rows[i].Sentence())
		}
		p.Tables = []page.Table{t.Sheet.Table()}
	}
	if len(t.Left) > 0 {
		var rows [][]string
		for _, l := range t.Left {
			name, why, _ := strings.Cut(l, ": ")
			rows = append(rows, []string{name, why})
		}
		p.Tables = append(p.Tables, page.Table{Title: "Promises that this test does not show", Head: []string{"promise", "why"}, Rows: rows})
	}
	return p
}

// tellTesting adds to the bench's page between which readings a unit goes out, with what was read of each batch. A folder that does not
// say how it tests is told nothing.
func (s *session) tellTesting(ctx context.Context, shown *page.Page) error {
	if !s.product.Production.Test.Meter.Set() {
		return nil
	}
	t, err := Test(ctx, s.product, s.options, Bench{})
	if err != nil {
		return err
	}
	p := t.Page()
	for i := range t.Sheet.Rows {
		r := &t.Sheet.Rows[i]
		p.Figures = append(p.Figures, sentOut(r))
		if f := s.byBatch(r, t.at.Ambient.Value); f != nil {
			p.Figures = append(p.Figures, *f)
		}
	}
	shown.Append("testing", p)
	return nil
}

// sentOut draws the units that pass: those made, cut by the acceptance limits as blurred as the reading is.
func sentOut(r *sheet.Row) page.Figure {
	low, high := r.Mean-4*r.SD, r.Mean+4*r.SD
	const columns = 48
	var bins []figure.Bin
	for k := range columns {
		a := low + (high-low)*float64(k)/columns
		b := low + (high-low)*float64(k+1)/columns
		bins = append(bins, figure.Bin{Low: a, High: b, Count: 1000 * r.Sent(a, b)})
	}
	d := figure.Distribution{Quantity: r.Promise + " of the units sent out", Unit: "V", Bins: bins}
	if !math.IsInf(r.Min, 0) {
		d.Min, d.MinText = &r.Min, volts(r, r.Min)
	}
	if !math.IsInf(r.Max, 0) {
		d.Max, d.MaxText = &r.Max, volts(r, r.Max)
	}
	return page.Figure{Plot: d, Caption: "The units that pass, of 1000 made, against what the promises ask here: " + r.BadSent() + " of those sent out are bad."}
}

func volts(r *sheet.Row, v float64) string { return quantity.Format(v, r.Dim, r.Unit, 3) }

// byBatch draws what was read on the units of each batch against the acceptance limits, brought to the air of the test; nil where no
// batch is known.
func (s *session) byBatch(r *sheet.Row, ambient float64) *page.Figure {
	in := bind.Setpoint(s.product, s.options.Installation)
	at, known := in.Target(r.Promise, ambient)
	if !known {
		return nil
	}
	values := map[string][]float64{}
	for _, g := range s.gather(r.Promise + "-error") {
		for i := range g.readings {
			b := &g.readings[i]
			if b.Batch == "" || b.Ambient == nil {
				continue
			}
			there, _ := in.Target(r.Promise, b.Ambient.Value)
			values[b.Batch] = append(values[b.Batch], b.Value.Value-there+at)
		}
	}
	if len(values) == 0 {
		return nil
	}
	var names []string
	for name := range values {
		names = append(names, name)
	}
	slices.Sort(names)
	series, outside := figure.Series{Name: "first reading of each unit", Points: true}, 0
	for k, name := range names {
		for _, v := range values[name] {
			series.X, series.Mid = append(series.X, float64(k+1)), append(series.Mid, v)
			if j, err := r.Judge(v); err == nil && !j.Pass {
				outside++
			}
		}
	}
	c := figure.Curve{X: figure.Axis{Name: "batch", Scale: figure.Items, Names: names}, Y: figure.Axis{Name: r.Promise, Unit: "V"}, Series: []figure.Series{series}}
	if !math.IsInf(r.Accept.Low, 0) {
		c.Min, c.MinText = []figure.Point{{Y: r.Accept.Low}}, volts(r, r.Accept.Low)
	}
	if !math.IsInf(r.Accept.High, 0) {
		c.Max, c.MaxText = []figure.Point{{Y: r.Accept.High}}, volts(r, r.Accept.High)
	}
	return &page.Figure{Plot: c, Caption: fmt.Sprintf("Readings by batch with the acceptance limits, brought to the air of the test: %d of %d outside.", outside, len(series.Mid))}
}
