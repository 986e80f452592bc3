package pair

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

var meter = &bench.Meter{Name: "m", Accuracy: quantity.Accuracy{Relative: 0.005, Digits: 2}, Digit: 0.01}

// turns are spans in turn as simulated (invented): the second is lower by 0.05 V, the value goes with the sun and drifts,
// with a noise of which half follows itself.
func turns(seed uint64, spans int) Input {
	s := numeric.NewStream(seed)
	in := Input{Names: [2]string{"unit 14", "the other"}, Quantity: "battery voltage", Dim: quantity.Voltage, Unit: "V", Meters: [2]*bench.Meter{meter, meter}}
	t, follows := 0.0, 0.0
	for n := range spans {
		span := Span{Who: n % 2}
		for range 60 {
			sun := 700 + 150*math.Sin(t/1500) + 20*s.Norm()
			follows = 0.8*follows + 0.6*0.01*s.Norm()
			span.Time, span.Sun = append(span.Time, t), append(span.Sun, sun)
			span.Value = append(span.Value, 27.2-0.05*float64(span.Who)+4e-4*sun+2e-6*t+follows+0.01*s.Norm())
			t += 10
		}
		in.Spans = append(in.Spans, span)
	}
	return in
}

// TestCoverage: over 300 logs each, the limits at 95 % without the meter hold the difference.
func TestCoverage(t *testing.T) {
	const runs = 300
	for _, spans := range []int{3, 4, 8} {
		held := 0
		for n := range runs {
			r, err := Run(turns(uint64(n+1), spans))
			if err != nil {
				t.Fatal(err)
			}
			if r.WithoutMeter.Holds(-0.05) {
				held++
			}
		}
		share := float64(held) / runs
		t.Logf("%d spans: held in %.1f %%", spans, 100*share)
		if share < 0.95-3*math.Sqrt(0.95*0.05/runs) { // less three standard deviations of the count
			t.Errorf("%d spans: held in %.1f %%", spans, 100*share)
		}
	}
}

// TestMeterCancels: of one meter's ±(0.5 % + 2 digits), 0.16 V here, only the part of the difference and the digits remain; two meters do not cancel.
func TestMeterCancels(t *testing.T) {
	in := turns(1, 4)
	one, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	if !one.Real || !strings.Contains(one.Answer(), "the other was lower than unit 14 in battery voltage by 0.0") || !strings.HasSuffix(one.Answer(), "the difference is real.") {
		t.Error(one.Answer())
	}
	other := *meter
	other.Name = "n"
	in.Meters[1] = &other
	two, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	if two.Real || !strings.Contains(two.Answer(), "cannot be told apart") {
		t.Error(two.Answer())
	}
}

// TestHand: two hand readings; by JCGM 100 the limits are 1.96·√((0.005·0.1)² + 2·(0.005)²)/√3 about 0.1 V.
func TestHand(t *testing.T) {
	q := func(v float64) quantity.Quantity {
		return quantity.Quantity{Value: v, Low: v, High: v, Dim: quantity.Voltage}
	}
	in := Input{Names: [2]string{"a", "b"}, Quantity: "battery voltage", Dim: quantity.Voltage, Unit: "V", Meters: [2]*bench.Meter{meter, meter},
		Hand: &[2]quantity.Quantity{q(27.4), q(27.3)}}
	r, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	half := 1.959963985 * math.Sqrt((0.0005*0.0005+2*0.005*0.005)/3)
	if math.Abs(r.Difference.High-(-0.1+half)) > 1e-9 || !r.Real {
		t.Errorf("%+v, want ±%v", r.Difference, half)
	}
	in.Meters = [2]*bench.Meter{}
	if r, err = Run(in); err != nil || r.Real || !r.Difference.OpenHigh {
		t.Errorf("without a meter: %+v, %v", r, err)
	}
}

// TestSide: side by side, a current that differs by 2 %, with the charge that this makes.
func TestSide(t *testing.T) {
	s := numeric.NewStream(3)
	var a, b Span
	for n := range 360 {
		sun := 500 + 300*math.Sin(float64(n)/60)
		a.Time, a.Sun = append(a.Time, 10*float64(n)), append(a.Sun, sun)
		a.Value = append(a.Value, 0.003*sun+0.005*s.Norm())
		b.Value = append(b.Value, 0.00306*sun+0.005*s.Norm())
	}
	r, err := Run(Input{Names: [2]string{"a", "b"}, Quantity: "charge current", Dim: quantity.Current, Unit: "A", Side: &[2]Span{a, b}})
	if err != nil {
		t.Fatal(err)
	}
	want := 0.00006 * mean(a.Sun)
	if !r.WithoutMeter.Holds(want) || r.Charge == nil || math.Abs(r.Charge.Best-3590*r.Difference.Best) > 1e-9 || !r.SunSlope.Holds(0.00006) {
		t.Errorf("%+v, want %v; slope %+v", r.WithoutMeter, want, r.SunSlope)
	}
}

// TestSteady: a sun that never changes, and values that never do, leave a difference without NaN.
func TestSteady(t *testing.T) {
	in := turns(1, 3)
	for n := range in.Spans {
		for i := range in.Spans[n].Sun {
			in.Spans[n].Sun[i], in.Spans[n].Value[i] = 800, 27.2+float64(in.Spans[n].Who)
		}
	}
	r, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.WithoutMeter.Best-1) > 1e-9 || !(r.Difference.High >= 1 && r.Difference.High < 1.02) || r.SunSlope != nil {
		t.Errorf("%+v", r)
	}
}

// TestLong: of a log of 60,000 rows the same difference comes out as of its first 6,000, with limits less than half as wide.
func TestLong(t *testing.T) {
	log := func(rows int) Input {
		s := numeric.NewStream(9)
		var a, b Span
		for n := range rows {
			a.Time, a.Sun = append(a.Time, float64(n)), append(a.Sun, 700+20*s.Norm())
			a.Value, b.Value = append(a.Value, 27.3+0.004*s.Norm()), append(b.Value, 27.38+0.004*s.Norm())
		}
		return Input{Names: [2]string{"a", "b"}, Quantity: "battery voltage", Dim: quantity.Voltage, Unit: "V", Side: &[2]Span{a, b}}
	}
	short, err := Run(log(6000))
	if err != nil {
		t.Fatal(err)
	}
	long, err := Run(log(60000))
	if err != nil {
		t.Fatal(err)
	}
	width := func(r *Result) float64 { return r.WithoutMeter.High - r.WithoutMeter.Low }
	if math.Abs(long.WithoutMeter.Best-0.08) > 2e-4 || !(width(long) < width(short)/2) || width(long) < width(short)/5 {
		t.Errorf("%+v of the long log, %+v of the short one", long.WithoutMeter, short.WithoutMeter)
	}
}

func TestRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*Input){
		"pair: battery voltage: 0 kinds of comparison; want one: spans in turn, two columns, or two readings":  func(in *Input) { in.Spans = nil },
		"pair: battery voltage: only one controller was connected; want spans of both":                         func(in *Input) { in.Spans = in.Spans[:1] },
		"pair: battery voltage: span 2 begins before the one before has ended; want spans one after the other": func(in *Input) { in.Spans[0], in.Spans[1] = in.Spans[1], in.Spans[0] },
		"pair: battery voltage: span 1, reading 2: want finite numbers":                                        func(in *Input) { in.Spans[0].Value[1] = math.NaN() },
		"pair: battery voltage: span 1, reading 2 is not after the one before; want rising times":              func(in *Input) { in.Spans[0].Time[1] = 0 },
	} {
		in := turns(1, 3)
		spoil(&in)
		if _, err := Run(in); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
