package reference

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"hindwatt/internal/calc/formula"
	"hindwatt/internal/statistics"
)

func init() {
	solve(from(endGauge), "UNC-01")
	solve(fourNormals, "UNC-03")
	solve(dominantRectangle, "UNC-05")
	solve(from(comparisonLoss), "UNC-07", "UNC-09")
	solve(from(divider), "UNC-11", "UNC-13")
	solve(from(dividerDrift), "UNC-15")
	solve(from(welch), "UNC-17")
}

// gauge is the end gauge of JCGM 100 H.1: ls, d, α_s, θ, δα, δθ in nm, 1/K and K.
type gauge struct {
	X, U []float64
	Nu   []string
}

const gaugeModel = "y=ls + d - ls*(dalpha*theta + alphas*dtheta)"

var (
	gaugeNames = []string{"ls", "d", "alphas", "theta", "dalpha", "dtheta"}
	gaugeUnits = []string{" nm", " nm", " 1/K", " K", " 1/K", " K"}
)

// args writes the inputs of the calculator; only those in spread have a spread.
func (g gauge) args(dof bool, spread ...string) []string {
	args := []string{gaugeModel}
	for i, name := range gaugeNames {
		alone := len(spread) > 0 && spread[0] != name
		if alone {
			args = append(args, arg(name, g.X[i], gaugeUnits[i]))
			continue
		}
		args = append(args, withSD(name, g.X[i], g.U[i], gaugeUnits[i]))
		if nu, err := strconv.ParseFloat(g.Nu[i], 64); err == nil && dof && !math.IsInf(nu, 0) {
			args = append(args, arg("dof."+name, nu, ""))
		}
	}
	return args
}

func endGauge(ctx context.Context, in gauge) (answers, error) {
	const nm = 1e9 // in one metre
	got, err := calculate(ctx, "uncertainty", append(in.args(true), "confidence=0.99", "samples=10000")...)
	if err != nil {
		return nil, err
	}
	half := (got["high"] - got["low"]) / 2
	a := answers{"l_nm": got["value"] * nm, "uc_nm": got["u"] * nm, "nu_eff": got["dof"], "k99": half / got["u"], "U99_nm": half * nm}
	for key, name := range map[string]string{"u_ls": "ls", "u_d": "d", "u_dalpha": "dalpha", "u_dtheta": "dtheta"} {
		one, err := calculate(ctx, "uncertainty", append(in.args(false, name), "samples=1000")...)
		if err != nil {
			return nil, err
		}
		a[key] = one["u"] * nm
	}
	var inputs []statistics.Input
	for i, name := range gaugeNames {
		inputs = append(inputs, statistics.Input{Name: name, Value: in.X[i], U: in.U[i]})
	}
	a["second_order_uc_nm"], err = statistics.SecondOrder(func(x []float64) (float64, error) {
		return x[0] + x[1] - x[0]*(x[4]*x[3]+x[2]*x[5]), nil
	}, inputs)
	return a, err
}

// monteCarlo keeps the results of random draws under the keys of an example.
func monteCarlo(got answers) answers {
	return answers{"mean": got["mc_mean"], "u": got["mc_u"], "low": got["mc_low"], "high": got["mc_high"], "gum_high": got["high"],
		"gum_y": got["value"], "gum_u": got["u"]}
}

func fourNormals(ctx context.Context, _ json.RawMessage) (answers, error) {
	// 4·10^6 draws: a limit scatters by 0.0027 (standard deviation), the tolerance is 0.01
	got, err := calculate(ctx, "uncertainty", "y=X1+X2+X3+X4", "X1=0 sd 1", "X2=0 sd 1", "X3=0 sd 1", "X4=0 sd 1", "samples=4000000")
	return monteCarlo(got), err
}

// dominantRectangle has four rectangular inputs of standard uncertainty 1, 1, 1 and 10.
func dominantRectangle(ctx context.Context, _ json.RawMessage) (answers, error) {
	half := math.Sqrt(3)
	got, err := calculate(ctx, "uncertainty", "y=X1+X2+X3+X4", within("X1", 0, half, ""), within("X2", 0, half, ""), within("X3", 0, half, ""),
		within("X4", 0, 10*half, ""))
	return monteCarlo(got), err
}

func comparisonLoss(ctx context.Context, in struct{ X1, X2, U, R float64 }) (answers, error) {
	if in.U == 0 {
		in.U = 0.005 // the example refers to the one before it
	}
	args := []string{"y=X1^2+X2^2", withSD("X1", in.X1, in.U, ""), withSD("X2", in.X2, in.U, "")}
	if in.R != 0 {
		args = append(args, arg("corr.X1.X2", in.R, ""))
	}
	got, err := calculate(ctx, "uncertainty", args...)
	return monteCarlo(got), err
}

// displayError is what is shown less the true voltage; the divider and the reference are taken
// for nominal when the step is converted back.
const displayError = "(v*(r2/(r1 + r2))*steps/vref + inl + q)*(vnominal/steps)*gain - v"

