package bench

import (
	"context"
	"fmt"
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// volts is a reading of so many volts, by a meter or none, at 25 °C.
func volts(v float64, m *Meter) Reading {
	ambient := quantity.Quantity{Value: 298.15, Dim: quantity.TemperaturePoint, Low: 298.15, High: 298.15}
	return Reading{
		Value: quantity.Quantity{Value: v, Dim: quantity.Voltage, Low: v, High: v, Unit: "V"}, Meter: m, Ambient: &ambient, From: "records/readings.csv:2",
	}
}

// input is one unit a value.
func input(m *Meter, values ...float64) Input {
	in := Input{Quantity: "setpoint.float-error", Unit: "V", Seed: 1}
	for i, v := range values {
		r := volts(v, m)
		r.Serial, r.From = fmt.Sprintf("%04d", i+1), fmt.Sprintf("records/readings.csv:%d", i+2)
		in.Readings = append(in.Readings, r)
	}
	return in
}

// meter has a limit that does not depend on the reading, V.
func meter(limit float64) *Meter {
	return &Meter{Name: "bench-1", From: "bench/meters.toml:3", Accuracy: quantity.Accuracy{Absolute: quantity.Quantity{
		Value: limit, Dim: quantity.Voltage, Low: limit, High: limit, Unit: "V",
	}}}
}

var perfect = meter(0)

// lot is n values with just this mean and standard deviation: n-1 steps of a ramp.
func lot(n int, mean, sd float64) []float64 {
	x, middle := make([]float64, n), float64(n-1)/2
	scale := sd / math.Sqrt(float64(n)*float64(n+1)/12) // of 0..n-1, n-1 in the denominator
	for i := range x {
		x[i] = mean + (float64(i)-middle)*scale
	}
	return x
}

// drift is a carry: groups that lie apart by between (standard deviation), units in them by within, each reaching
// width below and above.
func drift(groups, units int, between, within, width float64) *Carry {
	s := numeric.NewStream(7)
	c := &Carry{Groups: groups}
	for range groups {
		g := between * s.Norm()
		for range units {
			u := g + within*s.Norm()
			c.Low, c.High = append(c.Low, u-width), append(c.High, u+width)
		}
	}
	return c
}

func run(t testing.TB, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func inside(t testing.TB, r *Result, min, max float64) Interval {
	t.Helper()
	i, err := r.Inside(min, max)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

func settle(t testing.TB, r *Result, min, max float64) Settle {
	t.Helper()
	s, err := r.Settle(min, max)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// near reports a value that is not within tolerance of what is wanted.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.6g; want %.6g ± %.2g", what, got, want, tolerance)
	}
}
