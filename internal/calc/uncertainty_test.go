package calc

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// near fails unless a result is within tol of want.
func near(t *testing.T, o Output, key string, want, tol float64) {
	t.Helper()
	if got := value(t, o, key); !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v ± %v", key, got, want, tol)
	}
}

func warned(o Output, part string) bool {
	return slices.ContainsFunc(o.Warnings, func(w string) bool { return strings.Contains(w, part) })
}

// A product of independent values: u² = (b·u(a))² + (a·u(b))² by hand, rectangular ± limits
// (JCGM 100:2008, 4.3.7 and 5.1.2).
func TestUncertaintyOfAProduct(t *testing.T) {
	o := run(t, "uncertainty", "y=a*b", "a=2 V ±1 %", "b=3 A sd 0.1 A")
	u := math.Hypot(3*0.02/math.Sqrt(3), 2*0.1)
	near(t, o, "value", 6, 1e-12)
	near(t, o, "u", u, 1e-9)
	near(t, o, "low", 6-1.959964*u, 1e-6)
	near(t, o, "high", 6+1.959964*u, 1e-6)
	// 10^6 draws: the mean scatters by u/1000, the standard deviation by u/1414, a 95 % limit by 0.0027·u (sd)
	near(t, o, "mc_mean", 6, 0.004*u)
	near(t, o, "mc_u", math.Hypot(u, 0.1*0.02/math.Sqrt(3)), 0.003*u)
	for _, key := range []string{"value", "u", "low", "mc_low", "mc_u"} {
		if f := figure(t, o, key); f.Unit != "W" {
			t.Errorf("%s in %s, want W", key, f.Unit)
		}
	}
	if f := figure(t, o, "dof"); !f.Open || f.None != "" || f.Unit != "-" {
		t.Errorf("dof %+v, want unbounded", f)
	}
	if !strings.Contains(string(o.JSON()), `"dof":{"value":null,"unit":"-","open":["high"]}`) || !o.Complete() {
		t.Errorf("unbounded dof in %s", o.JSON())
	}
}

// Fully correlated inputs add up, opposed ones cancel (JCGM 100:2008, 5.2.2, note 1).
func TestUncertaintyWithCorrelation(t *testing.T) {
	for r, want := range map[string]float64{"1": 7, "-1": 1, "0": 5, "0.5": math.Sqrt(37)} {
		o := run(t, "uncertainty", "y=a+b", "a=10 mV sd 3 mV", "b=20 mV sd 4 mV", "corr.a.b="+r)
		near(t, o, "u", want/1000, 1e-9)
		near(t, o, "mc_u", want/1000, 1e-5*want)
	}
}

// The limits of one input with ν degrees of freedom are those of t: t(0.975; 4) = 2.776, t(0.995; 4) =
// 4.604 (JCGM 100:2008, table G.2, printed 2.78 and 4.60). The variance of t is ν/(ν-2) (JCGM 101:2008, 6.4.9.4).
func TestUncertaintyWithFewDegreesOfFreedom(t *testing.T) {
	o := run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=4")
	near(t, o, "dof", 4, 1e-9)
	near(t, o, "high", 2.78, 0.005)
	near(t, o, "mc_high", 2.776, 0.02)
	near(t, o, "mc_u", math.Sqrt2, 0.02)
	o = run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=4", "confidence=99 %")
	near(t, o, "high", 4.60, 0.005)

	if o = run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=inf"); !figure(t, o, "dof").Open {
		t.Errorf("dof %+v", figure(t, o, "dof"))
	}
	o = run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=2")
	if f := figure(t, o, "mc_u"); !f.Open || !warned(o, "mc_u has no bound") {
		t.Errorf("mc_u of t with 2 degrees of freedom: %+v %q", f, o.Warnings)
	}
	if o = run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=2.5"); figure(t, o, "mc_u").Open || warned(o, "mc_u has no bound") {
		t.Errorf("mc_u of t with 2.5 degrees of freedom: %+v %q", figure(t, o, "mc_u"), o.Warnings)
	}
	o = run(t, "uncertainty", "y=a", "a=0 sd 1", "dof.a=1")
	if f := figure(t, o, "mc_mean"); f.None == "" || o.Complete() {
		t.Errorf("mean of t with 1 degree of freedom: %+v", f)
	}
	o = run(t, "uncertainty", "y=a", "a=0 ±1", "dof.a=2")
	if !warned(o, "take its limits as exact") {
		t.Errorf("warnings %q", o.Warnings)
	}
	near(t, o, "high", 4.30/math.Sqrt(3), 0.003) // t(0.975; 2) = 4.30, table G.2
	near(t, o, "mc_high", 0.95, 0.002)
}

