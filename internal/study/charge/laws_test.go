package charge

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/physics/battery"
	"hindwatt/internal/quantity"
)

func of(v float64) *Value {
	return &Value{Quantity: quantity.Quantity{Value: v, Low: v, High: v}, From: "test.toml:1"}
}

// small is a panel of 20 W straight on a vented 12 V battery of 45 Ah in a mild summer climate; the panel is that of common labels.
func small() Input {
	in := Input{
		Installation: "test", Latitude: of(0.8), Longitude: of(0.1), Years: 2,
		Panel:      Panel{Part: "p", ShortCircuit: of(1.28), OpenCircuit: of(21.6), PeakCurrent: of(1.16), PeakVoltage: of(17.3), Cells: 36, Tilt: of(0.6), Azimuth: of(math.Pi)},
		Battery:    Battery{Part: "b", Chemistry: "flooded", Capacity: of(45 * ah)},
		Regulation: Regulation{Method: "none"},
	}
	for m := range 12 {
		c := -math.Cos(2 * math.Pi * (float64(m) + 0.5) / 12)
		in.Sun = append(in.Sun, *of(3.6e6 * (3 + 2.2*c)))
		in.Air = append(in.Air, *of(zero + 10 + 9*c))
	}
	return in
}

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil || r.model == nil {
		t.Fatal(err)
	}
	return r
}

// TestBare: a panel of 20 W straight on a healthy vented battery of 45 Ah takes it past 16 V and dries it in months (common practice, no
// source). It cannot pass the voltage at which all of the panel's current gasses in the coldest battery of the year: Schiffer et al.
// 2007 eq. 6, solved by hand, with the least of the gassing currents that are drawn (half of 20 mA for 100 Ah).
func TestBare(t *testing.T) {
	r := run(t, small())
	for _, y := range r.Years {
		top := 6 * (2.23 + math.Log(1.15*1.28/(0.010*0.45*0.95))/11 - 0.06/11*(y.Coldest-298))
		if y.Highest < 16 || y.Highest > top {
			t.Errorf("it reaches %.2f V, want 16 V to %.2f V", y.Highest, top)
		}
	}
	if grams := 6000 * r.Outcome("water").Next(0.95).Best; grams < 600 || grams > 4200 {
		t.Errorf("six cells lose %.0f g in a year", grams)
	}
	if months := r.Outcome("topping-up").Next(0.95).Best / aMonth; months > 8 {
		t.Errorf("topped up after %.1f months", months)
	}
}

// TestSummer: through a summer a small panel straight on a healthy vented battery takes the acid above its plates in weeks, and with a
// controller between it does not (common practice, no source: "weeks" is taken as ten at most, "does not" as a tenth of it in the whole
// summer). It cannot be faster than Faraday's law lets all of the panel's current be: 1.28 A through the sun of the longest days, 5.3 h.
func TestSummer(t *testing.T) {
	bare, with := small(), held()
	lost := func(in *Input) (weeks, all float64) {
		y, err := modelOf(t, in).run(context.Background(), []task{{unit: in.nominal(), keep: true}})
		if err != nil {
			t.Fatal(err)
		}
		for d, day := range y[0].Days[151:243] { // June to August
			if all += 1000 * battery.Water(day.Totals.Gas, 1, 0); weeks == 0 && all >= 1000*freeWater*45 {
				weeks = float64(d+1) / 7
			}
		}
		return weeks, all
	}
	weeks, all := lost(&bare)
	if fastest := 1000 * freeWater * 45 / (0.3361 * 1.28 * 5.3) / 7; weeks < fastest || weeks > 10 {
		t.Errorf("its acid above the plates is gone after %.1f weeks, want %.1f to 10; %.0f g in the summer", weeks, fastest, all)
	}
	if weeks, all := lost(&with); weeks > 0 || all > 0.1*1000*freeWater*45 {
		t.Errorf("with a controller each cell loses %.1f g in the summer, and is low after %.1f weeks", all, weeks)
	}
}

