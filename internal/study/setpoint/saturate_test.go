package setpoint

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A unit is trimmed new and ages afterwards: a trim does not take ageing away, and ageing counts only
// where the conditions speak of an age. By hand: 10 % of 27.3 V.
func TestAgeingAfterTrim(t *testing.T) {
	in := exactChain(t)
	in.Ageing = q(t, "±10 %")
	in.Trim = &Trim{At: []Value{*q(t, "27.3 V")}, Temperature: q(t, "25 °C"), Step: q(t, "0 V")}
	unaged := run(t, in)
	near(t, "new", width(t, unaged.Outcomes[0]), 0, 1e-9)
	if len(unaged.Outcomes[0].Linear.Lines) > 0 {
		t.Errorf("a promise that speaks of no age has a budget of %v", unaged.Outcomes[0].Linear.Lines)
	}
	in.Conditions.Aged = true
	aged := run(t, in)
	near(t, "aged low", aged.Outcomes[0].Worst.Low, -2.73, 1e-9)
	near(t, "aged high", aged.Outcomes[0].Worst.High, 2.73, 1e-9)
	near(t, "aged, 95 % of units", width(t, aged.Outcomes[0]), 0.95*2*2.73, 0.02)
	for _, c := range []struct {
		r    *Result
		want bool
	}{{unaged, false}, {aged, true}} {
		if got := slices.ContainsFunc(c.r.inputs(), func(i page.Input) bool { return i.Name == "sense.ageing" }); got != c.want {
			t.Errorf("ageing among the inputs: %v; want %v", got, c.want)
		}
	}
	// A reading is that of a new unit: carried to the age, it spreads by all of the ageing.
	carry, err := aged.Carry(t.Context(), "float-error", Point{Ambient: at25}, 10, 1000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carried", slices.Max(carry.High), 2.73, 0.01)
	carry, err = aged.Carry(t.Context(), "float-error", Point{Ambient: at25, Aged: true}, 10, 1000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carried from an aged one", slices.Max(carry.High), 0, 1e-9)
	p, err := aged.At(t.Context(), "float-error", Point{Ambient: at25})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at the bench", p.UnitSD, 0, 1e-9)
}

// narrow is a chain that reads up to 11 · 2.5 V · 1023/1024 = 27.473 V.
func narrow(t *testing.T) Input {
	in := usual(t)
	in.Top, in.Trim, in.BatteryRise = q(t, "100 kΩ ±1 %"), nil, nil
	in.Conditions.Ambient = nil
	in.Outer, in.Inner = 20, 500
	in.Quantities = nil
	return in
}

// A converter that is full below a level never lets the controller believe itself there.
func TestNeverReached(t *testing.T) {
	in := narrow(t)
	in.LoadDisconnect, in.LoadReconnect = q(t, "27.6 V"), q(t, "28 V")
	r := run(t, in)
	for name, want := range map[string]string{
		"absorption-error":      "the converter reads no more than 27.5 V: the controller never believes 28.8 V, its target at 25 °C, and goes on charging",
		"load-disconnect-error": "the converter reads no more than 27.47 V: the controller always believes less than 27.60 V, takes the battery for empty for ever and keeps the load off",
		"load-reconnect-error":  "the converter reads no more than 27.47 V: the controller never believes 28.00 V and never lets the load on again",
		"float-error":           "", "display-error": "",
	} {
		o := r.Outcome(name)
		if o.Never != want {
			t.Errorf("%s: %q; want %q", name, o.Never, want)
		}
		inside, err := o.Inside(math.Inf(-1), math.Inf(1), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if want == "" {
			near(t, name, inside.Best, 1, 0)
			continue
		}
		if inside != (Interval{}) {
			t.Errorf("%s: %v of units inside; want none", name, inside)
		}
		_, tolerance := o.Tolerance(0.95, 0.95)
		_, mean := o.MeanOver(0.95)
		_, sampled := o.Sampled(t.Context())
		_, carry := r.Carry(t.Context(), name, Point{Ambient: at25}, 2, 10)
		_, point := r.At(t.Context(), name, Point{Ambient: at25})
		for _, err := range []error{tolerance, mean, sampled, carry, point} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: error %v; want one that says never", name, err)
			}
		}
	}
	low, high := -0.2, 0.2
	p, err := r.Page(t.Context(), Bound{"absorption-error", &low, &high, "full"})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(p.Answer[0], "Absorption is never reached at 25 °C. The converter reads no more than") ||
		!strings.Contains(p.Answer[0], "No unit stays within -0.2 V to 0.2 V.") {
		t.Errorf("the answer begins with %q", p.Answer[0])
	}
	if !strings.HasPrefix(p.Cautions[0].Text, "Absorption is never reached. The converter ") || len(p.Figures) != 0 {
		t.Errorf("first caution %q, %d figures", p.Cautions[0].Text, len(p.Figures))
	}
	if row := p.Tables[0].Rows[0]; row[0] != "absorption-error" || row[1] != "28.8" || row[3] != "never" {
		t.Errorf("row %v", row)
	}
	// Beside other conditions it says so too, once.
	cautions := len(p.Cautions)
	if err := r.Beside(t.Context(), &p, Bound{"absorption-error", &low, &high, "full"}); err != nil {
		t.Fatal(err)
	}
	if len(p.Cautions) != cautions || len(p.Figures) != 0 {
		t.Errorf("beside: %d cautions instead of %d, %d figures", len(p.Cautions), cautions, len(p.Figures))
	}
	text := shown(t, p)
	for _, bad := range []string{"NaN", "Inf", "%!"} {
		if strings.Contains(text, bad) {
			t.Errorf("the page has %q", bad)
		}
	}
}

// Compensation raises the target in the cold: 27.3 V + 0.048 V/K · 30 K is beyond 27.473 V, 27.3 V is not;
// a comparator has no end.
func TestNeverReachedInTheCold(t *testing.T) {
	in := narrow(t)
	in.Conditions.Ambient = q(t, "-5..25 °C")
	in.Quantities = []string{"float-error"}
	if got := run(t, in).Outcomes[0].Never; !strings.Contains(got, "never believes 28.74 V, its target at -5 °C, and goes on charging") {
		t.Errorf("%q", got)
	}
	in.Sensor.Text = "none" // what it believes does not follow the temperature
	if got := run(t, in).Outcomes[0].Never; got != "" {
		t.Errorf("without a sensor: %q", got)
	}
	in.Sensor.Text = "battery"
	in.Bits, in.Offset, in.Nonlinearity = Count{}, nil, nil
	if got := run(t, in).Outcomes[0].Never; got != "" {
		t.Errorf("a comparator: %q", got)
	}
}

// A full converter shows no more: 11 · 2.5 V · 1023/1024 at 30 V is 2.527 V too little, whatever else.
func TestDisplaySaturates(t *testing.T) {
	in := narrow(t)
	in.Quantities = []string{"display-error"}
	in.Top = q(t, "100 kΩ")
	in.Indicator = &Indicator{Kind: Choice{Text: "digits"}, Step: q(t, "0 V"), Range: q(t, "30 V")}
	r := run(t, in)
	o := r.Outcomes[0]
	near(t, "shown", o.Worst.High, 27.5*1023/1024-30, 1e-9)
	near(t, "shown", o.Worst.Low, 27.5*1023/1024-30, 1e-9)
	p, err := r.Page(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if want := "The converter reads no more than 27.47 V: the product never shows 30 V."; p.Cautions[0].Text != want {
		t.Errorf("first caution %q; want %q", p.Cautions[0].Text, want)
	}
}

// A trim by a gain c takes a unit's end to c · 27.473 V. Its reference, ±1 %, is all that the trim takes away
// but for the meter; a level 0.5 % below the nominal end is out of reach where c < 0.995: for
// the quarter of units whose reference lies more than 0.5 % low, by hand.
func TestSomeUnitsStick(t *testing.T) {
	full := 27.5 * 1023 / 1024
	in := exactChain(t)
	in.Top, in.Bits, in.Reference = q(t, "100 kΩ"), Count{N: 10}, q(t, "2.5 V ±1 %")
	in.Float = exact(0.995*full, quantity.Voltage)
	in.Trim = &Trim{At: []Value{*q(t, "20 V")}, Temperature: q(t, "25 °C"), Step: q(t, "0 V")}
	in.Outer, in.Inner = 50, 2000
	r := run(t, in)
	o := r.Outcomes[0]
	if o.Never != "" {
		t.Fatal(o.Never)
	}
	near(t, "stuck", o.Stuck(), 0.25, 0.01) // 10^5 units: 0.0014
	inside, err := o.Inside(-5, math.Inf(1), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "inside an open bound", inside.Best, 1-o.Stuck(), 1e-12)
	span, err := o.Tolerance(0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if !(span.High > o.Worst.High) || span.High > 10 || span.Low < o.Worst.Low-1e-3 {
		t.Errorf("95 of 100 units %v; want a finite end beyond the worst case, %v", span, o.Worst)
	}
	mean, err := o.MeanOver(0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", mean.Best, 0, 1e-3)
	p, err := r.Page(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Cautions[0].Text; !strings.Contains(got, "% of units never believe themselves at float: their converter is full before, at 27.47 V in a nominal unit.") {
		t.Errorf("first caution %q", got)
	}
	// Without a trim every unit's belief ends where the nominal one's does.
	in.Trim = nil
	near(t, "untrimmed", run(t, in).Outcomes[0].Stuck(), 0, 0)
}

// Lamps may be written in any order; one above what the converter reads never changes.
func TestLampOrder(t *testing.T) {
	in := narrow(t)
	in.Quantities = []string{"display-error"}
	lampsAt := func(volts ...string) *Outcome {
		in.Indicator = &Indicator{Kind: Choice{Text: "lamps"}}
		for _, v := range volts {
			in.Indicator.Thresholds = append(in.Indicator.Thresholds, *q(t, v))
		}
		return run(t, in).Outcomes[0]
	}
	up, down := lampsAt("22 V", "24 V", "26 V"), lampsAt("26 V", "22 V", "24 V")
	a, err := up.Tolerance(0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	b, err := down.Tolerance(0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if a != b || up.Worst.Low != down.Worst.Low || up.Worst.High != down.Worst.High {
		t.Errorf("rising %v, in another order %v", a, b)
	}
	if in.Indicator.Thresholds[0].Quantity.Value != 26 {
		t.Error("the input's thresholds were sorted in place")
	}
	if o := lampsAt("22 V", "29 V"); o.Never != "the converter reads no more than 27.5 V: the lamp of 29.0 V never changes" {
		t.Errorf("%q", o.Never)
	}
}

func TestTrimPoints(t *testing.T) {
	in := narrow(t)
	in.Trim = &Trim{At: []Value{{Quantity: q(t, "28.8 V").Quantity, From: "product.toml:60"}}}
	want := "setpoint: product.toml:60: sense.trimmed.at: 28.8 V lies above what the converter can read; want 27.47 V or less"
	if _, err := Run(t.Context(), in); err == nil || err.Error() != want {
		t.Errorf("got %v; want %s", err, want)
	}
	in.Trim.At = []Value{*q(t, "20 V"), *q(t, "27.3 V")}
	in.Trim.Method.Text = "offset"
	has := func(r *Result) bool {
		return slices.ContainsFunc(r.Cautions, func(n page.Note) bool { return strings.Contains(n.Text, "the method that is given is not used") })
	}
	if !has(run(t, in)) {
		t.Error("nothing says that the method of a trim at two points is not used")
	}
	in.Trim.At = in.Trim.At[:1]
	if has(run(t, in)) {
		t.Error("the method of a trim at one point is said not to be used")
	}
	// What a trim would leave is not tried where the converter does not read.
	trims, err := run(t, in).Trims(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, how := range trims {
		if strings.Contains(how.How, "28.8 V") {
			t.Errorf("%q is tried", how.How)
		}
	}
}

// A trim's meter that counts digits and does not say what one is has one of 10 mV, and that is said.
func TestLastDigitIsAssumed(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 20, 100
	in.Trim = &Trim{At: []Value{*q(t, "27.3 V")}, Instrument: Instrument{Accuracy: quantity.Accuracy{Relative: 0.005, Digits: 2}}}
	assumed := run(t, in)
	if !slices.ContainsFunc(assumed.Cautions, func(n page.Note) bool { return strings.Contains(n.Text, "10 mV") }) {
		t.Errorf("not said: %v", assumed.Cautions)
	}
	in.Trim.Instrument.Digit = q(t, "10 mV")
	written := run(t, in)
	if a, b := assumed.Outcome("float-error").Linear.U, written.Outcome("float-error").Linear.U; a != b {
		t.Errorf("u = %v assumed, %v written", a, b)
	}
	if slices.ContainsFunc(written.Cautions, func(n page.Note) bool { return strings.Contains(n.Text, "10 mV") }) {
		t.Error("said where it is given")
	}
}

// Other conditions on the same page have figures with titles of their own.
func TestBesideTitles(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 20, 100
	low, high := -0.2, 0.2
	bound := Bound{"float-error", &low, &high, "float"}
	p, err := run(t, in).Page(t.Context(), bound)
	if err != nil {
		t.Fatal(err)
	}
	in.Conditions = Conditions{Ambient: q(t, "25 °C")}
	if err := run(t, in).Beside(t.Context(), &p, bound); err != nil {
		t.Fatal(err)
	}
	in.Conditions.Aged = true
	if err := run(t, in).Beside(t.Context(), &p, bound); err != nil {
		t.Fatal(err)
	}
	text := shown(t, p)
	for _, want := range []string{"How float spreads over units, at 25 degC\n", "How float spreads over units, at 25 degC, aged\n", "How float spreads over units\n"} {
		if n := strings.Count(text, want); n != 1 {
			t.Errorf("%d figures are titled %q; want one", n, want)
		}
	}
}
