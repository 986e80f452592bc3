package statistics

import (
	"errors"
	"math"
	"testing"
)

// endGauge is JCGM 100:2008 H.1, lengths in nm: l = ls + d - ls(δα·θ + αs·δθ).
func endGauge(x []float64) (float64, error) {
	ls, d, dAlpha, theta, alphaS, dTheta := x[0], x[1], x[2], x[3], x[4], x[5]
	return ls + d - ls*(dAlpha*theta+alphaS*dTheta), nil
}

var endGaugeInputs = []Input{
	{Name: "ls", Value: 50000623, U: 25, DOF: 18},
	{Name: "d", Value: 215, U: 9.7, DOF: 25.6},
	{Name: "dAlpha", U: 0.58e-6, DOF: 50},
	{Name: "theta", Value: -0.1, U: 0.41},
	{Name: "alphaS", Value: 11.5e-6, U: 1.2e-6},
	{Name: "dTheta", U: 0.029, DOF: 2},
}

// JCGM 100:2008 H.1.3-H.1.7 and Table H.1 (shared case UNC-01): published; the second-order value from
// memory. The printed ν_eff 16 is 16.7 truncated, and U99 = 93 nm is 2.92 · 31.7 nm.
func TestPropagateEndGauge(t *testing.T) {
	b, err := Propagate(endGauge, endGaugeInputs, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "l", b.Value, 50000838, 0.5)
	near(t, "u", b.U, 32, 0.5)
	near(t, "dof", b.DOF, 16.7, 0.3)
	for i, want := range []struct{ u, tol float64 }{{25, 0.05}, {9.7, 0.05}, {2.9, 0.05}, {0, 1e-9}, {0, 1e-9}, {16.6, 0.15}} {
		near(t, b.Lines[i].Name, math.Abs(b.Lines[i].Contribution), want.u, want.tol)
	}
	low, high, k, err := b.Interval(0.99)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "k99", k, 2.92, 0.005)
	near(t, "U99", (high-low)/2, 93, 0.6)
	second, err := SecondOrder(endGauge, endGaugeInputs)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u, second order", second, 34, 0.4)
	// x + x³ at 0 has derivatives 1, 0 and 6, so u² + 6u⁴ (own algebra).
	cube := func(x []float64) (float64, error) { return x[0] + x[0]*x[0]*x[0], nil }
	second, err = SecondOrder(cube, []Input{{Name: "x", U: 0.1}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of x + x³", second, math.Sqrt(0.01+6e-4), 1e-5)
}

// JCGM 100:2008 H.2, Tables H.2-H.4: resistance and reactance from five simultaneous readings. Means,
// uncertainties and correlations come from the readings. Printed is u(X) = 0.295, twice: the five X of the
// readings have 0.29549, which linear propagation of the same readings makes 0.29558. So X is held to the
// former.
func TestPropagateCorrelated(t *testing.T) {
	data := columns(t, "testdata/gum_h2_observations.csv")
	names := []string{"V", "I", "phi"}
	unit := []float64{1, 1e-3, 1}
	var in []Input
	for i, name := range names {
		mean, u := meanOf(data[i])
		in = append(in, Input{Name: name, Value: mean * unit[i], U: u * unit[i], DOF: 4})
	}
	near(t, "u(V)", in[0].U, 0.0032, 0.00005)
	near(t, "u(I)", in[1].U*1000, 0.0095, 0.00005)
	near(t, "u(phi)", in[2].U, 0.00075, 0.000005)
	r := identity(3)
	for i := range r {
		for j := range r {
			if i != j {
				r[i][j] = correlationOf(data[min(i, j)], data[max(i, j)])
			}
		}
	}
	near(t, "r(V,I)", r[0][1], -0.36, 0.005)
	near(t, "r(V,phi)", r[0][2], 0.86, 0.005)
	near(t, "r(I,phi)", r[1][2], -0.65, 0.005)
	corr, err := CorrelationMatrix(names, r)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name              string
		f                 func(x []float64) float64
		value, u, vt, tol float64
	}{
		{"R", func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) }, 127.732, 0.071, 0.0005, 0.0005},
		{"X", func(x []float64) float64 { return x[0] / x[1] * math.Sin(x[2]) }, 219.847, 0.29549, 0.0005, 0.0005},
		{"Z", func(x []float64) float64 { return x[0] / x[1] }, 254.260, 0.236, 0.0005, 0.0005},
	} {
		b, err := Propagate(func(x []float64) (float64, error) { return c.f(x), nil }, in, corr)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, b.Value, c.value, c.vt)
		near(t, "u("+c.name+")", b.U, c.u, c.tol)
		near(t, "dof of "+c.name, b.DOF, 4, 1e-9) // simultaneous readings: n-1, not more
		var shares float64
		for _, l := range b.Lines {
			shares += l.Share
		}
		near(t, "sum of shares", shares, 1, 1e-12)
	}
}

