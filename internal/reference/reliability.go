package reference

import (
	"context"
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/statistics/survival"
)

func init() {
	solve(from(handbookUnits), "REL-01")
	solve(from(timeTest), "REL-03")
	solve(from(twoByTwo), "REL-13")
	solve(from(leukaemia), "REL-15")
	solve(from(weibullOf), "REL-17", "REL-21", "REL-23")
	solve(from(staggered), "REL-25")
	solve(from(zeroFailures), "REL-29")
}

// agesFile is the embedded file of a data set, in the columns that calculators read.
func agesFile(dataset string) string {
	name := strings.ReplaceAll(strings.TrimPrefix(strings.TrimPrefix(dataset, "ds_"), "gen_"), "_", "-")
	return "file=ages/" + name
}

func handbookUnits(ctx context.Context, _ struct{}) (answers, error) {
	got, err := calculate(ctx, "weibull", agesFile("handbook.csv"))
	shape, scale := got["shape"], got["scale"]
	mean := scale * math.Gamma(1+1/shape)
	return answers{"eta": scale, "beta": shape, "loglik": got["loglik"], "mean": mean,
		"sd": math.Sqrt(scale*scale*math.Gamma(1+2/shape) - mean*mean)}, err
}

func weibullOf(ctx context.Context, in struct{ Data string }) (answers, error) {
	return calculate(ctx, "weibull", agesFile(in.Data))
}

func timeTest(ctx context.Context, in struct {
	T    float64 `json:"T_h"`
	R    int
	Conf float64
}) (answers, error) {
	got, err := calculate(ctx, "mtbf", arg("hours", in.T, " h"), fmt.Sprint("failures=", in.R), arg("confidence", in.Conf, ""))
	return answers{"MTBF": got["mtbf"], "lower": got["low"], "upper": got["high"],
		"lower_factor": got["low"] / got["mtbf"], "upper_factor": got["high"] / got["mtbf"]}, err
}

func twoByTwo(ctx context.Context, in struct{ Table [2][2]int }) (answers, error) {
	t := in.Table
	got, err := calculate(ctx, "fisher", fmt.Sprint("a=", t[0][0]), fmt.Sprint("b=", t[0][1]), fmt.Sprint("c=", t[1][0]), fmt.Sprint("d=", t[1][1]))
	return answers{"two_sided": got["p_two_sided"], "one_sided_less": got["p_one_sided"]}, err
}

func leukaemia(ctx context.Context, _ struct{}) (answers, error) {
	a := answers{}
	for _, at := range []string{"13", "23", "48"} {
		got, err := calculate(ctx, "survival", agesFile("aml-maintained.csv"), "at="+at)
		if err != nil {
			return nil, err
		}
		a["S_t"+at], a["se_t"+at] = got["survival"], got["se"]
	}
	for key, file := range map[string]string{"median_maintained": "aml-maintained", "median_not": "aml-nonmaintained"} {
		c, err := curve(file)
		if err != nil {
			return nil, err
		}
		a[key] = c.Median().Value
	}
	return a, nil
}

// curve is the Kaplan-Meier curve of an embedded file with columns time and failed first.
func curve(name string) (survival.Curve, error) {
	columns, err := readColumns("ages/" + name + ".csv")
	if err != nil {
		return survival.Curve{}, err
	}
	var lives []survival.Life
	for i, time := range columns[0] {
		if columns[1][i] == 1 {
			lives = append(lives, survival.Failed(time))
		} else {
			lives = append(lives, survival.Good(time))
		}
	}
	return survival.KaplanMeier(lives)
}

// staggered is units sold over a year: the curve at its last failure, and returned over shipped.
func staggered(ctx context.Context, in struct{ Data string }) (answers, error) {
	c, err := curve("staggered")
	if err != nil {
		return nil, err
	}
	last := c.Steps[len(c.Steps)-1].Age
	got, err := calculate(ctx, "survival", agesFile(in.Data), arg("at", last, ""))
	return answers{"S_last": got["survival"], "se_last": got["se"], "t_last": last,
		"naive_fraction": float64(c.Failures) / float64(c.Units)}, err
}

// zeroFailures is a Weibull scale from units without failure: at a known shape t^shape is
// exponential, so that its mean time between failures has the usual lower limit.
func zeroFailures(ctx context.Context, in struct {
	Beta, N float64
	Each    float64 `json:"hours_each"`
	Conf    float64
}) (answers, error) {
	got, err := calculate(ctx, "mtbf", arg("hours", in.N*math.Pow(in.Each, in.Beta), " h"), "failures=0", arg("confidence", in.Conf, ""))
	scale := math.Pow(got["low_one_sided"], 1/in.Beta)
	return answers{"eta_L": scale, "R_at_1000": math.Exp(-math.Pow(1000/scale, in.Beta))}, err
}
