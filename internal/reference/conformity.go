package reference

import (
	"context"
	"math"

	"hindwatt/internal/statistics"
)

func init() {
	solve(from(conformance), "CON-01", "CON-03")
	solve(from(guardedLimit), "CON-05")
	solve(from(inspection), "CON-07", "CON-09", "CON-11", "CON-13")
	solve(from(guardBandWidth), "CON-15")
}

func conformance(ctx context.Context, in struct {
	Y, U   float64
	TL, TU *float64
}) (answers, error) {
	args := []string{arg("value", in.Y, ""), arg("u", in.U, "")}
	if in.TL != nil {
		args = append(args, arg("min", *in.TL, ""))
	}
	if in.TU != nil {
		args = append(args, arg("max", *in.TU, ""))
	}
	got, err := calculate(ctx, "conformance", args...)
	return answers{"pc": got["probability"]}, err
}

// guardedLimit is the worst case of a guarded limit: the reading stands at the acceptance
// limit, w = r·k·u inside the tolerance limit.
func guardedLimit(ctx context.Context, in struct{ R, K float64 }) (answers, error) {
	got, err := calculate(ctx, "conformance", arg("value", -in.R*in.K, ""), "u=1", "max=0")
	return answers{"max_false_accept": 1 - got["probability"]}, err
}

// produced is a production with its measurement and limits.
type produced struct {
	Y0, U0         float64
	UMeas          float64 `json:"u_meas"`
	TL, TU, AL, AU float64
}

func inspection(ctx context.Context, in produced) (answers, error) {
	got, err := calculate(ctx, "guard-band", arg("mean", in.Y0, ""), arg("sd", in.U0, ""), arg("u", in.UMeas, ""),
		arg("min", in.TL, ""), arg("max", in.TU, ""), arg("accept_min", in.AL, ""), arg("accept_max", in.AU, ""))
	return answers{"p_conform_before": got["conforming"], "p_accept": got["accepted"], "RC": got["false_accept"], "RP": got["false_reject"],
		"false_given_accept": got["false_accept"] / got["accepted"]}, err
}

func guardBandWidth(_ context.Context, in struct {
	produced
	Target float64 `json:"target_RC"`
}) (answers, error) {
	w, risk, err := statistics.GuardBandWidth(statistics.Inspection{Mean: in.Y0, SD: in.U0, U: in.UMeas, Min: in.TL, Max: in.TU,
		AcceptMin: math.Inf(-1), AcceptMax: math.Inf(1)}, in.Target)
	return answers{"w_V": w, "RP_at_w": risk.FalseReject}, err
}
