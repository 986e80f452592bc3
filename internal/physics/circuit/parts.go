package circuit

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

const (
	// LeastConductance is what every semiconductor and every electronic load lets through at least, in S. No leakage is
	// as small; it keeps the sums solvable and changes no current that anyone could read: 1 fA/kV.
	LeastConductance = 1e-18

	// MostResistance is the largest resistance accepted, in ohms. What insulates better is to be opened.
	MostResistance = 1e12

	// BranchBelow is the resistance in ohms under which its current is an unknown of its own.
	BranchBelow = 1e-3

	mostVolts = 1e9 // of a source, and of a node of a solution
	mostAmps  = 1e9
)

// A Diode is a junction with what lies around it:
//
//	i = Saturation·(exp(u/Emission) − 1) + u·Shunt + leakage(u) + breakdown(u),  v = u + Series·i   [C1]
//
// Zero values leave out what they stand for.
type Diode struct {
	Saturation float64 // A, ≥ 0
	Emission   float64 // n·k·T/q, V, > 0 where Saturation > 0
	Series     float64 // Ω, ≥ 0
	Shunt      float64 // conductance across the junction, S, ≥ 0; LeastConductance comes on top
	Leakage    Leakage
	Breakdown  Breakdown
}

// Leakage is a reverse current that grows with a power of the reverse voltage u:
//
//	leakage = −Current·((u + δ)^Exponent − δ^Exponent)/((Voltage + δ)^Exponent − δ^Exponent), δ = 26 mV   [C2]
//
// so that it is Current at Voltage and has a finite slope at 0, with which it goes on forward.
type Leakage struct {
	Current  float64 // A, ≥ 0
	Voltage  float64 // at which it flows, V, > 0 where Current > 0
	Exponent float64 // 0.1 … 3; 0 means 1. Schottky diodes have some 0.5 … 1
}

// Breakdown is the current beyond a reverse voltage:
//
//	breakdown = −Current·(exp((−u − Voltage)/Knee) − exp(−Voltage/Knee))   [C3]
type Breakdown struct {
	Voltage float64 // at Current, V, > 0; 0 means no breakdown
	Current float64 // A; 0 means 1 mA, at which most data sheets give it
	Knee    float64 // V by which the current grows e-fold; 0 means 0.2 % of Voltage and at least 26 mV (an estimate)
}

// A Panel is a single-diode model of cells in series, in light, in the dark and in reverse:
//
//	i = −Photocurrent + Saturation·(exp(u/A) − 1) + u/Shunt + breakdown(u),  v = u + Series·i   [C4]
//
// with i into the plus terminal.
type Panel struct {
	Photocurrent float64 // A, ≥ 0; 0 in the dark
	Saturation   float64 // A, ≥ 0
	A            float64 // n·Ns·k·T/q, V, > 0 where Saturation > 0
	Series       float64 // Ω, ≥ 0
	Shunt        float64 // Ω, > 0; 0 means none
	Breakdown    Breakdown

	// Bypass is one of the bypass diodes, Bypasses how many of them lie in series across the panel; nil
	// where there are none. For cells with different light add a Panel for each bypass diode.
	Bypass   *Diode
	Bypasses int // 0 means 1
}

// A Mosfet is a field-effect transistor as a switch: off, its body diode, its leakage and its
// avalanche; on, a resistance beside them. The body diode of an n-channel part points from source to drain.
type Mosfet struct {
	PChannel     bool
	OnResistance float64 // Ω, ≥ 0, see Channel.Resistance
	Body         Diode   // its Leakage is that of the whole part, its Breakdown the avalanche
}

// A Clamp is a suppressor diode: no current to speak of below Voltage, a little more voltage at much current.
type Clamp struct {
	Breakdown     Breakdown
	Series        float64 // Ω, ≥ 0: (clamping voltage − breakdown voltage)/peak current
	Leakage       Leakage // at the stand-off voltage
	Bidirectional bool    // both ways alike; else a diode forward
}

// A Load draws Current above Fade and nothing at or below 0 V; in between the current rises as
//
//	i = Current·x²·(3 − 2x), x = v/Fade   [C5]
//
// so it never feeds back. A regulator and what hangs on it draw the same current at any voltage and
// stop below their drop-out: take that as Fade.
type Load struct {
	Current float64 // A, ≥ 0
	Fade    float64 // V, > 0; 0 means 1 V
}

const (
	thermal   = 0.02585 // k·T/q at 300 K, V
	clampIs   = 1e-9    // A, forward of a clamp, with thermal for its emission: 0.43 V at 20 mA, an estimate
	avalanche = 1e-3    // A, at which a breakdown voltage counts unless said
	kneePart  = 0.002
)

// junction returns the junction of a diode.
func (d Diode) junction() junction {
	j := junction{is: d.Saturation, va: d.Emission, rs: d.Series, g: d.Shunt + LeastConductance}
	j.setLeakage(d.Leakage)
	j.setBreakdown(d.Breakdown)
	j.ready()
	return j
}

