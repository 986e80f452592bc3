package soak

import (
	"context"
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// A truth is a warm-up as simulated (invented): two exponentials with noise that follows itself.
type truth struct {
	name                  string
	rise, fastPart        float64 // K
	slow, fast            float64 // s
	noise, follows, white float64 // K of the part that follows itself, s for which it does, K of what does not
	run, every            float64 // s
}

func (q truth) log(seed uint64) Input {
	s := numeric.NewStream(seed)
	in := Input{Place: "d1", Ambient: []float64{296.15}}
	rho := 0.0
	if q.follows > 0 {
		rho = math.Exp(-q.every / q.follows)
	}
	draught := q.noise * s.Norm()
	for t := 0.0; t <= q.run; t += q.every {
		rise := q.rise - (q.rise-q.fastPart)*math.Exp(-t/q.slow) - q.fastPart*math.Exp(-t/q.fast)
		in.Time = append(in.Time, t)
		in.Temperature = append(in.Temperature, 296.15+rise+draught+q.white*s.Norm())
		draught = rho*draught + q.noise*math.Sqrt(1-rho*rho)*s.Norm()
	}
	return in
}

var truths = []truth{
	{"to the end, white", 40, 12, 1200, 60, 0, 0, 0.1, 6000, 10},
	{"to the end, draught", 40, 12, 1200, 60, 0.3, 60, 0.05, 6000, 10},
	{"two constants, draught", 40, 12, 1200, 60, 0.3, 60, 0.05, 2400, 10},
	{"one constant, white", 40, 12, 1200, 60, 0, 0, 0.1, 1200, 10},
	{"one constant, draught", 40, 12, 1200, 60, 0.3, 60, 0.05, 1200, 10},
	{"half a constant, draught", 40, 12, 1200, 60, 0.2, 30, 0.05, 600, 5},
	{"one part only, draught", 40, 0, 1200, 60, 0.3, 60, 0.05, 3600, 10},
	{"second part hardly seen", 40, 3, 1200, 200, 0.3, 60, 0.05, 2400, 10},
}

// TestCoverage: the limits at 95 % hold the steady rise that is known. Over 300 logs of the first four kinds they were seen to
// hold it in 96.3, 93.3, 95.3 and 95.0 %, over 100 of the fifth in 98 %; the test takes 12 logs of three kinds.
func TestCoverage(t *testing.T) {
	const runs = 12
	for _, q := range []truth{truths[1], truths[2], truths[3]} {
		held, open, two := make([]bool, runs), make([]bool, runs), make([]bool, runs)
		width := make([]float64, runs)
		err := numeric.Parallel(context.Background(), runs, func(job int) error {
			r, err := Run(q.log(uint64(job + 1)))
			if err != nil {
				return err
			}
			held[job], open[job], two[job] = r.Rise.Holds(q.rise), r.Rise.OpenHigh || r.Rise.OpenLow, r.Terms == 2
			width[job] = r.Rise.High - r.Rise.Low
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		count := func(b []bool) (n int) {
			for _, v := range b {
				if v {
					n++
				}
			}
			return n
		}
		if share := float64(count(held)) / runs; share < 0.95-3*math.Sqrt(0.95*0.05/runs) { // less three standard deviations of the count
			t.Errorf("%s: held in %.0f %%", q.name, 100*share)
		}
		t.Logf("%s: held %.1f %%, open %d, two terms %d, median width %.2f K", q.name, 100*float64(count(held))/runs, count(open), count(two), numeric.Select(width, runs/2))
	}
}
