package starter

import (
	"math"

	"hindwatt/internal/quantity"
)

// sizes are what follows from the nominal voltage and the current of the label by usual rules.
type sizes struct {
	Fuse           string // rating
	FuseResistance string
	FuseMelting    string
	FusePoints     []string // "15 A 5 s"
	Diode          string   // rated current
	DiodeTenth3    string   // three tenths of it
	TrackWidth     string
	Copper         string // thickness of the track
	BatteryWire    string // area
	PanelWire      string // area
	PanelShort     string // short-circuit current
	PanelPeak      string // current at peak power
	PanelPower     string
	PanelArea      string
	PanelTempco    string // of the short-circuit current
	Capacity       string
	BatteryOhms    string // resistance of one 12 V battery
	AtAbsorption   string // mean charge current while holding
	AtFloat        string
	LoadLimit      string
	Lamp           string
	NOn, POn       string // on-resistance of the switch
}

// Ratings on the shelf. Fuses: ISO 8820-3 and larger bolted kinds, from memory. Wires: IEC 60228.
var (
	fuses  = []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80}  // A
	diodes = []float64{1, 3, 5, 10, 15, 20, 30, 40, 60, 80, 120}                // A
	wires  = []float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50}        // mm²
	nOn    = [][2]string{{"8..10 mΩ", "12..15 mΩ"}, {"3..4 mΩ", "5..7 mΩ"}}     // to 10 A, above; 60 V, 100 V
	pOn    = [][2]string{{"20..25 mΩ", "32..40 mΩ"}, {"9..12 mΩ", "18..24 mΩ"}} // p-channel: 2 to 3 times as much for its size
)

// Rules of the trade, all common practice.
const (
	fuseMargin  = 1.3    // over the continuous current: a fuse carries 0.8 of its rating for ever at 25 °C, and the label speaks of 40 °C
	diodeMargin = 2      // over the continuous current
	panelMargin = 1.25   // of the label's current over the panel's short-circuit current
	rho         = 0.0172 // Ω·mm²/m, copper at 20 °C
	batteryDrop = 0.01   // of the nominal voltage, in the lead to the battery
	panelDrop   = 0.03   // of the nominal voltage, in the lead to the panel
	batteryLead = 1.0    // m, one way
	panelLead   = 5.0    // m, one way
	sun         = 1000.0 // W/m²
	efficiency  = 0.16   // of a panel's whole area
)

// The typical panel has 36 cells: 21.6 V open, 17.6 V at peak power; 24 V take two in series.
const (
	panelPeakVoltage = 17.6 // V
	panelPeakShare   = 0.93 // current at peak power, of the short-circuit current
)

// size works out everything for so many volts (12 or 24) and amperes.
func size(volts, amperes float64) sizes {
	fuse := atLeast(fuses, fuseMargin*amperes)
	diode := atLeast(diodes, diodeMargin*amperes)
	short := amperes / panelMargin
	peak := panelPeakShare * short
	power := peak * panelPeakVoltage
	capacity := 10 * short // Ah: charged at a tenth of its capacity an hour
	strong, high := 0, 0
	if amperes > 10 {
		strong = 1
	}
	if volts > 12 {
		high = 1
	}
	return sizes{
		Fuse:           amount(fuse, quantity.Current, "A"),
		FuseResistance: amount(0.08/fuse, quantity.Resistance, "mΩ"), // drops about 0.1 V when hot at its rating
		FuseMelting:    between(1.5*fuse*fuse, 3*fuse*fuse, quantity.MeltingIntegral, "A²s"),
		FusePoints: []string{ // longest times of ISO 8820-3, from memory
			amount(2*fuse, quantity.Current, "A") + " 5 s",
			amount(3.5*fuse, quantity.Current, "A") + " 0.5 s",
			amount(6*fuse, quantity.Current, "A") + " 0.1 s",
		},
		Diode:        amount(diode, quantity.Current, "A"),
		DiodeTenth3:  amount(0.3*diode, quantity.Current, "A"),
		TrackWidth:   amount(trackWidth(amperes)*1e-3, quantity.Length, "mm"),
		Copper:       amount(copper(amperes)*1e-6, quantity.Length, "µm"),
		BatteryWire:  wire(amperes, batteryLead, batteryDrop*volts),
		PanelWire:    wire(amperes, panelLead, panelDrop*volts),
		PanelShort:   amount(short, quantity.Current, "A"),
		PanelPeak:    amount(peak, quantity.Current, "A"),
		PanelPower:   amount(power, quantity.Power, "W"),
		PanelArea:    amount(power/(sun*efficiency), quantity.Area, "m²"),
		PanelTempco:  amount(0.0005*short, quantity.CurrentPerKelvin, "mA/K"),
		Capacity:     amount(capacity*3600, quantity.Charge, "Ah"),
		BatteryOhms:  between(0.3/capacity, 0.9/capacity, quantity.Resistance, "mΩ"),
		AtAbsorption: between(0.1*amperes, 0.6*amperes, quantity.Current, "A"),
		AtFloat:      between(0.01*amperes, 0.1*amperes, quantity.Current, "A"),
		LoadLimit:    amount(1.5*amperes, quantity.Current, "A"),
		Lamp:         amount(0.15*short, quantity.Current, "A"),
		NOn:          nOn[strong][high],
		POn:          pOn[strong][high],
	}
}

// atLeast returns the smallest rating that is enough, or the largest there is.
func atLeast(ratings []float64, need float64) float64 {
	for _, x := range ratings {
		if x >= need {
			return x
		}
	}
	return ratings[len(ratings)-1]
}

// wire returns the conductor of a lead, of given length one way in m, that drops no more than so many volts.
func wire(amperes, length, drop float64) string {
	return amount(atLeast(wires, 2*length*rho*amperes/drop)*1e-6, quantity.Area, "mm²")
}

// copper returns the thickness of a board's copper, µm.
func copper(amperes float64) float64 {
	if amperes > 10 {
		return 70
	}
	return 35
}

// trackWidth returns the width in whole mm at which an outer track gets 20 K warmer than the board:
// I = 0.048 ΔT^0.44 A^0.725 with A in square mils (IPC-2221, curve fit).
func trackWidth(amperes float64) float64 {
	const rise, mil = 20, 0.0254                                                // K; mm
	area := math.Pow(amperes/(0.048*math.Pow(rise, 0.44)), 1/0.725) * mil * mil // mm²
	return math.Ceil(area / (copper(amperes) * 1e-3))
}

// amount writes v, in SI units, with three digits that count.
func amount(v float64, d quantity.Dimension, unit string) string {
	q, err := quantity.ParseAs(quantity.Format(v, d, unit, -3), d)
	if err != nil {
		panic("starter: " + err.Error()) // a unit that this package misspells
	}
	return q.String()
}

// between writes a range from low to high with two digits that count.
func between(low, high float64, d quantity.Dimension, unit string) string {
	text := quantity.Format(low, d, unit, -2) + ".." + quantity.Format(high, d, unit, -2)
	q, err := quantity.ParseAs(text, d)
	if err != nil {
		panic("starter: " + err.Error())
	}
	return q.String()
}
