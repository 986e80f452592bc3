package caution

import (
	"fmt"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// component is one entry of the circuit with its part.
type component struct {
	name string
	*product.Component
	part *product.Part
}

// components goes through the circuit; entries whose part is not known are left out.
func (r *report) components(look func(c component)) {
	for name, c := range r.Circuit.All() {
		if part := r.Parts.Get(c.Part.Text); part != nil {
			look(component{name, c, part})
		}
	}
}

// fuses counts the circuit's fuses.
func (r *report) fuses() (n int) {
	r.components(func(c component) {
		if c.part.Fuse != nil {
			n++
		}
	})
	return n
}

func noFuse(r *report) {
	if r.Circuit.Set() && r.fuses() == 0 {
		r.say("the circuit has no fuse: a battery gives hundreds of amperes into a short", "put one at bat+, within 30 cm of the battery", r.Circuit.Leaf)
	}
}

func fuseRating(r *report) {
	r.components(func(c component) {
		if c.part.Fuse == nil || !r.Current.Set() || !c.part.Fuse.Rating.Set() {
			return
		}
		rating := c.part.Fuse.Rating
		share := rating.Value / r.Current.Value
		switch {
		case below(share, 1.25):
			r.say(fmt.Sprintf("%s: the fuse's %s are less than 1.25 times the label's %s: it ages and opens in the heat", c.name, rating.Text, r.Current.Text), "use a larger fuse", rating.Leaf, r.Current.Leaf)
		case above(share, 2):
			r.say(fmt.Sprintf("%s: the fuse's %s are more than twice the label's %s: what it is to save may go first", c.name, rating.Text, r.Current.Text), "use a smaller fuse", rating.Leaf, r.Current.Leaf)
		}
	})
}

func fuseVoltage(r *report) {
	high, _, of, ok := r.highest()
	r.components(func(c component) {
		if c.part.Fuse == nil || !ok || !c.part.Fuse.Voltage.Set() {
			return
		}
		if v := c.part.Fuse.Voltage; below(v.Low, high) {
			r.say(fmt.Sprintf("%s: the fuse breaks no more than %s, and the battery has up to %s: it may burn on as an arc", c.name, volts(v.Low), volts(high)), "use a fuse for more volts", v.Leaf, of.Leaf)
		}
	})
}

func fusePlace(r *report) {
	if r.fuses() == 0 {
		return
	}
	elsewhere := false
	var leaves []product.Leaf
	r.components(func(c component) {
		if c.part.Fuse == nil {
			return
		}
		if c.From.Text != "pv+" && c.To.Text != "pv+" && c.From.Text != "pv-" && c.To.Text != "pv-" {
			elsewhere = true
		}
		leaves = append(leaves, c.Leaf)
	})
	if !elsewhere {
		r.say("every fuse is at the panel: a panel gives little more than its working current, so none will ever open; the battery has none", "put the fuse at bat+", leaves...)
	}
}

func noBlocking(r *report) {
	blocking := false
	r.components(func(c component) {
		if c.part.Diode != nil && (c.Role.Is("blocking") || c.From.Text == "pv+" || c.To.Text == "pv-") {
			blocking = true
		}
	})
	if r.Regulation.Switch.Is("shunt") && r.Circuit.Set() && !blocking {
		r.say("a shunt switch without a blocking diode shorts the battery each time it closes", "put a diode between the switch and the battery, role = \"blocking\"", r.Regulation.Switch.Leaf, r.Circuit.Leaf)
	}
}

func commonPositive(r *report) {
	var at []product.Leaf
	r.components(func(c component) {
		if c.part.Mosfet != nil && c.Role.Is("switch") && (c.Source.Text == "pv-" || c.Drain.Text == "pv-") {
			at = append(at, c.Leaf)
		}
	})
	if len(at) > 0 && r.Regulation.Switch.Is("series") {
		r.say("the switch is in the negative leg: a chassis that joins the panel's frame or minus with the battery's minus goes round it, and nothing regulates", "say on the label that panel and battery share only their plus", at...)
	}
}

// coldestOpen returns the highest open-circuit voltage of all installations.
func (r *report) coldestOpen() (v float64, t float64, at string, leaves []product.Leaf) {
	r.systems(func(s system) {
		if open, temperature, ok := s.openCold(); ok && open > v {
			v, t, at = open, temperature, s.name
			leaves = []product.Leaf{s.panel.OpenCircuitVoltage.Leaf, s.Panel.InSeries.Leaf}
		}
	})
	return v, t, at, leaves
}

func blockingVoltage(r *report) {
	open, t, at, leaves := r.coldestOpen()
	battery, _, _, ok := r.highest()
	if open == 0 || !ok {
		return
	}
	r.components(func(c component) {
		var rating product.Quantity
		switch {
		case c.part.Diode != nil && c.Role.Is("blocking"):
			rating = c.part.Diode.ReverseVoltage
		case c.part.Mosfet != nil && c.Role.Is("switch"):
			rating = c.part.Mosfet.DrainVoltage
		}
		if need := open + battery; rating.Set() && below(rating.Value, need) {
			r.say(fmt.Sprintf("%s is a part for %s; a panel connected the wrong way round puts %s and the battery's %s in series across it (%s, %s)", c.name, rating.Text, volts(open), volts(battery), at, degrees(t)),
				"use a part for "+volts(need)+" or more", append(leaves, rating.Leaf)...)
		}
	})
}

func clampedVoltage(r *report) {
	clamping := product.Quantity{}
	r.components(func(c component) {
		if c.part.Clamp != nil && c.part.Clamp.Clamping.Set() {
			clamping = c.part.Clamp.Clamping
		}
	})
	if !clamping.Set() {
		return
	}
	need := 1.2 * clamping.Value
	r.components(func(c component) {
		if c.part.Mosfet == nil || !(c.Role.Is("switch") || c.Role.Is("load-switch")) {
			return
		}
		if v := c.part.Mosfet.DrainVoltage; v.Set() && below(v.Value, need) {
			r.say(fmt.Sprintf("%s is a part for %s, less than 1.2 times the %s at which the clamp holds", c.name, v.Text, clamping.Text), "use a part for "+volts(need)+", or a tighter clamp", v.Leaf, clamping.Leaf)
		}
	})
}

func clampStandoff(r *report) {
	high, at, of, ok := r.highest()
	r.components(func(c component) {
		if c.part.Clamp == nil || !ok {
			return
		}
		if v := c.part.Clamp.Standoff; v.Set() && below(v.Low, high) {
			r.say(fmt.Sprintf("%s: the clamp stands off %s, and %s rises to %s at %s: it conducts all day", c.name, volts(v.Low), of.name, volts(high), degrees(at)), "use a clamp that stands off more", v.Leaf, of.Leaf)
		}
	})
}

func supplyInput(r *report) {
	open, t, at, leaves := r.coldestOpen()
	r.components(func(c component) {
		if c.part.Regulator == nil {
			return
		}
		if v := c.part.Regulator.InputMax; v.Set() && below(v.Value, open) {
			r.say(fmt.Sprintf("%s takes at most %s, and without a battery the panels give %s (%s, %s)", c.name, v.Text, volts(open), at, degrees(t)), "use a regulator for more, or one behind a clamp", append(leaves, v.Leaf)...)
		}
	})
}

func gateDrive(r *report) {
	r.components(func(c component) {
		m := c.part.Mosfet
		if m == nil || !m.Drive.Set() {
			return
		}
		need := 1.2 * m.OnResistanceDrive.Value
		switch {
		case !m.OnResistanceDrive.Set():
		case below(m.Drive.Value, m.OnResistanceDrive.Value):
			r.say(fmt.Sprintf("%s: the gate gets %s, and its on-resistance is stated at %s", c.name, m.Drive.Text, m.OnResistanceDrive.Text), "drive it with "+volts(need)+", or take the resistance at what it gets", m.Drive.Leaf, m.OnResistanceDrive.Leaf)
		case below(m.Drive.Value, need):
			r.say(fmt.Sprintf("%s: the gate gets %s, less than 1.2 times the %s at which its on-resistance is stated: little is left when the battery is low", c.name, m.Drive.Text, m.OnResistanceDrive.Text), "drive it with "+volts(need), m.Drive.Leaf, m.OnResistanceDrive.Leaf)
		}
		if most := 0.8 * m.GateVoltage.Value; m.GateVoltage.Set() && above(m.Drive.Value, most) {
			r.say(fmt.Sprintf("%s: the gate gets %s, more than 80 %% of the %s that it bears", c.name, m.Drive.Text, m.GateVoltage.Text), "limit it to "+volts(most), m.Drive.Leaf, m.GateVoltage.Leaf)
		}
	})
}

func partCurrent(r *report) {
	r.components(func(c component) {
		var rating product.Quantity
		switch {
		case c.part.Diode != nil && c.Role.Is("blocking"):
			rating = c.part.Diode.Current
		case c.part.Mosfet != nil && (c.Role.Is("switch") || c.Role.Is("load-switch")):
			rating = c.part.Mosfet.Current
		}
		if rating.Set() && r.Current.Set() && below(rating.Value, r.Current.Value) {
			r.say(fmt.Sprintf("%s is a part for %s, and the label says %s", c.name, rating.Text, r.Current.Text), "use a larger part", rating.Leaf, r.Current.Leaf)
		}
	})
}

const standbyMost = 10e-3 // A

func standby(r *report) {
	for _, q := range []product.Quantity{r.Standby.ByDay, r.Standby.ByNight} {
		if q.Set() && above(q.High, standbyMost) {
			month := q.High * 24 * 30 // Ah
			r.say(fmt.Sprintf("it draws up to %s itself, %s in a month", amps(q.High), quantity.Format(month*3600, quantity.Charge, "Ah", -2)), "stay below 10 mA in every state", q.Leaf)
		}
	}
}
