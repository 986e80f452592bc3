package setpoint

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"hindwatt/internal/quantity"
)

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// only runs one quantity and returns it.
func only(t *testing.T, in Input, name string) *Outcome {
	t.Helper()
	in.Quantities = []string{name}
	o := run(t, in).Outcome(name)
	if o == nil {
		t.Fatalf("%s was not computed", name)
	}
	return o
}

func width(t *testing.T, o *Outcome) float64 {
	t.Helper()
	i, err := o.Tolerance(0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return i.High - i.Low
}

// With parts that have no tolerance, what is left are the drops, by hand.
func TestExactChain(t *testing.T) {
	lead := 2 * 0.017241e-6 * (1 + 0.00393*5) * 1.5 / 2.5e-6 // Ω at 25 °C
	base := exactChain(t)
	base.Lead = &Lead{Length: q(t, "1.5 m"), Area: q(t, "2.5 mm2"), Contacts: q(t, "4 mΩ")}
	base.CurrentAtFloat, base.OnCurrent, base.BatteryResistance = q(t, "1 A"), q(t, "6 A"), q(t, "20 mΩ")
	base.LoadDisconnect, base.LoadReconnect, base.LoadCurrent = q(t, "22.8 V"), q(t, "25.2 V"), q(t, "3 A")
	lead += 4e-3
	for _, c := range []struct {
		method, sampled, quantity string
		want                      float64
	}{
		{"pwm", "mean", "float-error", -1 * lead},
		{"pwm", "on", "float-error", -6*lead - 5*0.02},
		{"pwm", "off", "float-error", 1 * 0.02},
		{"on-off", "", "float-error", -6 * lead},
		{"pwm", "mean", "load-disconnect-error", 3 * lead},
		{"pwm", "mean", "load-reconnect-error", 0},
		{"pwm", "mean", "load-disconnect", 22.8 + 3*lead},
	} {
		in := base
		in.Method.Text, in.Sampled.Text = c.method, c.sampled
		o := only(t, in, c.quantity)
		i, err := o.Tolerance(0.95, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		what := c.method + " " + c.sampled + " " + c.quantity
		near(t, what, o.Nominal.Best, c.want, 1e-12)
		near(t, what+" low", i.Low, c.want, 1e-12)
		near(t, what+" high", i.High, c.want, 1e-12)
		near(t, what+" worst", o.Worst.High-o.Worst.Low, 0, 1e-12)
		if o.Linear.U != 0 {
			t.Errorf("%s: u %v, want 0", what, o.Linear.U)
		}
	}
}

// A sensor that is off, or sits on a board that warms itself, moves the target by its slope.
func TestCompensation(t *testing.T) {
	base := exactChain(t)
	base.Compensation, base.BoardRise = q(t, "-48 mV/K"), q(t, "10 K")
	base.Conditions.Ambient = q(t, "10 °C")
	for _, c := range []struct {
		sensor string
		change func(*Input)
		want   float64
	}{
		{"battery", func(*Input) {}, 0},
		{"battery", func(in *Input) { in.SensorError = q(t, "2 K") }, -0.096},
		{"board", func(*Input) {}, -0.48},
		{"board", func(in *Input) { in.BatteryRise = q(t, "3 K") }, -0.48 + 3*0.048},
		{"none", func(*Input) {}, -15 * 0.048}, // 27.3 V held where 28.02 V is the target
		{"none", func(in *Input) { in.CompensationLimits = q(t, "20..40 °C") }, -5 * 0.048},
		{"board", func(in *Input) { in.CompensationLimits = q(t, "-20..15 °C") }, -5 * 0.048},
	} {
		in := base
		in.Sensor.Text = c.sensor
		c.change(&in)
		near(t, c.sensor, only(t, in, "float-error").Nominal.Best, c.want, 1e-12)
	}
	for _, c := range []struct{ ambient, want float64 }{{298.15, 27.3}, {273.15, 28.5}, {318.15, 26.34}} {
		v, ok := base.Target("float", c.ambient)
		if !ok {
			t.Fatal("no target")
		}
		near(t, "target", v, c.want, 1e-9)
	}
}

// A trim by an exact instrument takes away whatever acts as a gain, at its own temperature; two
// points take away an offset as well.
func TestTrim(t *testing.T) {
	base := exactChain(t)
	base.Top, base.Bottom, base.Reference = q(t, "120 kΩ ±1 %"), q(t, "10 kΩ ±1 %"), q(t, "2.5 V ±1 %")
	base.LoadDisconnect = q(t, "22.8 V")
	trimmed := func(method string, at ...string) Input {
		in := base
		in.Trim = &Trim{Temperature: q(t, "25 °C"), Step: q(t, "0 V"), Method: Choice{Text: method}}
		for _, v := range at {
			in.Trim.At = append(in.Trim.At, *q(t, v))
		}
		return in
	}
	if w := width(t, only(t, base, "float-error")); w < 0.5 {
		t.Errorf("untrimmed the spread is %.3f V; want more than 0.5", w)
	}
	for _, name := range []string{"float-error", "load-disconnect-error"} {
		near(t, "gain "+name, width(t, only(t, trimmed("gain", "27.3 V"), name)), 0, 1e-9)
	}
	near(t, "offset at its point", width(t, only(t, trimmed("offset", "27.3 V"), "float-error")), 0, 1e-9)
	if w := width(t, only(t, trimmed("offset", "27.3 V"), "load-disconnect-error")); w < 0.05 {
		t.Errorf("a gain error trimmed by an offset leaves %.3f V far from its point; want more", w)
	}
	base.Bits, base.Offset = Count{N: 24}, q(t, "±20000 LSB") // an offset, and steps too fine to matter
	if w := width(t, only(t, trimmed("gain", "27.3 V"), "load-disconnect-error")); w < 0.01 {
		t.Errorf("an offset trimmed by a gain leaves %.4f V; want more", w)
	}
	near(t, "two points", width(t, only(t, trimmed("", "22.8 V", "27.3 V"), "load-disconnect-error")), 0, 1e-5)
	near(t, "two points, between", width(t, only(t, trimmed("", "22 V", "29 V"), "float-error")), 0, 1e-5)
}

// The instrument's error goes whole into what the battery gets, and is the same for all units.
func TestTrimMeter(t *testing.T) {
	in := exactChain(t)
	in.Outer = 200
	accuracy, err := quantity.ParseAccuracy("±0.1 %")
	if err != nil {
		t.Fatal(err)
	}
	in.Top = q(t, "120 kΩ ±1 %")
	in.Trim = &Trim{At: []Value{*q(t, "27.3 V")}, Step: q(t, "0 V"), Instrument: Instrument{Accuracy: accuracy}}
	r := run(t, in)
	o := r.Outcomes[0]
	near(t, "worst", o.Worst.High, 27.3/0.999-27.3, 1e-9)
	near(t, "u", o.Linear.U, 0.0273/math.Sqrt(3), 1e-6)
	p, err := r.At(t.Context(), "float-error", Point{Ambient: at25})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "unit to unit", p.UnitSD, 0, 1e-9)
	near(t, "unknown", p.UnknownSD, 0.0273/math.Sqrt(3), 3e-4)
	p, err = r.At(t.Context(), "float-error", Point{Ambient: at25, ByTrimMeter: true})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "as the same meter shows it", p.UnknownSD, 0, 1e-5) // 0 to first order
	// Half of the bound: the meter is inside it in half of all worlds, and then so are all units.
	inside, err := o.Inside(-0.01365, 0.01365, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "best", inside.Best, 0.5, 0.01)
	near(t, "low", inside.Low, 0, 1e-9)
	near(t, "high", inside.High, 1, 1e-9)
}

