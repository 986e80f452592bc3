package fit

import (
	"context"
	"errors"
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// Velocities of an enzyme's reaction over concentration, treated: Bates and Watts 1988, table A1.3 (data of Treloar 1974).
var (
	concentration = []float64{0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.10, 1.10}
	velocity      = []float64{76, 47, 97, 107, 123, 139, 159, 152, 191, 201, 207, 200}
)

func enzyme() Problem {
	return Problem{Parameters: []Parameter{{Name: "θ1", Start: 205}, {Name: "θ2", Start: 0.08}}, Points: len(velocity), Residuals: func(p, r []float64) bool {
		for i, x := range concentration {
			r[i] = velocity[i] - p[0]*x/(p[1]+x)
		}
		return true
	}}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.8g, want %.8g ± %.1g", what, got, want, tol)
	}
}

// TestEnzyme: Bates and Watts 1988, 2.3 and 6.1: θ = (212.7, 0.0641), standard errors 6.95 and 0.00828, s = 10.93; profile limits
// at 95 % (197.3, 229.3) and (0.0469, 0.0862). From memory.
func TestEnzyme(t *testing.T) {
	r, err := Solve(enzyme())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "θ1", r.At[0], 212.7, 0.05)
	near(t, "θ2", r.At[1], 0.0641, 5e-5)
	near(t, "its standard error", r.SE[0], 6.95, 0.005)
	near(t, "its standard error", r.SE[1], 8.28e-3, 5e-6)
	near(t, "s", r.SD(), 10.93, 0.005)
	a, b := r.Profile(0, 0.95), r.Profile(1, 0.95)
	near(t, "θ1 low", a.Low, 197.3, 0.05)
	near(t, "θ1 high", a.High, 229.3, 0.05)
	near(t, "θ2 low", b.Low, 0.0469, 5e-5)
	near(t, "θ2 high", b.High, 0.0862, 5e-5)
}

// TestStraight: for a straight line, the profile and the curvature give the same limits.
func TestStraight(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6}
	y := []float64{2.1, 3.9, 6.2, 7.8, 10.1, 12.2}
	r, err := Solve(Problem{Parameters: []Parameter{{Name: "a"}, {Name: "b"}}, Points: len(x), Residuals: func(p, r []float64) bool {
		for i := range x {
			r[i] = y[i] - p[0] - p[1]*x[i]
		}
		return true
	}})
	if err != nil {
		t.Fatal(err)
	}
	for k := range 2 {
		i, p := r.Interval(k, 0.95), r.Profile(k, 0.95)
		near(t, "low", p.Low, i.Low, 1e-3*(i.High-i.Low))
		near(t, "high", p.High, i.High, 1e-3*(i.High-i.Low))
	}
	sum, err := r.Derived(0.95, func(p []float64) float64 { return p[0] + 3.5*p[1] }) // the mean: variance s²/n
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", (sum.High-sum.Low)/2, Student(0.95, 4)*r.SD()/math.Sqrt(6), 1e-6)
}

// TestBounds: a parameter that the readings push beyond its bound stays there, the others fit best under that; its profile ends at the bound.
func TestBounds(t *testing.T) {
	p := enzyme()
	p.Parameters[0].Min, p.Parameters[0].Max = 0, 200
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if r.At[0] != 200 || !r.AtBound[0] || r.AtBound[1] || r.SE[0] != 0 || !(r.SE[1] > 0) {
		t.Errorf("%+v", r)
	}
	if i := r.Profile(0, 0.95); i.High != 200 || !(i.Low < 200) {
		t.Errorf("%+v", i)
	}
}

