package reference

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"hindwatt/internal/money"
	"hindwatt/internal/numeric"
)

func init() {
	solve(from(learning), "ACC-01", "ACC-03", "ACC-05", "ACC-07", "ACC-09")
	solve(from(twoTheories), "ACC-11")
	solve(from(twoBatches), "ACC-13")
	solve(from(twoRates), "ACC-15")
	solve(from(project), "ACC-17")
	solve(from(lifetime), "ACC-19")
	solve(from(order), "ACC-21", "ACC-23")
	solve(from(billOfMaterials), "ACC-25")
}

func learning(ctx context.Context, in struct {
	Rate float64
	N    int
}) (answers, error) {
	got, err := calculate(ctx, "learning", "first=1 h", arg("rate", in.Rate, ""), fmt.Sprint("unit=", in.N))
	return answers{"unit": got["unit_time"], "cumulative": got["cumulative"]}, err
}

// twoTheories has the total of the cumulative average as n times the unit time of the unit theory.
func twoTheories(ctx context.Context, in struct {
	Rate  float64
	First float64 `json:"T1_h"`
	N     int
}) (answers, error) {
	got, err := calculate(ctx, "learning", arg("first", in.First, " h"), arg("rate", in.Rate, ""), fmt.Sprint("unit=", in.N))
	return answers{"wright_total": float64(in.N) * got["unit_time"], "unit_theory_total": got["cumulative"]}, err
}

// twoBatches has its inputs in words: the first 10 units took 62 h, the next 10 took 41 h.
func twoBatches(context.Context, struct{}) (answers, error) {
	var failed error
	surplus := func(rate float64) float64 {
		_, first, err := money.Learning(1, rate, 10)
		_, all, more := money.Learning(1, rate, 20)
		failed = errors.Join(failed, err, more)
		return (all-first)/first - 41./62
	}
	rate, err := numeric.FindRoot(surplus, 0.5, 1, 1e-12)
	return answers{"rate": rate}, errors.Join(failed, err)
}

// twoRates takes the rates from package money, since the calculator gives none where there are several.
func twoRates(ctx context.Context, in struct{ Cash []float64 }) (answers, error) {
	rates, err := money.RatesOfReturn(in.Cash)
	if err != nil {
		return nil, err
	}
	if len(rates) != 2 {
		return nil, fmt.Errorf("%d rates of return, want 2", len(rates))
	}
	got, err := calculate(ctx, "cash", flows(in.Cash), "rate=0.15")
	if _, single := got["irr"]; single {
		return nil, errors.New("a single rate of return where there are two")
	}
	return answers{"irr1": rates[0], "irr2": rates[1], "NPV15": got["npv"]}, err
}

func project(ctx context.Context, in struct {
	Cash []float64
	Rate float64
}) (answers, error) {
	got, err := calculate(ctx, "cash", flows(in.Cash), arg("rate", in.Rate, ""))
	return answers{"NPV": got["npv"], "IRR": got["irr"], "PI": 1 - got["npv"]/in.Cash[0]}, err
}

type variant struct {
	Buy, Batt float64
	Repl      []int
}

// lifetime compares what two variants cost, batteries among it, at their present value.
func lifetime(ctx context.Context, in struct {
	A, B variant
	Rate float64
}) (answers, error) {
	worth := func(v variant) (float64, error) {
		costs := make([]float64, 10)
		costs[0] = v.Buy + v.Batt
		for _, year := range v.Repl {
			costs[year] += v.Batt
		}
		got, err := calculate(ctx, "cash", flows(costs), arg("rate", in.Rate, ""))
		return got["npv"], err
	}
	a, err := worth(in.A)
	b, more := worth(in.B)
	return answers{"PV_a": a, "PV_b": b, "diff": a - b}, errors.Join(err, more)
}

func flows(list []float64) string {
	var words []string
	for _, x := range list {
		words = append(words, plain(x))
	}
	return "flows=" + strings.Join(words, ",")
}

// A priceList has pairs of quantity and price.
type priceList [][2]json.Number

func (p priceList) arg() string {
	var words []string
	for _, pair := range p {
		words = append(words, pair[0].String()+":"+pair[1].String())
	}
	return "breaks=" + strings.Join(words, ",")
}

func order(ctx context.Context, in struct {
	Need   int
	Breaks priceList
}) (answers, error) {
	need := fmt.Sprint("need=", in.Need)
	got, err := calculate(ctx, "order-quantity", need, in.Breaks.arg())
	if err != nil {
		return nil, err
	}
	var reached priceList // without later breaks nothing is bought up to
	for _, pair := range in.Breaks {
		if from, err := pair[0].Int64(); err == nil && from <= int64(in.Need) {
			reached = append(reached, pair)
		}
	}
	straight, err := calculate(ctx, "order-quantity", need, reached.arg())
	return answers{"straight_cost": straight["cost"], "best_qty": got["quantity"], "best_cost": got["cost"]}, err
}

// billOfMaterials adds the cheapest order of each line: 2 % are lost, packs are whole.
func billOfMaterials(ctx context.Context, in struct {
	Boards int
	Lines  []struct {
		Qty, Pack int
		Breaks    priceList
	}
}) (answers, error) {
	total := 0.0
	for _, line := range in.Lines {
		need := (line.Qty*in.Boards*102 + 99) / 100
		need = (need + line.Pack - 1) / line.Pack * line.Pack
		got, err := calculate(ctx, "order-quantity", fmt.Sprint("need=", need), line.Breaks.arg())
		if err != nil {
			return nil, err
		}
		total += got["cost"]
	}
	return answers{"total": total, "per_board": total / float64(in.Boards)}, nil
}
