package fault

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/hardware"
)

// Estimates of what is done wrongly.
const (
	corroded     = 0.1   // Ω of a corroded terminal; estimate
	lampInrush   = 12.0  // cold lamp over hot: 10 to 14 (MODELS E7)
	lampTime     = 50e-3 // s, the long end of 5 to 50 ms (MODELS E7)
	converter    = 0.05  // Ω of the capacitors of a converter while they fill; estimate
	converterFor = 100e-6
	longLead     = 20.0   // m, of a long panel's lead
	pairHenry    = 0.7e-6 // H/m of a pair (MODELS E3)
	otherRises   = 1.03   // what another charger holds over the absorption voltage; estimate
	otherOhms    = 20e-3  // Ω of another source; estimate
	alternator   = 1.25   // of the nominal voltage: a vehicle's alternator or a mains charger without its battery, 15 V; estimate
)

// uses reports whether a node is in the circuit.
func uses(d *hardware.Design, node string) bool {
	return slices.ContainsFunc(d.Components, func(c hardware.Component) bool { return c.From == node || c.To == node || c.Gate == node })
}

// maker collects cases.
type maker struct {
	d   *hardware.Design
	w   *world
	out []Case
}

var (
	panelAt   = []string{hardware.PanelPlus, hardware.PanelMinus}
	batteryAt = []string{hardware.BatteryPlus, hardware.BatteryMinus}
	loadAt    = []string{hardware.LoadPlus, hardware.LoadMinus}
)

// mistake adds one if all its terminals are there.
func (m *maker) mistake(name, text string, terminals []string, apply func(*setup, *world)) *Case {
	for _, t := range terminals {
		if !uses(m.d, t) {
			return &Case{}
		}
	}
	m.out = append(m.out, Case{Name: name, Text: text, Family: Mistake, Terminals: terminals, lasts: hour, days: true, apply: apply})
	return &m.out[len(m.out)-1]
}

// mistakes generates every wiring mistake of the circuit.
func (m *maker) mistakes() {
	m.touched()
	m.turned()
	m.takenOff()
	m.loads()
	m.others()
	m.bonded()
	m.worn()
}

// touched is every pair of terminals touching, with everything connected.
func (m *maker) touched() {
	called := map[string][2]string{
		"pv+ pv-":     {"panel leads touched", "The two leads of the panel touch each other."},
		"bat+ bat-":   {"battery leads touched", "The two leads of the battery touch each other."},
		"load+ load-": {"load shorted", "The two leads of the load touch each other."},
	}
	for i, a := range hardware.Terminals {
		for _, b := range hardware.Terminals[i+1:] {
			words, own := called[a+" "+b]
			if !own {
				words = [2]string{a + " and " + b + " touched", fmt.Sprintf("The leads at %s and %s touch each other.", a, b)}
			}
			m.mistake(words[0], words[1], []string{a, b}, func(s *setup, _ *world) { s.lay(a, b) })
		}
	}
}

