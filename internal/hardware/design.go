package hardware

import (
	"slices"

	"hindwatt/internal/quantity"
)

// A Value is a quantity as written and where it stands.
type Value = quantity.Written

// The terminals towards the outside world. Every other node name is free.
const (
	PanelPlus    = "pv+"
	PanelMinus   = "pv-"
	BatteryPlus  = "bat+"
	BatteryMinus = "bat-"
	LoadPlus     = "load+"
	LoadMinus    = "load-"
)

// Terminals lists them, panel first.
var Terminals = []string{PanelPlus, PanelMinus, BatteryPlus, BatteryMinus, LoadPlus, LoadMinus}

// Design is a controller: its circuit, its parts' data sheets, its enclosures. A nil Value is not given.
type Design struct {
	Components []Component // in the order of the folder, which is the order of all results
	Enclosures []Enclosure

	Method         string // "pwm" (default) or "on-off"
	Switch         string // "series" (default): the battery charges while the switch is on; "shunt": while it is off
	Frequency      *Value // Hz, of the pwm cycle; nil: no switching loss
	NominalVoltage *Value // V, of the battery

	StandbyDay, StandbyNight *Value // A, as stated or measured; the netlist's own sum stands beside it in Point.Standby

	BatteryLead, PanelLead *Lead // nil: judged at the controller's own terminals

	From string // file that the circuit stands in
}

// Component is one part in its place in the circuit. The pointer of its kind is set, the others are nil.
type Component struct {
	Name string // "q1"
	Part string // "nfet100"
	Role string // "switch", "load-switch", "blocking" …; "" where none is given
	Kind string // "mosfet", "diode" …: the kind of Part
	In   string // enclosure, "lead" or "outside"; "" is not given
	At   string // file:line

	From, To string // nodes: anode or positive end, and the other; of a mosfet drain and source
	Gate     string // node, of a mosfet

	Length, Area *Value // m, m², of a wire here; nil: those of its part

	Resistor   *Resistor
	Wire       *Wire
	Track      *Track
	Contact    *Contact
	Diode      *Diode
	Mosfet     *Mosfet
	Fuse       *Fuse
	Clamp      *Clamp
	Capacitor  *Capacitor
	Thermistor *Thermistor
	Reference  *Reference
	Regulator  *Regulator
	Control    *Control
	Lamp       *Lamp
}

// Enclosure is a case, tub, sleeve or tube that holds parts.
type Enclosure struct {
	Name                string
	Shape               string  // "box", "tube" or "sleeve"
	Size                []Value // m, outside: box and sleeve three, tube length and diameter
	Filling             string  // "air" (default), "potting" or "glue"
	FillingConductivity *Value  // W/(m·K)
	Material            string  // of the wall
	Wall                *Value  // m, thickness
	Emissivity          *Value
	Absorptance         *Value
	Mounted             string  // "free" (default), "wood" or "metal"
	Position            string  // "upright" or "flat" (default)
	Inside              string  // enclosure that holds this one; "" for none
	Board               []Value // m, two sides of the circuit board
	Copper              *Value  // m, thickness of its copper
	From                string
}

// A Lead is a pair of conductors outside the controller.
type Lead struct {
	Length   *Value // m, one way
	Area     *Value // m², of each conductor
	Contacts *Value // Ω, both together; nil: none
	From     string
}

// Steady returns the design without what its parts bear once: energies, surges, what melts and breaks a fuse, transient resistances.
// Nothing that lasts depends on them, and so nothing has to be computed again where only they change.
func (d Design) Steady() Design {
	d.Components = slices.Clone(d.Components)
	for i := range d.Components {
		d.Components[i] = d.Components[i].Steady()
	}
	return d
}

// Steady is as of a design.
func (c Component) Steady() Component {
	switch {
	case c.Diode != nil:
		own := *c.Diode
		own.SurgeCurrent, c.Diode = nil, &own
	case c.Mosfet != nil:
		own := *c.Mosfet
		own.AvalancheEnergy, own.Stages, c.Mosfet = nil, nil, &own
	case c.Fuse != nil:
		own := *c.Fuse
		own.MeltingIntegral, own.BreakingCapacity, own.Points, c.Fuse = nil, nil, nil, &own
	case c.Clamp != nil:
		own := *c.Clamp
		own.Power, own.Energy, c.Clamp = nil, nil, &own
	}
	return c
}
