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
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/setpoint"
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

// measuredSetpoint adds what was read on the bench: as it was read, and carried over by the model
// to the conditions of the promise where those are wider.
func (s *session) measuredSetpoint(ctx context.Context, run *setpointRun, name string, j *Judged) (*settling, error) {
	var settle *settling
	if run.input.Conditions.Aged { // new units say nothing of old ones
		return nil, nil
	}
	for _, g := range s.gather(name) {
		from, known := target(run.input, name, g)
		if !known {
			return nil, nil
		}
		in := bench.Input{
			Quantity: "setpoint." + name, Unit: j.Unit, Readings: g.readings,
			Target:     from,
			Proportion: j.Proportion, Confidence: j.Confidence, Seed: s.options.Seed,
		}
		direct, err := bench.Run(ctx, in)
		if err != nil {
			return nil, err
		}
		within, covers := g.stands(run.input.Conditions)
		e, err := benchEvidence(direct, g, j)
		if err != nil {
			return nil, err
		}
		e.Covers = covers
		if within { // read elsewhere, it stands for the promise only as the model carries it
			j.Evidence = append(j.Evidence, e)
		}
		if err := s.compare(ctx, run, name, g, direct, j); err != nil {
			return nil, err
		}
		over := direct
		if !covers && run.reaches(name) {
			if over, err = s.carry(ctx, run, name, g, in, j); err != nil {
				return nil, err
			}
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
func (s *session) carry(ctx context.Context, run *setpointRun, name string, g gathering, in bench.Input, j *Judged) (*bench.Result, error) {
	drift, err := run.result.Carry(ctx, name, g.point(run.input), carryRuns, carryEach)
	if err != nil {
		return nil, err
	}
	in.Carry = &bench.Carry{Groups: drift.Groups, Low: drift.Low, High: drift.High}
	over, err := bench.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	e, err := benchEvidence(over, g, j)
	if err != nil {
		return nil, err
	}
	e.Covers, e.Carried = true, true
	e.Conditions = run.text()
	e.Note = "carried over by the model from " + g.text()
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
func (s *session) compare(ctx context.Context, run *setpointRun, name string, g gathering, r *bench.Result, j *Judged) error {
	if !run.reaches(name) || r.Mean.OpenLow || r.Mean.OpenHigh {
		return nil
	}
	point := g.point(run.input)
	point.ByTrimMeter = run.input.Trim != nil && g.meter() != "" && g.meter() == run.input.Trim.Instrument.Name
	calculated, err := run.result.At(ctx, name, point)
	if err != nil {
		return err
	}
	read := r.Mean
	if point.ByTrimMeter {
		read = r.MeanWithoutMeter
	}
	half := (read.High - read.Low) / 2
	scatter := 0.0
	if r.Units == 1 { // with more units their own scatter is in the interval of the mean
		scatter = calculated.UnitSD
	}
	// [V4]
	u95 := math.Hypot(half, normal95*math.Hypot(scatter, calculated.UnknownSD))
	if d, differs := disagrees(Calculated, Measured, calculated.Mean-r.Mean.Best, u95, g.text()); differs {
		j.Disagree = append(j.Disagree, d)
	}
	if r.Units < fewForSpread || r.SD == 0 {
		return nil
	}
	low, high := statistics.SpreadLimits(r.SD, r.Units, spreadConfidence) // [V5]
	if calculated.UnitSD < low || calculated.UnitSD > high {
		j.Disagree = append(j.Disagree, Disagreement{
			A: Calculated, B: Measured, Of: "spread from unit to unit", Conditions: g.text(),
			Difference: calculated.UnitSD - r.SD, Low: calculated.UnitSD - high, High: calculated.UnitSD - low,
		})
	}
	return nil
}

// gather returns the readings of a quantity, those made under much the same conditions together.
// A reading whose ambient was not noted cannot be held against a level that follows the
// temperature, nor carried to another one: it is left out, and that is said.
func (s *session) gather(name string) []gathering {
	var rows []product.Reading
	for _, row := range bind.Readings(s.product, "setpoint."+strings.TrimSuffix(name, "-error")) {
		switch {
		case row.Value.Dim != quantity.Voltage:
			s.advise(row.Leaf, "is left out: its value is a "+row.Value.Dim.Name(), "want a voltage such as 27.3 V")
		case !row.Ambient.Set():
			s.advise(row.Leaf, "is left out: its ambient was not noted", `note it: ambient="18 °C"`)
		default:
			rows = append(rows, row)
		}
	}
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

// stands reports whether the readings were made within the promised conditions, and whether they
// cover all of them.
func (g gathering) stands(c setpoint.Conditions) (within, covers bool) {
	low, high := ambientOf(c.Ambient)
	within = g.low >= low-same && g.high <= high+same
	covers = low >= g.low-same && high <= g.high+same
	for _, current := range []struct {
		promised *setpoint.Value
		read     func(product.Reading) product.Quantity
	}{
		{c.ChargeCurrent, func(r product.Reading) product.Quantity { return r.ChargeCurrent }},
		{c.LoadCurrent, func(r product.Reading) product.Quantity { return r.LoadCurrent }},
	} {
		if current.promised == nil {
			continue
		}
		low, high := bounds(current.promised.Quantity)
		slack := nearly * high
		least, most := math.Inf(1), math.Inf(-1)
		for _, row := range g.rows {
			read := current.read(row)
			if !read.Set() {
				return false, false
			}
			least, most = min(least, read.Value), max(most, read.Value)
		}
		within = within && least >= low-slack && most <= high+slack
		covers = covers && low >= least-slack && high <= most+slack
	}
	return within, covers
}

// point is where the readings were made, for the model.
func (g gathering) point(in setpoint.Input) setpoint.Point {
	p := setpoint.Point{Ambient: g.ambient}
	mean := func(of func(product.Reading) product.Quantity) *float64 {
		sum, n := 0.0, 0
		for _, row := range g.rows {
			if q := of(row); q.Set() {
				sum, n = sum+q.Value, n+1
			}
		}
		if n == 0 {
			return nil
		}
		sum /= float64(n)
		return &sum
	}
	p.Charge = mean(func(r product.Reading) product.Quantity { return r.ChargeCurrent })
	p.Load = mean(func(r product.Reading) product.Quantity { return r.LoadCurrent })
	return p
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

// target is what a reading is a deviation from, by the ambient in K. Where the quantity is the
// voltage itself, readings of a gathering are brought to its mean ambient, since the target follows
// the temperature; where the reading is the deviation, it is nil. It is not known where the
// folder does not give the level.
func target(in setpoint.Input, name string, g gathering) (from func(float64) float64, known bool) {
	level, deviation := strings.CutSuffix(name, "-error")
	if level == "display" {
		return nil, true
	}
	mean, known := in.Target(level, g.ambient)
	if !known {
		return nil, false
	}
	if deviation {
		mean = 0
	}
	return func(ambient float64) float64 {
		v, _ := in.Target(level, ambient)
		return v - mean
	}, true
}
