package promise

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
)

const (
	together = 5.0 // K: readings whose ambients follow each other within this are looked at as one
	same     = 2.0 // K: ambients that differ by less are the same
	nearly   = 0.1 // of the largest promised current: currents that differ by less are the same
	normal95 = 1.959964

	fewForSpread     = 5    // units, below which their spread says too little
	spreadConfidence = 0.99 // a second look at the same readings has to be surer
	carryRuns        = 100  // groups of simulated units that carry a measurement over, and
	carryEach        = 40   // units of each

	zeroCelsius = 273.15 // K
)

// settling says what would settle an open promise.
type settling struct {
	more int
	why  string // where no number of units would
}

// gathering is a set of readings made under much the same conditions.
type gathering struct {
	rows     []product.Reading
	readings []bench.Reading
	ambient  float64 // K, their mean
	low      float64
	high     float64
}

// A measurement is how the readings of a study bear on one promise.
type measurement struct {
	conditions string // of the promise, in words
	of         string // what is read where that is not the promised quantity itself; "" where it is
	dim        quantity.Dimension
	unit       string // of differences of what is read, where of is set

	// direct gives the bench what was read, at its own conditions; known is false where the folder lacks what that takes.
	direct func(g gathering) (in bench.Input, known bool, err error)
	// stands reports whether the readings were made within the promised conditions, and whether they cover them.
	stands func(g gathering) (within, covers bool)
	// at is what the model says where they were made, of the same units.
	at func(ctx context.Context, g gathering, r *bench.Result) (modelled, error)
	// over gives the bench what was read as the model carries it to the promised conditions.
	over func(ctx context.Context, g gathering, in bench.Input) (bench.Input, error)
	// reaches reports whether the model has figures at all.
	reaches bool
}

// modelled is a calculated distribution, and the interval of the readings' mean that it is held against.
type modelled struct {
	mean, unitSD, unknownSD float64
	read                    bench.Interval
}

// benched are the measurements weighed last, which most changes do not touch.
var benched kept.Memory[*bench.Result]

// weighed is what some readings tell. It is soon done, and so no interruption of one that asks is remembered for another.
func weighed(ctx context.Context, in bench.Input) (*bench.Result, error) {
	return benched.Result("bench", in, func() (*bench.Result, error) { return bench.Run(context.WithoutCancel(ctx), in) })
}

// measured adds what was read on the bench: as it was read, and carried over by the model to the conditions of the promise where
// those are wider.
func (s *session) measured(ctx context.Context, m measurement, all []gathering, j *Judged) (*settling, error) {
	var settle *settling
	for _, g := range all {
		in, known, err := m.direct(g)
		if err != nil {
			return nil, err
		}
		if !known {
			return settle, nil
		}
		direct, err := weighed(ctx, in)
		if err != nil {
			return nil, err
		}
		within, covers := m.stands(g)
		if m.of == "" {
			e, err := benchEvidence(direct, g, j)
			if err != nil {
				return nil, err
			}
			e.Covers = covers
			if within { // read elsewhere, it stands for the promise only as the model carries it
				j.Evidence = append(j.Evidence, e)
			}
		}
		if err := m.compare(ctx, g, direct, j); err != nil {
			return nil, err
		}
		over := direct
		if (!covers || m.of != "") && m.reaches {
			if over, err = m.carry(ctx, g, in, j); err != nil {
				return nil, err
			}
		} else if m.of != "" {
			continue
		}
		if s.options.coarse > 0 { // a sketch does not say what would settle it
			settle = &settling{}
			continue
		}
		next, err := settleBench(over, j)
		if err != nil {
			return nil, err
		}
		if settle == nil || next.why == "" && (settle.why != "" || next.more < settle.more) {
			settle = next
		}
	}
	return settle, nil
}

// carry adds the measurement as the model carries it to the promised conditions.
func (m measurement) carry(ctx context.Context, g gathering, in bench.Input, j *Judged) (*bench.Result, error) {
	in, err := m.over(ctx, g, in)
	if err != nil {
		return nil, err
	}
	over, err := weighed(ctx, in)
	if err != nil {
		return nil, err
	}
	e, err := benchEvidence(over, g, j)
	if err != nil {
		return nil, err
	}
	e.Covers, e.Carried = true, true
	e.Conditions = m.conditions
	e.Note = "carried over by the model from " + g.text()
	if m.of != "" {
		e.Note = "carried over by the model from " + m.of + " at " + g.text() + ", as far as that part is what stops it"
	}
	j.Evidence = append(j.Evidence, e)
	return over, nil
}