// TestOpen: readings that do not bear on a parameter leave it open.
func TestOpen(t *testing.T) {
	p := Problem{Parameters: []Parameter{{Name: "a", Start: 1}, {Name: "b", Start: 1}}, Points: 4, Residuals: func(p, r []float64) bool {
		for i, y := range []float64{1, 2, 1.5, 1.2} {
			r[i] = y - p[0] - p[1]
		}
		return true
	}}
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if i := r.Interval(0, 0.95); r.Determined || !i.OpenLow || !i.OpenHigh {
		t.Errorf("determined %v, %+v", r.Determined, i)
	}
	if i := r.Profile(0, 0.95); !i.OpenLow || !i.OpenHigh {
		t.Errorf("%+v", i)
	}
}

// TestCoverage: over 400 sets, the limits at 95 % by profile hold what is known (over 1000: in 94.9 and 96.6 %).
func TestCoverage(t *testing.T) {
	const runs = 400
	held := make([][2]bool, runs)
	err := numeric.Parallel(context.Background(), runs, func(job int) error {
		s := numeric.NewStream(uint64(job))
		y := make([]float64, len(concentration))
		for i, x := range concentration {
			y[i] = 212.7*x/(0.0641+x) + 10.9*s.Norm()
		}
		p := enzyme()
		p.Residuals = func(p, r []float64) bool {
			for i, x := range concentration {
				r[i] = y[i] - p[0]*x/(p[1]+x)
			}
			return true
		}
		r, err := Solve(p)
		if err == nil {
			held[job] = [2]bool{r.Profile(0, 0.95).Holds(212.7), r.Profile(1, 0.95).Holds(0.0641)}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for k := range 2 {
		n := 0
		for _, h := range held {
			if h[k] {
				n++
			}
		}
		share := float64(n) / runs
		t.Logf("θ%d held in %.1f %%", k+1, 100*share)
		near(t, "share", share, 0.95, 3*math.Sqrt(0.95*0.05/runs)) // three standard deviations of the count
	}
}

// TestFollow: of an autoregression of known weights 0.5 and 0.2, 20,000 residuals give them back, and whitening leaves what
// was put in.
func TestFollow(t *testing.T) {
	s := numeric.NewStream(1)
	const n = 20_000
	r, put := make([]float64, n), make([]float64, n)
	for i := range r {
		put[i] = s.Norm()
		r[i] = put[i]
		if i > 1 {
			r[i] += 0.5*r[i-1] + 0.2*r[i-2]
		}
	}
	f := Follow(r, nil, 0, 2)
	if f.Order() != 2 {
		t.Fatalf("order %d, want 2", f.Order())
	}
	near(t, "first weight", f.weights[2][0], 0.5, 0.03)
	near(t, "second weight", f.weights[2][1], 0.2, 0.03)
	// variance of the mean over that of independent ones: σe²/(1-Σφ)² over γ0 = 1.7094 σe² (Brockwell and Davis 1991, 3.3)
	near(t, "effective part", f.Effective(n)/n, 0.3*0.3*1.7094, 0.02)
	f.Whiten(r, nil)
	for i := 2; i < n; i++ {
		if math.Abs(r[i]-put[i]) > 0.15 {
			t.Fatalf("residual %d is %v whitened, %v was put in", i, r[i], put[i])
		}
	}
}

func TestRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*Problem){
		"no parameters; want one or more":                                     func(p *Problem) { p.Parameters = nil },
		"2 readings for 2 parameters; want more readings than parameters":     func(p *Problem) { p.Points = 2 },
		"no formula; want one":                                                func(p *Problem) { p.Residuals = nil },
		"θ1: start NaN and scale 0; want finite numbers, the scale 0 or more": func(p *Problem) { p.Parameters[0].Start = math.NaN() },
		"θ1: bounds 3 and 3; want the first below the second":                 func(p *Problem) { p.Parameters[0].Min, p.Parameters[0].Max = 3, 3 },
		ErrNoStart.Error():                                                    func(p *Problem) { p.Residuals = func(_, r []float64) bool { r[0] = math.NaN(); return true } },
	} {
		p := enzyme()
		spoil(&p)
		if _, err := Solve(p); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if _, err := SolveFrom(enzyme(), []float64{1}); err == nil || errors.Is(err, ErrNoStart) {
		t.Error(err)
	}
}
