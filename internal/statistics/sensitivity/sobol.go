package sensitivity

import (
	"context"
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// An Estimate is a number with the limits between which its bootstrap lies.
type Estimate struct{ Best, Low, High float64 }

// An Index says what one input has to do with the variance of a figure, as shares of it.
type Index struct {
	First Estimate // what would be gone if the input alone were known exactly
	Total Estimate // what would be left if all inputs but this were known exactly
}

// Result is what a figure owes to each of its inputs.
type Result struct {
	Mean, SD float64
	Inputs   []Index // in the order of the inputs
	Runs     int     // how often the figure was computed
}

// Bounds of what Sobol takes, and how often it draws its rows again.
const (
	LeastRows = 64
	MostRows  = 1 << 20
	redraws   = 1000
)

// ErrStill says that a figure is the same whatever its inputs are, so that there is nothing to share out.
var ErrStill = errors.New("the figure is the same whatever these inputs are")

// Sobol estimates the first and the total index of each input by Saltelli's design: rows·(inputs+2) runs of the figure.
//
//	f       the figure at a point of the unit cube; finite; safe for several goroutines at once, and not to keep or change its argument
//	inputs  ≥ 1
//	rows    LeastRows to MostRows
//	seed    same seed, same digits, on any number of cores
//	level   of the bootstrap's limits, 0 < level < 1; each limit leaves out half of the rest (percentiles)
//
// An index is estimated: one of a small input may come out below 0, by as much as its limits are wide. A figure that does not move
// gives ErrStill; the error of an f that fails, or is not finite, is that of the first such row.
func Sobol(ctx context.Context, f func(u []float64) (float64, error), inputs, rows int, seed uint64, level float64) (Result, error) {
	switch {
	case inputs < 1:
		return Result{}, errors.New("there is no input; want one or more")
	case rows < LeastRows || rows > MostRows:
		return Result{}, fmt.Errorf("%d rows; want %d to %d", rows, LeastRows, MostRows)
	case !(level > 0 && level < 1):
		return Result{}, fmt.Errorf("level is %v; want more than 0 and less than 1", level)
	}
	d, err := run(ctx, f, inputs, rows, seed)
	if err != nil {
		return Result{}, err
	}
	r := Result{Inputs: make([]Index, inputs), Runs: rows * (inputs + 2)}
	if r.Mean, r.SD = d.centre(); !(r.SD > 0) {
		return r, ErrStill
	}
	all := make([]int32, rows)
	for j := range all {
		all[j] = 1
	}
	for i, best := range d.indices(all) {
		r.Inputs[i].First.Best, r.Inputs[i].Total.Best = best.first, best.total
	}
	return r, d.bootstrap(ctx, r.Inputs, seed, level)
}

// design holds the figure at the rows of A and B, and at those of A with one column of B for each input.
type design struct {
	a, b  []float64
	mixed [][]float64 // by input
}

// run computes the design. Each row has a stream of its own, so that no figure depends on who computes it.
func run(ctx context.Context, f func(u []float64) (float64, error), inputs, rows int, seed uint64) (*design, error) {
	d := &design{a: make([]float64, rows), b: make([]float64, rows), mixed: make([][]float64, inputs)}
	for i := range d.mixed {
		d.mixed[i] = make([]float64, rows)
	}
	return d, numeric.Parallel(ctx, rows, func(j int) (err error) {
		s := numeric.NewStream(seed, 0, uint64(j))
		a, b, u := make([]float64, inputs), make([]float64, inputs), make([]float64, inputs)
		s.FillUniform(a, 0, 1)
		s.FillUniform(b, 0, 1)
		at := func(from []float64, i int) float64 {
			copy(u, from)
			if i >= 0 {
				u[i] = b[i]
			}
			var y float64
			if err == nil {
				y, err = f(u)
			}
			if err == nil && !(math.Abs(y) <= math.MaxFloat64) {
				err = errors.New("the figure is not a number that can be used")
			}
			return y
		}
		d.a[j], d.b[j] = at(a, -1), at(b, -1)
		for i := range d.mixed {
			d.mixed[i][j] = at(a, i)
		}
		return err
	})
}

// centre takes the mean of A and B from every figure, which changes no index but costs fewer digits and less scatter, and returns it
// with the standard deviation.
func (d *design) centre() (mean, sd float64) {
	n := float64(2 * len(d.a))
	var sum float64
	for j := range d.a {
		sum += d.a[j] + d.b[j]
	}
	mean = sum / n
	var squares float64
	for j := range d.a {
		d.a[j], d.b[j] = d.a[j]-mean, d.b[j]-mean
		squares += d.a[j]*d.a[j] + d.b[j]*d.b[j]
	}
	for _, mixed := range d.mixed {
		for j := range mixed {
			mixed[j] -= mean
		}
	}
	return mean, math.Sqrt(squares / (n - 1))
}

type pair struct{ first, total float64 }

// indices are those of the rows, each counted so many times; zero where the rows do not differ.
func (d *design) indices(times []int32) []pair {
	var n, sum, squares float64
	for j, t := range times {
		n += float64(t)
		sum += float64(t) * (d.a[j] + d.b[j])
		squares += float64(t) * (d.a[j]*d.a[j] + d.b[j]*d.b[j])
	}
	variance := squares/(2*n) - (sum/(2*n))*(sum/(2*n)) // [X1]
	all := make([]pair, len(d.mixed))
	if !(variance > 0) {
		return all
	}
	for i, mixed := range d.mixed {
		var first, total float64
		for j, t := range times {
			if t != 0 {
				moved := mixed[j] - d.a[j]
				first += float64(t) * d.b[j] * moved
				total += float64(t) * moved * moved
			}
		}
		all[i] = pair{
			first / n / variance,       // [X2]
			total / (2 * n) / variance, // [X3]
		}
	}
	return all
}

// bootstrap gives each index its limits: the rows are drawn again with replacement, and the percentiles of what comes out are
// taken [X4].
func (d *design) bootstrap(ctx context.Context, into []Index, seed uint64, level float64) error {
	drawn := make([][]pair, redraws)
	err := numeric.Parallel(ctx, redraws, func(k int) error {
		s := numeric.NewStream(seed, 1, uint64(k))
		times := make([]int32, len(d.a))
		for range times {
			times[s.Intn(len(times))]++
		}
		drawn[k] = d.indices(times)
		return nil
	})
	if err != nil {
		return err
	}
	first, total := make([]float64, redraws), make([]float64, redraws)
	for i := range into {
		for k, one := range drawn {
			first[k], total[k] = one[i].first, one[i].total
		}
		f := statistics.Quantiles(first, (1-level)/2, (1+level)/2)
		t := statistics.Quantiles(total, (1-level)/2, (1+level)/2)
		into[i].First.Low, into[i].First.High = f[0], f[1]
		into[i].Total.Low, into[i].Total.High = t[0], t[1]
	}
	return nil
}
