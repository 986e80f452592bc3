package charge_test

import (
	"context"
	"math"
	"sync"
	"syscall"
	"testing"

	"hindwatt/internal/physics/battery"
	"hindwatt/internal/study/charge/year"
)

// The system and the weather are those of speed/c/model.h and wx.h: a panel of 36 cells, a Schottky diode, 80 Ah, one setpoint, a load by night.

const minutesOfYear = 525600

// weather makes the minutes of wx.h: clear sky by Haurwitz under clouds of a pseudo-random course, in seconds, taken as means of minutes.
var weather = sync.OnceValue(func() []year.Minute {
	state := uint64(0x9E3779B97F4A7C15)
	random := func() float64 {
		state ^= state << 13
		state ^= state >> 7
		state ^= state << 17
		return (float64(state>>11) + 0.5) * (1.0 / 9007199254740992.0)
	}
	sl, cl := math.Sincos(38.0 * math.Pi / 180)
	cover, tr, target, left, cloud := 0.5, 1.0, 1.0, 60.0, false
	minutes := make([]year.Minute, 0, minutesOfYear)
	for d := range 365 {
		cover = 0.6*cover + 0.4*random()
		cv := cover
		if cv < 0.3 {
			cv = 0.05
		} else if cv > 0.68 {
			cv = 0.95
		}
		sd, cd := math.Sincos(0.4093 * math.Sin(2*math.Pi*float64(284+d+1)/365))
		for m := range 1440 {
			sum := 0.0
			for s := range 60 {
				cz := sl*sd + cl*cd*math.Cos((float64(m*60+s)+0.5)/3600*math.Pi/12-math.Pi)
				if left <= 0 {
					cloud = !cloud
					mean := 600 * (1 - cv)
					if cloud {
						mean = 600 * cv
					}
					left = -max(mean, 20) * math.Log(random())
					if cloud {
						target = 0.18 + 0.35*random()
					} else {
						target = 0.97 + 0.08*(random()-0.5)
					}
				}
				left--
				tr += (target - tr) / 8
				if cz > 0.01 {
					sum += 1098 * cz * math.Exp(-0.057/cz) * tr
				}
			}
			g, t := sum/60, (float64(m)+0.5)/60
			air := 14 + 10*math.Sin(2*math.Pi*float64(d-110)/365)
			bat := air + 2*math.Sin((t-11)*math.Pi/12)
			air += 5 * math.Sin((t-9)*math.Pi/12)
			minute := year.Minute{Sun: g, Cell: air + 273.15 + 25.0/800*g, Air: air + 273.15 + 0.015*g, Battery: bat + 273.15}
			if g <= 0 {
				minute.Load = 0.30
			}
			minutes = append(minutes, minute)
		}
	}
	return minutes
})

// path is that of model.h: a Schottky diode and a resistance of 0.13 Ω.
var path = sync.OnceValue(func() *year.Path {
	var temperatures []float64
	for t := 248.15; t < 340; t += 5 {
		temperatures = append(temperatures, t)
	}
	p, err := year.NewPath(func(i, t float64) (float64, error) {
		r := t / 298.15
		return 1.05*8.617333e-5*t*math.Log1p(i/(2e-5*r*r*math.Exp(8007*(1/298.15-1/t)))) + 0.13*i, nil
	}, 5, temperatures)
	if err != nil {
		panic(err)
	}
	return p
})

