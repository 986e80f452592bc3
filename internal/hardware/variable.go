package hardware

import "hindwatt/internal/quantity"

// A Variable is one uncertain input of a design.
type Variable struct {
	Name     string            // as the folder says it: "parts.sb20.drop"; "q1: parts.nfet100.on_resistance" where several components share a part
	Quantity quantity.Quantity // nominal value and distribution
	Unknown  bool              // the same, unknown, for all units; false: it varies from unit to unit
	From     string            // file:line, or "estimate: …"
}

// Variables lists every uncertain value of the data sheets and enclosures and every doubt of the models, in a fixed order. A value
// that is written without a spread is not among them, a diode's drop excepted.
func (d *Design) Variables() []Variable { return nil }
