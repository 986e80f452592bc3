package survival

import (
	"math"
	"testing"

	"hindwatt/internal/statistics"
)

func constant(t *testing.T, lives []Life) RateFit {
	t.Helper()
	f, err := Exponential(lives, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The rate is a peak of the plain likelihood of shape 1, and the limits lie where that has fallen by half the quantile of chi-squared.
func TestExponentialAgainstThePlainLikelihood(t *testing.T) {
	loss := statistics.ChiSquaredQuantile(0.95, 1) / 2
	for name, lives := range map[string][]Life{"handbook": handbook, "placebo": leukaemia[1], "inspected": inspected, "late entry": truncated,
		"mixed": append(append([]Life{{30, 100, 160, 3}}, inspected...), handbook...), "one failure": watched([]float64{40}, []float64{30, 50, 60})} {
		f := constant(t, lives)
		near(t, name+" loglik", f.LogLik, plain(lives, 1, 1/f.Rate), 1e-8)
		near(t, name+" peak", f.LogLik, highest(func(scale float64) float64 { return plain(lives, 1, scale) }, 0.1/f.Rate, 10/f.Rate), 1e-8)
		near(t, name+" low", f.LogLik-plain(lives, 1, 1/exists(t, "low", f.Low)), loss, 1e-8)
		near(t, name+" high", f.LogLik-plain(lives, 1, 1/exists(t, "high", f.High)), loss, 1e-8)
		near(t, name+" exposure", f.Exposure*f.Rate, float64(f.Failures), 1e-9)
	}
}

// NIST/SEMATECH e-Handbook 8.4.5.1: a rate is failures over hours. The likelihood's limits lie within the exact ones there (which are wider
// by design), and for many failures next to them.
func TestExponentialBesideTheExactLimits(t *testing.T) {
	for _, c := range []struct {
		failures int
		tol      float64
	}{{2, 0.6}, {20, 0.1}, {2000, 0.002}} {
		lives := []Life{{0, 800, 800, c.failures}, {0, 800, math.Inf(1), 3 * c.failures}}
		f, total := constant(t, lives), 3200*float64(c.failures)
		near(t, "rate", f.Rate, float64(c.failures)/total, 1e-12)
		low, high, _, err := statistics.MTBFLimits(total, c.failures, 0.95)
		if err != nil || f.Low.Value < 1/high || f.High.Value > 1/low {
			t.Errorf("%d failures: %+v outside %v to %v, %v", c.failures, f, 1/high, 1/low, err)
		}
		near(t, "low", f.Low.Value*high, 1, c.tol)
		near(t, "high", f.High.Value*low, 1, c.tol)
	}
	none := constant(t, []Life{{0, 100, math.Inf(1), 7}})
	_, high, _ := statistics.PoissonLimits(0, 700, 0.95)
	if near(t, "no failure", exists(t, "high", none.High), high, 1e-12); none.Rate != 0 || none.Low != (Maybe{}) || none.Exposure != 700 {
		t.Errorf("%+v", none)
	}
}

func TestExponentialRefuses(t *testing.T) {
	_, err := Exponential([]Life{{0, 0, 5, 3}}, 0.95)
	refused(t, err, true, "without an upper bound")
	_, err = Exponential([]Life{Good(0)}, 0.95)
	refused(t, err, true, "watched for any time")
	_, err = Exponential(handbook, 0)
	refused(t, err, false, "confidence")
	_, err = Exponential(nil, 0.95)
	refused(t, err, false, "no units")
	_, err = constant(t, handbook).FailedBy(-1)
	refused(t, err, false, "age is -1")
}

// The part failed by an age: by the formula, and limits against a second derivative of the plain likelihood by differences.
func TestFailedBy(t *testing.T) {
	for name, lives := range map[string][]Life{"handbook": handbook, "inspected": inspected, "late entry": truncated} {
		f := fit(t, lives)
		const h = 1e-4
		at := func(i, j float64) float64 {
			return plain(lives, f.Shape*(1+i*h), f.Scale*math.Exp(j*h))
		}
		bb := -(at(1, 0) - 2*f.LogLik + at(-1, 0)) / (h * h * f.Shape * f.Shape)
		mm := -(at(0, 1) - 2*f.LogLik + at(0, -1)) / (h * h)
		bm := -(at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / (4 * h * h * f.Shape)
		d := bb*mm - bm*bm
		near(t, name+" variance of the shape", f.VarShape*d/mm, 1, 1e-5)
		near(t, name+" variance of the scale", f.VarLogScale*d/bb, 1, 1e-5)
		near(t, name+" covariance", -f.CovShapeLogScale*d/bm, 1, 1e-4)
		p, err := f.FailedBy(f.Scale, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+" at the scale", p.Value, 1-1/math.E, 1e-12)
		u := 1.959963984540054 * f.Shape * math.Sqrt(bb/d)
		near(t, name+" low", exists(t, "low", p.Low), 1-math.Exp(-math.Exp(-u)), 1e-5)
		near(t, name+" high", exists(t, "high", p.High), 1-math.Exp(-math.Exp(u)), 1e-5)
	}
	f := fit(t, handbook)
	if p, err := f.FailedBy(0, 0.95); err != nil || p != (Part{}) {
		t.Errorf("at age 0: %+v, %v", p, err)
	}
	r := constant(t, handbook)
	p, _ := r.FailedBy(100)
	near(t, "constant rate", p.Value, 1-math.Exp(-100*r.Rate), 1e-12)
	_, err := f.FailedBy(math.NaN(), 0.95)
	refused(t, err, false, "age is NaN")
}
