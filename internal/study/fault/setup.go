package fault

import "hindwatt/internal/hardware"

// setup is what is connected, and what has become of the parts.
type setup struct {
	at                Connection
	panels, batteries float64 // times the usual voltage
	cold              float64 // times the panel's open voltage
	source            [2]string
	volts, ohms       float64 // of another source, "" at source for none
	loadOhms          float64
	terminal          [2]float64 // Ω more, of a corroded terminal that is no component: battery's, panel's
	wires             []wire
	fail              map[int]hardware.Condition
	stuck             map[int]int8
	drift             map[int]float64
	silent            bool    // the control does nothing
	charge            int8    // 1: the control charges whatever it sees, −1: never
	sensor            float64 // K, what the control makes of its sensor; 0: what it is
	doubled           bool    // the control takes the battery for one of twice the voltage
	surge             float64 // m of panel's lead whose energy is let go at once; 0: not looked at
}

// wire is laid between two nodes.
type wire struct {
	a, b string
	ohms float64
}

var usually = Connection{
	Panel:   [2]string{hardware.PanelPlus, hardware.PanelMinus},
	Battery: [2]string{hardware.BatteryPlus, hardware.BatteryMinus},
	Load:    [2]string{hardware.LoadPlus, hardware.LoadMinus},
}

// wired is everything joined as it should be.
func wired(w *world) setup {
	return setup{at: usually, panels: 1, batteries: 1, cold: 1, loadOhms: w.load,
		fail: map[int]hardware.Condition{}, stuck: map[int]int8{}, drift: map[int]float64{}}
}

// connected is at with another source.
func (s *setup) connected() Connection {
	at := s.at
	at.Source = s.source
	return at
}

func (s *setup) lay(a, b string) { s.wires = append(s.wires, wire{a, b, touchOhms}) }

func reversed(p [2]string) [2]string { return [2]string{p[1], p[0]} }
