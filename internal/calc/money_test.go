package calc

import (
	"context"
	"math"
	"strings"
	"testing"
)

func TestMoneyResults(t *testing.T) {
	for _, c := range []struct {
		call  string
		key   string
		value float64
		tol   float64
		unit  string
	}{
		// first unit 100 h, 80 %: unit theory, computed independently by adding
		{"learning|first=100 h|rate=80 %|unit=8", "unit_time", 51.2, 1e-12, "h"},
		{"learning|first=100 h|rate=0.8|unit=8", "cumulative", 534.5914, 1e-4, "h"},
		{"learning|first=6000 s|rate=0.8|unit=2", "cumulative", 10800, 1e-9, "s"},
		{"learning|first=90 min|rate=1|unit=1000000000", "cumulative", 90e9, 1e-2, "min"},
		// Brealey, Myers and Allen, Principles of Corporate Finance, chapter 5 (from memory)
		{"cash|flows=-4000, 2000, 4000|rate=0.1", "irr", 0.2808, 5e-5, "-"},
		{"cash|flows=-4000 USD, 25000 USD, -25000 USD|rate=10 %", "npv", -1934, 0.5, "USD"},
		{"cash|flows=100, -10|rate=-0.5", "npv", 80, 1e-12, "-"},
		// definitions
		{"break-even|fixed=3000 EUR|price=35.5 EUR|variable=20.5 EUR", "whole_units", 200, 0, "-"},
		{"break-even|fixed=1|price=0.3|variable=0.2", "units", 10, 1e-12, "-"},
		{"break-even|fixed=1|price=0.3|variable=0.2", "whole_units", 10, 0, "-"}, // binary numbers make it 11
		{"break-even|fixed=0|price=1|variable=0", "whole_units", 0, 0, "-"},
		{"order-quantity|need=9|breaks=1:0.52 EUR, 10:0.41 EUR", "quantity", 10, 0, "-"},
		{"order-quantity|need=9|breaks=1:0.52 EUR, 10:0.41 EUR", "cost", 4.1, 0, "EUR"},
		{"order-quantity|need=9|breaks=25:0.52", "cost", 13, 0, "-"},
		{"order-quantity|need=5|breaks=1:2, 10:1", "quantity", 5, 0, "-"}, // 10 cost the same
		{"yield|costs=3,2,1|yields=0.9,0.8,0.95", "rolled_throughput", 0.684, 1e-15, "-"},
		{"yield|costs=3 EUR,2 EUR,1 EUR|yields=90 %,0.8,0.95", "cost_per_good", 5520. / 684, 1e-14, "EUR"},
	} {
		args := strings.Split(c.call, "|")
		v, unit, ok := run(t, args[0], args[1:]...).Value(c.key)
		if !ok || math.Abs(v-c.value) > c.tol || unit != c.unit {
			t.Errorf("%s: %s = %v %s %v, want %v ± %v %s", c.call, c.key, v, unit, ok, c.value, c.tol, c.unit)
		}
	}
}

func TestMoneyNone(t *testing.T) {
	const low = "the price is not above the variable cost: no number of units earns the fixed cost"
	for call, why := range map[string]map[string]string{
		"cash|flows=-100,230,-132|rate=0.15":            {"npv": "", "irr": "2 rates of return: 0.1, 0.2"},
		"cash|flows=1000,-3000,2500|rate=0.1":           {"npv": "", "irr": "no rate of return: the present value is above 0 at every rate"},
		"cash|flows=-1000,3000,-2500|rate=0.1":          {"npv": "", "irr": "no rate of return: the present value is below 0 at every rate"},
		"cash|flows=-100|rate=0.1":                      {"npv": "", "irr": "no rate of return: nothing comes in"},
		"cash|flows=0,100|rate=0.1":                     {"npv": "", "irr": "no rate of return: nothing is paid"},
		"cash|flows=0,0|rate=0.1":                       {"npv": "", "irr": "any rate is one: every flow is 0"},
		"break-even|fixed=10|price=2|variable=2":        {"units": low, "whole_units": low},
		"break-even|fixed=10|price=0.3|variable=0.4":    {"units": low, "whole_units": low},
		"yield|costs=3,2|yields=0.9,0":                  {"rolled_throughput": "", "cost_per_good": "no unit passes every step"},
		"cash|flows=-100 EUR, 220 EUR, -121 EUR|rate=0": {"npv": "", "irr": ""}, // touches 0 once
	} {
		args := strings.Split(call, "|")
		o := run(t, args[0], args[1:]...)
		bad := false
		for key, want := range why {
			bad = bad || want != ""
			if got := figure(t, o, key).None; got != want {
				t.Errorf("%s: %s: %q, want %q", call, key, got, want)
			}
		}
		if o.Complete() == bad {
			t.Errorf("%s: complete is %v", call, o.Complete())
		}
	}
}

