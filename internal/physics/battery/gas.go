package battery

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Physical constants: CODATA 2018 (exact in the SI of 2019) and the standard atomic weights of water's elements, 2 × 1.00794 + 15.9994.
const (
	Faraday    = 96485.33212 // C/mol
	molarWater = 18.01528e-3 // kg/mol
	gasR       = 8.314462618 // J/(mol·K)
	atmosphere = 101325      // Pa

	gasV = 2.23 // V a cell, at which gassing currents are stated
	gasT = 298  // K, as published: not 298.15
)

// Gassing returns the current, in A, that makes gas in a battery of lead cells of a capacity in C at a cell's voltage and
// temperature (V, K), with at the current at 2.23 V and 298 K for 100 Ah, in A. Valid from 2.2 to 2.9 V; above, the current is limited by
// what is supplied. Schiffer et al. 2007, eq. 6.
func Gassing(capacity, voltage, temperature, at, perVolt, perKelvin float64) (float64, error) {
	x := float64(perVolt*(voltage-gasV)) + float64(perKelvin*(temperature-gasT))
	if !(math.Abs(x) < mostExponent) {
		return 0, fmt.Errorf("gassing at %g V a cell is beyond any number; want about 2.2 V to 2.9 V", voltage)
	}
	return float64(capacity / (100 * ah) * at * numeric.Exp(x)), nil // [G4]
}

// Water returns the water, in kg, that a charge in C takes apart in so many cells, each of which passes it, if a share of the gas recombines.
func Water(charge float64, cells int, recombination float64) float64 {
	return float64(charge*float64(cells)*(1-recombination)) * (molarWater / (2 * Faraday)) // [G5]
}

// Recombined returns the part, in A, of a current that makes gas which becomes water again inside the battery: a share, up to what the cells can turn back.
func (b *Battery) Recombined(gas float64) float64 {
	return min(float64(b.Cell.Recombination*gas), float64(b.Cell.MostRecombined*b.Capacity)) // [G16]
}

// Overwhelmed returns the current that makes gas, in A, beyond which no more recombines; infinite where nothing does.
func (b *Battery) Overwhelmed() float64 {
	if !(b.Cell.Recombination > 0) {
		return math.Inf(1)
	}
	return float64(b.Cell.MostRecombined*b.Capacity) / b.Cell.Recombination
}

// GassingVoltage is that of a lead cell at 25 °C from which on it counts as gassing, V, and GassingSlope by how much it changes for each kelvin: handbooks' tables go
// from 2.54 V at 0 °C over 2.39 V at 25 °C to 2.30 V at 50 °C, some 5 mV/K (from memory); 2.35 V is the lower end of practice.
const (
	GassingVoltage = 2.35
	GassingSlope   = -5e-3 // V/K
)

// GassingFrom returns the voltage of a lead cell from which on it counts as gassing at a temperature in K.
func GassingFrom(temperature float64) float64 {
	return GassingVoltage + float64(GassingSlope*(temperature-Warm))
}

// WaterHeld is the water in a cell, kg for 1 C of its capacity: 10 g for each Ah, an estimate.
const WaterHeld = 10e-3 / ah

// Thermoneutral is the voltage of a cell at which water is taken apart without heat, V: 285.83 kJ/mol over 2 F.
const Thermoneutral = 1.481

// OverchargeHeat returns the heat, in J, of gas that took an electric energy in J, with a charge in C through cells in series whose gas escaped. All else
// that was put in stays as heat: what is put in beyond the thermoneutral voltage, and what recombines.
func OverchargeHeat(energy, escaped float64, cells int) float64 {
	return energy - float64(Thermoneutral*float64(cells)*escaped) // [G17]
}

// Hydrogen returns the volume, in m³ at a temperature in K and 1013.25 hPa, of the hydrogen that goes with it.
func Hydrogen(charge float64, cells int, recombination, temperature float64) float64 {
	return float64(charge*float64(cells)*(1-recombination)) * (gasR / (2 * Faraday * atmosphere)) * temperature // [G6]
}

// A Vent is the gas current for which a room is ventilated, in mA for each Ah.
type Vent struct{ Float, Boost float64 }

// Ventilation returns the air that a room with so many cells in series needs, m³/s, and the opening of its inlet and outlet each, m², for the gas
// current in mA/Ah of a capacity in C: 5 and 20 mA/Ah for vented cells floating and boosted, 1 and 8 for valve-regulated
// ones. IEC 62485-2:2010, 7.2 and 7.3: hydrogen below 4 % with a safety factor of 5. Its 0.05 m³/Ah is rounded: 24 · 0.42e-3 · 5 is 0.0504.
func Ventilation(cells int, gas, capacity float64) (flow, opening float64) {
	perHour := float64(0.05*float64(cells)*gas) * (capacity / ah) * 1e-3 // [G7]
	return perHour / hour, float64(28*perHour) * 1e-4                    // [G8]
}
