package bench

import (
	"math"
	"reflect"
	"testing"

	"hindwatt/internal/statistics"
)

func width(i Interval) float64 { return i.High - i.Low }

func TestWorseMeterIsWider(t *testing.T) {
	var last *Result
	for _, limit := range []float64{0, 0.02, 0.05, 0.1, 0.2} {
		r := run(t, input(meter(limit), lot(8, 0.02, 0.05)...))
		if last != nil {
			now, before := inside(t, r, -0.2, 0.2), inside(t, last, -0.2, 0.2)
			if width(r.Mean) <= width(last.Mean) || width(r.Tolerance) <= width(last.Tolerance) || now.Low >= before.Low || now.High < before.High {
				t.Errorf("with ±%v V: %v %v %v; want all wider than %v %v %v", limit, r.Mean, r.Tolerance, now, last.Mean, last.Tolerance, before)
			}
			if r.MeanWithoutMeter != last.MeanWithoutMeter {
				t.Errorf("with ±%v V, without the meter %v; want %v still", limit, r.MeanWithoutMeter, last.MeanWithoutMeter)
			}
		}
		last = r
	}
}

func TestWiderBoundHoldsMore(t *testing.T) {
	in := input(meter(0.03), lot(5, 0.05, 0.05)...)
	for _, in.Carry = range []*Carry{nil, drift(20, 10, 0.02, 0.02, 0.03)} {
		r := run(t, in)
		var last Interval
		for _, half := range []float64{0.05, 0.1, 0.2, 0.4, math.Inf(1)} {
			now := inside(t, r, -half, half)
			if !(now.Best > last.Best && now.Low >= last.Low && now.High >= last.High && now.Low <= now.Best && now.Best <= now.High) {
				t.Errorf("within ±%v V: %v; want more than %v, and low ≤ best ≤ high", half, now, last)
			}
			last = now
		}
		near(t, "share of an open bound", last.Low, 1, 0)
	}
}

// More units with the same mean and standard deviation leave less open, down to what the meter does.
func TestMoreUnitsAreSurer(t *testing.T) {
	last := Interval{Low: 0, High: 1}
	for _, n := range []int{2, 3, 5, 10, 30, 100, 1000} {
		now := inside(t, run(t, input(meter(0.02), lot(n, 0.1, 0.05)...)), -0.2, 0.2)
		if now.Low <= last.Low || now.High > last.High {
			t.Errorf("%d units: %v; want narrower than %v", n, now, last)
		}
		last = now
	}
	// by hand: at the meter's ends but 5 % of them, the mean is 0.1 ± 0.9·0.02 V
	near(t, "low of 1000 units", last.Low, statistics.Conformance(0.118, 0.05, -0.2, 0.2), 0.012)
}

func TestCarry(t *testing.T) {
	in := input(meter(0.02), lot(6, 0.03, 0.05)...)
	plain := run(t, in)

	in.Carry = drift(50, 20, 0, 0, 0)
	r := run(t, in)
	near(t, "carried nowhere, low of the mean", r.Mean.Low, plain.Mean.Low, 1e-6)
	near(t, "carried nowhere, high of the tolerance interval", r.Tolerance.High, plain.Tolerance.High, 0.02*width(plain.Tolerance))
	if got, want := inside(t, r, -0.2, 0.2), inside(t, plain, -0.2, 0.2); math.Abs(got.Low-want.Low) > 0.004 || math.Abs(got.Best-want.Best) > 1e-12 {
		t.Errorf("carried nowhere: %v; want %v", got, want)
	}

	for i := range in.Carry.Low {
		in.Carry.Low[i], in.Carry.High[i] = 0.1, 0.1
	}
	r = run(t, in)
	near(t, "carried up by 0.1 V, mean", r.Mean.Best, plain.Mean.Best+0.1, 1e-12)
	near(t, "carried up by 0.1 V, low of the mean", r.Mean.Low, plain.Mean.Low+0.1, 1e-6)
	near(t, "carried up by 0.1 V, share", inside(t, r, -0.1, 0.3).Best, inside(t, plain, -0.2, 0.2).Best, 1e-9)

	// units that scatter by 0.06 V while carried, beside 0.05 V that were seen: together √(0.05² + 0.06²)
	in.Carry = drift(100, 400, 0, 0.06, 0)
	near(t, "share of scattering units", inside(t, run(t, in), -0.2, 0.2).Best,
		statistics.Conformance(0.03, math.Hypot(0.05, 0.06), -0.2, 0.2), 0.002)

	in.Carry = drift(10, 10, 0, 0, 0.25) // each unit covers 0.5 V
	if got := inside(t, run(t, in), -0.2, 0.2); got.Best != 0 || got.High != 0 {
		t.Errorf("units that cover more than the bound: %v inside; want none", got)
	}
}

