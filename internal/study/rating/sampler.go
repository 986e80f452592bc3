package rating

import (
	"context"
	"strings"
	"sync"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// outerPath marks the streams of the outer draws; those of units have the outer draw's number.
const outerPath = 1 << 40

// A sampler draws units of a design: outer draws of what is merely unknown, stratified (McKay, Beckman and Conover,
// Technometrics 21, 1979), and for each of them inner units [Q4].
type sampler struct {
	in           *Input
	design       *hardware.Design
	variables    []hardware.Variable
	outer, inner int
	unknown      [][]float64 // by variable, outer draw
}

func newSampler(in *Input, d *hardware.Design, outer, inner int) *sampler {
	s := &sampler{in: in, design: d, variables: d.Variables(), outer: outer, inner: inner}
	s.unknown = make([][]float64, len(s.variables))
	for v, x := range s.variables {
		if !x.Unknown {
			continue
		}
		stream := numeric.NewStream(in.Seed, uint64(v), outerPath)
		drawn := make([]float64, outer)
		for j := range drawn {
			drawn[j] = draw(x, (float64(j)+stream.Float64())/float64(outer))
		}
		numeric.Shuffle(&stream, drawn)
		s.unknown[v] = drawn
	}
	return s
}

// isFactor reports whether a variable is a doubt of the models of heat: a factor about 1, even by its logarithm.
func isFactor(v hardware.Variable) bool {
	return strings.HasPrefix(v.Name, "heat.") && v.Quantity.Low > 0
}

// draw returns the p-quantile of a variable.
func draw(v hardware.Variable, p float64) float64 {
	if isFactor(v) {
		low, high := numeric.Log(v.Quantity.Low), numeric.Log(v.Quantity.High)
		return numeric.Exp(low + float64((high-low)*p))
	}
	return quantile(v.Quantity, p)
}

// quantile returns the p-quantile of a quantity as written; a range and limits are rectangular (JCGM 100, 4.3.7).
func quantile(q quantity.Quantity, p float64) float64 {
	switch {
	case q.Spread == quantity.Normal:
		return q.Value + float64(q.SD*statistics.NormalQuantile(min(max(p, 1e-9), 1-1e-9)))
	case q.Spread == quantity.Exact:
		return q.Value
	}
	return q.Low + float64((q.High-q.Low)*p)
}

// run calls visit for each unit, on all cores; job·inner + i is the unit's number.
func (s *sampler) run(ctx context.Context, visit func(p *probe, unit int) error) error {
	pool := sync.Pool{New: func() any {
		p, err := s.in.probe(s.design)
		if err != nil {
			return err
		}
		return p
	}}
	return numeric.Parallel(ctx, s.outer, func(job int) error {
		got := pool.Get()
		p, ok := got.(*probe)
		if !ok {
			return got.(error)
		}
		defer pool.Put(p)
		x, streams := make([]float64, len(s.variables)), make([]numeric.Stream, len(s.variables))
		for v, u := range s.variables {
			if u.Unknown {
				x[v] = s.unknown[v][job]
			} else {
				streams[v] = numeric.NewStream(s.in.Seed, uint64(v), uint64(job))
			}
		}
		for i := range s.inner {
			for v, u := range s.variables {
				if !u.Unknown {
					x[v] = draw(u, streams[v].Float64())
				}
			}
			if err := p.set(x); err != nil {
				return err
			}
			if err := visit(p, job*s.inner+i); err != nil {
				return err
			}
		}
		return nil
	})
}
