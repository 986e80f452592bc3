package survival

import (
	"math"
	"testing"

	"hindwatt/internal/statistics"
)

// plain is the log-likelihood as it stands in the books, summed unit by unit.
func plain(lives []Life, shape, scale float64) float64 {
	power := func(t float64) float64 { return math.Pow(t/scale, shape) }
	sum := 0.0
	for _, l := range lives {
		one := power(l.Entry)
		switch {
		case l.failed():
			one += math.Log(shape/l.From*power(l.From)) - power(l.From)
		case l.good():
			one -= power(l.From)
		default:
			one += math.Log(math.Exp(-power(l.From)) - math.Exp(-power(l.To)))
		}
		sum += float64(l.Count) * one
	}
	return sum
}

// highest is the largest value of f between two ends, by golden section.
func highest(f func(float64) float64, low, high float64) float64 {
	golden := (math.Sqrt(5) - 1) / 2
	for high-low > 1e-9*high {
		a, b := high-golden*(high-low), low+golden*(high-low)
		if f(a) > f(b) {
			high = b
		} else {
			low = a
		}
	}
	return f((low + high) / 2)
}

func fit(t *testing.T, lives []Life) Fit {
	t.Helper()
	f, err := Weibull(lives, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3: 20 units, 10 failed.
var handbook = watched([]float64{54, 187, 216, 240, 244, 335, 361, 373, 375, 386}, []float64{500, 500, 500, 500, 500, 500, 500, 500, 500, 500})

func TestWeibullOfTheHandbook(t *testing.T) {
	f := fit(t, handbook)
	near(t, "scale", f.Scale, 606.528, 0.0005)
	near(t, "shape", f.Shape, 1.7208, 0.00005)
	near(t, "loglik", f.LogLik, -75.135, 0.0005)
}

// The result is a peak of the plain likelihood, and at each limit that is lower by half the quantile
// of chi-squared wherever the other parameter stands best.
func TestWeibullAgainstThePlainLikelihood(t *testing.T) {
	loss := statistics.ChiSquaredQuantile(0.95, 1) / 2
	for name, lives := range map[string][]Life{"handbook": handbook, "placebo": leukaemia[1], "inspected": inspected, "late entry": truncated,
		"mixed": append(append([]Life{{30, 100, 160, 3}}, inspected...), handbook...), "one failure": watched([]float64{40}, []float64{30, 50, 60})} {
		f := fit(t, lives)
		near(t, name+" loglik", f.LogLik, plain(lives, f.Shape, f.Scale), 1e-8)
		for _, by := range []float64{0.999, 1.001} {
			if plain(lives, f.Shape*by, f.Scale) >= f.LogLik || plain(lives, f.Shape, f.Scale*by) >= f.LogLik {
				t.Errorf("%s: no peak at %v, %v", name, f.Shape, f.Scale)
			}
		}
		if name == "one failure" { // its scale reaches so far that golden section cannot follow
			continue
		}
		for _, shape := range []Maybe{f.ShapeLow, f.ShapeHigh} {
			b := exists(t, name+" shape", shape)
			best := highest(func(scale float64) float64 { return plain(lives, b, scale) }, f.Scale/20, 20*f.Scale)
			near(t, name+" shape limit", f.LogLik-best, loss, 1e-7)
		}
		for _, scale := range []Maybe{f.ScaleLow, f.ScaleHigh} {
			s := exists(t, name+" scale", scale)
			best := highest(func(shape float64) float64 { return plain(lives, shape, s) }, f.Shape/20, 20*f.Shape)
			near(t, name+" scale limit", f.LogLik-best, loss, 1e-7)
		}
		if !(f.ShapeLow.Value < f.Shape && f.Shape < f.ShapeHigh.Value && f.ScaleLow.Value < f.Scale && f.Scale < f.ScaleHigh.Value) {
			t.Errorf("%s: limits not around the estimate: %+v", name, f)
		}
	}
}

// Another unit of age changes the scale alone; units counted or listed are the same; a
// narrow interval is an exact age.
func TestWeibullLaws(t *testing.T) {
	a := fit(t, handbook)
	var days, counted, narrow []Life
	for i, l := range handbook {
		days = append(days, Life{0, l.From / 24, l.To / 24, 1})
		twice := l
		twice.Count = 2
		counted = append(counted, twice)
		if narrow = append(narrow, l); l.failed() {
			narrow[i].From, narrow[i].To = l.From-1e-4, l.To+1e-4
		}
	}
	b := fit(t, days)
	near(t, "shape in days", b.Shape, a.Shape, 1e-10)
	near(t, "scale in days", 24*b.Scale, a.Scale, 1e-7)
	near(t, "limit in days", 24*b.ScaleHigh.Value, a.ScaleHigh.Value, 1e-5)
	c, d := fit(t, counted), fit(t, append(append([]Life{}, handbook...), handbook...))
	near(t, "counted", c.ShapeLow.Value, d.ShapeLow.Value, 1e-9)
	near(t, "counted", c.LogLik, 2*a.LogLik, 1e-9)
	e := fit(t, narrow)
	near(t, "narrow", e.Shape, a.Shape, 1e-6)
	near(t, "narrow loglik", e.LogLik, a.LogLik+10*math.Log(2e-4), 1e-5)
}

func TestWeibullWithoutAPeak(t *testing.T) {
	open := math.Inf(1)
	for _, c := range []struct {
		lives []Life
		says  string
	}{
		{watched(nil, []float64{3, 5}), "no unit failed"},
		{watched([]float64{5}, nil), "without end"},
		{watched([]float64{5, 5, 5}, []float64{3, 5}), "without end"},
		{[]Life{{0, 0, 5, 3}, {0, 5, open, 2}}, "without end"}, // one inspection: a ridge
		{[]Life{{0, 0, 5, 1}, {0, 5, 10, 1}}, "without end"},
		{[]Life{{0, 0, 5, 1}, {0, 0, 10, 1}}, "before the first inspection"},
		{[]Life{{1, 2, 2, 1}, {2, 3, 3, 1}, {4, 100, 100, 1}, {3, 3.1, 3.1, 1}}, "near 0"},
	} {
		f, err := Weibull(c.lives, 0.95)
		refused(t, err, true, c.says)
		if f != (Fit{}) {
			t.Errorf("%v: %+v beside the error", c.lives, f)
		}
	}
	_, err := Weibull(handbook, 1)
	refused(t, err, false, "confidence")
	_, err = Weibull(watched([]float64{0, 1}, nil), 0.95)
	refused(t, err, false, "failed at age 0")
}

// With units watched from late on, nothing may speak against a shape near 0.
func TestWeibullOpenLimit(t *testing.T) {
	f := fit(t, []Life{{20, 40, 40, 1}, {35, 60, 60, 1}, {50, 70, 70, 1}, {30, 80, math.Inf(1), 2}})
	if f.ShapeLow.None == "" || f.ShapeHigh.None != "" {
		t.Errorf("limits of the shape %+v, %+v", f.ShapeLow, f.ShapeHigh)
	}
}

// FuzzWeibull holds that whatever is known of units, there is a finite fit or an error.
func FuzzWeibull(f *testing.F) {
	f.Add(3.0, 5.0, 5.0, 0.0, 9.0, uint8(3))
	f.Add(1e-300, 1e300, 2.0, 1.0, 2.0, uint8(1))
	f.Add(7.0, 7.0, 7.000001, 6.0, 8.0, uint8(200))
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64, count uint8) {
		lives := []Life{Failed(a), Good(b), {0, b, c, int(count)}, {d, e, e, 1}, {d, e, math.Inf(1), 2}}
		fit, err := Weibull(lives, 0.95)
		if err != nil {
			return
		}
		for _, v := range []float64{fit.Shape, fit.Scale, fit.LogLik, fit.ShapeLow.Value, fit.ShapeHigh.Value, fit.ScaleLow.Value, fit.ScaleHigh.Value} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v of %v", fit, lives)
			}
		}
	})
}