// JCGM 101:2008, 9.4: at x = 0 the first order of x² vanishes.
func TestUncertaintyWhereFirstOrderVanishes(t *testing.T) {
	o := run(t, "uncertainty", "y=x^2", "x=0 sd 1")
	near(t, o, "u", 0, 0)
	near(t, o, "mc_mean", 1, 0.01) // χ² of one degree of freedom: mean 1, variance 2
	near(t, o, "mc_u", math.Sqrt2, 0.02)
	if !warned(o, "u = 0 says nothing") || !o.Complete() {
		t.Errorf("warnings %q", o.Warnings)
	}
	if o := run(t, "uncertainty", "y=x", "x=5 V"); warned(o, "u = 0") {
		t.Errorf("a warning for an exact value: %q", o.Warnings)
	}
}

func TestUncertaintyOfTemperatures(t *testing.T) {
	o := run(t, "uncertainty", "y=t + dt", "t=25 °C ±1 K", "dt=10 K")
	near(t, o, "value", 35, 1e-9)
	near(t, o, "u", 1/math.Sqrt(3), 1e-9)
	near(t, o, "mc_high", 35.95, 0.002)
	for key, unit := range map[string]string{"value": "°C", "u": "K", "low": "°C", "mc_u": "K", "mc_mean": "°C"} {
		if f := figure(t, o, key); f.Unit != unit {
			t.Errorf("%s in %s, want %s", key, f.Unit, unit)
		}
	}
	// k·T/q at 25 °C is 25.69 mV (SI constants, exact)
	o = run(t, "uncertainty", "y=k*T/q", "k=1.380649e-23 J/K", "T=25 °C ±2 K", "q=1.602176634e-19 C")
	near(t, o, "value", 0.0256926, 5e-7)
	if !warned(o, "column 3: the temperature T counts in kelvin") {
		t.Errorf("warnings %q", o.Warnings)
	}
}

func TestUncertaintyWithoutValue(t *testing.T) {
	o := run(t, "uncertainty", "y=log(a)", "a=-1 ±0.1")
	if o.Complete() || figure(t, o, "value").None != "y has no value at the estimates: log has no finite value at -1; want values for which the formula exists" {
		t.Errorf("value %+v", figure(t, o, "value"))
	}
	// first order exists here, random draws do not
	o = run(t, "uncertainty", "y=sqrt(a)", "a=1 ±1.1")
	near(t, o, "u", 1.1/math.Sqrt(3)/2, 1e-4)
	if f := figure(t, o, "mc_u"); o.Complete() || !strings.Contains(f.None, "sqrt has no finite value at -0.0") {
		t.Errorf("mc_u %+v", f)
	}
	// a value without surroundings
	o = run(t, "uncertainty", "y=sqrt(a)", "a=0 sd 1")
	near(t, o, "value", 0, 0)
	if f := figure(t, o, "u"); !strings.Contains(f.None, "cannot be followed around the estimates") {
		t.Errorf("u %+v", f)
	}
}

func TestUncertaintyWarnsWhereFirstOrderMisleads(t *testing.T) {
	if o := run(t, "uncertainty", "y=a + b", "a=1 sd 0.1", "b=1 sd 0.1"); warned(o, "prefer the mc_ limits") {
		t.Errorf("a sum of normal values: %q", o.Warnings)
	}
	if o := run(t, "uncertainty", "y=a", "a=1 ±0.1"); !warned(o, "prefer the mc_ limits") {
		t.Errorf("a rectangular value: %q", o.Warnings)
	}
	if o := run(t, "uncertainty", "y=a", "a=1 V ±0.1 V ±50 ppm/K"); !warned(o, "a: its drift is not counted") {
		t.Errorf("a drift: %q", o.Warnings)
	}
}

