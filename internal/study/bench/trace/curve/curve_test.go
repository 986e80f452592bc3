package curve

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

// The logs of these tests are simulated, with known truth; the controller in them is invented.

// A day is what the simulated log is made of.
type day struct {
	absorption, float float64 // V at 25 °C
	compensation      float64 // V/K
	noise, follows    float64 // V, and how closely a value follows the one before
	gain              float64 // relative error of the meter
	digit             float64
	step              float64 // s
	clouds            bool
}

var plain = day{absorption: 28.8, float: 27.3, compensation: -0.036, noise: 0.004, follows: 0.6, digit: 0.01, step: 10}

const (
	sunrise, full, over, sunset = 6 * 3600.0, 11 * 3600.0, 13 * 3600.0, 18 * 3600.0
	tempAmplitude               = 6.0
)

// log makes a day's log: night, bulk from 25.4 V, absorption from 11:00 to 13:00, float, night from 18:00.
func (d day) log(seed uint64) Input {
	s := numeric.NewStream(21, seed)
	in := Input{Name: "day", From: "bench/day.csv", Compensation: d.compensation,
		Gauge:   trace.Gauge{Digit: d.digit, Meter: meter("±(0.1 % + 1 digits)", d.digit)},
		Targets: []Target{{"absorption", 28.8}, {"float", 27.3}}}
	wander := 0.0
	for t := 0.0; t < 24*3600; t += d.step {
		celsius := 18 + tempAmplitude*math.Sin(2*math.Pi*(t/86400-0.4))
		shift := d.compensation * (celsius - 25)
		v, current, panel := 25.4-0.1*t/sunrise, 0.0, 2.0
		sun := math.Sin(math.Pi * (t - sunrise) / (sunset - sunrise))
		if t >= sunrise && t < sunset {
			current, panel = 5*sun, 33.0
			held := d.absorption + shift
			switch {
			case t < full:
				x := (t - sunrise) / (full - sunrise)
				begin, end := 25.3, d.absorption+d.compensation*(18+tempAmplitude*math.Sin(2*math.Pi*(full/86400-0.4))-25)
				v = begin + (end-begin)*(0.6*x+0.4*x*x)
			case t < over:
				v, current = held, 5*sun*math.Exp(-(t-full)/2400)
			default:
				v = d.float + shift + (d.absorption-d.float)*math.Exp(-(t-over)/240)
				current = 0.3
			}
			if d.clouds && t > full+2000 && t < full+2180 {
				v, current = v-0.6, 0.2
			}
		} else if t >= sunset {
			v = 25.6 + (d.float+shift-25.6)*math.Exp(-(t-sunset)/1500)
		}
		wander = d.follows*wander + d.noise*math.Sqrt(1-d.follows*d.follows)*s.Norm()
		v = (v + wander) * (1 + d.gain)
		in.Time = append(in.Time, t)
		in.Voltage = append(in.Voltage, math.Round(v/d.digit)*d.digit)
		in.Current = append(in.Current, current+0.002*s.Norm())
		in.Panel = append(in.Panel, panel+0.05*s.Norm())
		in.Temperature = append(in.Temperature, 273.15+celsius+0.05*s.Norm())
	}
	return in
}

func meter(accuracy string, digit float64) *bench.Meter {
	a, err := quantity.ParseAccuracy(accuracy)
	if err != nil {
		panic(err)
	}
	return &bench.Meter{Name: "bench-2", Accuracy: a, Digit: digit, From: "bench/meters.toml:14"}
}

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func story(r *Result) string {
	var out []string
	for _, p := range r.Phases {
		out = append(out, fmt.Sprintf("%s %.1f", p.Name, p.Begin/3600))
	}
	return strings.Join(out, ", ")
}

func plateauOf(t *testing.T, r *Result, name string) *Plateau {
	t.Helper()
	p := r.Plateau(name)
	if p == nil {
		t.Fatalf("no %s in %s", name, story(r))
	}
	return p
}

// The phases of a day are told whatever was logged beside the voltage, with clouds and without, and also
// where nobody knows the levels.
func TestPhases(t *testing.T) {
	cloudy := plain
	cloudy.clouds = true
	for name, change := range map[string]func(*Input){
		"everything":              func(*Input) {},
		"no current":              func(in *Input) { in.Current = nil },
		"no panel":                func(in *Input) { in.Panel = nil },
		"voltage alone":           func(in *Input) { in.Panel, in.Current = nil, nil },
		"no targets":              func(in *Input) { in.Targets = nil },
		"voltage, no targets":     func(in *Input) { in.Panel, in.Current, in.Targets = nil, nil, nil },
		"voltage, no temperature": func(in *Input) { in.Panel, in.Current, in.Targets, in.Temperature = nil, nil, nil, nil },
	} {
		for _, d := range []day{plain, cloudy} {
			in := d.log(1)
			change(&in)
			r := run(t, in)
			var names []string
			for _, p := range r.Phases {
				names = append(names, p.Name)
			}
			if got := strings.Join(names, " "); got != "night bulk absorption float night" {
				t.Errorf("%s, clouds %v: %s", name, d.clouds, story(r))
				continue
			}
			for i, want := range []float64{0, sunrise, full, over, sunset} {
				if off := r.Phases[i].Begin - want; math.Abs(off) > 900 {
					t.Errorf("%s: %s begins %.0f s off", name, r.Phases[i].Name, off)
				}
			}
		}
	}
}

// Levels, onset and drift lie within their limits as often as these say, with a meter that errs by any part
// of its limit. Levels are those at the mean temperature of their rows.
func TestCoverage(t *testing.T) {
	const days = 60
	held := map[string]int{}
	for seed := range uint64(days) {
		s := numeric.NewStream(22, seed)
		d := plain
		d.gain = s.Uniform(-0.001, 0.001)
		r := run(t, d.log(seed))
		for name, truth := range map[string]float64{"absorption": d.absorption, "float": d.float} {
			p := plateauOf(t, r, name)
			if is := truth + d.compensation*(p.Temperature.Best-298.15); p.Level.Low <= is && is <= p.Level.High {
				held[name]++
			}
			if name == "float" && p.Drift != nil && p.Drift.Slope.Low <= d.compensation && d.compensation <= p.Drift.Slope.High {
				held["drift"]++
			}
		}
		if r.Onset != nil && r.Onset.From <= full && full <= r.Onset.Until {
			held["onset"]++
		}
	}
	t.Logf("%v of %d", held, days)
	for _, name := range []string{"absorption", "float", "drift", "onset"} {
		if held[name] < days*86/100 {
			t.Errorf("%s is within its limits in %d of %d logs", name, held[name], days)
		}
	}
}
