package year

import (
	"context"
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/panel"
)

const ah = 3600

// days makes minutes of a place of some latitude: a half sine of sun under clouds that come and go, air and battery that follow the day.
func days(n int, noon, celsius float64, load float64) []Minute {
	draw := numeric.NewStream(7)
	var minutes []Minute
	cloud := 1.0
	for m := range n * 1440 {
		if draw.Float64() < 0.1 {
			cloud = 0.2 + 0.85*draw.Float64()
		}
		hour := float64(m%1440)/60 + 1.0/120
		sun := noon * math.Sin((hour-6)/12*math.Pi) * cloud
		air := celsius + 6*math.Sin((hour-9)/12*math.Pi) + 273.15
		minute := Minute{Sun: max(sun, 0), Air: air, Battery: celsius + 2*math.Sin((hour-11)/12*math.Pi) + 273.15}
		minute.Cell = air + 25.0/800*minute.Sun
		if hour > 18 && hour < 23 {
			minute.Load = load
		}
		minutes = append(minutes, minute)
	}
	return minutes
}

// twenty is a panel of 20 W with 36 cells.
func twenty(scale float64) Panel {
	return Panel{Photocurrent: 1.287 * scale, PerKelvin: 6.4e-4 * scale, Thermal: 0.9, Series: 1.4 / scale, Light: scale / 300,
		Saturation: func(t float64) float64 {
			return scale * 5e-11 * math.Pow(t/298.15, 3) * math.Exp(1.121/8.617333e-5*(1/298.15-(1-0.0002677*(t-298.15))/t))
		}}
}

func system(t testing.TB, chemistry battery.Chemistry, capacity float64, panels float64, r Regulation) System {
	t.Helper()
	cells := 6
	if chemistry == battery.LiFePO4 {
		cells = 4
	}
	b, err := battery.New(battery.Defaults(chemistry, 20*3600), cells, capacity*ah)
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPath(schottky, 2*panels, steps(253.15, 353.15, 20))
	if err != nil {
		t.Fatal(err)
	}
	return System{Panel: twenty(panels), Path: p, Battery: b, Regulation: r, State: 0.7}
}

func start(t testing.TB, s System) *Sim {
	t.Helper()
	sim, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return sim
}

// inSeconds takes a simulation through minutes in steps of one second.
func inSeconds(s *Sim, minutes []Minute) {
	for i := range minutes {
		for range 60 {
			s.Advance(&minutes[i], 1)
		}
	}
}

func near1(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if off := math.Abs(got-want) / math.Abs(want); !(off <= relative) {
		t.Errorf("%s: %.9g, want %.9g: off by %.2g, %g allowed", what, got, want, off, relative)
	} else {
		t.Logf("%s: off by %.2g", what, off)
	}
}

// Steps of a minute against steps of a second, the weather of each minute held: pwm to 1e-5; on-off, timers and thresholds to 1e-4, of water 1e-3.
func TestMinuteAgainstSeconds(t *testing.T) {
	pwm := Regulation{Method: PWM, Absorption: 14.2, PerKelvin: -0.024, Standby: 0.005, Disconnect: 11.0, Reconnect: 12.4}
	stages := pwm
	stages.AbsorptionTime, stages.Float, stages.Rebulk = 5000, 13.6, 12.8
	onOff := pwm
	onOff.Method, onOff.Absorption, onOff.Hysteresis = OnOff, 14.4, 0.6
	low := pwm
	low.Disconnect, low.Reconnect = 11.9, 12.5
	for _, c := range []struct {
		name          string
		chemistry     battery.Chemistry
		r             Regulation
		load          float64
		charge, water float64
	}{
		{"pwm", battery.Flooded, pwm, 0.4, 1e-5, 1e-5},
		{"absorption and float", battery.AGM, stages, 0.4, 1e-4, 1e-3},
		{"on-off", battery.Flooded, onOff, 0.4, 1e-4, 1e-3},
		{"disconnect", battery.Flooded, low, 2.5, 1e-4, 1e-3},
		{"straight", battery.Flooded, Regulation{}, 0.2, 1e-5, 1e-5},
	} {
		t.Run(c.name, func(t *testing.T) {
			minutes := days(20, 900, 18, c.load)
			s := system(t, c.chemistry, 40, 1, c.r)
			a, b := start(t, s), start(t, s)
			a.Run(minutes)
			inSeconds(b, minutes)
			x, y := a.Totals(), b.Totals()
			near1(t, "energy", x.ChargedEnergy, y.ChargedEnergy, c.charge)
			near1(t, "charge", x.Charged, y.Charged, c.charge)
			near1(t, "gas", x.Gas, y.Gas, c.water)
			near1(t, "load", x.Load, y.Load, c.charge)
			if x.Disconnects != y.Disconnects || x.Unsolved+y.Unsolved > 0 {
				t.Errorf("disconnects %d, in seconds %d; unsolved %d", x.Disconnects, y.Disconnects, x.Unsolved+y.Unsolved)
			}
			if c.name == "disconnect" && x.Disconnects == 0 {
				t.Error("the load was never disconnected: nothing is tried here")
			}
		})
	}
}

