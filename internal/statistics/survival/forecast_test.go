package survival

import (
	"context"
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// With a constant rate, failures r in T and the next s, the interval lies between the exact ones of Nelson, and the mean is the
// gamma-Poisson one, (r + 1/2)·s/T (computed independently: conjugate prior).
func TestForecastOfAConstantRate(t *testing.T) {
	lives := watched([]float64{50, 100, 150, 200, 250, 300}, nil)
	for range 400 {
		lives = append(lives, Good(400))
	}
	total := 0.0
	for _, l := range lives {
		total += l.From
	}
	p, err := Forecast(context.Background(), lives, Constant, []Out{{400, math.Inf(1), 1_000_000}}, []float64{0, 0.16, 0.32}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", p[0].Mean, 6.5/total*0.16e6, 1e-3)
	near(t, "mean in all", p[1].TotalMean, p[0].Mean+p[1].Mean, 1e-9)
	low, high, err := statistics.PredictPoisson(6, total, 0.16e6, 0.95)
	if err != nil || p[0].Low < float64(low) || p[0].High > float64(high) || p[0].High < float64(high)-2 || p[0].Low > float64(low)+2 {
		t.Errorf("%+v beside %d to %d, %v", p[0], low, high, err)
	}
}

// Units past the age up to which failures count, and periods after it, add nothing; a unit that is sure to fail does.
func TestForecastEnds(t *testing.T) {
	p, err := Forecast(context.Background(), handbook, WeibullAges, []Out{{500, 500, 9}, {500, 600, 3}, {0, 1, 5}}, []float64{0, 100, 200, 1e6}, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	if p[1] != (Prediction{From: 100, To: 200, TotalMean: p[0].TotalMean, TotalLow: p[0].TotalLow, TotalHigh: p[0].TotalHigh}) {
		t.Errorf("%+v after the end", p[1])
	}
	p, err = Forecast(context.Background(), handbook, WeibullAges, []Out{{500, math.Inf(1), 10}}, []float64{0, 1e9}, 0.9)
	if err != nil || p[0].Low != 10 || p[0].High != 10 || math.Abs(p[0].Mean-10) > 1e-6 {
		t.Errorf("%+v, %v for ever", p, err)
	}
}

// Of many fleets with few failures, the number that then fails keeps within the interval at least as often as asked, less
// what 600 fleets scatter (3 standard deviations: 0.027); 0.954 of 4,000 fleets.
func TestForecastCoverage(t *testing.T) {
	const fleets, units = 600, 120
	inside, done := 0, 0
	for fleet := range uint64(fleets) {
		s := numeric.NewStream(11, fleet)
		var lives []Life
		var out []Out
		later := 0.0
		for range units {
			age := s.Uniform(0, 400)
			switch failure := 1200 * math.Pow(-math.Log1p(-s.Float64()), 1/1.5); {
			case failure <= age:
				lives = append(lives, Failed(failure))
			default:
				lives, out = append(lives, Good(age)), append(out, Out{age, math.Inf(1), 1})
				if failure <= age+200 {
					later++
				}
			}
		}
		p, err := Forecast(context.Background(), lives, WeibullAges, out, []float64{0, 200}, 0.95)
		if err != nil { // one in a thousand has no failure, or no spread
			continue
		}
		done++
		if p[0].Low <= later && later <= p[0].High {
			inside++
		}
	}
	if share := float64(inside) / float64(done); done < fleets*98/100 || share < 0.95-0.027 {
		t.Errorf("inside in %.3f of %d fleets", share, done)
	} else {
		t.Logf("inside in %.3f of %d fleets", share, done)
	}
}

func BenchmarkForecast(b *testing.B) {
	s := numeric.NewStream(7)
	var lives []Life
	var out []Out
	for range 100_000 {
		age := math.Floor(s.Uniform(0, 3650))
		if failure := 20000 * math.Pow(-math.Log1p(-s.Float64()), 1/1.2); failure <= age {
			lives = append(lives, Failed(failure))
		} else {
			lives, out = append(lives, Good(age)), append(out, Out{age, 5 * 365, 1})
		}
	}
	edges := make([]float64, 37)
	for i := range edges {
		edges[i] = 30 * float64(i)
	}
	for b.Loop() {
		if _, err := Forecast(context.Background(), lives, WeibullAges, out, edges, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