func benchEvidence(r *bench.Result, g gathering, j *Judged) (Evidence, error) {
	e := Evidence{Kind: Measured, Units: r.Units, Conditions: g.text(), Basis: g.basis()}
	for _, reading := range g.readings {
		e.From = append(e.From, reading.From)
	}
	for _, doubt := range append(append([]page.Note{}, r.Warnings...), r.Doubts(j.Bound.min(), j.Bound.max())...) {
		j.doubt(doubt)
	}
	is := r.Tolerance
	if !j.EachUnit || r.Units == 1 {
		is = r.Mean
	}
	e.Interval = Interval{is.Best, is.Low, is.High, is.OpenLow, is.OpenHigh}
	if !j.EachUnit && r.Units == 1 { // one unit does not bound the mean of all
		e.Interval = Interval{Best: is.Best, OpenLow: true, OpenHigh: true}
	}
	if j.EachUnit {
		inside, err := r.Inside(j.Bound.min(), j.Bound.max())
		if err != nil {
			return e, err
		}
		share := closed(inside.Best, inside.Low, inside.High)
		e.Inside = &share
	}
	return e, nil
}

func settleBench(r *bench.Result, j *Judged) (*settling, error) {
	if !j.EachUnit {
		return &settling{}, nil
	}
	found, err := r.Settle(j.Bound.min(), j.Bound.max())
	if err != nil {
		return nil, err
	}
	out := &settling{more: found.More}
	if found.Never {
		out.why = found.Why
	}
	return out, nil
}

// compare says whether the calculation and the bench disagree on the same units at the same
// conditions. What both share, the error of one and the same meter, cancels.
func (m measurement) compare(ctx context.Context, g gathering, r *bench.Result, j *Judged) error {
	if !m.reaches || r.Mean.OpenLow || r.Mean.OpenHigh {
		return nil
	}
	calculated, err := m.at(ctx, g, r)
	if err != nil {
		return err
	}
	half := (calculated.read.High - calculated.read.Low) / 2
	scatter := 0.0
	if r.Units == 1 { // with more units their own scatter is in the interval of the mean
		scatter = calculated.unitSD
	}
	// [V4]
	u95 := math.Hypot(half, normal95*math.Hypot(scatter, calculated.unknownSD))
	if d, differs := disagrees(Calculated, Measured, calculated.mean-r.Mean.Best, u95, g.text()); differs {
		d.Of, d.Dim, d.Unit = m.of, m.dim, m.unit
		j.Disagree = append(j.Disagree, d)
	}
	if r.Units < fewForSpread || r.SD == 0 {
		return nil
	}
	low, high := statistics.SpreadLimits(r.SD, r.Units, spreadConfidence) // [V5]
	if calculated.unitSD < low || calculated.unitSD > high {
		j.Disagree = append(j.Disagree, Disagreement{
			A: Calculated, B: Measured, Of: strings.TrimPrefix(m.of+", spread from unit to unit", ", "), Conditions: g.text(), Dim: m.dim, Unit: m.unit,
			Difference: calculated.unitSD - r.SD, Low: calculated.unitSD - high, High: calculated.unitSD - low,
		})
	}
	return nil
}

// rows returns the readings of one thing; those of another dimension, or without an ambient, are left out, and that is said.
func (s *session) rows(what string, dim quantity.Dimension, want string) []product.Reading {
	var rows []product.Reading
	for _, row := range append(bind.Readings(s.product, what), s.byRuns(what)...) {
		switch {
		case row.Value.Dim != dim:
			s.advise(row.Leaf, "is left out: its value is a "+row.Value.Dim.Name(), want)
		case !row.Ambient.Set():
			s.advise(row.Leaf, "is left out: its ambient was not noted", `note it: ambient="18 °C"`)
		default:
			rows = append(rows, row)
		}
	}
	return rows
}

// gatherings puts together the readings whose ambients follow each other closely.
func (s *session) gatherings(rows []product.Reading) []gathering {
	var all []gathering
	sort.SliceStable(rows, func(a, b int) bool { return rows[a].Ambient.Value < rows[b].Ambient.Value })
	for _, row := range rows {
		at := row.Ambient.Value
		if n := len(all); n == 0 || at-all[n-1].high > together {
			all = append(all, gathering{low: at})
		}
		g := &all[len(all)-1]
		g.rows, g.readings, g.high = append(g.rows, row), append(g.readings, bind.Bench(s.product, row)), at
		g.ambient += (at - g.ambient) / float64(len(g.rows))
	}
	return all
}

func (g gathering) text() string {
	low, high := g.low-zeroCelsius, g.high-zeroCelsius
	if math.Round(low) == math.Round(high) {
		return fmt.Sprintf("%.0f °C", g.ambient-zeroCelsius)
	}
	return fmt.Sprintf("%.0f..%.0f °C", low, high)
}

func (g gathering) meter() string {
	name := ""
	for _, r := range g.readings {
		if r.Meter == nil || name != "" && r.Meter.Name != name {
			return ""
		}
		name = r.Meter.Name
	}
	return name
}

// basis is the weakest of the rows': remembered, then booked, then counted.
func (g gathering) basis() string {
	weakest := "counted"
	for _, row := range g.rows {
		switch row.Basis.Text {
		case "remembered":
			return "remembered"
		case "booked":
			weakest = "booked"
		}
	}
	return weakest
}