func meanOf(x []float64) (mean, u float64) {
	n := float64(len(x))
	for _, v := range x {
		mean += v / n
	}
	for _, v := range x {
		u += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(u / n / (n - 1))
}

func correlationOf(x, y []float64) float64 {
	mx, ux := meanOf(x)
	my, uy := meanOf(y)
	var s float64
	for i := range x {
		s += (x[i] - mx) * (y[i] - my)
	}
	n := float64(len(x))
	return s / n / (n - 1) / (ux * uy)
}

func sumOf(x []float64) (float64, error) {
	var s float64
	for _, v := range x {
		s += v
	}
	return s, nil
}

// Shared cases UNC-05, -07, -09, -17: JCGM 101:2008 9.2.4 and 9.4 (first-order values), JCGM
// 100:2008 G.4.
func TestPropagateSmall(t *testing.T) {
	four := func(dof, last float64) []Input {
		return []Input{{Name: "a", U: 1, DOF: dof}, {Name: "b", U: 1, DOF: dof}, {Name: "c", U: 1, DOF: dof}, {Name: "d", U: last, DOF: dof}}
	}
	squares := func(x []float64) (float64, error) { return x[0]*x[0] + x[1]*x[1], nil }
	loss := func(x1 float64) []Input { return []Input{{Name: "x1", Value: x1, U: 0.005}, {Name: "x2", U: 0.005}} }
	for _, c := range []struct {
		name         string
		f            func([]float64) (float64, error)
		in           []Input
		corr         Correlation
		value, u     float64
		vt, ut       float64
		dof, high    float64
		dofTol, hTol float64
	}{
		{"UNC-17", sumOf, four(10, 1), nil, 0, 2, 1e-12, 1e-9, 40, 2 * 2.0211, 1e-6, 0.0002}, // t.975(40) = 2.0211, tables
		{"UNC-05", sumOf, four(0, 10), nil, 0, 10.1, 1e-12, 0.06, math.Inf(1), 19.9, 0, 0.06},
		{"UNC-07", squares, loss(0.01), nil, 0.0001, 0.0001, 1e-12, 1e-10, math.Inf(1), 0.0001 + 1.96e-4, 0, 1e-6},
		{"UNC-09", squares, loss(0), Correlation{{"x1", "x2", 0.9}}, 0, 0, 1e-12, 1e-12, math.Inf(1), 0, 0, 1e-12},
	} {
		b, err := Propagate(c.f, c.in, c.corr)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		near(t, c.name+" value", b.Value, c.value, c.vt)
		near(t, c.name+" u", b.U, c.u, c.ut)
		near(t, c.name+" high", b.High, c.high, c.hTol)
		if b.DOF != c.dof {
			near(t, c.name+" dof", b.DOF, c.dof, c.dofTol)
		}
	}
}

// Full correlation adds or cancels: JCGM 100:2008 5.2.2, note 1.
func TestPropagateFullCorrelation(t *testing.T) {
	in := []Input{{Name: "a", Value: 10, U: 0.3}, {Name: "b", Value: 10, U: 0.3}}
	ratio := func(x []float64) (float64, error) { return x[0] / x[1], nil }
	for _, c := range []struct {
		f    func([]float64) (float64, error)
		r, u float64
	}{{sumOf, 1, 0.6}, {sumOf, -1, 0}, {ratio, 1, 0}, {ratio, -1, 0.06}, {sumOf, 0, 0.3 * math.Sqrt2}} {
		b, err := Propagate(c.f, in, Correlation{{"a", "b", c.r}})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "u", b.U, c.u, 1e-8)
	}
	for _, dof := range [][2]float64{{5, 50}, {50, 5}} { // correlated: one contribution, the fewest degrees
		in[0].DOF, in[1].DOF = dof[0], dof[1]
		b, err := Propagate(sumOf, in, Correlation{{"a", "b", 0.5}})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "dof", b.DOF, 5, 1e-9)
	}
}