// turned is panel and battery the wrong way round, and in each other's place.
func (m *maker) turned() {
	both := slices.Concat(panelAt, batteryAt)
	m.mistake("panel reversed", "The panel is connected the wrong way round.", panelAt, func(s *setup, _ *world) { s.at.Panel = reversed(s.at.Panel) })
	m.mistake("battery reversed", "The battery is connected the wrong way round, with the panel on.", batteryAt, func(s *setup, _ *world) { s.at.Battery = reversed(s.at.Battery) })
	m.mistake("battery reversed, panel off", "The battery is connected the wrong way round, before the panel.", batteryAt,
		func(s *setup, _ *world) { s.at.Battery, s.at.Panel = reversed(s.at.Battery), [2]string{} })
	m.mistake("battery and panel reversed", "Battery and panel are both connected the wrong way round.", both,
		func(s *setup, _ *world) { s.at.Battery, s.at.Panel = reversed(s.at.Battery), reversed(s.at.Panel) })
	m.mistake("panel and battery exchanged", "The panel is at the battery's terminals, the battery at the panel's.", both,
		func(s *setup, _ *world) { s.at.Panel, s.at.Battery = s.at.Battery, s.at.Panel })
	m.mistake("panel and battery exchanged, reversed", "The panel is at the battery's terminals, the battery at the panel's and the wrong way round.", both,
		func(s *setup, _ *world) { s.at.Panel, s.at.Battery = s.at.Battery, reversed(s.at.Panel) })
	m.mistake("battery on the load terminals", "The battery is at the load's terminals, the load at the battery's.", slices.Concat(batteryAt, loadAt),
		func(s *setup, _ *world) { s.at.Battery, s.at.Load = s.at.Load, s.at.Battery })
	m.mistake("battery on the load terminals, reversed", "The battery is at the load's terminals and the wrong way round.", slices.Concat(batteryAt, loadAt),
		func(s *setup, _ *world) { s.at.Battery, s.at.Load = reversed(s.at.Load), [2]string{} })
	m.mistake("panel on the load terminals", "The panel is at the load's terminals.", slices.Concat(panelAt, loadAt),
		func(s *setup, _ *world) { s.at.Panel, s.at.Load = s.at.Load, [2]string{} })
}

// takenOff is the battery away while the panel is on.
func (m *maker) takenOff() {
	off := func(s *setup) { s.at.Battery = [2]string{} }
	m.mistake("battery taken off, load on", "The battery is taken off while the panel is on, with the usual load.", batteryAt, func(s *setup, _ *world) { off(s) })
	m.mistake("battery taken off, full load", "The battery is taken off while the panel is on, with a load of the label's current.", batteryAt,
		func(s *setup, w *world) { off(s); s.loadOhms = w.rated })
	m.mistake("battery taken off, no load", "The battery is taken off while the panel is on, without a load.", batteryAt,
		func(s *setup, _ *world) { off(s); s.at.Load = [2]string{} })
	m.mistake("battery leads touched, battery off", "The leads of the battery touch each other before the battery is on.", batteryAt,
		func(s *setup, _ *world) { off(s); s.lay(hardware.BatteryPlus, hardware.BatteryMinus) })
	if m.w.lithium {
		m.mistake("battery's own protection opens", "The battery's own protection opens while the panel is on.", batteryAt, func(s *setup, _ *world) { off(s) })
	}
}

// loads is what the load asks at first.
func (m *maker) loads() {
	m.mistake("lamps switched on cold", "Lamps of the label's current are switched on cold.", loadAt,
		func(s *setup, w *world) { s.loadOhms = w.rated / lampInrush }).only(lampTime)
	m.mistake("converter switched on", "A converter is switched on, whose capacitors are empty.", loadAt,
		func(s *setup, _ *world) { s.loadOhms = converter }).only(converterFor)
	m.mistake("load twice too large", "The load draws twice the label's current.", loadAt, func(s *setup, w *world) { s.loadOhms = w.rated / 2 })
}

// only lets a case last for some seconds.
func (c *Case) only(lasts float64) { c.lasts, c.days = lasts, false }

