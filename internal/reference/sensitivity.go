package reference

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/statistics/sensitivity"
)

func init() { solve(from(ishigami), "SOBOL-01") }

// ishigami estimates the indices of the function of Ishigami and Homma (1990).
func ishigami(ctx context.Context, in struct {
	A, B float64
	Rows int
}) (answers, error) {
	f := func(u []float64) (float64, error) {
		var x [3]float64
		for i := range x {
			x[i] = math.Pi * (2*u[i] - 1)
		}
		return math.Sin(x[0]) + in.A*math.Pow(math.Sin(x[1]), 2) + in.B*math.Pow(x[2], 4)*math.Sin(x[0]), nil
	}
	r, err := sensitivity.Sobol(ctx, f, 3, in.Rows, 1, 0.95)
	if err != nil {
		return nil, err
	}
	out := answers{}
	for i, x := range r.Inputs {
		out[fmt.Sprint("S", i+1)], out[fmt.Sprint("ST", i+1)] = x.First.Best, x.Total.Best
	}
	return out, nil
}