// More tolerance, more spread; less inside.
func TestMonotony(t *testing.T) {
	vary := func(in *Input, list []string, set func(*Input, *Value)) {
		last, lastInside := -1.0, 2.0
		for _, text := range list {
			set(in, q(t, text))
			o := only(t, *in, "float-error")
			inside, err := o.Inside(-0.2, 0.2, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			if w := width(t, o); !(w > last) || !(inside.Best <= lastInside) {
				t.Errorf("%s: spread %.4f after %.4f, inside %.4f after %.4f", text, w, last, inside.Best, lastInside)
			} else {
				last, lastInside = w, inside.Best
			}
		}
	}
	in := usual(t)
	in.Outer, in.Inner = 50, 1000
	in.Trim = nil
	vary(&in, []string{"120 kΩ", "120 kΩ ±0.1 %", "120 kΩ ±1 %", "120 kΩ ±5 %"}, func(in *Input, v *Value) { in.Top = v })
	in.Top = q(t, "120 kΩ ±1 %")
	vary(&in, []string{"2.5 V ±0.1 %", "2.5 V ±0.1 % ±100 ppm/K", "2.5 V ±1 % ±100 ppm/K"}, func(in *Input, v *Value) { in.Reference = v })
	vary(&in, []string{"20 °C", "10..30 °C", "-10..45 °C", "-25..60 °C"}, func(in *Input, v *Value) { in.Conditions.Ambient = v })
}

// Limits that are even leave a deviation that is even, to first order.
func TestSymmetry(t *testing.T) {
	in := exactChain(t)
	in.Top, in.Bottom = q(t, "120 kΩ ±0.1 %"), q(t, "10 kΩ ±0.1 %")
	in.Outer, in.Inner = 250, 4000
	o := only(t, in, "float-error")
	i, err := o.Tolerance(0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low and high", i.Low+i.High, 0, 3e-4)
	near(t, "mean", i.Best, 0, 1e-4)
}

// A chain of twice the voltage, with twice every voltage in it, errs by twice as much.
func TestTwiceTheVoltage(t *testing.T) {
	double := func(v *Value) *Value {
		w := *v
		for _, x := range []*float64{&w.Quantity.Value, &w.Quantity.Low, &w.Quantity.High, &w.Quantity.SD} {
			*x *= 2
		}
		return &w
	}
	one := usual(t)
	one.Trim, one.Leakage, one.Indicator = nil, nil, nil
	two := one
	for _, p := range []**Value{&two.Absorption, &two.Float, &two.LoadDisconnect, &two.LoadReconnect, &two.Compensation, &two.Reference,
		&two.Lead.Contacts, &two.CurrentAtAbsorption, &two.CurrentAtFloat, &two.OnCurrent, &two.LoadCurrent} {
		if p == &two.Lead.Contacts {
			continue
		}
		*p = double(*p)
	}
	for _, o := range run(t, one).Outcomes {
		other := only(t, two, o.Quantity)
		near(t, o.Quantity+" u", other.Linear.U, 2*o.Linear.U, 1e-9)
		near(t, o.Quantity+" worst", other.Worst.Low, 2*o.Worst.Low, 1e-9)
		near(t, o.Quantity+" spread", width(t, other), 2*width(t, o), 1e-4)
	}
}

// No sample goes beyond the arithmetic worst case, and none of the corners is far from it.
func TestWorstCaseEncloses(t *testing.T) {
	for _, o := range run(t, usual(t)).Outcomes {
		low, high := o.codes.value(float64(slices.Min(o.codes.lows))), o.codes.value(float64(slices.Max(o.codes.highs)))
		if low < o.Worst.Low || high > o.Worst.High {
			t.Errorf("%s: samples from %.4f to %.4f; worst case %.4f to %.4f", o.Quantity, low, high, o.Worst.Low, o.Worst.High)
		}
		if slices.Min(o.codes.lows) == 0 || slices.Max(o.codes.highs) == lastCode {
			t.Errorf("%s: a sample stands at the end of the codes", o.Quantity)
		}
	}
	in := usual(t)
	in.Quantities = []string{"float-error"}
	in.Reference = q(t, "2.5 V sd 0.005 V")
	o := run(t, in).Outcomes[0]
	if slices.Min(o.codes.lows) == 0 || slices.Max(o.codes.highs) == lastCode {
		t.Error("with a normal input a sample stands at the end of the codes")
	}
}

// Where the chain is next to linear, JCGM 100 and JCGM 101 agree (JCGM 101 clause 8: within half a
// unit of the second digit of u).
func TestLinearAgreesWithSampled(t *testing.T) {
	in := usual(t)
	in.Top, in.Bottom, in.Reference = q(t, "120 kΩ sd 0.1 kΩ"), q(t, "10 kΩ sd 0.01 kΩ"), q(t, "2.5 V sd 0.004 V")
	in.Trim, in.Compensation, in.CurrentAtAbsorption = nil, nil, q(t, "2 A sd 0.3 A")
	in.Indicator = nil
	for _, o := range run(t, in).Outcomes {
		s, err := o.Sampled(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		near(t, o.Quantity+" mean", s.Mean, o.Linear.Value, 0.005*o.Linear.U*10)
		near(t, o.Quantity+" u", s.U, o.Linear.U, 0.005*o.Linear.U)
		near(t, o.Quantity+" low", s.Low, o.Linear.Low, 0.05*o.Linear.U)
		near(t, o.Quantity+" high", s.High, o.Linear.High, 0.05*o.Linear.U)
		total := 0.0
		for _, l := range o.Linear.Lines {
			total += l.Share
		}
		near(t, o.Quantity+" shares", total, 1, 1e-9)
	}
}

// The few temperatures at which a unit is looked at miss next to nothing of its extremes over a
// close grid.
func TestAmbientsSuffice(t *testing.T) {
	in := usual(t)
	for _, sensor := range []string{"battery", "board"} {
		in.Sensor.Text = sensor
		r := run(t, func() Input { in := in; in.Outer, in.Inner = 4, 500; return in }())
		a, _ := findAim("absorption-error")
		extremes := func(places []place) floats {
			keep := newFloats(2000)
			if err := r.chain.sample(t.Context(), 9, 4, 500, newGather(r.chain, a, places, 4, 500, keep)); err != nil {
				t.Fatal(err)
			}
			return keep
		}
		var grid []place
		for k := 0.0; k <= 55; k += 0.25 {
			grid = append(grid, place{air: air{ambient: 263.15 + k}})
		}
		few, all := extremes(r.chain.places(&in, a)), extremes(grid)
		for i := range few.lows {
			if few.lows[i]-all.lows[i] > 2e-3 || all.highs[i]-few.highs[i] > 2e-3 {
				t.Fatalf("sensor on %s, unit %d: %.4f..%.4f, on a close grid %.4f..%.4f", sensor, i, few.lows[i], few.highs[i], all.lows[i], all.highs[i])
			}
		}
	}
}

// Same seed, same bits, on one core or two.
func TestSameOnAnyCores(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 20, 1100
	all := func(cores int) (x []float64) {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		r := run(t, in)
		for _, o := range r.Outcomes {
			inside, _ := o.Inside(-0.15, 0.2, 0.95)
			tolerance, _ := o.Tolerance(0.95, 0.95)
			mean, _ := o.MeanOver(0.95)
			s, _ := o.Sampled(t.Context())
			x = append(x, inside.Best, inside.Low, inside.High, tolerance.Best, tolerance.Low, tolerance.High, mean.Best, mean.Low,
				mean.High, s.Mean, s.U, s.Low, s.High, s.ShortLow, s.ShortHigh, o.Worst.Low, o.Worst.High, o.Linear.U)
		}
		c, err := r.Carry(t.Context(), "float-error", Point{Ambient: 295}, 10, 30)
		if err != nil {
			t.Fatal(err)
		}
		return append(append(x, c.Low...), c.High...)
	}
	one, two := all(1), all(2)
	if !slices.Equal(one, two) {
		t.Error("one core and two give different digits")
	}
	in.Seed++
	if slices.Equal(one, all(2)) {
		t.Error("another seed gives the same digits")
	}
}

// Carrying a reading to its own conditions changes nothing; to a range it only widens.
func TestCarry(t *testing.T) {
	in := usual(t)
	charge := 0.5
	in.Conditions.Ambient, in.Conditions.ChargeCurrent = q(t, "22 °C"), q(t, "0.5 A")
	in.Quantities = []string{"float-error"}
	c, err := run(t, in).Carry(t.Context(), "float-error", Point{Ambient: 295.15, Charge: &charge}, 10, 100)
	if err != nil {
		t.Fatal(err)
	}
	if slices.Min(c.Low) != 0 || slices.Max(c.High) != 0 {
		t.Errorf("to its own conditions: %v..%v, want 0", slices.Min(c.Low), slices.Max(c.High))
	}
	in.Conditions.Ambient = q(t, "-10..45 °C")
	c, err = run(t, in).Carry(t.Context(), "float-error", Point{Ambient: 295.15, Charge: &charge}, 10, 100)
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.Low {
		if !(c.Low[i] < 0.005 && c.High[i] > -0.005 && c.Low[i] < c.High[i]) {
			t.Fatalf("unit %d: %v..%v, want an interval about 0", i, c.Low[i], c.High[i])
		}
	}
}

// What is listed as unknown no longer varies from unit to unit: the spread is the same, the
// proportion is not known any more.
func TestUnknown(t *testing.T) {
	in := exactChain(t)
	in.Outer, in.Inner = 250, 400
	in.Reference = q(t, "2.5 V ±1 %")
	varying := only(t, in, "float-error")
	for _, name := range []string{"reference", "sense.reference"} {
		in.Unknown.Names = []string{name}
		o := only(t, in, "float-error")
		near(t, "u", o.Linear.U, varying.Linear.U, 1e-12)
		a, err1 := varying.Inside(-0.1365, 0.1365, 0.95)
		b, err2 := o.Inside(-0.1365, 0.1365, 0.95)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		near(t, "varying", a.Best, 0.5, 0.01)
		near(t, "varying low", a.Low, 0.5, 0.015)
		near(t, "unknown", b.Best, 0.5, 0.01)
		near(t, "unknown low", b.Low, 0, 1e-9)
		near(t, "unknown high", b.High, 1, 1e-9)
	}
}

// Kept as 16-bit codes, samples give the same shares and quantiles as in full.
func TestCodes(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner, in.Quantities = 20, 5000, []string{"float-error"}
	r := run(t, in)
	o, a := r.Outcomes[0], r.Outcomes[0].aim
	full := newFloats(100000)
	if err := r.chain.sample(t.Context(), in.Seed, 20, 5000, newGather(r.chain, a, o.samples.places, 20, 5000, full)); err != nil {
		t.Fatal(err)
	}
	for _, bound := range []float64{0.05, 0.1, 0.2, 0.3} {
		share := 0.0
		for i, low := range full.lows {
			if low >= -bound && full.highs[i] <= bound {
				share += 1e-5
			}
		}
		inside, err := o.Inside(-bound, bound, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "share", inside.Best, share, 2e-4)
	}
	slices.Sort(full.lows)
	for _, p := range []float64{0.001, 0.025, 0.5, 0.9, 0.999} {
		k, got := int(p*100000), o.codes.quantiles(o.codes.lows, p)[0]
		if got < full.lows[k-1]-o.codes.grain || got > full.lows[k]+o.codes.grain {
			t.Errorf("quantile %v: %.6f, want it from %.6f to %.6f", p, got, full.lows[k-1], full.lows[k])
		}
	}
	near(t, "grain", o.codes.grain, 17e-6, 10e-6)
}

// A bound that no unit can miss holds all of them, an open side never leaves one out.
func TestInsideExtremes(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner, in.Quantities = 10, 500, []string{"float-error"}
	o := run(t, in).Outcomes[0]
	for _, c := range []struct{ min, max, want float64 }{
		{-10, 10, 1}, {math.Inf(-1), math.Inf(1), 1}, {o.Worst.Low, o.Worst.High, 1}, {5, 6, 0}, {math.Inf(-1), -5, 0}, {5, math.Inf(1), 0},
	} {
		i, err := o.Inside(c.min, c.max, 0.95)
		if err != nil || i != (Interval{c.want, c.want, c.want}) {
			t.Errorf("%v..%v: %v, %v; want %v", c.min, c.max, i, err, c.want)
		}
	}
	for _, c := range [][2]float64{{1, 1}, {2, 1}, {math.NaN(), 1}} {
		if _, err := o.Inside(c[0], c[1], 0.95); err == nil {
			t.Errorf("the bound %v was accepted", c)
		}
	}
	if _, err := o.Tolerance(1, 0.95); err == nil {
		t.Error("a proportion of 1 was accepted")
	}
}
