package panel

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// example is a 20 W panel of 36 cells.
func example() Panel {
	return Panel{Reference: Curve{Photocurrent: 1.287, Saturation: 5e-11, Thermal: 0.9, Series: 1.4, Shunt: 300}, Cells: 36, Tempco: 6.4e-4}
}

// TestTranslation holds the curve against a table that was computed independently (by bisection
// of the implicit equation, printed to seven digits).
func TestTranslation(t *testing.T) {
	p := example()
	for _, c := range []struct{ t, g, photo, saturation, thermal, i0, i12, i14, i17, open float64 }{
		{298.15, 1000, 1.287000, 5.000000e-11, 0.900000, 1.281022, 1.238041, 1.230247, 1.175165, 21.52256},
		{338.15, 1000, 1.312600, 1.920285e-08, 1.020745, 1.306503, 1.234996, 1.137009, 0.552665, 18.36570},
		{263.15, 1000, 1.264600, 6.529080e-14, 0.794348, 1.258726, 1.216252, 1.210908, 1.201259, 24.25037},
		{318.15, 200, 0.259960, 1.174421e-09, 0.960372, 0.259718, 0.250154, 0.244679, 0.174664, 18.40737},
	} {
		curve := p.At(c.g, c.t)
		for _, v := range []struct{ got, want, tol float64 }{
			{curve.Photocurrent, c.photo, 5e-7}, {curve.Saturation / c.saturation, 1, 5e-7}, {curve.Thermal, c.thermal, 5e-7},
			{curve.Current(0), c.i0, 5e-7}, {curve.Current(12.8), c.i12, 5e-7}, {curve.Current(14.4), c.i14, 5e-7}, {curve.Current(17), c.i17, 5e-7},
			{curve.OpenCircuit(), c.open, 5e-6},
		} {
			if math.Abs(v.got-v.want) > v.tol {
				t.Errorf("%v K, %v W/m²: %v, want %v", c.t, c.g, v.got, v.want)
			}
		}
	}
}

// curves returns curves of all sizes, from a seed.
func curves(n int) []Curve {
	s := numeric.NewStream(1)
	spread := func(low, high float64) float64 { return numeric.Exp(s.Uniform(math.Log(low), math.Log(high))) }
	list := make([]Curve, n)
	for k := range list {
		c := Curve{Photocurrent: spread(1e-9, 1e4), Saturation: spread(1e-30, 1e-3), Thermal: spread(1e-3, 1e3),
			Series: spread(1e-9, 1e5), Shunt: spread(1e-3, 1e12)}
		switch k % 8 {
		case 1:
			c.Series = 0
		case 2:
			c.Photocurrent = 0
		case 3:
			c.Shunt = math.Inf(1)
		}
		if k%3 == 1 {
			c.Recombination = c.Thermal * s.Uniform(0.01, 5)
			c.BuiltIn = c.Recombination * s.Uniform(2, 20)
		}
		list[k] = c
	}
	return list
}

// residual returns by how much the implicit equation is missed, over its largest term and over what rounding of
// V and I·Series means for the exponential: the part of a perfect solver is some 1e-16.
func residual(c Curve, v, i float64) float64 {
	x := v + i*c.Series
	e := c.Saturation * math.Exp(x/c.Thermal)
	terms := math.Abs(i) + c.Photocurrent*(1+c.lost(x)) + e + c.Saturation + math.Abs(x)/c.Shunt
	rounding := c.slope(x) * (math.Abs(v) + math.Abs(i)*c.Series)
	return math.Abs(c.Through(x)-i) / (terms + rounding)
}