// others is what else is connected: voltages and sources that it is not made for.
func (m *maker) others() {
	m.mistake("panel of twice the voltage", "A panel of the next higher nominal voltage is connected.", panelAt, func(s *setup, _ *world) { s.panels = 2 })
	m.mistake("panel of twice the voltage, battery taken off", "A panel of the next higher nominal voltage is connected, and the battery is off.", slices.Concat(panelAt, batteryAt),
		func(s *setup, _ *world) { s.panels, s.at.Battery = 2, [2]string{} })
	m.mistake("battery of twice the voltage", "A battery of the next higher nominal voltage is connected.", batteryAt, func(s *setup, _ *world) { s.batteries = 2 })
	cold := func(s *setup, w *world) { s.cold = 1 + w.tempco*(w.record-25) }
	m.mistake("record cold", fmt.Sprintf("The sun comes up on a panel of %.0f °C.", m.w.record), panelAt, cold)
	m.mistake("record cold, battery taken off", fmt.Sprintf("The sun comes up on a panel of %.0f °C while the battery is off.", m.w.record), slices.Concat(panelAt, batteryAt),
		func(s *setup, w *world) { cold(s, w); s.at.Battery, s.at.Load = [2]string{}, [2]string{} })
	m.mistake("another source on the battery", "Another charger or a second controller charges the same battery.", batteryAt,
		func(s *setup, w *world) { s.source, s.volts, s.ohms = s.at.Battery, otherRises*w.absorb, w.charger() })
	m.mistake("another source, battery taken off", "Another charger goes on while the battery is taken off.", batteryAt,
		func(s *setup, w *world) {
			s.source, s.volts, s.ohms, s.at.Battery = s.at.Battery, alternator*w.nominal, otherOhms, [2]string{}
		})
	m.mistake("another source on the load terminals", "A charged battery or a supply is at the load's terminals.", loadAt,
		func(s *setup, w *world) {
			s.source, s.volts, s.ohms, s.at.Load = s.at.Load, otherRises*w.absorb, w.charger(), [2]string{}
		})
	m.mistake("long panel leads", fmt.Sprintf("The panel's lead is %.0f m long: the energy of its magnetic field comes at every turning off.", longLead), panelAt,
		func(s *setup, w *world) { s.surge = max(longLead, w.length[1]) })
	if !m.w.automatic {
		return
	}
	m.mistake("taken for a battery of twice the voltage", "The control takes the battery for one of the next higher nominal voltage.", batteryAt,
		func(s *setup, _ *world) { s.doubled = true })
}

// charger is the resistance of another source that gives a low battery the label's current.
func (w *world) charger() float64 { return max(otherOhms, (otherRises*w.absorb-w.low)/w.label) }

// bonded is two terminals of one polarity on one frame or earth.
func (m *maker) bonded() {
	groups := [][]string{{hardware.PanelMinus, hardware.BatteryMinus, hardware.LoadMinus}, {hardware.PanelPlus, hardware.BatteryPlus, hardware.LoadPlus}}
	for _, g := range groups {
		for i, a := range g {
			for _, b := range g[i+1:] {
				if m.joined(a, b) {
					continue
				}
				for k := range m.out { // the same as two leads that touch
					if c := &m.out[k]; c.Name == a+" and "+b+" touched" {
						c.Name = a + " and " + b + " bonded"
						c.Text = fmt.Sprintf("%s and %s are both bonded to the frame or to earth, or touch each other.", a, b)
					}
				}
			}
		}
	}
}

// joined reports whether nothing but conductors lies between two terminals.
func (m *maker) joined(a, b string) bool {
	reached := map[string]bool{a: true}
	for grown := true; grown; {
		grown = false
		for i := range m.d.Components {
			c := &m.d.Components[i]
			if c.Wire == nil && c.Track == nil && c.Contact == nil && c.Fuse == nil || reached[c.From] == reached[c.To] {
				continue
			}
			reached[c.From], reached[c.To], grown = true, true, true
		}
	}
	return reached[b]
}

// worn is what years and owners do.
func (m *maker) worn() {
	for k, what := range []string{"battery", "panel"} {
		at := [][]string{batteryAt, panelAt}[k]
		m.mistake("corroded "+what+" terminal", fmt.Sprintf("A terminal of the %s is corroded: %g Ω.", what, corroded), at,
			func(s *setup, _ *world) { s.terminal[k] += corroded })
	}
	for i := range m.d.Components {
		c := &m.d.Components[i]
		if c.Role != "blocking" || c.Diode == nil {
			continue
		}
		for _, t := range [][2]string{{" bridged by its owner", ""}, {" bridged by its owner, panel leads touched", " and the two leads of the panel touch each other"}} {
			made := m.mistake(c.Name+t[0], fmt.Sprintf("The owner has bridged the blocking diode %s%s.", c.Name, t[1]), panelAt, func(s *setup, _ *world) {
				s.fail[i] = hardware.Bridged
				if strings.Contains(t[0], "touched") {
					s.lay(hardware.PanelPlus, hardware.PanelMinus)
				}
			})
			made.Parts = []string{c.Name}
		}
	}
}