// What passed is balanced, in charge and in energy, and the battery's deficit says the same as the sums.
func TestBalance(t *testing.T) {
	for c := battery.Flooded; c <= battery.LiFePO4; c++ {
		r := Regulation{Method: PWM, Absorption: 14.2, AbsorptionTime: 7200, Float: 13.5, PerKelvin: -0.02, Standby: 0.01, Ripple: 0.02,
			Disconnect: 11.5, Reconnect: 12.6, Night: Leak{At: 0.003, Voltage: 12.8, Slope: 0.001}}
		s := start(t, system(t, c, 40, 2, r))
		begin := s.Deficit()
		s.Run(days(60, 800, 5, 1.5))
		x := s.Totals()
		passed := x.Charged + x.Load
		if off := x.Charged - x.Stored - x.Gas - x.Load - x.Standby - x.Leak; !(math.Abs(off) <= 1e-9*passed) {
			t.Errorf("%v: %g C too many of %g", c, off, passed)
		}
		if off := begin - s.Deficit() - x.Stored + x.SelfDischarge; !(math.Abs(off) <= 1e-9*passed) {
			t.Errorf("%v: the deficit differs by %g C", c, off)
		}
		if x.StoredEnergy <= 0 || x.Unsolved != 0 || x.Leak <= 0 {
			t.Errorf("%v: %+v", c, x)
		}
	}
}

// The mean over the on-off cycle against a battery whose electrodes hold a charge of their own, in steps of half a millisecond.
func TestOnOffAgainstElectrodes(t *testing.T) {
	r := Regulation{Method: OnOff, Absorption: 14.4, Hysteresis: 0.8, Standby: 0.01}
	sys := system(t, battery.Flooded, 40, 1, r)
	sys.State = 0.99
	s := start(t, sys)
	m := Minute{Sun: 700, Cell: 313, Air: 298, Battery: 298}
	s.Advance(&m, Step)
	s.Advance(&m, Step)
	if !s.last.at {
		t.Fatal("does not reach the setpoint")
	}
	s.solve(&m, 0)
	mean, term := s.flow, s.now
	const farads, dt, seconds = 1.0, 0.0005, 400.0
	v, on, in, gas, volts, n := 14.0, true, 0.0, 0.0, 0.0, 0.0
	for range int(seconds / dt) {
		i := 0.0
		if on {
			i, _ = s.current(v)
		}
		g := s.gasAt(v)
		v += (i - term.mainAt(v) - g - term.ext) / farads * dt
		in, gas, volts, n = in+i, gas+g, volts+v, n+1
		if v >= r.Absorption {
			on = false
		} else if v <= r.Absorption-r.Hysteresis {
			on = true
		}
	}
	near1(t, "current in", mean.in, in/n, 5e-3)
	near1(t, "gas", mean.gas, gas/n, 5e-3)
	near1(t, "voltage", mean.v, volts/n, 1e-3)
}

// Common practice: a small panel straight on a healthy vented battery takes it far above any setpoint and dries it in weeks to months; with a controller it does not.
func TestStraightOnTheBattery(t *testing.T) {
	summer := days(60, 1000, 25, 0)
	s := system(t, battery.Flooded, 45, 1, Regulation{})
	s.Battery.Cell.Gas = 0.003 / (100 * ah) // a battery with calcium
	straight := start(t, s)
	highest := 0.0
	for i := range summer {
		straight.Advance(&summer[i], Step)
		highest = max(highest, straight.Voltage())
	}
	if !(highest > 16 && highest < 17.5) {
		t.Errorf("at most %.2f V, want more than 16 V", highest)
	}
	water := func(s *Sim) float64 { return 1e3 * battery.Water(s.Totals().Gas, 6, 0) / 60 }
	if g := water(straight); !(g > 5 && g < 20) {
		t.Errorf("%.1f g of water a day, want some 10", g)
	}
	s.Regulation = Regulation{Method: PWM, Absorption: 14.4, AbsorptionTime: 7200, Float: 13.6, PerKelvin: -0.03}
	held := start(t, s)
	held.Run(summer)
	if g := water(held); !(g < 0.1*water(straight)) {
		t.Errorf("%.2f g of water a day with a controller", g)
	}
}

