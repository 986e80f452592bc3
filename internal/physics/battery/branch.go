package battery

import "hindwatt/internal/numeric"

// A Branch is a battery at one deficit and temperature: a source with one resistance for each direction, and beside it the gas.
//
//	main = (V − EMF)·Charge above EMF, (V − EMF)·Discharge below
//	gas  = Gas·exp(PerVolt·V + Offset)
type Branch struct {
	EMF               float64 // V
	Charge, Discharge float64 // S, ≥ 0
	Fall              float64 // V/C: EMF falls so much for each coulomb more that is missing
	Gas               float64 // A
	PerVolt, Offset   float64 // 1/V, –
}

// At returns the branches at a deficit (C) and a temperature (K).
func (b *Battery) At(deficit, temperature float64) Branch {
	k := &b.Cell
	v := Branch{}
	v.EMF, v.Fall = b.Open(deficit, temperature)
	missing := deficit / b.Capacity
	scale := b.Scale(temperature)
	v.Charge = scale * conductance(k.Charging, k.Mc, k.Cc, 1-missing)           // [G2]
	v.Discharge = scale * conductance(k.Discharging, k.Md, k.Cd, missing)       // [G3]
	v.Gas, v.PerVolt = float64(k.Gas*b.Capacity), k.GasPerVolt/float64(b.Cells) // [G4]
	v.Offset = b.Offset(temperature)
	return v
}

// Scale returns by what the conductances of a cell of 1 C are multiplied at a temperature, C.
func (b *Battery) Scale(temperature float64) float64 {
	return b.Capacity / (float64(b.Cells) * numeric.Exp(float64(b.Cell.Cold*(Warm-temperature))))
}

// Offset returns the exponent of gassing at a temperature and a voltage of 0; it is straight in the temperature.
func (b *Battery) Offset(temperature float64) float64 {
	return float64(b.Cell.GasPerKelvin*(temperature-gasT)) - float64(b.Cell.GasPerVolt*gasV)
}

// conductance is 1/(r·(1 + m·x/(c − x))), 0 from x = c on: a cell that is full to the brim takes no more, and one that is
// empty to the bottom gives no more.
func conductance(r, m, c, x float64) float64 {
	left := c - x
	if left <= 0 {
		return 0
	}
	return left / float64(r*(left+float64(m*max(x, 0))))
}

// Main returns the current that is stored at a voltage; negative while discharging.
func (v Branch) Main(voltage float64) float64 {
	if voltage > v.EMF {
		return float64((voltage - v.EMF) * v.Charge)
	}
	return float64((voltage - v.EMF) * v.Discharge)
}

// Gassing returns the current that makes gas at a voltage, ≥ 0.
func (v Branch) Gassing(voltage float64) float64 {
	if v.Gas == 0 {
		return 0
	}
	return float64(v.Gas * numeric.Exp(min(float64(v.PerVolt*voltage)+v.Offset, mostExponent)))
}

// mostExponent keeps a voltage far beyond any battery from an infinite current.
const mostExponent = 300

// Voltage returns the voltage at which a current flows into the battery (negative: out of it), by Newton's method inside a bracket. ok is false if
// the battery can give no such current.
func (v Branch) Voltage(current float64) (voltage float64, ok bool) {
	lo, hi := v.EMF, v.EMF
	for step := 1.0; v.Main(lo)+v.Gassing(lo) > current; step *= 2 {
		if lo -= step; step > mostVoltage {
			return 0, false
		}
	}
	for step := 1.0; v.Main(hi)+v.Gassing(hi) < current; step *= 2 {
		if hi += step; step > mostVoltage {
			return 0, false
		}
	}
	voltage, err := numeric.FindRoot(func(u float64) float64 { return v.Main(u) + v.Gassing(u) - current }, lo, hi, 0)
	return voltage, err == nil
}

const mostVoltage = 1e6