// TestEveryCurveIsSolved: any curve that Check accepts, at any voltage: finite, on the curve, falling.
func TestEveryCurveIsSolved(t *testing.T) {
	worst := 0.0
	for _, c := range curves(4000) {
		if err := c.Check(); err != nil {
			t.Fatal(err)
		}
		open := max(c.OpenCircuit(), c.Thermal)
		last, lastTerms := math.Inf(1), 0.0
		for _, part := range []float64{-1e6, -50, -1, -0.1, 0, 0.2, 0.5, 0.8, 0.9, 0.95, 1, 1.02, 1.1, 1.5, 3, 20} {
			v := part * open
			i := c.Current(v)
			if math.IsNaN(i) || math.IsInf(i, 0) {
				t.Fatalf("%+v at %v V: %v", c, v, i)
			}
			x := v + i*c.Series
			if math.Abs(i) < 1e300 && x/c.Thermal < 690 {
				worst = max(worst, residual(c, v, i))
			}
			terms := 1e-12 * (math.Abs(i) + c.Photocurrent*(1+c.lost(x)) + c.Saturation)
			if i > last+terms+lastTerms {
				t.Fatalf("%+v: rises to %v at %v V from %v", c, i, v, last)
			}
			last, lastTerms = i, terms
		}
	}
	t.Logf("worst residual %g", worst)
	if !(worst < 1e-12) {
		t.Errorf("worst residual %g, want below 1e-12", worst)
	}
}

// TestUsualCurvesToTwelveDigits holds panels from -5 V to 1.1 of open circuit to 1e-12 of their largest term alone,
// without an allowance for rounding.
func TestUsualCurvesToTwelveDigits(t *testing.T) {
	p := example()
	worst := 0.0
	for _, g := range []float64{0, 1, 100, 1000, 1200} {
		for temperature := 253.15; temperature < 360; temperature += 10 {
			for _, size := range []int{1, 3} {
				c := p.At(g, temperature).Array(size, 4-size)
				for v := -5.0; v < 1.1*max(20, c.OpenCircuit()); v += 0.37 {
					i := c.Current(v)
					x := v + i*c.Series
					e := c.Saturation * math.Exp(x/c.Thermal)
					terms := max(math.Abs(i), c.Photocurrent, e, math.Abs(x)/c.Shunt)
					worst = max(worst, math.Abs(c.Photocurrent-e+c.Saturation-x/c.Shunt-i)/terms)
				}
			}
		}
	}
	t.Logf("worst %g", worst)
	if !(worst < 1e-12) {
		t.Errorf("worst residual %g of the largest term, want below 1e-12", worst)
	}
}

// TestVoltageIsTheInverse: V(I(V)) = V wherever the curve is not flat.
func TestVoltageIsTheInverse(t *testing.T) {
	for k, c := range curves(2000) {
		open := c.OpenCircuit()
		for _, part := range []float64{-0.5, 0, 0.3, 0.9, 1, 1.05} {
			v := part * max(open, c.Thermal)
			i := c.Current(v)
			back, ok := c.Voltage(i)
			if !ok || math.IsInf(c.Shunt, 1) {
				continue // no voltage is known from a current that does not depend on it
			}
			x := v + i*c.Series
			terms := c.Photocurrent*(1+c.lost(x)) + c.Saturation + math.Abs(i) + math.Abs(x)/c.Shunt
			tol := 1e-10*(math.Abs(v)+math.Abs(i)*c.Series+c.Thermal) + 1e-11*terms/c.slope(x)
			if !(math.Abs(back-v) <= tol) {
				t.Fatalf("%d %+v: %v V gives %v A gives %v V", k, c, v, i, back)
			}
		}
		if open > 0 && !(math.Abs(c.Current(open)) <= 1e-9*(c.Photocurrent*(1+c.lost(open))+open/c.Shunt)+1e-9*c.Conductance(open)*open) {
			t.Fatalf("%+v: %v A at the open-circuit voltage %v", c, c.Current(open), open)
		}
	}
}

// TestMaximumPowerIsTheMaximum: no voltage gives more, and the power falls away on both sides.
func TestMaximumPowerIsTheMaximum(t *testing.T) {
	for _, c := range curves(1500) {
		v, i, p := c.MaximumPower()
		if c.Photocurrent == 0 {
			if p != 0 {
				t.Errorf("%+v: %v W in the dark", c, p)
			}
			continue
		}
		if math.Abs(v*i-p) > 1e-9*p {
			t.Errorf("%+v: %v V, %v A, %v W", c, v, i, p)
		}
		open := c.OpenCircuit()
		for part := 0.02; part < 1; part += 0.02 {
			if q := part * open * c.Current(part*open); q > p*(1+1e-9)+1e-12*open*c.Photocurrent {
				t.Fatalf("%+v: %v W at %v V, more than %v W at %v V", c, q, part*open, p, v)
			}
		}
	}
}

