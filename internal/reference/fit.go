package reference

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/statistics/fit"
)

func init() {
	solve(from(leastSquares(func(b []float64, x float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) })), "NLS-01")
	solve(from(leastSquares(func(b []float64, x float64) float64 { return b[0] * math.Pow(x, b[1]) })), "NLS-03")
	solve(from(leastSquares(func(b []float64, x float64) float64 { return b[0] * math.Exp(b[1]/(x+b[2])) })), "NLS-MGH10")
}

// regression is a data set with the starts that its authors give.
type regression struct {
	Data   string
	Starts [][]float64
}

// leastSquares solves from each start; where these do not end at one place, that is an error.
func leastSquares(formula func(b []float64, x float64) float64) func(context.Context, regression) (answers, error) {
	return func(_ context.Context, in regression) (answers, error) {
		columns, err := readColumns(in.Data) // y, x
		if err != nil {
			return nil, err
		}
		var out answers
		for n, start := range in.Starts {
			p := fit.Problem{Points: len(columns[0]), Residuals: func(b, r []float64) bool {
				for i, x := range columns[1] {
					r[i] = columns[0][i] - formula(b, x)
				}
				return true
			}}
			for k, v := range start {
				p.Parameters = append(p.Parameters, fit.Parameter{Name: fmt.Sprint("b", k+1), Start: v})
			}
			found, err := fit.Solve(p)
			if err != nil {
				return nil, err
			}
			got := answers{"RSS": found.Sum}
			for k, v := range found.At {
				got[fmt.Sprint("b", k+1)], got[fmt.Sprint("sd", k+1)] = v, found.SE[k]
			}
			if out != nil && math.Abs(got["RSS"]-out["RSS"]) > 1e-7*out["RSS"] {
				return nil, fmt.Errorf("start %d ends at a sum of squares of %v, the first at %v", n+1, got["RSS"], out["RSS"])
			}
			out = got
		}
		return out, nil
	}
}