// Ripple makes more gas: 4 % at 0.3 V peak to peak and half duty of a 12 V battery (computed independently: cosh(11/6 · 0.15)).
func TestRipple(t *testing.T) {
	s := start(t, system(t, battery.Flooded, 45, 1, Regulation{Method: PWM, Absorption: 14.4, Ripple: 0.3}))
	near1(t, "growth", s.rippled(1, 0.5), math.Cosh(11.0/6*0.15), 1e-12)
}

// A battery that is empty, cut off or frozen, a panel that is too weak or too strong: finite sums and nothing unsolved.
func TestHardCases(t *testing.T) {
	lithium := Regulation{Method: PWM, Absorption: 15.5, Standby: 0.02}
	for name, c := range map[string]struct {
		chemistry battery.Chemistry
		panels    float64
		celsius   float64
		load      float64
		r         Regulation
	}{
		"empty":             {battery.Flooded, 0.05, 5, 3, Regulation{Method: PWM, Absorption: 14.2, Standby: 0.02}},
		"protected":         {battery.LiFePO4, 20, 25, 0.1, lithium},
		"protected, frost":  {battery.LiFePO4, 5, -3, 2, lithium},
		"straight, strong":  {battery.AGM, 40, 35, 0, Regulation{}},
		"on-off, weak":      {battery.Gel, 0.01, 35, 0, Regulation{Method: OnOff, Absorption: 14, Hysteresis: 0.5}},
		"no float":          {battery.LiFePO4, 5, 20, 2, Regulation{Method: PWM, Absorption: 14, AbsorptionTime: 600, Rebulk: 13.2}},
		"setpoint too low":  {battery.AGM, 5, 20, 0.1, Regulation{Method: PWM, Absorption: 11}},
		"hysteresis at all": {battery.AGM, 5, 20, 0.1, Regulation{Method: OnOff, Absorption: 13.2, Hysteresis: 5}},
	} {
		t.Run(name, func(t *testing.T) {
			s := start(t, system(t, c.chemistry, 20, c.panels, c.r))
			minutes := days(30, 1000, c.celsius, c.load)
			for i := range minutes {
				s.Advance(&minutes[i], Step)
				if v := s.Voltage(); math.IsNaN(v) || math.Abs(v) > 60 || math.IsNaN(s.Deficit()) {
					t.Fatalf("minute %d: %g V, deficit %g", i, v, s.Deficit())
				}
			}
			x := s.Totals()
			t.Logf("%.3f Ah in, state %.3f, least %.3f, unmet %.1f Ah, disconnects %d", x.Charged/ah, s.State(), x.Least, x.Unmet/ah, x.Disconnects)
			if x.Unsolved > 0 || s.State() < -0.05 || s.State() > 1 {
				t.Errorf("unsolved %d, state %g", x.Unsolved, s.State())
			}
		})
	}
}

// Equalising each ten days: on two or three of thirty days the voltage is above that of absorption, for the time asked.
func TestEqualises(t *testing.T) {
	r := Regulation{Method: PWM, Absorption: 14.4, AbsorptionTime: 3600, Float: 13.6, Equalise: 15, EqualiseTime: 5400, EqualiseEvery: 10 * 86400}
	s := start(t, system(t, battery.Flooded, 20, 3, r))
	s.reg.PerKelvin = 0
	minutes := days(30, 900, 20, 0.1)
	above := 0.0
	for i := range minutes {
		begin := s.sums.at
		s.Advance(&minutes[i], Step)
		if s.Voltage() > 14.99 || s.equal {
			above += s.sums.at - begin
		}
	}
	if n := above / r.EqualiseTime; math.Abs(n-2) > 0.03 {
		t.Errorf("%.3f times, want 2", n)
	}
}

