package weather

import (
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/sun"
)

// hourSpread is the standard deviation of the clearness of hours about the mean of their day's form, by
// the day's clearness 0.1-0.2, 0.2-0.3 … 0.7-0.8: as four typical years have it (Phoenix, Miami, Minneapolis,
// Tacoma; TMY3), with the sun above 14.5°. The formula of the model's authors is 20 to 50 % lower between 0.4 and 0.7.
var hourSpread = [...]float64{0.064, 0.109, 0.137, 0.156, 0.129, 0.089, 0.046}

func spreadOfHours(k float64) float64 {
	x := min(max(k*10-1.5, 0), float64(len(hourSpread)-1))
	i := min(int(x), len(hourSpread)-2)
	return hourSpread[i] + (hourSpread[i+1]-hourSpread[i])*(x-float64(i))
}

// hourMean returns the mean clearness of an hour with the sun at sinHeight in a day of clearness k:
// R. Aguiar and M. Collares-Pereira, Solar Energy 49, 1992, [SN17].
func hourMean(k, sinHeight float64) float64 {
	lam := -0.19 + 1.12*k + 0.24*numeric.Exp(-8*k)
	eps := 0.32 - 1.6*(k-0.5)*(k-0.5)
	kap := 0.19 + 2.27*k*k - 2.51*k*k*k
	return lam + eps*numeric.Exp(-kap/sinHeight)
}

// Hours deviate from their day's form by chains with hourPersistence, [SN18]. Keeping the day's total takes
// from them what all hours share: of nine hours 39 % of the variance, so they are drawn wider by hourWidening,
// and what is left has a correlation of 0.4 from hour to hour, as the authors (0.32 to 0.44) and the typical years
// (0.2 to 0.5) have it.
const (
	hourPersistence = 0.65
	hourWidening    = 1.28
)

// drawHours draws the hours of a day of clearness k. Their total is k of what falls outside the air.
func (y *Year) drawHours(day int, k float64, h *hours) {
	r := numeric.NewStream(y.seed, forHours, y.number, uint64(day))
	outside, sky := &y.outside, &y.mean
	all, clear := sum(outside), sum(sky)
	h.global, h.diffuse = [24]float64{}, [24]float64{}
	if all <= 0 || k <= 0 {
		return
	}
	ceiling := 1.05 // of the clear sky, that an hour reaches
	if clear > 0 {
		ceiling = max(ceiling, 1.03*k*all/clear)
	}
	sd, fresh := hourWidening*spreadOfHours(k), math.Sqrt(1-hourPersistence*hourPersistence)
	deviation := r.Norm()
	for i, out := range outside {
		if out <= 0 {
			continue
		}
		kt := hourMean(k, max(out/y.tracks[day].Outside, 0.01)) + sd*deviation
		h.global[i] = min(max(kt, 0.02)*out, ceiling*sky[i]+1)
		deviation = hourPersistence*deviation + fresh*r.Norm()
	}
	keepTotal(h, sky, ceiling, k*all) // [SN19]
	for i, out := range outside {
		if out > 0 {
			h.diffuse[i] = h.global[i] * sun.DiffuseOfHour(h.global[i]/out)
		}
	}
}

// keepTotal scales hours to a total, those under the clear sky's ceiling first.
func keepTotal(h *hours, sky *[24]float64, ceiling, total float64) {
	for range 5 {
		f := total / sum(&h.global)
		for i := range h.global {
			h.global[i] = min(h.global[i]*f, max(h.global[i], ceiling*sky[i]))
		}
	}
	f := total / sum(&h.global)
	for i := range h.global {
		h.global[i] *= f
	}
}

func sum(x *[24]float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
