package reference

import (
	"math"

	"hindwatt/internal/statistics"
)

func init() {
	functions["chi-squared-quantile"] = func(in map[string]float64) (float64, error) {
		return statistics.ChiSquaredQuantile(in["p"], in["dof"]), nil
	}
	functions["units-for-range"] = func(in map[string]float64) (float64, error) {
		n, err := statistics.UnitsForRange(in["proportion"], in["confidence"], int(in["sides"]))
		return float64(n), err
	}
	functions["proportion-below"] = func(in map[string]float64) (float64, error) {
		_, low, _, err := statistics.NormalProportion(0, 1, int(in["n"]), math.Inf(-1), in["k"], in["confidence"])
		return low, err
	}
}