// Amorphous silicon: at points of operation of a year the current is that of the panel's own package.
func TestAmorphous(t *testing.T) {
	p := panel.Panel{Reference: panel.Curve{Photocurrent: 1, Saturation: 1e-9, Thermal: 1.1, Series: 2, Shunt: 200, Recombination: 1.6, BuiltIn: 27}, Cells: 30, Tempco: 8e-4}
	sys := system(t, battery.AGM, 40, 1, Regulation{})
	sys.Panel = FromPanel(&p)
	flat, err := NewPath(func(i, _ float64) (float64, error) { return 0.01 * i, nil }, 2, []float64{298.15})
	if err != nil {
		t.Fatal(err)
	}
	sys.Path = flat
	s := start(t, sys)
	for _, sun := range []float64{50, 300, 1000} {
		for _, v := range []float64{9, 12.5, 15} {
			m := Minute{Sun: sun, Cell: 320, Air: 298, Battery: 298}
			s.light(&m)
			got, drop := s.current(v)
			curve := p.At(sun, 320)
			near1(t, "current", got, curve.Current(v+drop), 1e-6)
		}
	}
}

func TestProtectionOpens(t *testing.T) {
	s := start(t, system(t, battery.LiFePO4, 20, 10, Regulation{}))
	opened := false
	minutes := days(3, 1000, 25, 0)
	for i := range minutes {
		s.Advance(&minutes[i], Step)
		opened = opened || s.guard.NoCharge
	}
	if !opened || s.State() > 1.005 {
		t.Errorf("opened: %v, state %g", opened, s.State())
	}
	if x := s.Totals(); x.Gas != 0 {
		t.Errorf("%g C of gas in lithium", x.Gas)
	}
}