// TestMoneyIntervals: a price of 35 ± 1, rectangular, has its central 95 % at ±0.95 (JCGM 101:2008, 7.7.1).
func TestMoneyIntervals(t *testing.T) {
	o := run(t, "break-even", "fixed=3000 EUR", "price=35 EUR ±1 EUR", "variable=20 EUR")
	f := figure(t, o, "units")
	if !f.Interval || math.Abs(f.Low-3000/15.95) > 0.15 || math.Abs(f.High-3000/14.05) > 0.15 {
		t.Errorf("units %v to %v, want %v to %v", f.Low, f.High, 3000/15.95, 3000/14.05)
	}
	if w := figure(t, o, "whole_units"); w.Low != 189 || w.High != 214 {
		t.Errorf("whole units %v to %v, want 189 to 214", w.Low, w.High)
	}
	o = run(t, "cash", "flows=-100, 110", "rate=5..15 %")
	if f := figure(t, o, "npv"); !f.Interval || math.Abs(f.Low+4.15) > 0.1 || math.Abs(f.High-4.5) > 0.15 {
		t.Errorf("npv %v to %v", f.Low, f.High)
	}
	if f := figure(t, o, "irr"); !f.Interval || f.Low != f.High || math.Abs(f.Low-0.1) > 1e-14 {
		t.Errorf("irr %v to %v, want 0.1, since the rate does not matter", f.Low, f.High)
	}
	o = run(t, "break-even", "fixed=3000", "price=20 ±1", "variable=19.5")
	if figure(t, o, "units").Interval || len(o.Warnings) != 1 {
		t.Errorf("an interval though not every price has a result: %+v", o)
	}
}

func TestMoneyRefuses(t *testing.T) {
	for _, c := range []struct{ call, say string }{
		{"learning|first=100|rate=0.8|unit=5", `first: "100": no unit; want a time such as 2 h
    100
    ^^^`},
		{"learning|first=1 h|rate=80|unit=5", `rate: "80": not a possible value; want a number above 0 up to 1 such as 0.85 or 85 %`},
		{"learning|first=1 h|rate=0.8|unit=1.5", `unit: "1.5": not a possible value; want a whole number from 1 to 1000000000`},
		{"cash|flows=-100,x|rate=-1", `rate: "-1": not a possible value; want a number above -1 such as 0.08 or 8 %`},
		{"cash|flows=-100,x|rate=0.1", `flows: "-100,x": "x" does not start with a number; want a sum of money such as 34 EUR, or a plain number
    -100,x
         ^`},
		{"cash|flows=-100 EUR, 50 USD|rate=0.1", `flows: "-100 EUR, 50 USD": a second currency beside EUR; want one currency
    -100 EUR, 50 USD
              ^^^^^^`},
		{"cash|flows=1e300,1e300|rate=-0.999999999999", `cash: npv has no finite value for these inputs; want inputs of a usual size`},
		{"break-even|fixed=10 V|price=2 V|variable=1 V", `fixed: "10 V": not a sum of money; want a sum of money such as 34 EUR, or a plain number; 0 or more`},
		{"break-even|fixed=10 %|price=2|variable=1", `fixed: "10 %": not a sum of money; want a sum of money such as 34 EUR, or a plain number; 0 or more`},
		{"break-even|fixed=10 EUR|price=2 USD|variable=1 EUR", `price: "2 USD": a second currency beside EUR; want one currency`},
		{"break-even|fixed=-10|price=2|variable=1", `fixed: "-10": not a possible value; want a sum of money such as 34 EUR, or a plain number; 0 or more`},
		{"break-even|fixed=1e300|price=1e-300|variable=0", `break-even: units has no finite value for these inputs; want inputs of a usual size`},
		{"order-quantity|need=0|breaks=1:1", `need: "0": not a possible value; want a whole number from 1 to 1000000000`},
		{"order-quantity|need=3|breaks=1:1, 10", `breaks: "1:1, 10": no : between quantity and price; want a break such as 10:0.41
    1:1, 10
         ^^`},
		{"yield|costs=1,y|yields=2", `costs: "1,y": "y" does not start with a number; want a sum of money such as 34 EUR, or a plain number
    1,y
      ^
yields: "2": not a possible share; want a number from 0 to 1 such as 0.95 or 95 %
    2
    ^`},
		{"yield|costs=1,-2|yields=1,1", `costs: "1,-2": cost 2 is negative; want 0 or more`},
		{"yield|costs=1,2|yields=1", `yields: "1": 1 for 2 costs; want one for each cost`},
	} {
		args := strings.Split(c.call, "|")
		if _, err := Run(context.Background(), args[0], args[1:], Options{Seed: 1}); err == nil || err.Error() != c.say {
			t.Errorf("%s:\n got %v\nwant %s", c.call, err, c.say)
		}
	}
}
