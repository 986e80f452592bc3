package grid

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/numeric"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// RowsFile is the file beside the grid's own that its rows are kept in.
func (g *Grid) RowsFile() string {
	return strings.TrimSuffix(g.File, filepath.Ext(g.File)) + ".rows"
}

// key stands for all that the rows rest on: the grid, what its studies read of the folder, and the program.
func (g *Grid) key() string {
	on := []any{g.Figures, g.Variants, g.Installations, g.Samples, g.Seed}
	for _, in := range g.Inputs {
		on = append(on, in.Path, in.Unit, in.Values, in.Low, in.High)
		for _, n := range in.texts {
			on = append(on, n.Text)
		}
	}
	for _, variant := range g.Variants {
		p, err := g.folder.Resolve(variant)
		if err != nil {
			continue // it was found when the grid was read
		}
		for _, installation := range g.Installations {
			for _, f := range g.Figures {
				on = append(on, promise.Rests(p, f.Study, promise.Options{Seed: g.Seed, Installation: installation}))
			}
		}
		for name, asked := range p.Promises.All() { // they tell the conditions
			on = append(on, name, asked.Study.Text, asked.Quantity.Text, asked.Conditions)
		}
	}
	return kept.Key("grid", on)
}

// Run is one run of a grid over what was done of it before.
type Run struct {
	grid   *Grid
	points *points
	rows   *rows
	chunks int
}

// Open begins a run, or goes on with one that was ended. Close it. A *Busy says that another is writing.
//
//	afresh  start over, whatever the rows are of
func (g *Grid) Open(afresh bool) (*Run, error) {
	r, err := open(g.RowsFile(), g.key(), afresh)
	if err != nil {
		return nil, err
	}
	run := &Run{grid: g, points: g.points(), rows: r, chunks: (g.Points() + chunkSize - 1) / chunkSize}
	for c, h := range r.done { // what is not of this grid's shape is computed again
		if c < 0 || c >= run.chunks || len(h.values) != run.size(c)*len(g.Figures) || len(h.units) != len(g.Figures) {
			delete(r.done, c)
		}
	}
	return run, nil
}

// Close lets another run write.
func (r *Run) Close() { r.rows.close() }

// Done is how many points are computed.
func (r *Run) Done() int {
	n := 0
	for c := range r.rows.done {
		n += r.size(c)
	}
	return n
}

func (r *Run) size(c int) int { return min(chunkSize, r.grid.Points()-c*chunkSize) }

// probes are how many points an estimate computes.
const probes = 3

// Estimate is how long the points that are left would take on this machine, by a few of them.
func (r *Run) Estimate(ctx context.Context) (time.Duration, error) {
	n := r.grid.Points()
	begin := time.Now()
	for k := range probes {
		r.compute(numeric.Quietly(ctx), n*k/probes)
		if ctx.Err() != nil {
			return 0, ctx.Err()
		}
	}
	each := time.Since(begin) / probes
	return each * time.Duration(n-r.Done()) / time.Duration(runtime.GOMAXPROCS(0)), nil
}

// Compute computes what is left, each chunk kept as soon as it is done.
func (r *Run) Compute(ctx context.Context) error {
	var left []int
	for c := range r.chunks {
		if _, done := r.rows.done[c]; !done {
			left = append(left, c)
		}
	}
	quiet := numeric.Quietly(ctx)
	return numeric.Parallel(numeric.Doing(ctx, fmt.Sprintf("grid, pieces of %d points", chunkSize)), len(left), func(job int) error {
		c := chunk{Chunk: left[job], Units: make([]string, len(r.grid.Figures))}
		for k := range r.size(c.Chunk) {
			values, why := r.compute(quiet, c.Chunk*chunkSize+k)
			if ctx.Err() != nil {
				return ctx.Err()
			}
			row := make([]*float64, len(values))
			for i, v := range values {
				if !v.Known {
					continue
				}
				unit := v.Unit
				if unit == "" {
					unit = v.Dim.Unit()
				}
				number := figures.Number(v.Best, v.Dim, unit)
				row[i], c.Units[i] = &number, unit
			}
			if c.Values = append(c.Values, row); why != "" {
				if c.Why == nil {
					c.Why = map[string]string{}
				}
				c.Why[strconv.Itoa(k)] = why
			}
		}
		return r.rows.append(c)
	})
}

// compute computes the figures at one point; why says what keeps it from them.
func (r *Run) compute(ctx context.Context, i int) (values []figures.Value, why string) {
	none := make([]figures.Value, len(r.grid.Figures))
	setup, p, err := r.grid.product(r.points.at(i))
	if err != nil {
		return none, err.Error()
	}
	if values, err = setup.Of(ctx, p, r.grid.Figures...); err != nil {
		return none, err.Error()
	}
	for k, v := range values {
		if !v.Known {
			why = "the study has no " + r.grid.Figures[k].String() + " here"
		}
	}
	return values, why
}
