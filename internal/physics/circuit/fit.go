package circuit

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

const (
	// Reference is the temperature of data sheets, 25 °C, in K.
	Reference = 298.15

	kPerQ = 8.617333262e-5 // Boltzmann constant over elementary charge, V/K (CODATA 2018, exact)

	// LeakageGrowth is by how much the leakage of a Schottky diode grows per kelvin, relative: e-fold in 18 K. Worked
	// example of a manufacturer's application note on junction temperature limits.
	LeakageGrowth = 0.055

	idealityLow, idealityHigh = 0.9, 2.5 // of a fit: wider than any real junction at its rated current
	idealityTypical           = 1.1      // where the points do not tell it, an estimate for Schottky diodes
)

// A Point is one of a forward curve.
type Point struct {
	Current     float64 // A, > 0
	Voltage     float64 // V, > 0
	Temperature float64 // K; 0 means Reference
}

// DiodeData is what a data sheet says of a diode.
type DiodeData struct {
	Forward  []Point // at least one
	Tempco   float64 // of the forward voltage, V/K, negative; 0 takes that of the points, or −1.5 mV/K (an estimate for Schottky diodes)
	Ideality float64 // 0 to fit it

	Leakage       Leakage // at Reference
	LeakageGrowth float64 // per kelvin; 0 means the constant LeakageGrowth
	Breakdown     Breakdown
}

// A DiodeFit is a diode at any temperature.
type DiodeFit struct {
	Ideality  float64 // n
	Series    float64 // Ω
	Tempco    float64 // V/K at Current
	Current   float64 // A, the geometric mean of the points, at which the forward voltage moves by exactly Tempco
	Drop      float64 // V, forward at Current and Reference
	Residual  float64 // root mean square of the points' distances from the curve, V
	data      DiodeData
	reference float64 // saturation current at Reference, A
}

const tempcoTypical = -1.5e-3 // V/K

// FitDiode fits ideality, saturation and series resistance to the forward points by least squares of the voltage:
//
//	V = n·(k·T/q)·ln(1 + I/Is) + Rs·I, 0.9 ≤ n ≤ 2.5, Rs ≥ 0   [C7]
//
// One point is met exactly with n = 1.1 and no resistance; two where the limits allow. Points at other temperatures
// are moved to Reference by Tempco. The error names an impossible value.
func FitDiode(d DiodeData) (*DiodeFit, error) {
	if fault := d.check(); fault != "" {
		return nil, &ValueError{fault}
	}
	f := &DiodeFit{Tempco: d.Tempco, data: d}
	if f.Tempco == 0 {
		f.Tempco = d.tempco()
	}
	points := make([]Point, len(d.Forward))
	sum := 0.0
	for i, p := range d.Forward {
		if p.Temperature != 0 {
			p.Voltage -= f.Tempco * (p.Temperature - Reference)
		}
		if !(p.Voltage > 0) {
			return nil, &ValueError{fmt.Sprintf("forward voltage of %g V at 25 °C by the temperature coefficient; want more than 0 V", p.Voltage)}
		}
		points[i] = p
		sum += numeric.Log(p.Current)
	}
	f.Current = numeric.Exp(sum / float64(len(points)))
	c := bestCurve(points, d.Ideality)
	f.Ideality, f.Series = c.a/(kPerQ*Reference), c.rs
	f.reference = f.Current / (numeric.Exp((c.v1+c.a*numeric.Log(f.Current))/c.a) - 1)
	f.Drop = f.voltage(f.Current)
	squares := 0.0
	for _, p := range points {
		over := p.Voltage - f.voltage(p.Current)
		squares += over * over
	}
	f.Residual = math.Sqrt(squares / float64(len(points)))
	return f, nil
}

func (d DiodeData) check() string {
	if len(d.Forward) == 0 {
		return "no forward point; want at least one current with its voltage"
	}
	for _, p := range d.Forward {
		fault := first(ask("forward current", p.Current, "A", 1e-9, 1e5), ask("forward voltage", p.Voltage, "V", 1e-3, 100),
			askIf(p.Temperature != 0, "temperature", p.Temperature, "K", 150, 600))
		if fault != "" {
			return fault
		}
	}
	return first(ask("temperature coefficient", d.Tempco, "V/K", -0.1, 0.1), askIf(d.Ideality != 0, "ideality", d.Ideality, "", 0.5, 10),
		ask("growth of the leakage", d.LeakageGrowth, "1/K", 0, 0.5), d.Leakage.check(), d.Breakdown.check())
}

// tempco returns that between points of the same current at different temperatures, or the typical one.
func (d DiodeData) tempco() float64 {
	sum, weight := 0.0, 0.0
	for i, p := range d.Forward {
		for _, q := range d.Forward[:i] {
			if kelvins := p.kelvin() - q.kelvin(); math.Abs(p.Current-q.Current) <= 1e-6*p.Current && kelvins != 0 {
				sum += (p.Voltage - q.Voltage) * kelvins
				weight += kelvins * kelvins
			}
		}
	}
	if weight == 0 {
		return tempcoTypical
	}
	return sum / weight
}