// Derivatives of bent functions, against those known in closed form.
func TestSensitivities(t *testing.T) {
	in := []Input{{Name: "x", Value: 1, U: 0.3}}
	for _, c := range []struct {
		name    string
		f       func(float64) float64
		x, want float64
	}{
		{"1/x", func(x float64) float64 { return 1 / x }, 1, -1},
		{"exp", math.Exp, 1, math.E},
		{"sin", math.Sin, 2, math.Cos(2)},
		{"steep", func(x float64) float64 { return math.Exp(10 * x) }, 0, 10}, // e^3 over one U
		{"large", func(x float64) float64 { return x * x }, 1e9, 2e9},
	} {
		in[0].Value = c.x
		b, err := Propagate(func(x []float64) (float64, error) { return c.f(x[0]), nil }, in, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, b.Lines[0].Sensitivity/c.want, 1, 1e-5)
	}
	// A function solved to nine digits only still gives its slope.
	b, err := Propagate(func(x []float64) (float64, error) { return math.Round(x[0]*3e9) / 1e9, nil },
		[]Input{{Name: "x", Value: 1, U: 1e-4}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rough", b.Lines[0].Sensitivity, 3, 1e-3)
}

// Standard uncertainty of bounded inputs: JCGM 100:2008 4.3.7 (a/√3), 4.3.9 (a/√6), H.1.3.4
// (a/√2), 4.3.8 (limits not about the estimate).
func TestBoundedInputs(t *testing.T) {
	for _, c := range []struct {
		in   Input
		want float64
	}{
		{Input{Name: "x", Value: 0, Dist: Rectangular, Low: -1, High: 1}, 1 / math.Sqrt(3)},
		{Input{Name: "x", Value: 0.5, Dist: Rectangular, Low: 0, High: 2}, 1 / math.Sqrt(3)},
		{Input{Name: "x", Value: 0, Dist: Triangular, Low: -1, High: 1}, 1 / math.Sqrt(6)},
		{Input{Name: "x", Value: 0, Dist: Arcsine, Low: -1, High: 1}, 1 / math.Sqrt2},
		{Input{Name: "x", Value: 7, U: 0.2, Dist: Rectangular}, 0.2},
	} {
		b, err := Propagate(sumOf, []Input{c.in}, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.in.Dist.String(), b.U, c.want, 1e-9)
		near(t, "value", b.Value, c.in.Value, 1e-12)
	}
}

func TestPropagateRefuses(t *testing.T) {
	a, b, c := Input{Name: "a", U: 1}, Input{Name: "b", U: 1}, Input{Name: "c", U: 1}
	with := func(change func(*Input)) []Input {
		in := Input{Name: "gain", Value: 1, U: 1}
		change(&in)
		return []Input{a, in}
	}
	nan := math.NaN()
	for _, k := range []struct {
		in   []Input
		corr Correlation
		says []string
	}{
		{with(func(i *Input) { i.Value = nan }), nil, []string{"input gain", "value"}},
		{with(func(i *Input) { i.Value = math.Inf(1) }), nil, []string{"input gain", "value"}},
		{with(func(i *Input) { i.U = -1 }), nil, []string{"input gain", "-1", "0 or more"}},
		{with(func(i *Input) { i.U = nan }), nil, []string{"input gain", "uncertainty"}},
		{with(func(i *Input) { i.DOF = -3 }), nil, []string{"input gain", "degrees of freedom"}},
		{with(func(i *Input) { i.Dist = StudentT }), nil, []string{"input gain", "degrees of freedom"}},
		{with(func(i *Input) { i.Dist = 99 }), nil, []string{"input gain", "distribution"}},
		{with(func(i *Input) { i.Dist, i.Low, i.High = Rectangular, 2, 1 }), nil, []string{"input gain", "2..1"}},
		{with(func(i *Input) { i.Dist, i.Low, i.High = Rectangular, 2, 3 }), nil, []string{"input gain", "between"}},
		{[]Input{a, a}, nil, []string{"input a", "twice"}},
		{[]Input{a, b}, Correlation{{"a", "b", 1.2}}, []string{"a and b", "1.2", "-1 to 1"}},
		{[]Input{a, b}, Correlation{{"a", "b", nan}}, []string{"a and b"}},
		{[]Input{a, b}, Correlation{{"a", "z", 0.5}}, []string{"a and z", "no such input"}},
		{[]Input{a, b}, Correlation{{"a", "a", 1}}, []string{"itself"}},
		{[]Input{a, b}, Correlation{{"a", "b", 0.5}, {"b", "a", 0.4}}, []string{"b and a", "0.5", "0.4"}},
		{[]Input{a, b, c}, Correlation{{"a", "b", 0.9}, {"a", "c", 0.9}, {"b", "c", -0.9}}, []string{"b and c", "semidefinite"}},
		{[]Input{a, b, c}, Correlation{{"a", "b", 1}, {"a", "c", 0.5}, {"b", "c", 0.4}}, []string{"b and c", "semidefinite"}},
	} {
		_, err := Propagate(sumOf, k.in, k.corr)
		refused(t, err, k.says...)
	}
	_, err := Propagate(func(x []float64) (float64, error) { return math.Log(x[0]), nil }, []Input{{Name: "p", Value: -1, U: 1}}, nil)
	refused(t, err, "p = -1", "finite")
	fault := errors.New("no operating point")
	_, err = Propagate(func(x []float64) (float64, error) {
		if x[0] > 1 {
			return 0, fault
		}
		return 1, nil
	}, []Input{{Name: "p", Value: 1, U: 1}}, nil)
	refused(t, err, "p = 1.03125", "no operating point")
	if !errors.Is(err, fault) {
		t.Errorf("error %v does not wrap its cause", err)
	}
	if _, err := CorrelationMatrix([]string{"a", "b"}, [][]float64{{1, 0.5}, {0.4, 1}}); err == nil {
		t.Error("an asymmetric matrix was taken")
	}
	if _, _, _, err := (Budget{U: 1, DOF: 3}).Interval(1); err == nil {
		t.Error("a level of 1 was taken")
	}
}

// t factors of JCGM 100:2008 Table G.2.
func TestStudentT(t *testing.T) {
	for _, c := range []struct{ dof, t90, t95, t99 float64 }{
		{1, 6.31, 12.71, 63.66}, {2, 2.92, 4.30, 9.92}, {3, 2.35, 3.18, 5.84}, {5, 2.02, 2.57, 4.03},
		{10, 1.81, 2.23, 3.17}, {16, 1.75, 2.12, 2.92}, {20, 1.72, 2.09, 2.85}, {50, 1.68, 2.01, 2.68},
		{100, 1.660, 1.984, 2.626}, {math.Inf(1), 1.645, 1.960, 2.576},
	} {
		tol := 0.005
		if c.dof >= 100 {
			tol = 0.0005
		}
		near(t, "t90", StudentTQuantile(0.95, c.dof), c.t90, tol)
		near(t, "t95", StudentTQuantile(0.975, c.dof), c.t95, tol)
		near(t, "t99", -StudentTQuantile(0.005, c.dof), c.t99, tol)
	}
	// Where the expansion for many degrees takes over, both agree.
	near(t, "t at 10^4", StudentTQuantile(0.999, 1.00001e4)/StudentTQuantile(0.999, 1e4), 1, 1e-8)
	near(t, "middle", StudentTQuantile(0.50001, 100), 2.51290258e-5, 1e-12) // computed independently, mpmath
}
