package promise

import (
	"context"
	"math"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/setpoint"
)

// measuredSetpoint adds what was read of a setpoint on the bench.
func (s *session) measuredSetpoint(ctx context.Context, run *setpointRun, name string, j *Judged) (*settling, error) {
	if s.options.unmeasured || run.input.Conditions.Aged { // new units say nothing of old ones
		return nil, nil
	}
	m := measurement{
		conditions: run.text(), reaches: run.reaches(name),
		direct: func(g gathering) (bench.Input, bool, error) {
			from, known := target(run.input, name, g)
			return bench.Input{
				Quantity: "setpoint." + name, Unit: j.Unit, Readings: g.readings,
				Target:     from,
				Proportion: j.Proportion, Confidence: j.Confidence, Seed: s.options.Seed,
			}, known, nil
		},
		stands: func(g gathering) (bool, bool) { return g.stands(run.input.Conditions) },
		at: func(ctx context.Context, g gathering, r *bench.Result) (modelled, error) {
			point := g.point(run.input)
			point.ByTrimMeter = run.input.Trim != nil && g.meter() != "" && g.meter() == run.input.Trim.Instrument.Name
			is, err := run.result.At(ctx, name, point)
			read := r.Mean
			if point.ByTrimMeter {
				read = r.MeanWithoutMeter
			}
			return modelled{is.Mean, is.UnitSD, is.UnknownSD, read}, err
		},
		over: func(ctx context.Context, g gathering, in bench.Input) (bench.Input, error) {
			runs, each := carryRuns, carryEach
			if s.options.coarse > 0 {
				runs, each = s.options.units.outer, s.options.units.carried
			}
			drift, err := run.result.Carry(ctx, name, g.point(run.input), runs, each)
			in.Carry = &bench.Carry{Groups: drift.Groups, Low: drift.Low, High: drift.High}
			return in, err
		},
	}
	return s.measured(ctx, m, s.gather(name), j)
}

// gather returns the readings of a quantity, those made under much the same conditions together.
// A reading whose ambient was not noted cannot be held against a level that follows the
// temperature, nor carried to another one: it is left out, and that is said.
func (s *session) gather(name string) []gathering {
	rows := s.rows("setpoint."+strings.TrimSuffix(name, "-error"), quantity.Voltage, "want a voltage such as 27.3 V")
	return s.gatherings(rows)
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