func divider(ctx context.Context, in struct {
	V       float64 `json:"V_true"`
	R1      float64 `json:"R1_ohm"`
	R2      float64 `json:"R2_ohm"`
	TolR1   float64 `json:"tolR1"`
	TolR2   float64 `json:"tolR2"`
	Vref    float64 `json:"Vref"`
	TolVref float64 `json:"tolVref"`
	Bits    int     `json:"bits"`
	INL     float64 `json:"INL_plus_offset_LSB"`
	Q       float64 `json:"quantisation_LSB"`
}) (answers, error) {
	steps, gain := math.Ldexp(1, in.Bits), (in.R1+in.R2)/in.R2
	args := []string{"y=" + displayError, arg("v", in.V, " V"), arg("steps", steps, " LSB"), arg("gain", gain, ""), arg("vnominal", in.Vref, " V"),
		within("r1", in.R1, in.R1*in.TolR1, " ohm"), within("r2", in.R2, in.R2*in.TolR2, " ohm"), within("vref", in.Vref, in.Vref*in.TolVref, " V"),
		within("inl", 0, in.INL, " LSB"), within("q", 0, in.Q, " LSB")}
	got, err := calculate(ctx, "uncertainty", append(args, "samples=1000")...)
	if err != nil {
		return nil, err
	}
	// a limit of a normal value scatters by 2.7·u/√samples; enough draws to know it to 0.0005 V
	samples := min(max(math.Ceil(math.Pow(2.7*got["u"]/0.0005, 2)), 1e5), 1e7)
	if got, err = calculate(ctx, "uncertainty", append(args, fmt.Sprintf("samples=%.0f", samples))...); err != nil {
		return nil, err
	}
	low, high, err := corners(displayError, map[string][2]float64{"v": {in.V, 0}, "steps": {steps, 0}, "gain": {gain, 0}, "vnominal": {in.Vref, 0},
		"r1": {in.R1, in.R1 * in.TolR1}, "r2": {in.R2, in.R2 * in.TolR2}, "vref": {in.Vref, in.Vref * in.TolVref}, "inl": {0, in.INL}, "q": {0, in.Q}})
	return answers{"LSB_at_input_mV": 1000 * in.Vref / steps * gain, "worst_high_V": high, "worst_low_V": low, "u_standard_V": got["u"],
		"rss_of_bounds_V": got["u"] * math.Sqrt(3), "mc95_low_V": got["mc_low"], "mc95_high_V": got["mc_high"]}, err
}

// corners returns the smallest and largest value of a formula when each name is at either end of
// its limits, given as middle and half-width.
func corners(text string, limits map[string][2]float64) (low, high float64, err error) {
	f, err := formula.Parse(text)
	if err != nil {
		return 0, 0, err
	}
	p, names := f.Program(), f.Names()
	x := make([]float64, len(names))
	low, high = math.Inf(1), math.Inf(-1)
	for corner := range 1 << len(names) {
		for i, name := range names {
			side := float64(corner>>i&1)*2 - 1
			x[i] = limits[name][0] + side*limits[name][1]
		}
		y, err := p.Eval(x)
		if err != nil {
			return 0, 0, err
		}
		low, high = min(low, y), max(high, y)
	}
	return low, high, nil
}

// dividerDrift is how far a reading drifts when each part drifts on its own.
func dividerDrift(ctx context.Context, in struct {
	V, R1, R2 float64
	TCR       float64 `json:"TCR_per_K"`
	TCRef     float64 `json:"TCref_per_K"`
	DT        float64 `json:"dT_K"`
}) (answers, error) {
	resistor, reference := math.Abs(in.TCR*in.DT), math.Abs(in.TCRef*in.DT)
	const text = "v*(r2/(r1 + r2))*gain/ref - v"
	low, high, err := corners(text, map[string][2]float64{"v": {in.V, 0}, "gain": {(in.R1 + in.R2) / in.R2, 0},
		"r1": {in.R1, in.R1 * resistor}, "r2": {in.R2, in.R2 * resistor}, "ref": {1, reference}})
	if err != nil {
		return nil, err
	}
	// in first order the limits add up: one input at a time, its u times √3
	var linear float64
	for _, name := range []string{"r1", "r2", "ref"} {
		half := map[string]float64{"r1": in.R1 * resistor, "r2": in.R2 * resistor, "ref": reference}
		for other := range half {
			if other != name {
				half[other] = 0
			}
		}
		got, err := calculate(ctx, "uncertainty", "y="+text, arg("v", in.V, " V"), arg("gain", (in.R1+in.R2)/in.R2, ""),
			within("r1", in.R1, half["r1"], " ohm"), within("r2", in.R2, half["r2"], " ohm"), within("ref", 1, half["ref"], ""), "samples=1000")
		if err != nil {
			return nil, err
		}
		linear += got["u"] * math.Sqrt(3)
	}
	return answers{"worst_abs_V": max(-low, high), "linear_V": linear}, nil
}

// welch has equal contributions with few degrees of freedom each.
func welch(ctx context.Context, in struct {
	U, Nu []float64
}) (answers, error) {
	args := []string{"y=x0", "samples=10000"}
	for i := range in.U {
		name := fmt.Sprint("x", i)
		if i > 0 {
			args[0] += " + " + name
		}
		args = append(args, withSD(name, 0, in.U[i], ""), arg("dof."+name, in.Nu[i], ""))
	}
	got, err := calculate(ctx, "uncertainty", args...)
	return answers{"nu_eff": got["dof"]}, err
}
