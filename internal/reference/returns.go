package reference

import (
	"context"
	"fmt"

	"hindwatt/internal/study/returns"
)

func init() {
	solve(from(ledger), "RET-1")
	solve(from(alike), "RET-2")
}

const week = 7 * 86400.0

// sold turns weeks to failure, or without one, into a ledger: what came back was sold long before today, what did not so long before as it was watched.
func sold(in *returns.Input, batch, file string) error {
	columns, err := readColumns("ages/" + file + ".csv")
	if err != nil {
		return err
	}
	in.Today = 20000
	for i, weeks := range columns[0] {
		days := returns.Day(7 * weeks)
		u := returns.Unit{Batch: batch, Own: true, Sold: in.Today - days}
		if columns[1][i] == 1 {
			u.Sold = in.Today - 7*200
			u.Back = &returns.Return{Day: u.Sold + days, Until: u.Sold + days, Count: returns.Exactly(1), Batch: batch, Own: true, Joined: true}
			in.Returns = append(in.Returns, u.Back)
		}
		in.Units = append(in.Units, u)
	}
	return nil
}

// ledger is the share that came back by age, and the rate.
func ledger(ctx context.Context, _ struct{}) (answers, error) {
	var in returns.Input
	if err := sold(&in, "one", "gehan-treated"); err != nil {
		return nil, err
	}
	r, err := returns.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	a := answers{}
	for _, weeks := range []float64{6, 7, 10, 13, 16, 22, 23} {
		at, err := r.Share(returns.Asked{Age: weeks * week})
		if err != nil {
			return nil, err
		}
		a[fmt.Sprintf("S_%.0f", weeks)] = 1 - at.Best
	}
	rate, err := r.PerYear(returns.Asked{})
	a["rate"] = rate.Best * week
	return a, err
}

// alike is the probability that two batches are alike: of one against the other.
func alike(ctx context.Context, _ struct{}) (answers, error) {
	in := returns.Input{Batches: []string{"maintained", "not"}}
	for i, file := range []string{"aml-maintained", "aml-nonmaintained"} {
		if err := sold(&in, in.Batches[i], file); err != nil {
			return nil, err
		}
	}
	r, err := returns.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	return answers{"p": r.Batches[0].P, "failures": r.All.Back.Best}, nil
}
