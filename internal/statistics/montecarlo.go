package statistics

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/numeric"
)

// A Result is what a Monte Carlo run says of one figure.
type Result struct {
	Mean, U             float64   // average and standard deviation: JCGM 101 7.6
	Low, High           float64   // interval with equal tails: 7.7.2
	ShortLow, ShortHigh float64   // shortest interval: 7.7.4 (it need not be unique)
	Values              []float64 // all samples, in no particular order
}

// MonteCarlo propagates whole distributions through f (JCGM 101:2008).
//
//	f        as for Propagate, and safe for use by several goroutines at once
//	in       the inputs, names all different
//	corr     their correlations; nil if they are independent
//	samples  ≥ 100; JCGM 101 7.2.2 advises 10^4/(1-level), 10^6 is usual
//	seed     same seed, same result, on any number of cores
//	level    of both intervals, 0 < level < 1, so that at least one sample lies outside
//
// An f that fails or is not finite ends the run with an error that gives the inputs of the first
// such sample.
func MonteCarlo(ctx context.Context, f func(x []float64) (float64, error), in []Input, corr Correlation,
	samples int, seed uint64, level float64) (Result, error) {
	one := func(x, y []float64) (err error) { y[0], err = f(x); return err }
	r, err := MonteCarloVector(ctx, one, 1, in, corr, samples, seed, level)
	if err != nil {
		return Result{}, err
	}
	return r[0], nil
}

// MonteCarloVector is MonteCarlo for several figures of the same inputs: f sets each y of outputs
// figures. The results have the order of y; sample k of all of them came from the same draw, but
// Values no longer shows it, being reordered.
func MonteCarloVector(ctx context.Context, f func(x, y []float64) error, outputs int, in []Input, corr Correlation,
	samples int, seed uint64, level float64) ([]Result, error) {
	c, err := checkRun(in, corr, samples, level)
	if err != nil {
		return nil, err
	}
	values := make([][]float64, outputs)
	for i := range values {
		values[i] = make([]float64, samples)
	}
	d := newDrawer(in, c)
	err = numeric.Parallel(ctx, (samples+blockSize-1)/blockSize, func(block int) error {
		from := block * blockSize
		size := min(blockSize, samples-from)
		s := numeric.NewStream(seed, uint64(block))
		return d.run(&s, f, values, from, size)
	})
	if err != nil {
		return nil, err
	}
	results := make([]Result, outputs)
	for i := range results {
		results[i] = summarise(values[i], level)
	}
	return results, nil
}

func checkRun(in []Input, corr Correlation, samples int, level float64) (*correlations, error) {
	if err := checkInputs(in); err != nil {
		return nil, err
	}
	if !(level > 0 && level < 1) {
		return nil, fmt.Errorf("level is %v; want more than 0 and less than 1", level)
	}
	if samples < 100 || float64(samples)*(1-level) < 1 {
		return nil, fmt.Errorf("%d samples are too few for a level of %v; want 100 or more, and one outside", samples, level)
	}
	return corr.resolve(in)
}

// run draws and evaluates one block.
func (d *drawer) run(s *numeric.Stream, f func(x, y []float64) error, values [][]float64, from, size int) error {
	column := make([][]float64, len(d.in))
	for i := range column {
		column[i] = make([]float64, size)
	}
	d.fill(s, column)
	x, y := make([]float64, len(d.in)), make([]float64, len(values))
	for k := range size {
		for i := range column {
			x[i] = column[i][k]
		}
		err := f(x, y)
		for o := range y {
			if err == nil && !finite(y[o]) {
				err = errBeyond
			}
			values[o][from+k] = y[o]
		}
		if err != nil {
			for i := range column { // f may have changed x
				x[i] = column[i][k]
			}
			return fmt.Errorf("sample %d, at %s: %w", from+k+1, writeValues(d.in, x), err)
		}
	}
	return nil
}

func summarise(y []float64, level float64) Result {
	r := Result{Values: y}
	n := float64(len(y))
	for from := 0; from < len(y); from += blockSize { // in blocks: fewer digits lost
		var sum float64
		for _, v := range y[from:min(from+blockSize, len(y))] {
			sum += v
		}
		r.Mean += sum / n
	}
	var squares float64
	for _, v := range y {
		squares += (v - r.Mean) * (v - r.Mean)
	}
	r.U = math.Sqrt(squares / (n - 1)) // JCGM 101 eq. 17
	r.Low, r.High, r.ShortLow, r.ShortHigh = coverage(y, level)
	return r
}

// coverage returns the interval with equal tails and the shortest one of JCGM 101 7.7, between
// the order statistics y(r) and y(r+q), q = level·M rounded; r, counted from 1, is (M-q)/2 rounded
// up for equal tails. Only the two tails are sorted.
func coverage(y []float64, level float64) (low, high, shortLow, shortHigh float64) {
	m := len(y)
	q := min(max(int(math.Floor(level*float64(m)+0.5)), 1), m-1)
	tail := m - q
	if 2*tail < m {
		numeric.Select(y, tail)
		numeric.Select(y[tail+1:], m-tail-1-tail)
		slices.Sort(y[:tail])
		slices.Sort(y[m-tail:])
	} else {
		slices.Sort(y)
	}
	r := (tail+1)/2 - 1
	low, high = y[r], y[r+q]
	shortLow, shortHigh = y[0], y[q]
	for r := range tail {
		if y[r+q]-y[r] < shortHigh-shortLow {
			shortLow, shortHigh = y[r], y[r+q]
		}
	}
	return low, high, shortLow, shortHigh
}
