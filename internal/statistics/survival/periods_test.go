package survival

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// All sold at once and counted by periods: the likelihood is that of ages known between inspections, but for the survivors'
// being counted as Poisson; with few failing both fits are the same to a few parts in a thousand (computed independently).
func TestPeriodsOfOneSale(t *testing.T) {
	sold := []Span{{0, 0, 20000}}
	var failed []Span
	var lives []Life
	left := 20000
	for i, n := range []int{4, 9, 13, 19, 21, 30} {
		failed = append(failed, Span{float64(i), float64(i + 1), float64(n)})
		lives = append(lives, Life{0, float64(i), float64(i + 1), n})
		left -= n
	}
	lives = append(lives, Life{0, 6, math.Inf(1), left})
	p, err := FromPeriods(sold, failed, math.Inf(1), 0.95)
	if err != nil || p.None != "" {
		t.Fatal(err, p.None)
	}
	w := fit(t, lives)
	near(t, "shape", p.Weibull.Shape, w.Shape, 0.005*w.Shape)
	near(t, "scale", p.Weibull.Scale, w.Scale, 0.005*w.Scale)
	near(t, "shape low", exists(t, "", p.Weibull.ShapeLow), w.ShapeLow.Value, 0.01*w.Shape)
	near(t, "shape high", exists(t, "", p.Weibull.ShapeHigh), w.ShapeHigh.Value, 0.01*w.Shape)
	near(t, "scale low", exists(t, "", p.Weibull.ScaleLow), w.ScaleLow.Value, 0.02*w.Scale)
	r, err := Exponential(lives, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", p.Rate.Rate, r.Rate, 0.005*r.Rate)
	near(t, "rate low", exists(t, "", p.Rate.Low), r.Low.Value, 0.005*r.Rate)
	near(t, "rate high", exists(t, "", p.Rate.High), r.High.Value, 0.005*r.Rate)
}

// Sales spread over ten years with ages thrown away: the truth lies within the limits, and another unit of time, another first
// day or a period cut in two for sales changes nothing.
func TestPeriodsOfSpreadSales(t *testing.T) {
	const months = 120
	s := numeric.NewStream(9)
	sold, failed := make([]Span, months), make([]Span, months)
	for m := range months {
		sold[m], failed[m] = Span{float64(m), float64(m + 1), 400}, Span{float64(m), float64(m + 1), 0}
	}
	for m := range months {
		for range 400 {
			at := float64(m) + s.Float64() + 300*math.Pow(-math.Log1p(-s.Float64()), 1/1.6)
			if at < float64(months) {
				failed[min(int(at), months-1)].Count++
			}
		}
	}
	p, err := FromPeriods(sold, failed, math.Inf(1), 0.99)
	if err != nil || p.None != "" {
		t.Fatal(err, p.None)
	}
	t.Logf("%+v", p.Weibull)
	if !(p.Weibull.ShapeLow.Value < 1.6 && 1.6 < p.Weibull.ShapeHigh.Value && p.Weibull.ScaleLow.Value < 300 && 300 < p.Weibull.ScaleHigh.Value) {
		t.Errorf("%+v; want 1.6 and 300 within", p.Weibull)
	}
	var moved, days []Span
	for m := range months {
		days = append(days, Span{30*float64(m) + 7000, 30*float64(m+1) + 7000, failed[m].Count})
		moved = append(moved, Span{30*float64(m) + 7000, 30*(float64(m)+0.5) + 7000, 200}, Span{30*(float64(m)+0.5) + 7000, 30*float64(m+1) + 7000, 200})
	}
	q, err := FromPeriods(moved, days, math.Inf(1), 0.99)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shape in days", q.Weibull.Shape, p.Weibull.Shape, 1e-5)
	near(t, "scale in days", q.Weibull.Scale, 30*p.Weibull.Scale, 0.05)
	near(t, "rate in days", 30*q.Rate.Rate, p.Rate.Rate, 1e-7*p.Rate.Rate)
}

// Failures that are seen up to an age only: what is expected stops there.
func TestPeriodsUntil(t *testing.T) {
	sold := []Span{{0, 1, 1000}}
	failed := []Span{{0, 1, 5}, {1, 2, 10}, {2, 3, 5}, {3, 4, 0}}
	p, err := FromPeriods(sold, failed, 2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "exposure", p.Rate.Exposure, 2000, 25) // each for 2, less those that failed before
	if _, err := FromPeriods(sold, []Span{{0, 1, 2}, {-2, 0, 1}}, 2, 0.95); err == nil {
		t.Error("failures before any sale went unnoticed")
	}
	p, err = FromPeriods([]Span{{0, 1, 310}}, []Span{{0, 1, 4}}, math.Inf(1), 0.95)
	if err != nil || p.None == "" {
		t.Errorf("one period: %+v, %v", p, err)
	}
	near(t, "exposure of one year", p.Rate.Exposure, 155-4./3, 0.02) // sold evenly: half a year each; a failed one loses a third on average
	p, err = FromPeriods(sold, []Span{{0, 1, 0}, {1, 2, 0}}, math.Inf(1), 0.95)
	if err != nil || p.Rate.Rate != 0 || p.None == "" {
		t.Errorf("no failure: %+v, %v", p, err)
	}
	near(t, "high without a failure", exists(t, "", p.Rate.High), -math.Log(0.025)/1500, 1e-7)
	for _, c := range []struct {
		sold, failed []Span
		until        float64
		says         string
	}{{nil, failed, 2, "no period"}, {sold, failed, 0, "age of 0"}, {[]Span{{2, 1, 3}}, failed, 2, "sold, period 1"}, {sold, []Span{{1, 1, 3}}, 2, "failed, period 1"}, {sold, []Span{{1, 2, math.NaN()}}, 2, "failed, period 1"}} {
		_, err := FromPeriods(c.sold, c.failed, c.until, 0.95)
		refused(t, err, false, c.says)
	}
}

func BenchmarkFromPeriods(b *testing.B) {
	sold, failed := make([]Span, 120), make([]Span, 120)
	for m := range sold {
		sold[m], failed[m] = Span{float64(m), float64(m + 1), 400}, Span{float64(m), float64(m + 1), float64(m)}
	}
	for b.Loop() {
		if _, err := FromPeriods(sold, failed, 36, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
