package sweep

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
)

// The logs of these tests are simulated, with known truth; the units in them are invented.

// A rig is what the simulated log is made of: load switches that open while the supply falls and close while it
// rises.
type rig struct {
	open, shut float64 // V at 25 °C
	scatter    float64 // V from unit to unit
	repeats    float64 // V from sweep to sweep
	slope      float64 // V/K
	rate, step float64 // V/s, s
	noise      float64 // V of the supply
	jump       float64 // V, that the supply rises by when its load goes
	gain       float64 // relative error of the meter
	units      int
	kelvin     []float64 // of the sweeps
	sweeps     int       // up and down at each of them
}

var plain = rig{open: 22.8, shut: 25.2, scatter: 0.05, repeats: 0.004, rate: 0.01, step: 1, noise: 0.002, jump: 0.08, units: 4, kelvin: []float64{298.15}, sweeps: 3}

func (g rig) log(seed uint64) (in Input, open, shut []float64) {
	s := numeric.NewStream(31, seed)
	accuracy, err := quantity.ParseAccuracy("±(0.05 % + 3 digits)")
	if err != nil {
		panic(err)
	}
	in = Input{Name: "sweep", From: "bench/sweep.csv", Compensation: g.slope,
		Gauge: trace.Gauge{Digit: 0.001, Meter: &bench.Meter{Name: "bench-1", Accuracy: accuracy, Digit: 0.001}}}
	for range g.units {
		open, shut = append(open, g.open+g.scatter*s.Norm()), append(shut, g.shut+g.scatter*s.Norm())
		in.Units = append(in.Units, Unit{Serial: fmt.Sprintf("%04d", len(open))})
	}
	on := make([]bool, g.units)
	for i := range on {
		on[i] = true
	}
	t := 0.0
	for _, kelvin := range g.kelvin {
		in.sweeps(&s, g, kelvin, open, shut, on, &t)
	}
	return in, open, shut
}

func (in *Input) sweeps(s *numeric.Stream, g rig, kelvin float64, open, shut []float64, on []bool, t *float64) {
	for range g.sweeps {
		o, c := make([]float64, g.units), make([]float64, g.units)
		for u := range o {
			o[u] = open[u] + g.slope*(kelvin-298.15) + g.repeats*s.Norm()
			c[u] = shut[u] + g.slope*(kelvin-298.15) + g.repeats*s.Norm()
		}
		for _, leg := range [][2]float64{{26.5, 21.5}, {21.5, 26.5}} {
			falls := leg[1] < leg[0]
			n := int(math.Abs(leg[1]-leg[0]) / g.rate / g.step)
			offset := s.Float64()
			for i := range n {
				v := leg[0] + (leg[1]-leg[0])*(float64(i)+offset)/float64(n)
				free := 0.0
				for u := range on {
					if falls && v <= o[u] {
						on[u] = false
					}
					if !falls && v >= c[u] {
						on[u] = true
					}
					if !on[u] {
						free += g.jump
					}
					current := 0.001 * s.Norm()
					if on[u] {
						current += 1
					}
					in.Units[u].Response = append(in.Units[u].Response, current)
				}
				if g.units > 1 {
					free = 0 // the jump would move the others' points
				}
				in.Time = append(in.Time, *t)
				in.Supply = append(in.Supply, math.Round((v+free+g.noise*s.Norm())*(1+g.gain)*1000)/1000)
				in.Temperature = append(in.Temperature, kelvin+0.05*s.Norm())
				*t += g.step
			}
		}
	}
}

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Points, hysteresis and spread are those of the units, as often as their limits say, by a meter that errs.
func TestCoverage(t *testing.T) {
	const logs = 60
	var points, inside, gaps, insideGap int
	var between, width float64 // width: of a hysteresis, in that of a point
	for seed := range uint64(logs) {
		s := numeric.NewStream(32, seed)
		g := plain
		g.gain = s.Uniform(-0.0005, 0.0005)
		in, open, shut := g.log(seed)
		r := run(t, in)
		if len(r.Thresholds) != 2*g.units || len(r.Hysteresis) != g.units || len(r.Spreads) != 2 {
			t.Fatalf("log %d: %d points, %d hystereses, %d spreads", seed, len(r.Thresholds), len(r.Hysteresis), len(r.Spreads))
		}
		for _, th := range r.Thresholds {
			var u int
			fmt.Sscan(strings.TrimLeft(th.Unit, "0"), &u)
			truth := map[string]float64{Rising: shut[u-1], Falling: open[u-1]}[th.Direction]
			points++
			if th.Low <= truth && truth <= th.High {
				inside++
			}
			if math.Abs(th.Best-truth) > 0.03 || len(th.Points) != g.sweeps || th.Up != (th.Direction == Rising) {
				t.Errorf("log %d: %+v; want %g", seed, th, truth)
			}
		}
		for i, h := range r.Hysteresis {
			gaps++
			if truth := shut[i] - open[i]; h.Low <= truth && truth <= h.High {
				insideGap++
			}
			width += (h.High - h.Low) / (r.Thresholds[2*i].High - r.Thresholds[2*i].Low) / logs / float64(g.units)
		}
		between += r.Spreads[0].Between * r.Spreads[0].Between / logs
	}
	t.Logf("points within their limits: %d of %d; hysteresis: %d of %d, as wide as %.2f points; from unit to unit %.4f V", inside, points, insideGap, gaps, width, math.Sqrt(between))
	if inside < points*93/100 || insideGap < gaps*93/100 {
		t.Errorf("points within their limits: %d of %d; hysteresis: %d of %d", inside, points, insideGap, gaps)
	}
	if width > 0.7 { // two points whose errors do not cancel are as 1.41
		t.Errorf("a hysteresis is as uncertain as %.2f points: the meter's error does not cancel", width)
	}
	if got := math.Sqrt(between); math.Abs(got-plain.scatter) > 0.01 {
		t.Errorf("units differ by %g; want %g", got, plain.scatter)
	}
}

