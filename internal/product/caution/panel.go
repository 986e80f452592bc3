package caution

import (
	"fmt"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// panels goes through the parts that are panels.
func (r *report) panels(look func(name string, p *product.Panel)) {
	for name, part := range r.Parts.All() {
		if part.Panel != nil {
			look(name, part.Panel)
		}
	}
}

func crystalline(p *product.Panel) bool { return !p.Technology.Is("amorphous") }

// ratio checks one figure of a label against its usual range.
func (r *report) ratio(name, what string, value, low, high float64, hint string, leaves ...product.Leaf) {
	for _, l := range leaves {
		if !l.Set() {
			return
		}
	}
	if outside(value, low, high) {
		r.say(fmt.Sprintf("%s: %s is %s, usual are %s to %s", name, what, quantity.Format(value, quantity.Ratio, "", -3), quantity.Format(low, quantity.Ratio, "", -3), quantity.Format(high, quantity.Ratio, "", -3)), hint, leaves...)
	}
}

func fillFactor(r *report) {
	r.panels(func(name string, p *product.Panel) {
		low, high := 0.60, 0.82
		if !crystalline(p) {
			low, high = 0.50, 0.68
		}
		r.ratio(name, "the fill factor", p.PeakPower.Value/(p.OpenCircuitVoltage.Value*p.ShortCircuitCurrent.Value), low, high,
			"look for a slip in the label's figures", p.PeakPower.Leaf, p.OpenCircuitVoltage.Leaf, p.ShortCircuitCurrent.Leaf)
	})
}

func peakPoint(r *report) {
	r.panels(func(name string, p *product.Panel) {
		if !crystalline(p) {
			return
		}
		r.ratio(name, "peak_current to short_circuit_current", p.PeakCurrent.Value/p.ShortCircuitCurrent.Value, 0.85, 0.96, "look for swapped columns", p.PeakCurrent.Leaf, p.ShortCircuitCurrent.Leaf)
		r.ratio(name, "peak_voltage to open_circuit_voltage", p.PeakVoltage.Value/p.OpenCircuitVoltage.Value, 0.76, 0.86, "look for swapped columns", p.PeakVoltage.Leaf, p.OpenCircuitVoltage.Leaf)
	})
}

func labelPower(r *report) {
	r.panels(func(name string, p *product.Panel) {
		r.ratio(name, "peak_voltage · peak_current to peak_power", p.PeakVoltage.Value*p.PeakCurrent.Value/p.PeakPower.Value, 0.97, 1.03,
			"one of the three is wrong", p.PeakVoltage.Leaf, p.PeakCurrent.Leaf, p.PeakPower.Leaf)
	})
}

func cellVoltage(r *report) {
	r.panels(func(name string, p *product.Panel) {
		low, high := 0.55, 0.75
		if !crystalline(p) {
			low, high = 0.8, 0.95
		}
		r.ratio(name, "open_circuit_voltage of one cell in V", p.OpenCircuitVoltage.Value/float64(p.Cells.N), low, high, "count the cells in series", p.OpenCircuitVoltage.Leaf, p.Cells.Leaf)
	})
}

func panelEfficiency(r *report) {
	const standard = 1000 // W/m², IEC 60904-3
	r.panels(func(name string, p *product.Panel) {
		r.ratio(name, "the efficiency by area", p.PeakPower.Value/(p.Area.Value*standard), 0.10, 0.24, "measure the panel's short-circuit current in full sun; ratings are sometimes invented", p.PeakPower.Leaf, p.Area.Leaf)
	})
}

func panelDrifts(r *report) {
	r.panels(func(name string, p *product.Panel) {
		if !crystalline(p) {
			return
		}
		r.ratio(name, "voltage_tempco in % of open_circuit_voltage for each K", 100*p.VoltageTempco.Value/p.OpenCircuitVoltage.Value, -0.40, -0.25, "check its sign and whether it is mV or %", p.VoltageTempco.Leaf, p.OpenCircuitVoltage.Leaf)
		r.ratio(name, "current_tempco in % of short_circuit_current for each K", 100*p.CurrentTempco.Value/p.ShortCircuitCurrent.Value, 0.02, 0.12, "check its sign and whether it is mA or %", p.CurrentTempco.Leaf, p.ShortCircuitCurrent.Leaf)
	})
}

func panelNOCT(r *report) {
	r.panels(func(name string, p *product.Panel) {
		if p.NOCT.Set() && outside(p.NOCT.Value, zeroCelsius+40, zeroCelsius+50) {
			r.say(fmt.Sprintf("%s: noct is %s, usual are 40 °C to 50 °C", name, degrees(p.NOCT.Value)), "check the sheet", p.NOCT.Leaf)
		}
	})
}
