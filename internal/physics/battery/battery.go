package battery

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// A Battery is cells in series, and such strings side by side.
type Battery struct {
	Cell     Cell
	Cells    int     // in series
	Capacity float64 // C, of all strings; deficits are counted in it
	curve    *numeric.Monotone
}

// New makes a battery of cells in series with a capacity in coulombs, that of all strings side by side. An error says what is
// wrong and what is accepted.
func New(cell Cell, cells int, capacity float64) (*Battery, error) {
	switch {
	case cells < 1 || cells > 1000:
		return nil, fmt.Errorf("%d cells in series; want 1 to 1000", cells)
	case !(capacity > 0) || math.IsInf(capacity, 0):
		return nil, fmt.Errorf("a capacity of %g Ah; want more than 0", capacity/ah)
	}
	if err := cell.check(); err != nil {
		return nil, err
	}
	b := &Battery{Cell: cell, Cells: cells, Capacity: capacity}
	if len(cell.Curve) > 0 {
		var x, y []float64
		for _, k := range cell.Curve {
			x, y = append(x, k.State), append(y, k.Voltage)
		}
		var err error
		if b.curve, err = numeric.NewMonotone(x, y); err != nil {
			return nil, fmt.Errorf("open-circuit curve: want two points or more with rising state")
		}
	}
	return b, nil
}

// check finds constants that describe no cell.
func (k Cell) check() error {
	for _, c := range []struct {
		name           string
		v, least, most float64
	}{
		{"charging resistance", k.Charging, 1e-9, 1e9}, {"discharging resistance", k.Discharging, 1e-9, 1e9},
		{"rise of the charging resistance", k.Mc, 0, 1e6}, {"rise of the discharging resistance", k.Md, 0, 1e6},
		{"end of charge", k.Cc, 1 + 1e-9, 10}, {"end of discharge", k.Cd, 1 + 1e-9, 10},
		{"gassing", k.Gas, 0, 1}, {"gassing per volt", k.GasPerVolt, 0, 100}, {"gassing per kelvin", k.GasPerKelvin, 0, 1},
		{"recombination", k.Recombination, 0, 1}, {"most that recombines", k.MostRecombined, 0, 1}, {"self-discharge", k.SelfDischarge, 0, 1},
		{"open-circuit voltage", k.Full, 0, 10}, {"fall of the open-circuit voltage", k.Fall, 0, 10},
		{"slope beyond the open-circuit curve", k.Beyond, 0, 1e3}, {"growth in the cold", k.Cold, 0, 0.1},
	} {
		if !(c.v >= c.least && c.v <= c.most) {
			return fmt.Errorf("%s of a cell is %g in SI units; want %g to %g", c.name, c.v, c.least, c.most)
		}
	}
	for i := 1; i < len(k.Curve); i++ {
		if !(k.Curve[i].Voltage >= k.Curve[i-1].Voltage) {
			return fmt.Errorf("the open-circuit curve falls at a state of %g; want it to rise", k.Curve[i].State)
		}
	}
	return nil
}

// State returns the state of charge that a deficit leaves, 1 at most.
func (b *Battery) State(deficit float64) float64 { return min(1, 1-deficit/b.Capacity) }

// Deficit returns the charge that is missing at a state of charge.
func (b *Battery) Deficit(state float64) float64 { return float64((1 - state) * b.Capacity) }

// Open returns the open-circuit voltage at a deficit and a temperature, and its fall for each coulomb more that is missing (≥ 0).
func (b *Battery) Open(deficit, temperature float64) (voltage, fall float64) {
	missing, n := deficit/b.Capacity, float64(b.Cells)
	v, slope := b.Cell.Full-float64(b.Cell.Fall*missing), b.Cell.Fall
	if b.curve != nil {
		v, slope = b.onCurve(1 - missing)
	}
	v += float64(b.Cell.PerKelvin * (temperature - Warm))
	return float64(n * v), float64(n*slope) / b.Capacity // [G1]
}

// onCurve reads the open-circuit curve at a state of charge.
func (b *Battery) onCurve(state float64) (v, slope float64) {
	first, last := b.Cell.Curve[0], b.Cell.Curve[len(b.Cell.Curve)-1]
	switch {
	case state > last.State:
		return last.Voltage + float64(b.Cell.Beyond*(state-last.State)), b.Cell.Beyond
	case state < first.State:
		return first.Voltage + float64(b.Cell.Beyond*(state-first.State)), b.Cell.Beyond
	}
	return b.curve.At(state)
}
