package accounts

import (
	"math"

	"hindwatt/internal/money"
)

// leastRate is the rate a year below which a zero of the present value tells nothing: late flows count a hundredfold (common practice, no source).
const leastRate = -0.99

func (r *Result) flows() []float64 {
	flows := make([]float64, len(r.Months))
	for k, m := range r.Months {
		flows[k] = m.In.Minus(m.Out).Float64()
	}
	return flows
}

func perYear(monthly float64) float64 { return math.Pow(1+max(monthly, -0.999), 12) - 1 }

// returnRate is the one rate of return per year of the months' flows, its interval from first-order sensitivities [A8].
func (r *Result) returnRate() {
	flows := r.flows()
	rate, why := oneRate(flows)
	if why != "" {
		r.RateOfReturn = Figure{None: why}
		return
	}
	u := r.rateUncertainty(flows, rate)
	f := Figure{Best: perYear(rate), Low: perYear(rate - within*u), High: perYear(rate + within*u)}
	switch {
	case math.IsNaN(f.High) || !(f.Best <= 1e6):
		r.RateOfReturn = Figure{None: "it lies beyond any meaning"}
		return
	case f.High > 1e6:
		f.High, f.OpenHigh = 0, true
	}
	if f.Low < leastRate {
		f.Low, f.OpenLow = 0, true
	}
	r.RateOfReturn = f
}

// oneRate is the rate a month that makes the present value 0, where it has a meaning: more had gone out than come in at some time, and
// either one rate alone lies above leastRate, or the gathered money changes its sign once, which leaves one above 0 (Norstrom, Journal
// of Financial and Quantitative Analysis 7, 1972; from memory). Else why says why there is none.
func oneRate(flows []float64) (rate float64, why string) {
	all, err := money.RatesOfReturn(flows)
	if err != nil {
		return 0, err.Error()
	}
	var rates, gains []float64
	for _, v := range all {
		if perYear(v) > leastRate {
			rates = append(rates, v)
		}
		if v > 0 {
			gains = append(gains, v)
		}
	}
	sum, least, changes, sign := 0.0, 0.0, 0, 0.0
	for _, f := range flows {
		sum += f
		least = min(least, sum)
		if sum*sign < 0 {
			changes++
		}
		if sum != 0 {
			sign = math.Copysign(1, sum)
		}
	}
	switch {
	case least >= 0:
		return 0, "at the end of no month had more gone out than come in"
	case changes == 1 && len(gains) == 1:
		return gains[0], ""
	case len(rates) == 1 && (rates[0] > 0) == (sum > 0):
		return rates[0], ""
	case len(rates) > 1:
		return 0, "the flows have more than one"
	}
	return 0, "the flows have none above -99 %"
}

// rateUncertainty is the standard uncertainty of the rate a month [A8].
func (r *Result) rateUncertainty(flows []float64, rate float64) float64 {
	v, g := 1/(1+rate), &r.book.groups
	slope, z := 0.0, make([]float64, len(g.names))
	for k, f := range flows {
		slope -= float64(k) * f * math.Pow(v, float64(k+1))
	}
	u := 0.0
	for i := range z {
		d := 0.0
		for k, s := range r.model.months {
			z[i] = 1
			up := s.at(z)
			z[i] = -1
			d += (up - s.at(z)) / 2 * math.Pow(v, float64(k))
		}
		z[i] = 0
		u += d * d * g.variance(i) / slope / slope
	}
	return math.Sqrt(u)
}
