package setpoint

import (
	"context"
	"math"
	"testing"

	"hindwatt/internal/quantity"
)

// Each input alone, by hand: what a limit at its high end does to the float voltage at 45 °C.
func TestEachInputByHand(t *testing.T) {
	const g0, ratio = 13 * 2.5, 120.0 / 130
	for _, c := range []struct {
		name   string
		set    func(*Input)
		high   float64 // V
		within float64 // second order
	}{
		{"top", func(in *Input) { in.Top = q(t, "120 kΩ ±0.1 %") }, 27.3 * 1e-3 * ratio, 1e-6},
		{"bottom", func(in *Input) { in.Bottom = q(t, "10 kΩ ±0.1 %") }, 27.3 * ratio * (1/0.999 - 1), 1e-6},
		{"reference", func(in *Input) { in.Reference = q(t, "2.5 V ±0.1 %") }, 27.3e-3, 1e-6},
		{"top drift", func(in *Input) { in.Top = q(t, "120 kΩ ±50 ppm/K") }, 27.3 * 50e-6 * 20 * ratio, 1e-6},
		{"reference drift", func(in *Input) { in.Reference = q(t, "2.5 V ±50 ppm/K") }, 27.3 * 50e-6 * 20, 1e-6},
		{"reference drift on a warm board", func(in *Input) {
			in.Reference, in.BoardRise = q(t, "2.5 V ±50 ppm/K"), q(t, "10 K")
		}, 27.3 * 50e-6 * 30, 1e-6},
		{"ageing", func(in *Input) { in.Ageing, in.Conditions.Aged = q(t, "±0.2 %"), true }, 27.3 * 2e-3, 1e-6},
		{"leakage", func(in *Input) { in.Leakage = q(t, "±50 nA") }, 50e-9 * 120e3, 1e-9},
		{"offset", func(in *Input) { in.Bits, in.Offset = Count{N: 10}, q(t, "±2 LSB") }, 2.5 * g0 / 1024, 1e-9}, // and half a step
		{"nonlinearity", func(in *Input) { in.Bits, in.Nonlinearity = Count{N: 10}, q(t, "±1 LSB") }, 1.5 * g0 / 1024, 1e-9},
		{"sensor", func(in *Input) { in.Compensation, in.SensorError = q(t, "-48 mV/K"), q(t, "±2 K") }, 0.096, 1e-9},
		{"thermistor", func(in *Input) { in.Compensation = q(t, "-48 mV/K ±5 %") }, 20 * 0.0024, 1e-9},
		{"setting", func(in *Input) { in.Float = q(t, "27.3 V ±0.05 V") }, 0.05, 1e-9},
	} {
		in := exactChain(t)
		in.Conditions.Ambient = q(t, "45 °C")
		c.set(&in)
		if in.Compensation != nil {
			in.Sensor.Text = "battery"
		}
		o := only(t, in, "float-error")
		near(t, c.name, o.Worst.High, c.high, c.within)
		// The samples know it too: one rectangular input has its standard deviation.
		s, err := o.Sampled(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if in.Bits.N == 0 {
			near(t, c.name+", sampled", s.U, c.high/math.Sqrt(3), 0.02*c.high)
		}
	}
}

// A display that cuts off reads low by up to a step, one that rounds is off by half of it; over a range
// of voltages each unit meets all of that, and every place within a converter's step.
func TestDisplay(t *testing.T) {
	in := exactChain(t)
	for _, c := range []struct {
		rounding  string
		bits      int
		low, high float64
	}{{"round", 0, -0.05, 0.05}, {"truncate", 0, -0.1, 0}, {"", 10, -0.05 - 32.5/2048, 0.05 + 32.5/2048}} {
		in.Indicator = &Indicator{Kind: Choice{Text: "digits"}, Step: q(t, "0.1 V"), Range: q(t, "20..30 V"), Rounding: Choice{Text: c.rounding}}
		in.Bits.N = c.bits
		o := only(t, in, "display-error")
		i, err := o.Tolerance(0.95, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.rounding+" low", i.Low, c.low, o.codes.grain)
		near(t, c.rounding+" high", i.High, c.high, o.codes.grain)
		near(t, c.rounding+" worst low", o.Worst.Low, c.low, 1e-9)
		near(t, c.rounding+" worst high", o.Worst.High, c.high, 1e-9)
		s, err := o.Sampled(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		u := math.Hypot(0.1, 32.5/1024*math.Ceil(float64(c.bits)/10)) / math.Sqrt(12)
		near(t, c.rounding+" u at one voltage", s.U, u, 0.02*u)
	}
	// A lamp that is to change at 24 V, with a reference 1 % high, changes at 24.24 V.
	in = exactChain(t)
	in.Reference = q(t, "2.5 V ±1 %")
	in.Indicator = &Indicator{Kind: Choice{Text: "lamps"}, Thresholds: []Value{*q(t, "22 V"), *q(t, "24 V")}}
	o := only(t, in, "display-error")
	near(t, "lamp", o.Worst.High, 0.24, 1e-9)
}

// Everything at once, in use as it is sold: the law of propagation and the samples agree where the
// chain is next to linear, each quantity drawn alone.
func TestEachQuantityAlone(t *testing.T) {
	in := usual(t)
	in.CompensationLimits = nil
	in.Outer, in.Inner = 100, 2000
	for _, way := range []struct{ method, sampled string }{{"pwm", "mean"}, {"pwm", "off"}, {"on-off", ""}} {
		in.Method.Text, in.Sampled.Text = way.method, way.sampled
		for _, name := range Quantities() {
			o := only(t, in, name)
			s, err := o.Sampled(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			near(t, way.method+" "+way.sampled+" "+name, s.U, o.Linear.U, 0.02*o.Linear.U)
		}
	}
}

// A bench whose current is not noted has some other current than use: the drop of both counts.
func TestCarryOtherCurrent(t *testing.T) {
	in := exactChain(t)
	in.Lead, in.CurrentAtFloat = &Lead{Length: q(t, "1 m"), Area: q(t, "1 mm2")}, q(t, "0..1 A")
	c, err := run(t, in).Carry(t.Context(), "float-error", Point{Ambient: at25}, 10, 500)
	if err != nil {
		t.Fatal(err)
	}
	var squares float64
	for _, x := range c.Low {
		squares += x * x / 5000
	}
	lead := 2 * 0.017241 * (1 + 0.00393*5)
	near(t, "scatter", math.Sqrt(squares), lead*math.Sqrt(2.0/12), 0.03*lead)
}

// Few units for each draw of the unknown do not widen the tolerance interval.
func TestFewUnitsDoNotWiden(t *testing.T) {
	accuracy, err := quantity.ParseAccuracy("±0.01 %")
	if err != nil {
		t.Fatal(err)
	}
	in := exactChain(t)
	in.Bits, in.Nonlinearity = Count{N: 10}, q(t, "±2 LSB")
	in.Trim = &Trim{At: []Value{*q(t, "27.3 V")}, Instrument: Instrument{Accuracy: accuracy}}
	widths := map[int]float64{}
	for _, units := range []int{100, 4000} {
		in.Outer, in.Inner = 200, units
		widths[units] = width(t, only(t, in, "float-error"))
	}
	near(t, "width", widths[100]/widths[4000], 1, 0.04)
}

// Units drawn once for several conditions are those that each would draw by itself.
func TestRunAllGivesTheSameDigits(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 40, 500
	narrow, wide := in.Conditions, in.Conditions
	narrow.Ambient = q(t, "20 °C")
	cases := []Case{{wide, []string{"float-error", "absorption-error"}}, {narrow, []string{"float"}}}
	all, err := RunAll(context.Background(), in, cases)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range cases {
		in.Conditions, in.Quantities = c.Conditions, c.Quantities
		one, err := Run(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range one.Outcomes {
			a, errA := all[i].Outcome(o.Quantity).Tolerance(0.95, 0.95)
			b, errB := o.Tolerance(0.95, 0.95)
			if errA != nil || errB != nil || a != b {
				t.Errorf("%s: %v %v together, %v %v alone", o.Quantity, a, errA, b, errB)
			}
		}
	}
}
