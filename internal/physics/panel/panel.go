package panel

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Reference conditions of data sheets (IEC 60904-3): 1000 W/m², cells at 25 °C.
const (
	ReferenceIrradiance  = 1000.0 // W/m²
	ReferenceTemperature = 298.15 // K
)

const (
	boltzmann = 8.617333262e-5 // k/q, V/K (CODATA 2018, exact)

	// Band gap at 25 °C, eV, and its relative change, 1/K (De Soto 2006 for crystalline silicon).
	siliconGap      = 1.121
	siliconGapSlope = -0.0002677
	amorphousGap    = 1.7 // eV, from memory; the slope above is not that of amorphous silicon, so 0 is taken
)

// ThermalVoltage returns kT/q, V, at a temperature in K.
func ThermalVoltage(temperature float64) float64 { return boltzmann * temperature }

// Panel is a panel as bought, at the reference conditions.
type Panel struct {
	Reference Curve   // at 1000 W/m² and 25 °C
	Cells     int     // in series; ≥ 1
	Tempco    float64 // of the short-circuit current, A/K
	Gap       float64 // band gap at 25 °C, eV; 0: 1.121
	GapSlope  float64 // its relative change, 1/K; with Gap 0: -0.0002677
	DarkShunt float64 // Ω, what the shunt becomes without light; 0: the shunt goes with 1/irradiance, to none in the dark

	Soiling float64 // share of the light that dirt takes; 0..1
	Faded   float64 // share of the photocurrent that age took; 0..1, see Fading
}

// At returns the panel's curve.
//
//	irradiance   on the cells, W/m²; taken within 0 to 1e5, what is no number as 0
//	temperature  of the cells, K; taken within 150 to 500 K, what is no number as 150 K
//
// Doubt says where the result should not be relied on.
func (p *Panel) At(irradiance, temperature float64) Curve {
	t := within(temperature, 150, 500)
	sun := within(irradiance, 0, 1e5) / ReferenceIrradiance
	gap, gapSlope := p.Gap, p.GapSlope
	if gap == 0 {
		gap, gapSlope = siliconGap, siliconGapSlope
	}
	c, ref := p.Reference, &p.Reference
	warmer := t - ReferenceTemperature
	light := float64(sun * (1 - p.Soiling) * (1 - p.Faded))
	c.Photocurrent = max(0, float64(light*(ref.Photocurrent+float64(p.Tempco*warmer)))) // [Y5]
	ratio := t / ReferenceTemperature
	c.Thermal = float64(ref.Thermal * ratio)
	// [Y6] with Eg = gap·(1 + gapSlope·(T - Tref))
	growth := float64(3*numeric.Log(ratio)) + float64(gap/boltzmann*(1/ReferenceTemperature-(1+float64(gapSlope*warmer))/t))
	c.Saturation = float64(ref.Saturation * numeric.Exp(growth))
	c.Shunt = p.shunt(float64(sun * (1 - p.Soiling)))
	return c
}

// within returns v held between two limits; what is no number is the lower one.
func within(v, low, high float64) float64 {
	if !(v > low) {
		return low
	}
	return min(v, high)
}

// Check returns what is wrong with the panel, or nil.
func (p *Panel) Check() error {
	if err := p.Reference.Check(); err != nil {
		return err
	}
	for _, b := range []struct {
		name      string
		value     float64
		dim       quantity.Dimension
		low, high float64
		want      string
	}{
		{"cells", float64(p.Cells), quantity.Ratio, 1, 1e6, "a whole number from 1 up"},
		{"current_tempco", p.Tempco, quantity.CurrentPerKelvin, -1e3, 1e3, "about 0.05 %/K of the short-circuit current"},
		{"gap", p.Gap, quantity.Voltage, 0, 5, "0 to 5 V"},
		{"gap_slope", p.GapSlope, quantity.PerKelvin, -0.01, 0.01, "-1 to 1 %/K"},
		{"dark_shunt", p.DarkShunt, quantity.Resistance, 0, largestShunt, "0 or more"},
		{"soiling", p.Soiling, quantity.Ratio, 0, 1, "0 to 1"},
		{"faded", p.Faded, quantity.Ratio, 0, 1, "0 to 1"},
	} {
		if !(b.value >= b.low && b.value <= b.high) {
			return fmt.Errorf("%s: %s is not possible; want %s", b.name, shown(b.value, b.dim), b.want)
		}
	}
	return nil
}

// shunt returns the shunt at an irradiance over the reference: the part that goes with the light
// beside the part that stays in the dark.
func (p *Panel) shunt(sun float64) float64 {
	dark := 0.0
	if p.DarkShunt > 0 {
		dark = 1 / p.DarkShunt
	}
	lit := max(0, 1/p.Reference.Shunt-dark)
	g := dark + float64(lit*sun) // [Y8]
	if g == 0 {
		return math.Inf(1)
	}
	return 1 / g
}

// Doubt says why a current should not be relied on, or "" within what the model is known for.
//
//	irradiance   W/m²
//	temperature  of the cells, K
func Doubt(irradiance, temperature float64) string {
	switch {
	case temperature < 253.15 || temperature > 353.15:
		return "cells outside of -20 to 80 °C, where the translation of the curve is not checked"
	case irradiance > 1200:
		return "more than 1200 W/m², where the translation of the curve is not checked"
	case irradiance < 100 && irradiance > 0:
		return "less than 100 W/m²: a small panel with shunted cells gives less than calculated there"
	}
	return ""
}