func (p Point) kelvin() float64 {
	if p.Temperature == 0 {
		return Reference
	}
	return p.Temperature
}

// forward is V = v1 + a·ln I + rs·I.
type forward struct{ v1, a, rs, squares float64 }

// bestCurve fits by least squares within the limits. The sum of squares is convex, so the best is either
// within them or on a side: each is tried.
func bestCurve(points []Point, ideality float64) forward {
	unit := kPerQ * Reference
	low, high := idealityLow*unit, idealityHigh*unit
	if ideality != 0 {
		low, high = ideality*unit, ideality*unit
	}
	tries := []forward{fixedSlope(points, low, true), fixedSlope(points, high, true), fixedSlope(points, low, false), fixedSlope(points, high, false)}
	if ideality == 0 && len(points) <= 2 {
		typical := fixedSlope(points, idealityTypical*unit, len(points) == 2)
		if typical.rs >= 0 {
			return typical
		}
	}
	if ideality == 0 && len(points) > 1 {
		tries = append(tries, freeSlope(points, false))
	}
	if ideality == 0 && len(points) > 2 {
		tries = append(tries, freeSlope(points, true))
	}
	best := forward{squares: math.Inf(1)}
	const slack = 1e-9
	for _, t := range tries {
		if t.rs >= 0 && t.a >= low*(1-slack) && t.a <= high*(1+slack) && t.squares < best.squares {
			best = t
		}
	}
	return best
}

// fixedSlope fits v1, and rs if asked for, for a given a.
func fixedSlope(points []Point, a float64, resistance bool) forward {
	var n, i, v, ii, iv float64
	for _, p := range points {
		y := p.Voltage - a*numeric.Log(p.Current)
		n++
		i += p.Current
		v += y
		ii += p.Current * p.Current
		iv += p.Current * y
	}
	f := forward{a: a}
	if d := n*ii - i*i; resistance && d > 1e-9*n*ii {
		f.rs = (n*iv - i*v) / d
	}
	f.v1 = (v - f.rs*i) / n
	return f.sum(points)
}

// freeSlope fits v1 and a, and rs if asked for, by the normal equations, with the currents in units of the largest.
func freeSlope(points []Point, resistance bool) forward {
	most := 0.0
	for _, p := range points {
		most = max(most, p.Current)
	}
	size := 2
	if resistance {
		size = 3
	}
	rows := make([][]float64, size+1)
	for k := range rows {
		rows[k] = make([]float64, size+1)
	}
	right := make([]float64, size+1)
	for _, p := range points {
		terms := [4]float64{0, 1, numeric.Log(p.Current / most), p.Current / most}
		for k := 1; k <= size; k++ {
			for m := 1; m <= size; m++ {
				rows[k][m] += terms[k] * terms[m]
			}
			right[k] += terms[k] * p.Voltage
		}
	}
	if !eliminate(rows, right, nil) {
		return forward{rs: -1}
	}
	f := forward{a: right[2]}
	if resistance {
		f.rs = right[3] / most
	}
	f.v1 = right[1] - f.a*numeric.Log(most)
	return f.sum(points)
}

// sum adds the squares of the distances.
func (f forward) sum(points []Point) forward {
	f.squares = 0
	for _, p := range points {
		over := p.Voltage - f.v1 - f.a*numeric.Log(p.Current) - f.rs*p.Current
		f.squares += over * over
	}
	return f
}

// voltage returns the forward voltage at Reference, in V.
func (f *DiodeFit) voltage(i float64) float64 {
	return f.Ideality*kPerQ*Reference*numeric.Log(1+i/f.reference) + f.Series*i // [C7]
}

// At returns the diode at a temperature in K, 150 to 600. At Current the forward voltage is Drop + Tempco·(T − Reference);
// at other currents the spread n·(k·T/q)·ln I of the junction comes on top. The leakage is that of Reference times
// exp(growth·(T − Reference)), less what the saturation current carries of it.   [C8]
func (f *DiodeFit) At(kelvin float64) Diode {
	kelvin = min(max(kelvin, 150), 600)
	warmer := kelvin - Reference
	d := Diode{Emission: f.Ideality * kPerQ * kelvin, Series: f.Series, Leakage: f.data.Leakage, Breakdown: f.data.Breakdown}
	junction := f.Drop + f.Tempco*warmer - f.Series*f.Current // [C8]
	d.Saturation = min(f.Current/(numeric.Exp(max(junction, 0.01)/d.Emission)-1), 1)
	growth := f.data.LeakageGrowth
	if growth == 0 {
		growth = LeakageGrowth
	}
	if d.Leakage.Current > 0 {
		d.Leakage.Current = max(0, d.Leakage.Current*numeric.Exp(growth*warmer)-d.Saturation) // [C8]
	}
	return d
}