// system returns that of model.h, or one of the eight of batch.c.
func system(t testing.TB, lane int) *year.Sim {
	t.Helper()
	const ah = 3600
	d := 0.01 * float64(lane)
	b, err := battery.New(battery.Cell{Full: 2.1, Fall: 0.076, Charging: 0.42 * ah, Mc: 0.888, Cc: 1.001, Discharging: 0.699 * ah, Md: 0.0464, Cd: 1.75,
		Gas: 0.020 / (100 * ah), GasPerVolt: 11, GasPerKelvin: 0.06}, 6, 80*ah)
	if err != nil {
		t.Fatal(err)
	}
	// model.h takes gassing from 20 °C, not from 298 K.
	b.Cell.Gas *= math.Exp(0.06 * (298 - 293.15))
	s, err := year.New(year.System{
		Panel: year.Panel{Photocurrent: 3 * (1 + d), PerKelvin: 0.0015, Thermal: 1.2024, Series: 0.35, Light: 1.0 / 150,
			Saturation: func(t float64) float64 {
				r := t / 298.15
				return 4e-8 * r * r * r * math.Exp(13009*(1/298.15-1/t))
			}},
		Path: path(), Battery: b, State: 0.8,
		Regulation: year.Regulation{Method: year.PWM, Absorption: 14.1 + d, PerKelvin: -0.024, Standby: 0.008, Disconnect: 12.2, Reconnect: 12.7},
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// cpu returns the processor time of the process so far, s: unlike a clock it does not mind what else the machine does.
func cpu(t testing.TB) float64 {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}

// BenchmarkYear is one year at one-minute steps on one core, against speed/c/year.c.
func BenchmarkYear(b *testing.B) {
	minutes := weather()
	begin := cpu(b)
	for b.Loop() {
		system(b, 0).Run(minutes)
	}
	report(b, begin, 1)
}

// report gives the time of one step of one year, by the clock and of the processors.
func report(b *testing.B, begin float64, years int) {
	steps := float64(b.N) * minutesOfYear * float64(years)
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/steps, "ns/step")
	b.ReportMetric((cpu(b)-begin)*1e9/steps, "cpu-ns/step")
}

// BenchmarkYears is eight years side by side on one core, and sixteen on all of them, for each year.
func BenchmarkYears(b *testing.B) {
	for _, c := range []struct {
		name  string
		years int
	}{{"eight", 8}, {"sixteen", 16}} {
		b.Run(c.name, func(b *testing.B) {
			rows := make([][]year.Minute, c.years)
			for i := range rows {
				rows[i] = weather()
			}
			begin := cpu(b)
			for b.Loop() {
				sims := make([]*year.Sim, c.years)
				for i := range sims {
					sims[i] = system(b, i%8)
				}
				if err := year.Run(context.Background(), sims, rows); err != nil {
					b.Fatal(err)
				}
			}
			report(b, begin, c.years)
		})
	}
}

// TestYearAgainstC holds the kernel to the C of speed/c/model.h, run with the state moved to the middle of each step by half of the charge of the step before: in
// steps of a minute to 1e-6 (the table of the path is what differs), in steps of a second to 1e-5. Both computed independently.
func TestYearAgainstC(t *testing.T) {
	s := system(t, 0)
	s.Run(weather())
	x := s.Totals()
	for _, c := range []struct {
		what                 string
		got, minute, seconds float64
	}{
		{"energy in, Wh", x.ChargedEnergy / 3600, 22194.703606, 22194.780802},
		{"charge in, Ah", x.Charged / 3600, 1616.674726, 1616.675840},
		{"gas, Ah", x.Gas / 3600, 209.593713, 209.595044},
		{"state at the end", 1 - s.Deficit()/(80*3600), 0.966762664, 0.966759949},
	} {
		t.Logf("%s: %.9g, off by %.1e, from seconds by %.1e", c.what, c.got, c.got/c.minute-1, c.got/c.seconds-1)
		if !(math.Abs(c.got/c.minute-1) <= 1e-6) || !(math.Abs(c.got/c.seconds-1) <= 1e-5) {
			t.Errorf("%s: %.9g, want %.9g, in seconds %.9g", c.what, c.got, c.minute, c.seconds)
		}
	}
	if at := x.AtSetpoint / 3600; math.Abs(at-2436.0167) > 0.02 {
		t.Errorf("%.4f h at the setpoint, want 2436.0167", at)
	}
	if x.Unsolved != 0 {
		t.Errorf("%d steps unsolved", x.Unsolved)
	}
}