// FuzzCurrent: no bits whatever give a current that is not finite, or a panic.
func FuzzCurrent(f *testing.F) {
	f.Add(6.15, 2.4e-10, 0.97, 0.22, 180.0, 0.0, 0.0, 30.0)
	f.Add(1.0, 1e-190, 1e-6, 1e-9, 1e-9, 5.0, 20.0, math.MaxFloat64)
	f.Add(0.0, 1.0, 1e6, 0.0, math.Inf(1), 0.0, 0.0, -math.MaxFloat64)
	f.Fuzz(func(t *testing.T, photo, saturation, thermal, series, shunt, recombination, builtIn, v float64) {
		c := Curve{Photocurrent: photo, Saturation: saturation, Thermal: thermal, Series: series, Shunt: shunt, Recombination: recombination, BuiltIn: builtIn}
		if c.Check() != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			t.Skip()
		}
		i := c.Current(v)
		back, _ := c.Voltage(v)
		mv, mi, mp := c.MaximumPower()
		for _, x := range []float64{i, back, c.OpenCircuit(), c.Conductance(v), mv, mi, mp} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("%+v at %v: %v A, %v V, %v V open, %v S, %v V %v A %v W", c, v, i, back, c.OpenCircuit(), c.Conductance(v), mv, mi, mp)
				return
			}
		}
		if math.Abs(v) < 1e6 && series > 1e-6 && shunt > 1e-6 && thermal > 1e-3 && math.Abs(i) < 1e12 {
			if r := residual(c, v, i); !(r < 1e-9) {
				t.Errorf("%+v at %v V: %v A, residual %g", c, v, i, r)
			}
		}
	})
}