// A supply that jumps when its load goes does not move the point.
func TestJump(t *testing.T) {
	for _, jump := range []float64{0, 0.08, 0.5} {
		g := plain
		g.units, g.jump, g.sweeps = 1, jump, 2
		in, open, _ := g.log(5)
		r := run(t, in)
		for _, th := range r.Thresholds {
			if th.Direction == Falling && math.Abs(th.Best-open[0]) > 0.01 {
				t.Errorf("jump of %g V: opened at %g; want %g", jump, th.Best, open[0])
			}
		}
	}
}

// The slope over the temperature is found within its limits, offsets of the units apart, and a compensation that
// is off is told.
func TestDrift(t *testing.T) {
	const logs = 60
	inside := 0
	for seed := range uint64(logs) {
		g := plain
		g.slope, g.sweeps, g.kelvin = -0.036, 1, []float64{283.15, 298.15, 313.15}
		in, _, _ := g.log(seed)
		r := run(t, in)
		if len(r.Drifts) != 2 {
			t.Fatalf("%d drifts", len(r.Drifts))
		}
		if s := r.Drifts[0].Slope; s.Low <= g.slope && g.slope <= s.High {
			inside++
		}
		in.Compensation = -0.048
		told := false
		for _, w := range run(t, in).Warnings {
			told = told || strings.Contains(w.Text, "they are to follow it by -48.0 mV/K")
		}
		if !told {
			t.Fatal("a compensation that is off by a third is not told")
		}
	}
	t.Logf("slope within its limits: %d of %d", inside, logs)
	if inside < logs*88/100 {
		t.Errorf("slope within its limits: %d of %d", inside, logs)
	}
}

// JCGM 100:2008, H.5, table H.9: ten days with five observations each; printed: between days 43 µV, within 85 µV.
func TestSpread_h5(t *testing.T) {
	days := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	within := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	r := &Result{}
	for i := range days {
		r.Thresholds = append(r.Thresholds, Threshold{Direction: Rising, Unit: fmt.Sprint(i), Best: days[i], SD: within[i], Points: make([]Point, 5)})
	}
	r.spread(Rising)
	if s := r.Spreads[0]; math.Round(s.Between) != 43 || math.Round(s.Within) != 85 || math.Abs(s.Mean-97.1) > 1e-9 {
		t.Errorf("between %.1f, within %.1f, mean %.1f; printed 43, 85, 97", s.Between, s.Within, s.Mean)
	}
}

func TestRefuses(t *testing.T) {
	whole := func() Input { in, _, _ := plain.log(1); return in }
	few, still, never, nobody := whole(), whole(), whole(), whole()
	few.Time, few.Supply, few.Temperature = few.Time[:2], few.Supply[:2], nil
	for u := range few.Units {
		few.Units[u].Response = few.Units[u].Response[:2]
	}
	for i := range still.Supply {
		still.Supply[i] = 24
	}
	never.Units = never.Units[:1]
	for i := range never.Units[0].Response {
		never.Units[0].Response[i] = 0
	}
	nobody.Units = nil
	for _, c := range []struct {
		in   Input
		want string
	}{
		{few, "bench/sweep.csv: has 2 rows; want 20 or more"},
		{still, fmt.Sprintf("bench/sweep.csv: all %d voltages of the supply are 24.000 V; want a sweep", len(still.Supply))},
		{never, fmt.Sprintf("bench/sweep.csv: unit 0001 never switched: all of its %d values are alike; want a sweep over a switching point, and a column that shows it", len(never.Time))},
		{nobody, "bench/sweep.csv: no column shows when a unit switched; want its charge current, load current or output voltage"},
	} {
		if _, err := Run(context.Background(), c.in); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
}

func TestDoubts(t *testing.T) {
	fast := plain
	fast.rate, fast.sweeps, fast.open, fast.shut = 0.5, 1, 23.9, 24.5
	in, _, _ := fast.log(1)
	in.Gauge.Meter = nil
	r := run(t, in)
	for _, want := range []string{"the accuracy of the meter", "which is not small beside the hysteresis", "was swept at up to", "passed once only"} {
		found := false
		for _, w := range r.Warnings {
			found = found || strings.Contains(w.Text, want) && w.Remedy != ""
		}
		if !found {
			t.Errorf("%q is not said: %v", want, r.Warnings)
		}
	}
	for _, th := range r.Thresholds {
		if !th.Open || th.Low != th.High {
			t.Errorf("a meter that is not known limits nothing: %+v", th)
		}
	}
}

func TestPage(t *testing.T) {
	for _, kelvin := range [][]float64{{298.15}, {283.15, 298.15, 313.15}} {
		g := plain
		g.kelvin, g.slope = kelvin, -0.036
		in, _, _ := g.log(1)
		p := run(t, in).Page()
		said := strings.Join(p.Answer, " ")
		if !strings.HasPrefix(said, "Unit 0001 went on at 25.") || !strings.Contains(said, "they differ by a standard deviation of") {
			t.Errorf("answer %q", said)
		}
		for _, row := range p.Tables[0].Rows {
			if len(row) != len(p.Tables[0].Head) {
				t.Errorf("row %q", row)
			}
			said += strings.Join(row, " ")
		}
		drawing := p.Figures[0].Plot.Drawing(500)
		if strings.Contains(said+string(drawing.SVG()), "NaN") || strings.Contains(said, "Inf") {
			t.Errorf("page %s", said)
		}
	}
}