// Few units a group scatter the share, but that is not doubt about it: limits are those of many.
func TestFewUnitsAGroup(t *testing.T) {
	in := input(perfect, lot(200, 0, 0.02)...)
	in.Carry = drift(100, 2000, 0, 0.1, 0)
	want := inside(t, run(t, in), -0.2, 0.2)
	in.Carry = drift(5000, 40, 0, 0.1, 0)
	got := inside(t, run(t, in), -0.2, 0.2)
	near(t, "low with 40 units a group", got.Low, want.Low, 0.01)
	if noise := math.Sqrt(want.Best * (1 - want.Best) / 40); want.Low-1.6*noise > got.Low {
		t.Errorf("low with 40 units a group is %v, that of bare counts; want about %v", got.Low, want.Low)
	}
}

// Readings of one unit are one unit; those without a serial are each their own.
func TestUnits(t *testing.T) {
	in := input(perfect, 27.2, 27.4, 27.6, 27.8)
	in.Readings[1].Serial = in.Readings[0].Serial
	r := run(t, in)
	if r.Units != 3 {
		t.Fatalf("%d units; want 3", r.Units)
	}
	near(t, "mean", r.Mean.Best, (27.3+27.6+27.8)/3, 1e-12)
	for i := range in.Readings {
		in.Readings[i].Serial = ""
	}
	if r := run(t, in); r.Units != 4 {
		t.Errorf("%d units of 4 readings without serial; want 4", r.Units)
	}
	in.Target = func(ambient float64) float64 { return 27.3 - 0.048*(ambient-298.15) }
	ambient := *in.Readings[0].Ambient
	ambient.Value = 288.15
	in.Readings[0].Ambient = &ambient
	r = run(t, in)
	near(t, "mean deviation", r.Mean.Best, (27.2-27.78+0.1+0.3+0.5)/4, 1e-12)
	near(t, "lowest ambient", r.Ambient.Low, 288.15, 0)
}

// Two meters that err apart widen the scatter only by what they may have done.
func TestTwoMeters(t *testing.T) {
	in := input(meter(0.1), lot(10, 0, 0.05)...)
	one := run(t, in)
	second := *meter(0.1)
	second.Name = "bench-2"
	for i := 0; i < 10; i += 2 {
		in.Readings[i].Meter = &second
	}
	r := run(t, in)
	if width(r.Mean) >= width(one.Mean) {
		t.Errorf("read with two meters, the mean is %v; want it surer than %v with one", r.Mean, one.Mean)
	}
	// by hand: values ±, weights 0.1 of either meter on every other unit
	mean, sd := r.sample.corrected([]float64{1, -1})
	near(t, "corrected mean", mean, 0, 1e-12)
	values := lot(10, 0, 0.05)
	for i := range values {
		values[i] -= 0.1 * float64(1-2*(i%2)) // the first meter of the sample is that of unit 0
	}
	near(t, "corrected standard deviation", sd, math.Sqrt(covariance(values, values)), 1e-12)
}

func TestSameSeedSameBits(t *testing.T) {
	a, b := run(t, typical()), run(t, typical())
	a.Input.Carry, b.Input.Carry = nil, nil
	if !reflect.DeepEqual(a, b) {
		t.Errorf("two runs differ: %v and %v", a.Mean, b.Mean)
	}
	in := typical()
	in.Seed = 2
	if c := inside(t, run(t, in), -0.2, 0.2); c == inside(t, run(t, typical()), -0.2, 0.2) {
		t.Errorf("another seed gives the same share %v; want one that differs a little", c)
	} else {
		near(t, "low with another seed", c.Low, inside(t, run(t, typical()), -0.2, 0.2).Low, 0.02)
	}
}