func TestCheckRefuses(t *testing.T) {
	good := example().Reference
	for say, change := range map[string]func(*Curve){
		"photocurrent: -1.000 A is not possible; want 0 or more":        func(c *Curve) { c.Photocurrent = -1 },
		"saturation: 0.000 A is not possible; want a current above 0":   func(c *Curve) { c.Saturation = 0 },
		"thermal: not a number is not possible; want a voltage above 0": func(c *Curve) { c.Thermal = math.NaN() },
		"series: -1.000 Ω is not possible; want 0 or more":              func(c *Curve) { c.Series = -1 },
		"shunt: 0.000 Ω is not possible; want a resistance above 0":     func(c *Curve) { c.Shunt = 0 },
		"built_in: missing; want it where there is recombination":       func(c *Curve) { c.Recombination = 1 },
		"recombination: not a number is not possible; want 0 or more":   func(c *Curve) { c.Recombination = math.Inf(1) },
	} {
		c := good
		change(&c)
		if err := c.Check(); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
}

// TestDarkCurrent: 20 W, 36 cells, 25 °C: the diode alone takes 0.04 to 0.82 mA at 12.8 V and 0.3 to 3.1 mA at 14.4 V for
// idealities from 0.93 to 1.30 (computed independently); the dark shunt adds V over its resistance.
func TestDarkCurrent(t *testing.T) {
	for _, c := range []struct{ ideality, at12, at14, tol float64 }{{0.93, 0.04e-3, 0.3e-3, 0.05e-3}, {1.30, 0.82e-3, 3.1e-3, 0.06e-3}} {
		f := Fit{Panel: Panel{Cells: 36, Tempco: 6.4e-4}}
		f.set(Label{ShortCircuit: 1.28, OpenCircuit: 21.6, PeakCurrent: 1.16, PeakVoltage: 17.3}, c.ideality)
		f.DarkShunt = 0
		dark := f.At(0, ReferenceTemperature)
		if a, b := -dark.Current(12.8), -dark.Current(14.4); math.Abs(a-c.at12) > c.tol || math.Abs(b-c.at14) > c.tol {
			t.Errorf("ideality %v: %v and %v A", c.ideality, a, b)
		}
		f.DarkShunt = 3000
		if more := dark.Current(12.8) - f.At(0, ReferenceTemperature).Current(12.8); math.Abs(more-12.8/3001.4) > 1e-5 {
			t.Errorf("the dark shunt takes %v A", more)
		}
		if lit, plain := f.At(1000, ReferenceTemperature), f.Reference; math.Abs(lit.Shunt-plain.Shunt) > 1e-9*plain.Shunt {
			t.Errorf("shunt %v at the reference, want %v", lit.Shunt, plain.Shunt)
		}
	}
}

// TestArray: strings add voltages, parallels add currents.
func TestArray(t *testing.T) {
	p := example()
	one, many := p.At(700, 310), p.At(700, 310).Array(2, 3)
	for v := -3.0; v < 22; v += 0.7 {
		if a, b := 3*one.Current(v), many.Current(2*v); math.Abs(a-b) > 1e-11*math.Abs(a)+1e-13 {
			t.Errorf("%v V: %v, want %v", v, b, a)
		}
	}
}

// TestLessLightLessCurrent: soiling and age take current, less light gives less, heat lowers the open-circuit voltage.
func TestLessLightLessCurrent(t *testing.T) {
	p := example()
	dirty := p
	dirty.Soiling, dirty.Faded = 0.1, Fading(20, 0)
	clean, soiled := p.At(1000, 320), dirty.At(1000, 320)
	if got := soiled.Photocurrent / clean.Photocurrent; math.Abs(got-0.81) > 1e-12 {
		t.Errorf("%v of the photocurrent, want 0.9·0.9", got)
	}
	for g := 10.0; g < 1200; g += 50 {
		dim, bright := p.At(g, 300), p.At(g+50, 300)
		cold := p.At(g, 270)
		if dim.Current(12) >= bright.Current(12) || cold.OpenCircuit() <= dim.OpenCircuit() {
			t.Errorf("%v W/m²: %v then %v A", g, dim.Current(12), bright.Current(12))
		}
	}
	if night := p.At(-3, 280); night.Photocurrent != 0 || !math.IsInf(night.Shunt, 1) || night.OpenCircuit() != 0 {
		t.Errorf("at night %+v", night)
	}
}

// What is no number gives a finite curve, and a panel that is none is refused.
func TestPanelIsGuarded(t *testing.T) {
	p := example()
	for _, g := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, 500} {
		for _, k := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, 300} {
			if c := p.At(g, k); c.Check() != nil || math.IsNaN(c.Current(13)) || math.IsInf(c.Current(13), 0) {
				t.Errorf("%v W/m², %v K: %+v, %v", g, k, c, c.Check())
			}
		}
	}
	for say, change := range map[string]func(*Panel){
		"cells: 0.000 is not possible; want a whole number from 1 up": func(p *Panel) { p.Cells = 0 },
		"soiling: 1.500 is not possible; want 0 to 1":                 func(p *Panel) { p.Soiling = 1.5 },
		"faded: not a number is not possible; want 0 to 1":            func(p *Panel) { p.Faded = math.NaN() },
		"dark_shunt: -1.000 Ω is not possible; want 0 or more":        func(p *Panel) { p.DarkShunt = -1 },
		"photocurrent: -1.000 A is not possible; want 0 or more":      func(p *Panel) { p.Reference.Photocurrent = -1 },
	} {
		p := example()
		change(&p)
		if err := p.Check(); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
	if err := p.Check(); err != nil {
		t.Error(err)
	}
}

func BenchmarkCurrent(b *testing.B) {
	p := example()
	c := p.At(650, 315)
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		sink = c.Current(12 + float64(n&7)*0.5)
	}
}

func BenchmarkAtAndCurrent(b *testing.B) {
	p := example()
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		c := p.At(200+float64(n&1023), 290+float64(n&31))
		sink = c.Current(13.2)
	}
}

var sink float64