// Side by side or alone, on one core or many: the same bits.
func TestSameBits(t *testing.T) {
	minutes := days(10, 900, 15, 0.5)
	sys := system(t, battery.AGM, 40, 1, Regulation{Method: PWM, Absorption: 14.2, AbsorptionTime: 5000, Float: 13.6})
	alone := start(t, sys)
	alone.Run(minutes)
	var sims []*Sim
	var rows [][]Minute
	for range 2*Lanes + 3 {
		sims, rows = append(sims, start(t, sys)), append(rows, minutes)
	}
	if err := Run(context.Background(), sims, rows); err != nil {
		t.Fatal(err)
	}
	for _, s := range sims {
		if s.Totals() != alone.Totals() {
			t.Fatalf("%+v, alone %+v", s.Totals(), alone.Totals())
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Run(ctx, sims, rows); err == nil {
		t.Error("goes on when told to stop")
	}
	if err := Run(context.Background(), sims, rows[1:]); err == nil {
		t.Error("takes fewer rows than simulations")
	}
}

func TestMinutesThatCannotBe(t *testing.T) {
	good := Minute{Sun: 500, Cell: 300, Air: 290, Battery: 290}
	for _, spoil := range []func(m *Minute){
		func(m *Minute) { m.Sun = math.NaN() }, func(m *Minute) { m.Sun = -1 }, func(m *Minute) { m.Cell = 25 },
		func(m *Minute) { m.Battery = math.Inf(1) }, func(m *Minute) { m.Load = -1 },
	} {
		m := good
		spoil(&m)
		s := start(t, system(t, battery.AGM, 40, 1, Regulation{Method: PWM, Absorption: 14.2}))
		if err := Run(context.Background(), []*Sim{s}, [][]Minute{{good, m}}); err == nil {
			t.Errorf("%+v is taken", m)
		}
	}
}

func TestCyclesOfAYear(t *testing.T) {
	sum := 0.0
	s := start(t, system(t, battery.AGM, 40, 1, Regulation{Method: PWM, Absorption: 14.2}))
	s.Rainflow = battery.NewRainflow(func(size, cycles float64) { sum += size * cycles })
	s.Run(days(40, 700, 15, 0.5))
	s.Rainflow.End()
	want := s.Totals().Through / 2 / (40 * ah)
	near1(t, "full-equivalent cycles", sum, want, 0.03) // up to what never closes
}

func TestRefuses(t *testing.T) {
	good := system(t, battery.AGM, 40, 1, Regulation{Method: PWM, Absorption: 14.2})
	for name, spoil := range map[string]func(s *System){
		"no battery":     func(s *System) { s.Battery = nil },
		"no path":        func(s *System) { s.Path = nil },
		"state":          func(s *System) { s.State = 1.2 },
		"not a number":   func(s *System) { s.Panel.Series = math.NaN() },
		"no setpoint":    func(s *System) { s.Regulation.Absorption = 0 },
		"no hysteresis":  func(s *System) { s.Regulation.Method = OnOff },
		"reconnects low": func(s *System) { s.Regulation.Disconnect, s.Regulation.Reconnect = 12, 11 },
		"rebulk":         func(s *System) { s.Regulation.Float, s.Regulation.Rebulk = 13, 13.5 },
	} {
		s := good
		spoil(&s)
		if _, err := New(s); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// What recombines in a sealed battery is bounded minute by minute as package battery bounds it.
func TestOverwhelmed(t *testing.T) {
	setup := system(t, battery.AGM, 10, 2, Regulation{})
	sim, b := start(t, setup), setup.Battery
	var want float64
	for range 600 {
		sim.Advance(&Minute{Sun: 900, Cell: 320, Air: 300, Battery: 300}, Step)
		want += (sim.Gassing() - b.Recombined(sim.Gassing())) * Step
	}
	got := sim.Totals()
	escaped := got.Gas - b.Cell.Recombination*(got.Gas-got.Overwhelming)
	if !(math.Abs(escaped-want) < 1e-9*want) || !(got.Overwhelming > 0) {
		t.Errorf("%g C escape of %g C, overwhelming %g C; want %g C", escaped, got.Gas, got.Overwhelming, want)
	}
}

// The gassing voltage moves by -5 mV/K a cell (handbooks' tables, common practice): a battery held at 2.40 V a cell counts as gassing at 25 °C (2.35 V) and not at
// 10 °C (2.425 V).
func TestGassingVoltageMoves(t *testing.T) {
	for celsius, gasses := range map[float64]bool{25: true, 10: false} {
		s := system(t, battery.Flooded, 10, 3, Regulation{Method: PWM, Absorption: 14.4})
		s.State = 1
		sim := start(t, s)
		for range 120 {
			sim.Advance(&Minute{Sun: 900, Cell: 310, Air: 298.15, Battery: celsius + 273.15}, Step)
		}
		if v := sim.Voltage(); math.Abs(v-14.4) > 1e-9 {
			t.Fatalf("held at %g V", v)
		}
		if got := sim.Totals().AboveGassing > 3600; got != gasses {
			t.Errorf("%g °C: %g s above the gassing voltage", celsius, sim.Totals().AboveGassing)
		}
	}
}

// A delay of disconnection lets the load go on for just that long, found within the minute, and a sag that is shorter cuts nothing off.
func TestDisconnectDelay(t *testing.T) {
	lasts := func(delay float64) float64 {
		s := system(t, battery.Flooded, 10, 1, Regulation{Method: PWM, Absorption: 14.4, Disconnect: 11.5, Reconnect: 12.8, DisconnectDelay: delay})
		sim := start(t, s)
		for range 2000 {
			sim.Advance(&Minute{Cell: 290, Air: 290, Battery: 290, Load: 1}, Step)
		}
		x := sim.Totals()
		if x.Disconnects != 1 {
			t.Errorf("delay %g s: %d disconnections", delay, x.Disconnects)
		}
		return x.Load
	}
	at0 := lasts(0)
	for _, delay := range []float64{10, 100, 300} {
		near1(t, "the load lasts longer by", lasts(delay)-at0, delay, 2e-2)
	}
	s := system(t, battery.Flooded, 10, 1, Regulation{Method: PWM, Absorption: 14.4, Disconnect: 11.8, Reconnect: 12.8, DisconnectDelay: 150})
	sim, sags := start(t, s), 0
	for n := range 600 {
		load := 0.01
		if n%10 < 2 {
			load = 4 // for two minutes
		}
		sim.Advance(&Minute{Cell: 290, Air: 290, Battery: 290, Load: load}, Step)
		if sim.State() < 0.4 {
			break
		}
		if n%10 < 2 && sim.Voltage() < 11.8 {
			sags++
		}
	}
	if sags < 10 {
		t.Errorf("%d minutes below the level: no sags to speak of", sags)
	}
	if x := sim.Totals(); x.Disconnects != 0 {
		t.Errorf("%d disconnections by sags of two minutes", x.Disconnects)
	}
}
