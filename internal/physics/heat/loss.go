package heat

import (
	"math"

	"hindwatt/internal/numeric"
)

// Reference is the temperature that data sheets mean by cold, K.
const Reference = Celsius0 + 25

// Conduction is what an on-resistance or any other resistance makes of a current.
type Conduction struct {
	Current    float64 // rms while it conducts, A
	Resistance float64 // at 25 °C, Ω
	Tempco     float64 // 1/K
	Quadratic  float64 // 1/K²
	Duty       float64 // share of time that it conducts
	Constant   float64 // heat beside it, such as switching, W
}

// At returns D·I²·R25·(1 + a·(T−25 °C) + b·(T−25 °C)²) + P0 [H15]; a resistance below 0 counts as 0.
func (c *Conduction) At(t float64) (p, slope float64) {
	d := t - Reference
	cold := c.Duty * c.Current * c.Current * c.Resistance
	if r := 1 + d*(c.Tempco+d*c.Quadratic); r > 0 {
		return cold*r + c.Constant, cold * (c.Tempco + 2*c.Quadratic*d)
	}
	return c.Constant, 0
}

// Rectifier is what a diode's forward drop makes of a current.
type Rectifier struct {
	Current float64 // A, mean while it conducts
	Drop    float64 // at 25 °C and this current without Series, V
	Tempco  float64 // V/K, below 0 for a junction
	Series  float64 // Ω, taken with the same current
	Duty    float64 // share of time that it conducts
}

// At returns D·I·(V25 + k·(T−25 °C) + R·I) [H16]; a drop below 0 counts as 0.
func (r *Rectifier) At(t float64) (p, slope float64) {
	i := r.Duty * r.Current
	if v := r.Drop + r.Tempco*(t-Reference) + r.Series*r.Current; v > 0 {
		return i * v, i * r.Tempco
	}
	return 0, 0
}

// Leakage is what a reverse current makes of a voltage.
type Leakage struct {
	Current  float64 // at 25 °C and this voltage, A
	Voltage  float64 // V
	Exponent float64 // 1/K; Doubling gives it
	Duty     float64 // share of time that it blocks
}

// DefaultLeakageExponent is that of Schottky diodes, 1/K: twice for each 12.6 K. Common practice, from a manufacturer's
// note on their junction temperature (MODELS as confirmed in a third text).
const DefaultLeakageExponent = 0.055

// Doubling returns the exponent of a current that doubles for each so many kelvin.
func Doubling(kelvin float64) float64 { return math.Ln2 / kelvin }

// At returns D·V·I25·exp(c·(T−25 °C)) [H17].
func (l *Leakage) At(t float64) (p, slope float64) {
	p = l.Duty * l.Voltage * l.Current * numeric.Exp(min(l.Exponent*(t-Reference), 500))
	return p, l.Exponent * p
}

// Sum is the heat of several losses in one place.
type Sum []Loss

// At adds them.
func (s Sum) At(t float64) (p, slope float64) {
	for _, loss := range s {
		q, d := loss.At(t)
		p, slope = p+q, slope+d
	}
	return p, slope
}

// Switching returns 0.5·V·I·(tr + tf)·f [H18], W, of a switch that turns a current on and off at f
// with straight edges.
//
//	voltage    across the open switch, V
//	current    A
//	rise, fall s
//	frequency  Hz
func Switching(voltage, current, rise, fall, frequency float64) float64 {
	return 0.5 * math.Abs(voltage*current) * (rise + fall) * frequency
}

// EdgeTime returns how long a gate stays at its plateau: Qgd·Rg/(Vdrive − Vplateau) [H19], s; for turning
// off give a drive of 0 V. None (ok false) where the drive does not reach past the plateau.
//
//	charge      gate to drain, C
//	resistance  of gate and driver, Ω
func EdgeTime(charge, resistance, drive, plateau float64) (s float64, ok bool) {
	beyond := math.Abs(drive - plateau)
	if beyond == 0 {
		return 0, false
	}
	return charge * resistance / beyond, true
}

// GateDrive returns Qg·V·f [H20], W, which the driver and the gate's resistor share.
func GateDrive(charge, drive, frequency float64) float64 { return charge * drive * frequency }

// Inductive returns the power of the energy ½·L·I² of leads at each turning off [H21], W.
func Inductive(inductance, current, frequency float64) float64 {
	return inductance * current * current / 2 * frequency
}

// Avalanche returns what a clamp or a switch in avalanche takes at each turning off when a source goes on feeding [H22], W:
// ½·L·I²·V/(V − Vs). ok is false where the clamp is not above the source.
func Avalanche(inductance, current, clamp, source, frequency float64) (w float64, ok bool) {
	if clamp <= source {
		return 0, false
	}
	return Inductive(inductance, current, frequency) * clamp / (clamp - source), true
}
