package bench

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

func TestRefuses(t *testing.T) {
	ampere := input(perfect, 1, 2)
	ampere.Readings[1].Value.Dim = quantity.Current
	infinite := input(perfect, 1, math.Inf(1))
	sure := input(perfect, 1, 2)
	sure.Confidence = 1
	all := input(perfect, 1, 2)
	all.Proportion = 1.5
	cold := input(perfect, 1, 2)
	cold.Readings[0].Ambient.Value = -3
	aimless := input(perfect, 1, 2)
	aimless.Target = func(float64) float64 { return math.NaN() }
	uneven := input(perfect, 1, 2)
	uneven.Carry = &Carry{Groups: 2, Low: make([]float64, 3), High: make([]float64, 3)}
	crossed := input(perfect, 1, 2)
	crossed.Carry = &Carry{Groups: 1, Low: []float64{1}, High: []float64{0}}
	negative := input(meter(-1), 1, 2)
	for _, c := range []struct {
		in   Input
		want string
	}{
		{input(perfect), "bench: setpoint.float-error: no readings; want one or more"},
		{ampere, "bench: setpoint.float-error: records/readings.csv:3: a current, beside a voltage in records/readings.csv:2; want readings of one quantity"},
		{infinite, "bench: setpoint.float-error: records/readings.csv:3: reading is +Inf; want a finite number"},
		{sure, "bench: setpoint.float-error: confidence is 1; want more than 0 and less than 1"},
		{all, "bench: setpoint.float-error: proportion is 1.5; want more than 0 and less than 1"},
		{cold, "bench: setpoint.float-error: records/readings.csv:2: ambient is -3 K; want more than 0 K"},
		{aimless, "bench: setpoint.float-error: records/readings.csv:2: the target at 298.15 K is not a number"},
		{uneven, "bench: setpoint.float-error: carry: 3 low and 3 high values in 2 groups; want as many of both, in groups of equal size"},
		{crossed, "bench: setpoint.float-error: carry: unit 1 runs from 1 to 0; want finite numbers, the lower first"},
		{negative, "bench: setpoint.float-error: records/readings.csv:2: meter bench-1: last digit 0 and limit -1; want 0 or more"},
	} {
		if _, err := Run(context.Background(), c.in); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
	r := run(t, input(perfect, 1, 2))
	for _, bound := range [][2]float64{{1, 1}, {2, 1}, {math.NaN(), 1}} {
		if _, err := r.Inside(bound[0], bound[1]); err == nil {
			t.Errorf("Inside(%v): no error", bound)
		}
		if _, err := r.Settle(bound[0], bound[1]); err == nil {
			t.Errorf("Settle(%v): no error", bound)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Run(stopped, input(perfect, 1, 2)); err == nil {
		t.Error("a stopped run gives no error")
	}
}

func TestDoubts(t *testing.T) {
	nameless := input(meter(0.01), 27.3, 27.4, 27.5)
	nameless.Readings[1].Meter = nil
	unrated := input(meter(0.01), 27.3, 27.4, 27.5)
	unrated.Readings[1].Meter, unrated.Readings[1].Unrated = nil, "loop"
	unsized := input(&Meter{Name: "pocket", Accuracy: quantity.Accuracy{Digits: 2}}, 27.3, 27.4)
	indoors := input(meter(0.01), 27.3, 27.4)
	indoors.Readings[0].Ambient, indoors.Readings[1].Ambient = nil, nil
	alike := input(&Meter{Name: "pocket", Digit: 0.01}, 27.3, 27.3)
	slipped := input(meter(0.01), append(lot(11, 27.2, 0.02), 27.9)...)
	twoLots := input(meter(0.01), append(lot(6, 27.2, 0.01), lot(6, 27.6, 0.01)...)...)
	for _, c := range []struct {
		in           Input
		text, remedy string
	}{
		{nameless, "the accuracy of the meter is not known for 1 of 3 readings", "name the meter with meter=…, its accuracy in bench/meters.toml"},
		{unrated, "loop's accuracy for a voltage is not given, and it took 1 of 3 readings: nothing limits", "write accuracy = … for it under [meter.loop] in bench/meters.toml"},
		{unsized, "the accuracy of the meter counts last digits of unknown size for all 2 readings", "digit = …"},
		{indoors, "the ambient was not noted for all 2 readings: 25 °C is assumed", "note it with ambient=…"},
		{alike, "the 2 units differ by less than the readings' own spread and last digit: 0.0029 V is taken as their spread", "one digit more"},
		{input(perfect, 27.3, 27.3), "the 2 units read alike", "digit = …"},
		{twoLots, "the units fall into two groups, 6 about ", "which part, setting or revision differs"},
		{slipped, "the 12 units do not look like one normal lot (Anderson and Darling's test, p = ", "two lots of a part"},
	} {
		c.in.Unit = ""
		r := run(t, c.in)
		if len(r.Warnings) != 1 || !strings.Contains(r.Warnings[0].Text, c.text) || !strings.Contains(r.Warnings[0].Remedy, c.remedy) {
			t.Errorf("warnings are %+v; want %q", r.Warnings, c.text)
		}
	}
	if r := run(t, input(meter(0.01), lot(12, 27.3, 0.05)...)); len(r.Warnings) != 0 {
		t.Errorf("warnings are %+v; want none", r.Warnings)
	}
}

// Without a limit of the meter's error nothing is closed: neither supported nor broken.
func TestUnknownMeterLeavesOpen(t *testing.T) {
	for _, values := range [][]float64{{27.3}, {27.3, 27.4, 27.5}} {
		r := run(t, input(nil, values...))
		for _, i := range []Interval{r.Mean, r.Tolerance} {
			if !i.OpenLow || !i.OpenHigh || i.Low != 0 || i.High != 0 {
				t.Errorf("%d units: %v; want it open on both sides", r.Units, i)
			}
		}
		for _, max := range []float64{20, 30} {
			if got := inside(t, r, 10, max); got.Low != 0 || got.High != 1 {
				t.Errorf("%d units below %v: %v; want 0 to 1", r.Units, max, got)
			}
		}
		near(t, "mean", r.Mean.Best, mean(values), 1e-12)
	}
}

// Units that read alike still differ, by as much as the last digit hides: its rectangular standard deviation.
func TestAlike(t *testing.T) {
	r := run(t, input(&Meter{Name: "pocket", Digit: 0.01}, 27.3, 27.3, 27.3))
	near(t, "half-width of the tolerance interval", width(r.Tolerance)/2, 9.789*0.01/math.Sqrt(12), 1e-5) // k as in TestTolerancePublished
	near(t, "standard deviation found", r.SD, 0, 0)
}

// A meter's limit should keep within a quarter of the tolerance that is tested (common practice, no source).
func TestQuarter(t *testing.T) {
	r := run(t, input(meter(0.16), lot(4, 0, 0.05)...))
	notes := r.Doubts(-0.2, 0.2)
	if len(notes) != 1 || notes[0].Text != "the meter may be off by ±0.16 V, 80 % of the ±0.2 V that is promised" ||
		notes[0].Remedy != "read with a meter within ±0.05 V, a quarter of it" || notes[0].From != "bench/meters.toml:3" {
		t.Errorf("%+v", notes)
	}
	for _, bound := range [][2]float64{{-0.65, 0.65}, {-0.2, math.Inf(1)}, {math.Inf(-1), math.Inf(1)}} {
		if notes := r.Doubts(bound[0], bound[1]); len(notes) != 0 {
			t.Errorf("%v: %+v; want none", bound, notes)
		}
	}
}

func TestSpreadOfAReading(t *testing.T) {
	plain, spread := input(meter(0.01), 27.3), input(meter(0.01), 27.3)
	v, err := quantity.Parse("27.3 V ±0.05 V")
	if err != nil {
		t.Fatal(err)
	}
	spread.Readings[0].Value = v
	near(t, "half-width added", (width(run(t, spread).Mean)-width(run(t, plain).Mean))/2, 1.96*0.05/math.Sqrt(3), 1e-5)

	// three readings of one unit that differ: Student's t of 2 degrees of freedom is 4.303 (any table)
	thrice := input(perfect, 27.2, 27.3, 27.4)
	for i := range thrice.Readings {
		thrice.Readings[i].Serial = "0001"
	}
	near(t, "half-width of three readings", width(run(t, thrice).Mean)/2, 4.303*0.1/math.Sqrt(3), 1e-4)

	// an ambient of ±5 K, at 48 mV/K: 0.24 V either way
	warm := input(perfect, 27.3)
	a, err := quantity.Parse("20 °C ±5 K")
	if err != nil {
		t.Fatal(err)
	}
	warm.Readings[0].Ambient = &a
	warm.Target = func(ambient float64) float64 { return 27.3 - 0.048*(ambient-298.15) }
	near(t, "half-width by the ambient", width(run(t, warm).Mean)/2, 1.96*0.24/math.Sqrt(3), 1e-4)
}
