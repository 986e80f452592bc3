package fault

import (
	"fmt"

	"hindwatt/internal/hardware"
)

// failures generates every failure of a part.
func (m *maker) failures() {
	for i := range m.d.Components {
		c := &m.d.Components[i]
		for _, how := range []struct {
			name, words string
			is          hardware.Condition
		}{{"short", "has gone short", hardware.Bridged}, {"open", "has gone open", hardware.Interrupted}} {
			apply := func(s *setup, _ *world) { s.fail[i] = how.is }
			switch {
			case c.Role == "sensor":
				apply = sensed(i, how.is, how.is)
			case m.besideSensor(c): // short, it leaves at the node what a sensor that is open does
				seen := hardware.Bridged
				if how.is == hardware.Bridged {
					seen = hardware.Interrupted
				}
				apply = sensed(i, how.is, seen)
			}
			if j, off := m.gates(i, how.is); j >= 0 {
				apply = func(s *setup, _ *world) {
					if off {
						s.stuck[j] = -1
					}
				}
			}
			m.failure(i, how.name, how.words, apply)
		}
		if f := drifts(c); f > 0 {
			m.failure(i, "high", fmt.Sprintf("has drifted by %+.0f %%", 100*f), func(s *setup, _ *world) { s.drift[i] = 1 + f }).Mode = "drift"
			m.failure(i, "low", fmt.Sprintf("has drifted by %+.0f %%", -100*f), func(s *setup, _ *world) { s.drift[i] = 1 - f }).Mode = "drift"
		}
		m.driven(i, c)
	}
}

// gates finds the driven mosfet whose gate a component serves, −1 for none, and whether it is off for good with that component short
// or open: a short from gate to source, or a break between driver and gate. The driver bears a short (its current is small).
func (m *maker) gates(i int, is hardware.Condition) (mosfet int, off bool) {
	c := &m.d.Components[i]
	for j := range m.d.Components {
		q := &m.d.Components[j]
		if q.Mosfet == nil || q.Role == "" || q.Gate == "" || c.Mosfet != nil {
			continue
		}
		for _, ends := range [][2]string{{c.From, c.To}, {c.To, c.From}} {
			if ends[0] != q.Gate {
				continue
			}
			across := ends[1] == q.To
			return j, across == (is == hardware.Bridged)
		}
	}
	return -1, false
}

// driven is what else can be wrong with what the control drives, and with the control.
func (m *maker) driven(i int, c *hardware.Component) {
	switch {
	case c.Mosfet != nil && c.Role != "":
		m.failure(i, "stuck on", "is driven all the time", func(s *setup, _ *world) { s.stuck[i] = 1 })
		m.failure(i, "stuck off", "is never driven", func(s *setup, _ *world) { s.stuck[i] = -1 })
	case c.Control != nil:
		m.failure(i, "silent", "has stopped and drives nothing", func(s *setup, _ *world) { s.silent = true })
		m.failure(i, "stopped while charging", "has stopped while it charged", func(s *setup, _ *world) { s.charge = 1 }).Mode = "silent"
		m.failure(i, "stopped while not charging", "has stopped while it did not charge", func(s *setup, _ *world) { s.charge = -1 }).Mode = "silent"
	}
}

// besideSensor reports whether a component is the resistor that makes a divider with a sensor: nothing else is joined to their node.
func (m *maker) besideSensor(c *hardware.Component) bool {
	if c.Resistor == nil {
		return false
	}
	for _, node := range []string{c.From, c.To} {
		joined, sensor := 0, false
		for i := range m.d.Components {
			if o := &m.d.Components[i]; o.From == node || o.To == node || o.Gate == node {
				joined++
				sensor = sensor || o.Role == "sensor"
			}
		}
		if joined == 2 && sensor {
			return true
		}
	}
	return false
}

// sensed is a sensor or its resistor that has failed, and as what of the sensor the control takes it: a thermistor whose resistance falls
// with temperature is hot when short and cold when open.
func sensed(i int, is, seen hardware.Condition) func(*setup, *world) {
	return func(s *setup, w *world) {
		s.fail[i], s.sensor = is, w.coldest
		if seen == hardware.Bridged {
			s.sensor = w.warmest
		}
	}
}

func (m *maker) failure(i int, how, words string, apply func(*setup, *world)) *Case {
	c := &m.d.Components[i]
	m.out = append(m.out, Case{Name: c.Name + " " + how, Text: fmt.Sprintf("%s %s.", subject(c), words), Family: Failure, Parts: []string{c.Name},
		Mode: how, Kind: c.Kind, lasts: hour, days: true, apply: apply})
	return &m.out[len(m.out)-1]
}

// subject names a component at the head of a sentence: "The diode d1".
func subject(c *hardware.Component) string {
	if c.Kind == "" {
		return c.Name
	}
	return "The " + c.Kind + " " + c.Name
}

// drifts is how far a part drifts where that means something, relative: of the divider and the reference, by which the control judges
// the battery. 50 % is what failure tables call a drift (MODELS G1); these two go by 5 %, at which a sheet calls them failed. Estimate.
func drifts(c *hardware.Component) float64 {
	switch {
	case c.Role == "divider-top", c.Role == "divider-bottom", c.Reference != nil:
		return 0.05
	}
	return 0
}