// The budget's shares of independent inputs are the squares of their contributions.
func TestUncertaintyBudget(t *testing.T) {
	o := run(t, "uncertainty", "y=a+b", "a=1 V sd 3 mV", "b=2 V sd 4 mV")
	want := [][]string{{"input", "value", "u", "contributes", "share"}, {"a", "1 V sd 3 mV", "0.003 V", "0.003 V", "36.0 %"}, {"b", "2 V sd 4 mV", "0.004 V", "0.004 V", "64.0 %"}}
	for i, row := range o.Table {
		if row[0] != want[i][0] || row[2] != want[i][2] || row[3] != want[i][3] || row[4] != want[i][4] {
			t.Errorf("row %q, want %q", row, want[i])
		}
	}
	if len(o.Table) != len(want) {
		t.Errorf("table %q", o.Table)
	}
}

// The unit of a rate is that of the exposure.
func TestRateUnits(t *testing.T) {
	for exposure, unit := range map[string]string{"800 h": "1/h", "23.5": "-", "3 years": "1/year", "40 kWh/m²": "1/(kWh/m²)"} {
		o := run(t, "rate", "events=7", "exposure="+exposure)
		if f := figure(t, o, "high"); f.Unit != unit {
			t.Errorf("%s: unit %s, want %s", exposure, f.Unit, unit)
		}
	}
	near(t, run(t, "rate", "events=7", "exposure=23.5 h"), "best", 7/23.5, 1e-12)
}

// An exposure that is known to ±10 % spreads the rate: 2/(72 h) and 2/(88 h), less 2.5 % of the
// draws at either end.
func TestRateWithTolerance(t *testing.T) {
	f := figure(t, run(t, "rate", "events=2", "exposure=80 h ±10 %"), "best")
	low, high := 2/(88-0.025*16), 2/(72+0.025*16)
	if !f.Interval || math.Abs(f.Low-low) > 2e-5 || math.Abs(f.High-high) > 2e-5 {
		t.Errorf("best %+v, want %v to %v", f, low, high)
	}
}

// Without a meter error nothing is accepted or rejected wrongly, and what is good is
// Φ(2) - Φ(-2) = 0.9545 (standard normal table).
func TestGuardBandOfAPerfectMeter(t *testing.T) {
	o := run(t, "guard-band", "mean=0", "sd=0.5", "u=0", "min=-1", "max=1")
	near(t, o, "conforming", 0.9545, 5e-5)
	near(t, o, "accepted", 0.9545, 5e-5)
	near(t, o, "false_accept", 0, 1e-12)
	near(t, o, "false_reject", 0, 1e-12)
	o = run(t, "guard-band", "mean=0 V ±0.2 V", "sd=0.5 V", "u=0.1 V", "max=1 V")
	if f := figure(t, o, "false_accept"); !f.Interval || !(f.Low < f.Answer.Value && f.Answer.Value < f.High) {
		t.Errorf("interval of a mean with tolerance: %+v", f)
	}
}

func ExampleRun() {
	o, err := Run(context.Background(), "proportion", []string{"failures=0", "of=20"}, Options{})
	if err != nil {
		fmt.Println(err)
	}
	high, _, _ := o.Value("high")
	fmt.Printf("%.6f\n", high) // R's binom.test: 0.168433
	// Output: 0.168433
}

func BenchmarkUncertainty(b *testing.B) {
	for b.Loop() {
		if _, err := Run(b.Context(), "uncertainty", []string{"y=vref*(1 + r1/r2)*(1 + g) + (o + q)*lsb", "vref=2.5 V ±0.4 %", "r1=120 kΩ ±1 %",
			"r2=10 kΩ ±1 %", "g=0 ±0.001", "o=0 LSB ±2 LSB", "q=0 LSB ±0.5 LSB", "lsb=8 mV/LSB"}, Options{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
