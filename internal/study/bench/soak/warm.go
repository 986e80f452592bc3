package soak

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"hindwatt/internal/statistics/fit"
)

// Parameters of the warm-up [T1]: the steady rise, and for each exponential what is lacking of it at first, and the
// logarithm of its time constant, the longest first; of the second, of how much shorter it is.
const (
	steady = iota
	lacking
	slow
	lackingFast
	shorter
	all
)

// How far the search goes.
const (
	longest    = 20.0 // runs, that one time constant may last
	unseen     = 3.0  // runs, that a part may last which the readings do not show
	leastRatio = 1.5  // of two time constants that can be told apart
	mostRatio  = 1e4
	doubtful   = 0.05 // p above which the second exponential is not taken
)

// A warmUp is a fit of one or two exponentials.
type warmUp struct {
	*fit.Result
	terms int
}

// rise is [T1] at a block.
func (r *record) riseOf(p []float64, i int) float64 {
	tau := math.Exp(p[slow])
	v := p[steady] - p[lacking]*r.decay(i, tau)
	if len(p) == all {
		v -= p[lackingFast] * r.decay(i, tau*math.Exp(-p[shorter]))
	}
	return v
}

// warm fits so many exponentials to the record.
//
//	lasts   runs, that the longest time constant may last
//	serial  how residuals follow each other
func (r *record) warm(terms int, lasts float64, serial fit.Serial) (*warmUp, error) {
	n, run := len(r.mid), r.duration()
	end := r.rise[n-1]
	short := math.Log(run / float64(4*n))
	p := fit.Problem{Points: n, Enough: 1e-4, Residuals: func(p, residuals []float64) bool {
		for i := range residuals {
			residuals[i] = r.rise[i] - r.riseOf(p, i)
		}
		serial.Whiten(residuals, r.begins)
		return true
	}}
	size := math.Max(spread(r.rise), 1e-3)
	open := math.Inf(1)
	p.Parameters = []fit.Parameter{
		{Name: "steady rise", Min: -open, Max: open, Scale: size},
		{Name: "lacking", Min: -open, Max: open, Scale: size},
		{Name: "time constant", Min: short, Max: math.Log(run * lasts), Scale: 1},
		{Name: "lacking, fast", Min: -open, Max: open, Scale: size},
		{Name: "how much shorter", Min: math.Log(leastRatio), Max: math.Log(mostRatio), Scale: 1},
	}[:1+2*terms]
	var starts [][]float64
	for _, tau := range []float64{0.15, 0.5, 1.5} {
		start := []float64{end, end - r.rise[0], math.Log(tau * run)}
		if terms == 1 {
			starts = append(starts, start)
			continue
		}
		for _, ratio := range []float64{3, 20} {
			starts = append(starts, append(slices.Clone(start), 0.3*start[lacking], math.Log(ratio)))
		}
	}
	found, err := fit.SolveFrom(p, starts...)
	if errors.Is(err, fit.ErrNoStart) {
		return nil, errors.New("the readings cannot be fitted; want temperatures of a warm-up")
	}
	if err != nil {
		return nil, err
	}
	found.DOF = math.Max(1, serial.Effective(n)-float64(1+2*terms))
	return &warmUp{found, terms}, nil
}

func spread(x []float64) float64 { return slices.Max(x) - slices.Min(x) }

// follow finds how the residuals of two exponentials follow each other.
func (r *record) follow() (fit.Serial, error) {
	const order, rounds = 4, 3
	var serial fit.Serial
	for range rounds {
		w, err := r.warm(2, longest, serial)
		if err != nil {
			return serial, err
		}
		plain := make([]float64, len(r.mid))
		for i := range plain {
			plain[i] = r.rise[i] - r.riseOf(w.At, i)
		}
		serial = fit.Follow(plain, r.begins, all, order)
	}
	return serial, nil
}

// apart reports whether two exponentials are told from one [T2].
func apart(one, two *warmUp) bool {
	if two.AtBound[slow] || two.AtBound[shorter] || !two.Determined {
		return false
	}
	if two.Variance == 0 {
		return one.Variance > 0
	}
	f := (one.Sum - two.Sum) / 2 / two.Variance
	return distuv.F{D1: 2, D2: two.DOF}.Survival(f) < doubtful
}
