package hardware

// A Fault is something that is wrong in a design, or stands in doubt.
type Fault struct {
	At    string // component, node or enclosure
	Text  string // what is wrong
	Want  string // what would mend it
	From  string // file:line
	Fatal bool   // the circuit cannot work, so no operating point exists
}

// Check looks at the netlist and the enclosures.
func (d *Design) Check() []Fault { return nil }