// TestBalance: charge and energy of every year close to 1e-9 of what passed, without a controller and with loads.
func TestBalance(t *testing.T) {
	in := small()
	in.Loads = []Load{{Name: "lamp", Power: of(6), From: 18 * 3600, Until: 6 * 3600}}
	for i, y := range run(t, in).Years {
		if d := y.Charged - y.Stored - y.Gas - y.Load - y.Standby - y.Leak; math.Abs(d) > 1e-9*y.Charged {
			t.Errorf("year %d: %g C of %g are missing", i, d, y.Charged)
		}
		if d := y.ChargedEnergy - y.StoredEnergy - y.GasEnergy - y.LoadEnergy - y.StandbyEnergy - y.LeakEnergy; math.Abs(d) > 1e-9*y.ChargedEnergy {
			t.Errorf("year %d: %g J of %g are missing", i, d, y.ChargedEnergy)
		}
		if want := 6.0 * 0.5 * 365 * 86400; y.Unmet == 0 && math.Abs(y.LoadEnergy/want-1) > 1e-3 { // a power is what it says, whatever the voltage
			t.Errorf("year %d: the lamp got %.0f J, want %.0f", i, y.LoadEnergy, want)
		}
		if math.Abs(y.Time-365*86400) > 1e-3 {
			t.Errorf("year %d has %g s", i, y.Time)
		}
	}
}

// TestWinter: a small panel at a high latitude does not carry a load through the winter that it carries in summer (common practice, no source).
func TestWinter(t *testing.T) {
	in := small()
	in.Latitude = of(1.1)
	for i, h := range []float64{0.2, 0.8, 2, 3.6, 4.8, 5.3, 4.8, 3.5, 2.1, 0.9, 0.25, 0.08} {
		in.Sun[i] = *of(3.6e6 * h)
	}
	in.Loads = []Load{{Name: "logger", Power: of(1.5)}}
	r := run(t, in)
	if low := r.Outcome("minimum-charge").Next(0.95).Best; low > 0.5 {
		t.Errorf("in winter it still holds %.0f %%", 100*low)
	}
	if unmet := r.Outcome("unmet").Next(0.95).Best; unmet <= 0 || unmet > 0.5 {
		t.Errorf("unmet is %.3f", unmet)
	}
}

// TestSeed: the same seed gives the same bits, another one other years; with the mean year the sun of all years is alike.
func TestSeed(t *testing.T) {
	a, b := run(t, small()), run(t, small())
	in := small()
	in.Seed = 7
	c := run(t, in)
	for i := range a.Years {
		if a.Years[i].Totals != b.Years[i].Totals {
			t.Error("the same seed gives another year")
		}
		if a.Years[i].Gas == c.Years[i].Gas {
			t.Error("another seed gives the same year")
		}
	}
	in.MeanYear = true
	if m := run(t, in); math.Abs(m.Years[0].Sun/m.Years[1].Sun-1) > 0.02 || math.Abs(a.Years[0].Sun/a.Years[1].Sun-1) < 1e-6 {
		t.Errorf("mean years of %g and %g J/m²", m.Years[0].Sun, m.Years[1].Sun)
	}
}

// TestNext holds the limits to order statistics: of 39 years the least and the most (David and Nagaraja, Order Statistics, 2003, 7.1:
// (n + 1 - 2r)/(n + 1) = 38/40).
func TestNext(t *testing.T) {
	o := Outcome{}
	for i := range 39 {
		o.samples = append(o.samples, float64((i*7)%39))
	}
	if i := o.Next(0.95); math.Abs(i.Low) > 1e-9 || math.Abs(i.High-38) > 1e-9 || math.Abs(i.Best-19) > 1e-12 {
		t.Errorf("%+v", i)
	}
	if i := o.Next(0.90); math.Abs(i.Low-1) > 1e-9 || math.Abs(i.High-37) > 1e-9 {
		t.Errorf("%+v", i)
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		name, want string
		spoil      func(in *Input)
	}{
		{"beyond the pole", "latitude", func(in *Input) { in.Latitude = of(1.6) }},
		{"a month missing", "want 12", func(in *Input) { in.Sun = in.Sun[:11] }},
		{"panel below the battery", "below the", func(in *Input) { in.Battery.Series = 2 }},
		{"0 Ah", "capacity", func(in *Input) { in.Battery.Capacity = of(0) }},
		{"no number", "capacity", func(in *Input) { in.Battery.Capacity = of(math.NaN()) }},
		{"chemistry", "want flooded", func(in *Input) { in.Battery.Chemistry = "salt" }},
		{"quantity", "want one of", func(in *Input) { in.Quantities = []string{"joy"} }},
	} {
		in := small()
		c.spoil(&in)
		if _, err := Run(context.Background(), in); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	in := small()
	in.Sun = nil
	r, err := Run(context.Background(), in)
	if err != nil || len(r.Lacks()) != 1 || r.Lacks()[0].Key != "sun" {
		t.Errorf("without sun: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, small()); err == nil {
		t.Error("it does not stop")
	}
}
