package fault

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

const (
	usualUnits = 200
	unitsAJob  = 8
	fuseSpread = 0.15 // of the currents of a fuse's curve from link to link; estimate
	inside     = 0.95
)

// spread is what a unit and its outside are drawn from.
type spread struct {
	values     []hardware.Variable
	ohms, lead *Value // of the battery, and its contacts
}

// draw makes the values of one unit.
func (p *spread) draw(s *numeric.Stream, w world) ([]float64, world, float64) {
	values := make([]float64, len(p.values))
	for i := range p.values {
		values[i] = drawn(s, &p.values[i].Quantity)
	}
	if p.ohms != nil {
		w.ohms = max(w.ohms*1e-2, drawn(s, &p.ohms.Quantity))
	}
	if p.lead != nil {
		w.lead[0] = max(0, w.lead[0]-p.lead.Value+drawn(s, &p.lead.Quantity))
	}
	return values, w, s.Uniform(1-fuseSpread, 1+fuseSpread)
}

// drawn is one value of a quantity (JCGM 101, 6.4).
func drawn(s *numeric.Stream, q *quantity.Quantity) float64 {
	switch q.Spread {
	case quantity.Limits, quantity.Range:
		return s.Uniform(q.Low, q.High)
	case quantity.Normal:
		return q.Value + q.SD*max(-4, min(4, s.Norm()))
	}
	return q.Value
}

// intervals follows every outcome in every unit: where 95 of 100 margins lie, and how badly any of them ends. [E17]
func (r *Result) intervals(ctx context.Context, outcomes []*Outcome) error {
	units := r.Input.Units
	if units == 0 {
		units = usualUnits
	}
	if units < 0 || len(outcomes) == 0 {
		return nil
	}
	p := spread{values: r.Input.Design.Variables(), ohms: r.Input.Battery.Resistance}
	if l := r.Input.Design.BatteryLead; l != nil {
		p.lead = l.Contacts
	}
	ratios := make([][]float64, len(outcomes))
	ends := make([][]End, len(outcomes))
	for k := range outcomes {
		ratios[k], ends[k] = make([]float64, units), make([]End, units)
	}
	err := numeric.Parallel(ctx, (units+unitsAJob-1)/unitsAJob, func(job int) error {
		for u := job * unitsAJob; u < min(units, (job+1)*unitsAJob); u++ {
			if err := r.unit(&p, u, outcomes, ratios, ends); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for k, o := range outcomes {
		n := o.units(units)
		o.sum(ratios[k][:n], ends[k][:n])
	}
	return nil
}

// units is in how many an outcome is followed: those whose margin is far from 1 in fewer, since no spread takes it there.
func (o *Outcome) units(all int) int {
	if o.Margin.None() || o.Margin.Ratio > far || o.Margin.Ratio < 1/far {
		return max(1, all/fewer)
	}
	return all
}

const (
	far   = 3.0 // a margin that no spread of a data sheet takes to 1, nor its reciprocal
	fewer = 10
)

// unit follows all outcomes in one unit.
func (r *Result) unit(p *spread, u int, outcomes []*Outcome, ratios [][]float64, ends [][]End) error {
	s := numeric.NewStream(r.Input.Seed, uint64(u))
	values, w, blow := p.draw(&s, *r.world)
	e, err := newEngine(&r.Input, &w, values, r.normal)
	if err != nil {
		return fmt.Errorf("fault: unit %d: %w", u+1, err)
	}
	e.quiet, e.blow = true, blow
	e.r.Onward(true)
	for k, o := range outcomes {
		if u >= o.units(len(ratios[k])) {
			continue
		}
		got, err := e.along(o.trail, o.State, o.Case, o.Second)
		if err != nil {
			return fmt.Errorf("fault: unit %d: %w", u+1, err)
		}
		ratios[k][u], ends[k][u] = got.Margin.Ratio, got.End
		if got.Margin.None() {
			ratios[k][u] = most
		}
	}
	return nil
}

// sum makes interval, reach and shares of the units.
func (o *Outcome) sum(ratios []float64, ends []End) {
	n := float64(len(ends))
	for _, e := range ends {
		o.Shares[e] += 1 / n
		o.Reach = max(o.Reach, e)
	}
	if o.Margin.None() {
		return
	}
	tail := (1 - inside) / 2
	o.Margin.Low = numeric.Select(ratios, int(math.Floor(tail*(n-1))))
	o.Margin.High = numeric.Select(ratios, int(math.Ceil((1-tail)*(n-1))))
}
