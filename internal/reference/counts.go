package reference

import (
	"context"
	"fmt"
)

func init() {
	solve(from(binomial), "REL-07", "REL-09", "REL-11")
	solve(from(poisson), "REL-27")
	solve(from(compensation), "BAT-13", "BAT-15")
}

func binomial(ctx context.Context, in struct {
	X, N int
	Conf float64
}) (answers, error) {
	got, err := calculate(ctx, "proportion", fmt.Sprint("failures=", in.X), fmt.Sprint("of=", in.N), arg("confidence", in.Conf, ""))
	return answers{"lower": got["low"], "upper": got["high"]}, err
}

// poisson has its three cases in words: 0 events in 1, 2 in 800 h, 7 in 23.5.
func poisson(ctx context.Context, in struct{ Conf float64 }) (answers, error) {
	a := answers{}
	for _, c := range []struct {
		events    int
		exposure  string
		low, high string
	}{{0, "1", "l0", "u0"}, {2, "800 h", "l2", "u2"}, {7, "23.5", "l7", "u7"}} {
		got, err := calculate(ctx, "rate", fmt.Sprint("events=", c.events), "exposure="+c.exposure, arg("confidence", in.Conf, ""))
		if err != nil {
			return nil, err
		}
		a[c.low], a[c.high] = got["low"], got["high"]
	}
	return a, nil
}

func compensation(ctx context.Context, in struct {
	U25   float64 `json:"U25_V"`
	TC    float64 `json:"tc_V_per_K_cell"`
	Cells int
	T     float64 `json:"T_C"`
}) (answers, error) {
	got, err := calculate(ctx, "temperature-compensation", arg("at_25", in.U25, " V"), arg("per_cell", in.TC, " V/K"),
		fmt.Sprint("cells=", in.Cells), arg("temperature", in.T, " °C"))
	return answers{"U_V": got["voltage"]}, err
}
