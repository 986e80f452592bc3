package pair

import (
	"errors"
	"math"

	"hindwatt/internal/statistics/fit"
)

// A row is one reading, or the mean of a span.
type row struct {
	time, value, sun, second float64 // second: 1 where the second controller was connected
	begins                   bool    // it does not follow the one before
}

// Parameters of the regression [D3]; those of the sun and of the drift come after, where there are such.
const (
	level = iota
	difference
)

// A regression is a straight fit with residuals that may follow each other.
type regression struct {
	*fit.Result
	sun, drift int // their parameters; -1: none
	effective  float64
}

// regress fits value = level + difference·second + slope·(sun - mean) + drift·(time - mean).
//
//	only  the values are differences already: there is no level
func regress(rows []row, sun, drift, only bool) (*regression, error) {
	sun = sun && varies(rows)
	g := &regression{sun: -1, drift: -1}
	names := []string{"level", "difference"}
	if sun {
		g.sun = len(names)
		names = append(names, "sun")
	}
	if drift {
		g.drift = len(names)
		names = append(names, "drift")
	}
	var middle row
	for _, q := range rows {
		middle.sun += q.sun / float64(len(rows))
		middle.time += q.time / float64(len(rows))
	}
	begins := make([]bool, len(rows))
	scale := math.Max(math.Abs(rows[0].value), 1e-6)
	column := func(q row, k int) float64 {
		switch k {
		case level:
			if only {
				return 0
			}
			return 1
		case difference:
			return q.second
		case g.sun:
			return q.sun - middle.sun
		}
		return q.time - middle.time
	}
	for i, q := range rows {
		begins[i] = q.begins
	}
	p := fit.Problem{Points: len(rows)}
	for _, name := range names {
		p.Parameters = append(p.Parameters, fit.Parameter{Name: name, Scale: scale})
	}
	if only {
		p.Parameters[level].Min, p.Parameters[level].Max = 0, math.SmallestNonzeroFloat64 // held
	}
	plain := func(x, r []float64) {
		for i, q := range rows {
			r[i] = q.value
			for k := range x {
				r[i] -= x[k] * column(q, k)
			}
		}
	}
	var serial fit.Serial
	p.Residuals = func(x, r []float64) bool {
		plain(x, r)
		serial.Whiten(r, begins)
		return true
	}
	p.Jacobian = func(x []float64, j [][]float64) bool {
		c := make([]float64, len(rows))
		for k := range x {
			for i, q := range rows {
				c[i] = -column(q, k)
			}
			serial.Whiten(c, begins)
			for i := range c {
				j[i][k] = c[i]
			}
		}
		return true
	}
	const rounds = 3
	for range rounds {
		var err error
		if g.Result, err = fit.Solve(p); err != nil {
			return nil, err
		}
		r := make([]float64, len(rows))
		plain(g.At, r)
		serial = fit.Follow(r, begins, len(names), lags)
	}
	if !g.Determined {
		return nil, errors.New("the sun or the drift cannot be told from the change of controller; want more spans in turn")
	}
	g.effective = serial.Effective(len(rows))
	g.DOF = math.Max(1, g.effective-float64(len(names)))
	return g, nil
}

// varies reports whether the sun changed at all.
func varies(rows []row) bool {
	for _, q := range rows {
		if math.Abs(q.sun-rows[0].sun) > 1e-9*math.Abs(rows[0].sun) {
			return true
		}
	}
	return false
}
