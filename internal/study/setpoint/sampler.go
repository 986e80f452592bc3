package setpoint

import (
	"context"
	"sync"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A sampler draws columns of samples in blocks and hands each block on: outer draws of what is
// merely unknown, and for each of them inner units.
type sampler struct {
	draws        []draw
	outer, inner int
	seed         uint64
}

// chunk is the length of a block: 40 columns of it stay in the processor's second cache.
const chunk = 250

// outerPath marks the streams of the outer draws; those of units have the outer draw's number.
const outerPath = 1 << 40

// A block is a number of samples side by side: column v holds the draws of variable v.
type block struct {
	n      int
	at     int // number of the first sample
	column [][]float64
	work   scratch
}

// run calls visit once for each block, on all cores; visit writes to the places of its samples.
func (s *sampler) run(ctx context.Context, visit func(b *block)) error {
	unknown := s.unknown()
	pool := sync.Pool{New: func() any { return s.newBlock() }}
	return numeric.Parallel(ctx, s.outer, func(job int) error {
		b := pool.Get().(*block)
		defer pool.Put(b)
		s.job(b, job, unknown, visit)
		return nil
	})
}

func (s *sampler) newBlock() *block {
	b := newBlock(len(s.draws), chunk)
	for v, d := range s.draws {
		for i := range b.column[v] {
			b.column[v][i] = d.value
		}
	}
	return b
}

func newBlock(columns, length int) *block {
	b := &block{n: length, column: make([][]float64, columns)}
	all := make([]float64, columns*length)
	for v := range b.column {
		b.column[v] = all[v*length : (v+1)*length : (v+1)*length]
	}
	b.work.init(length)
	return b
}

// job draws the units of one outer draw.
func (s *sampler) job(b *block, job int, unknown [][]float64, visit func(*block)) {
	streams := make([]numeric.Stream, len(s.draws))
	for v, d := range s.draws {
		if d.shape == fixed {
			continue
		}
		streams[v] = numeric.NewStream(s.seed, uint64(v), uint64(job))
		if d.unknown {
			for i := range chunk {
				b.column[v][i] = unknown[v][job]
			}
		}
	}
	for from := 0; from < s.inner; from += chunk {
		b.n, b.at = min(chunk, s.inner-from), job*s.inner+from
		for v, d := range s.draws {
			if d.shape != fixed && !d.unknown {
				d.fill(&streams[v], b.column[v][:b.n])
			}
		}
		visit(b)
	}
}

// fill draws a column.
func (d *draw) fill(s *numeric.Stream, column []float64) {
	if d.shape == uniform {
		s.FillUniform(column, d.low, d.high)
		return
	}
	s.FillNorm(column)
	for i, z := range column {
		column[i] = d.value + float64(d.sd*z)
	}
}

// unknown draws what is the same for all units, stratified: each of the outer parts of equal
// probability is drawn from once, in an order of its own (McKay, Beckman and Conover,
// Technometrics 21, 1979), so that few outer draws show the whole range.
func (s *sampler) unknown() [][]float64 {
	drawn := make([][]float64, len(s.draws))
	for v, d := range s.draws {
		if !d.unknown || d.shape == fixed {
			continue
		}
		stream := numeric.NewStream(s.seed, uint64(v), outerPath)
		drawn[v] = make([]float64, s.outer)
		for j := range drawn[v] {
			p := (float64(j) + stream.Float64()) / float64(s.outer)
			if d.shape == uniform {
				drawn[v][j] = d.low + float64((d.high-d.low)*p)
			} else {
				drawn[v][j] = d.value + float64(d.sd*statistics.NormalQuantile(max(p, 1e-9)))
			}
		}
		numeric.Shuffle(&stream, drawn[v])
	}
	return drawn
}