// check says what is wrong with a diode, or "".
func (d Diode) check() string {
	return first(
		ask("saturation current", d.Saturation, "A", 0, 1),
		askIf(d.Saturation > 0, "emission voltage", d.Emission, "V", 1e-3, 1e3),
		ask("series resistance", d.Series, "ohm", 0, MostResistance),
		ask("shunt conductance", d.Shunt, "S", 0, 1/BranchBelow),
		d.Leakage.check(), d.Breakdown.check())
}

func (l Leakage) check() string {
	return first(ask("leakage", l.Current, "A", 0, 1e3),
		askIf(l.Current > 0, "voltage of the leakage", l.Voltage, "V", 1e-3, 1e5),
		askIf(l.Exponent != 0, "exponent of the leakage", l.Exponent, "", 0.1, 3))
}

func (b Breakdown) check() string {
	return first(ask("breakdown voltage", b.Voltage, "V", 0, 1e5),
		askIf(b.Current != 0, "breakdown current", b.Current, "A", 1e-12, 1e3),
		askIf(b.Knee != 0, "breakdown knee", b.Knee, "V", 1e-3, 1e3))
}

func (p Panel) junction() junction {
	j := junction{is: p.Saturation, va: p.A, rs: p.Series, photo: p.Photocurrent, g: LeastConductance}
	if p.Shunt > 0 {
		j.g += 1 / p.Shunt
	}
	j.setBreakdown(p.Breakdown)
	j.ready()
	return j
}

func (p Panel) check() string {
	fault := first(ask("photocurrent", p.Photocurrent, "A", 0, 1e4),
		Diode{Saturation: p.Saturation, Emission: p.A, Series: p.Series, Breakdown: p.Breakdown}.check(),
		askIf(p.Shunt != 0, "shunt resistance", p.Shunt, "ohm", BranchBelow, MostResistance),
		ask("number of bypass diodes", float64(p.Bypasses), "", 0, 1000))
	if p.Bypass != nil {
		fault = first(fault, p.Bypass.check())
	}
	return fault
}

// bypass returns the bypass diodes as seen from plus to minus: one junction, turned round.
func (p Panel) bypass() junction {
	d := *p.Bypass
	if n := float64(p.Bypasses); n > 1 {
		d.Emission *= n
		d.Series *= n
		d.Shunt /= n
		d.Leakage.Voltage *= n
		d.Breakdown.Voltage *= n
		d.Breakdown.Knee *= n
	}
	return d.junction()
}

func (c Clamp) check() string {
	if c.Breakdown.Voltage == 0 {
		return "no breakdown voltage; want one above 0 V"
	}
	return first(c.Breakdown.check(), c.Leakage.check(), ask("series resistance", c.Series, "ohm", 0, MostResistance))
}

// junction returns that of a clamp from cathode to anode turned round: forward is from minus to plus.
func (c Clamp) junction() junction {
	j := junction{is: clampIs, va: thermal, rs: c.Series, g: LeastConductance}
	j.setBreakdown(c.Breakdown)
	if c.Bidirectional {
		j.is, j.vf, j.va = j.ir, j.vr, j.vb
	}
	j.setLeakage(c.Leakage)
	j.ready()
	return j
}

func (l Load) check() string {
	return first(ask("current", l.Current, "A", 0, 1e6), askIf(l.Fade != 0, "fading voltage", l.Fade, "V", 1e-3, 1e5))
}

func (l Load) junction() junction {
	j := junction{g: LeastConductance, draw: l.Current, fade: l.Fade}
	if l.Fade == 0 {
		j.fade = 1
	}
	j.ready()
	return j
}

func (j *junction) setLeakage(l Leakage) {
	if l.Current == 0 {
		return
	}
	j.power = l.Exponent
	if j.power == 0 || j.power == 1 {
		j.g += l.Current / l.Voltage
		j.power = 0
		return
	}
	j.leak0 = numeric.Pow(thermal, j.power)
	j.leak = l.Current / (numeric.Pow(l.Voltage+thermal, j.power) - j.leak0)
}

func (j *junction) setBreakdown(b Breakdown) {
	if b.Voltage == 0 {
		return
	}
	j.ir, j.vr, j.vb = b.Current, b.Voltage, b.Knee
	if j.ir == 0 {
		j.ir = avalanche
	}
	if j.vb == 0 {
		j.vb = max(thermal, kneePart*b.Voltage)
	}
}

// ask says that a value is outside its limits, or "".
func ask(what string, v float64, unit string, low, high float64) string {
	if v >= low && v <= high && !math.IsInf(v, 0) {
		return ""
	}
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s of %g%s; want %g to %g%s", what, v, unit, low, high, unit)
}

// askIf is ask where a value matters.
func askIf(asked bool, what string, v float64, unit string, low, high float64) string {
	if !asked {
		return ""
	}
	return ask(what, v, unit, low, high)
}

func first(faults ...string) string {
	for _, f := range faults {
		if f != "" {
			return f
		}
	}
	return ""
}
