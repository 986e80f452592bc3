package fault

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

// fuseSizes are those of blade fuses (ISO 8820-3, from memory), A.
var fuseSizes = []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40}

const (
	fuseOver   = 1.3  // rating over the label's current, so that it holds when hot: common practice
	ratingOver = 1.67 // the next voltage class of a semiconductor: 60 V, 100 V
	dropOver   = 1.2  // its drop or on-resistance over that of the class below; estimate
)

// exact is a value of a usual part.
func exact(v float64, dim quantity.Dimension, unit string) *Value {
	return &Value{Quantity: quantity.Quantity{Value: v, Low: v, High: v, Dim: dim, Unit: unit}, From: "estimate"}
}

// changes is the short list for this circuit.
func (r *Result) changes() (list []change) {
	list = append(list, r.fuses()...)
	list = append(list, r.diodes()...)
	list = append(list, r.clamps()...)
	list = append(list, r.secondSwitch()...)
	return append(list, r.larger()...)
}

// other finds the part of the folder of a kind that fits best: the least by a measure among those that fit.
func (r *Result) other(kind string, fits func(*hardware.Component) (measure float64, ok bool)) *hardware.Component {
	var best *hardware.Component
	least := math.Inf(1)
	for k := range r.Input.Others {
		o := &r.Input.Others[k]
		if o.Kind != kind {
			continue
		}
		if m, ok := fits(o); ok && m < least {
			best, least = o, m
		}
	}
	return best
}

// split lays a new component between a terminal and all that hung on it.
func split(d *hardware.Design, terminal, node string, c hardware.Component, outward bool) {
	for i := range d.Components {
		q := &d.Components[i]
		for _, end := range []*string{&q.From, &q.To, &q.Gate} {
			if *end == terminal {
				*end = node
			}
		}
	}
	c.From, c.To = terminal, node
	if outward {
		c.From, c.To = node, terminal
	}
	c.In = "lead"
	d.Components = append(d.Components, c)
}

// fuses is one of the right size at the battery, if the circuit has none there.
func (r *Result) fuses() []change {
	for i := range r.Input.Design.Components {
		if c := &r.Input.Design.Components[i]; c.Fuse != nil && c.In == "lead" && (c.From == hardware.BatteryPlus || c.To == hardware.BatteryPlus) {
			return nil
		}
	}
	size := fuseSizes[len(fuseSizes)-1]
	for _, s := range slices.Backward(fuseSizes) {
		if s >= fuseOver*r.world.label {
			size = s
		}
	}
	part := hardware.Component{Kind: "fuse", Role: "fuse"}
	made := change{text: fmt.Sprintf("a fuse of %g A at the battery's own terminal", size), typical: true}
	if o := r.other("fuse", func(c *hardware.Component) (float64, bool) {
		rating := best(c.Fuse.Rating, 0)
		return rating, rating >= size && rating < 2*size
	}); o != nil {
		part.Part, part.Fuse = o.Part, o.Fuse
		made.part, made.typical, made.text = o.Part, false, fmt.Sprintf("a fuse of %g A (%s) at the battery's own terminal", o.Fuse.Rating.Value, o.Part)
	} else {
		part.Part, part.Fuse = "usual", &hardware.Fuse{Rating: exact(size, quantity.Current, "A"), Resistance: exact(0.08/size, quantity.Resistance, "Ω")}
	}
	part.Name = "fuse at the battery"
	made.behind = "behind the fuse"
	made.apply = func(d *hardware.Design) { split(d, hardware.BatteryPlus, made.behind, part, false) }
	return []change{made}
}

// diodes is a blocking diode in either lead of the panel.
func (r *Result) diodes() (list []change) {
	part := hardware.Component{Kind: "diode", Role: "blocking", Part: "usual"}
	text, made := "a diode of 100 V", change{typical: true}
	if o := r.other("diode", func(c *hardware.Component) (float64, bool) {
		amps := best(c.Diode.Current, 0)
		return amps, amps >= r.world.label && best(c.Diode.ReverseVoltage, 0) > r.world.full+r.world.open
	}); o != nil {
		part.Part, part.Diode, made.part, made.typical = o.Part, o.Diode, o.Part, false
		text = "a diode (" + o.Part + ")"
	} else {
		part.Diode = r.usualDiode(max(100, 1.2*(r.world.full+r.world.open)))
		text = fmt.Sprintf("a diode of %.0f V and %.0f A", part.Diode.ReverseVoltage.Value, part.Diode.Current.Value)
	}
	for _, lead := range []struct {
		terminal, words string
		outward         bool
	}{{hardware.PanelPlus, "plus", false}, {hardware.PanelMinus, "minus", true}} {
		c := part
		c.Name = "diode in the panel's " + lead.words
		list = append(list, change{text: text + " in the panel's " + lead.words + " lead", part: made.part, typical: made.typical,
			apply: func(d *hardware.Design) { split(d, lead.terminal, "behind the diode", c, lead.outward) }})
	}
	return list
}

// usualDiode is a Schottky diode for twice the label's current.
func (r *Result) usualDiode(volts float64) *hardware.Diode {
	amps := 2 * r.world.label
	at := zeroCelsius + 25
	return &hardware.Diode{Drops: []hardware.Drop{{Current: amps / 10, Voltage: 0.5, Temperature: at}, {Current: amps, Voltage: 0.75, Temperature: at}}, DropsFrom: "estimate",
		Leakage: exact(0.1e-3, quantity.Current, "A"), LeakageVoltage: exact(volts, quantity.Voltage, "V"), ReverseVoltage: exact(volts, quantity.Voltage, "V"),
		Current: exact(amps, quantity.Current, "A"), SurgeCurrent: exact(15*amps, quantity.Current, "A"),
		JunctionToCase: exact(1.5, quantity.ThermalResistance, "K/W"), JunctionToAmbient: exact(40, quantity.ThermalResistance, "K/W"), MaxJunction: exact(zeroCelsius+150, quantity.TemperaturePoint, "K")}
}

// clamps is one across the battery's or the panel's terminals.
func (r *Result) clamps() (list []change) {
	for _, at := range []struct {
		plus, minus, words string
		above              float64
	}{{hardware.BatteryPlus, hardware.BatteryMinus, "the battery's terminals", 1.1 * r.world.absorb}, {hardware.PanelPlus, hardware.PanelMinus, "the panel's terminals", 1.2 * r.world.open}} {
		c := hardware.Component{Kind: "clamp", Role: "clamp", Name: "clamp at " + at.words, From: at.plus, To: at.minus, In: "outside", Part: "usual"}
		made := change{typical: true, text: fmt.Sprintf("a clamp of %.0f V and 1.5 J across %s", at.above, at.words)}
		if o := r.other("clamp", func(c *hardware.Component) (float64, bool) {
			v := best(c.Clamp.Breakdown, 0)
			return v, v > at.above
		}); o != nil {
			c.Part, c.Clamp, made.part, made.typical = o.Part, o.Clamp, o.Part, false
			made.text = "a clamp (" + o.Part + ") across " + at.words
		} else {
			c.Clamp = &hardware.Clamp{Breakdown: exact(at.above, quantity.Voltage, "V"), Clamping: exact(1.4*at.above, quantity.Voltage, "V"),
				ClampingCurrent: exact(1500/(1.4*at.above), quantity.Current, "A"), Energy: exact(1.5, quantity.Energy, "J")}
		}
		made.apply = func(d *hardware.Design) { d.Components = append(d.Components, c) }
		list = append(list, made)
	}
	return list
}

// secondSwitch is one of the same kind, source to source with the charge's or the load's switch, against its body diode.
func (r *Result) secondSwitch() (list []change) {
	driven := map[string]string{"switch": "blocking", "load-switch": "load-switch"} // the role of the second
	for i := range r.Input.Design.Components {
		c := r.Input.Design.Components[i]
		second, known := driven[c.Role]
		if !known || c.Mosfet == nil || c.Role == "switch" && r.Input.Design.Switch == "shunt" || r.backed(&c, second) {
			continue
		}
		list = append(list, change{text: fmt.Sprintf("a second switch (%s), source to source with %s", c.Part, called(&c)), part: c.Part, apply: func(d *hardware.Design) {
			const middle = "between the switches"
			for k := range d.Components {
				q := &d.Components[k]
				if q.Mosfet == nil && (q.From == c.Gate && q.To == c.To || q.To == c.Gate && q.From == c.To) { // it holds the gate to the source
					q.From, q.To = c.Gate, middle
				}
			}
			against := c
			against.Name, against.Role, against.From, against.To = "second "+c.Name, second, c.To, middle
			d.Components[i].To = middle
			d.Components = append(d.Components, against)
		}})
	}
	return list
}

// backed reports whether another mosfet of a role stands against a switch already.
func (r *Result) backed(c *hardware.Component, role string) bool {
	return slices.ContainsFunc(r.Input.Design.Components, func(o hardware.Component) bool {
		return o.Mosfet != nil && o.Name != c.Name && o.To == c.To && o.Role == role
	})
}

// larger is a larger rating for whatever semiconductor gave way.
func (r *Result) larger() (list []change) {
	done := map[string]bool{}
	for _, o := range r.Outcomes {
		for _, s := range o.Stages {
			for _, g := range s.Gives {
				i := slices.IndexFunc(r.Input.Design.Components, func(c hardware.Component) bool { return c.Name == g.Part })
				if i < 0 || done[g.Part] || !strings.HasSuffix(g.Of, "voltage") && g.Of != "junction" {
					continue
				}
				if c := r.raise(i); c != nil {
					done[g.Part] = true
					list = append(list, *c)
				}
			}
		}
	}
	return list
}

// raise replaces a mosfet or a diode by the folder's next one, or by the next class of voltage.
func (r *Result) raise(i int) *change {
	c := r.Input.Design.Components[i]
	stands := func(o *hardware.Component) float64 {
		switch {
		case o.Diode != nil:
			return best(o.Diode.ReverseVoltage, 0)
		case o.Mosfet != nil:
			return best(o.Mosfet.DrainVoltage, 0)
		}
		return 0
	}
	now := stands(&c)
	if now == 0 {
		return nil
	}
	if o := r.other(c.Kind, func(o *hardware.Component) (float64, bool) {
		v := stands(o)
		fits := v > now && (o.Mosfet == nil || (o.Mosfet.Channel == "p") == (c.Mosfet.Channel == "p"))
		if o.Diode != nil && best(o.Diode.Current, 0) < best(c.Diode.Current, 0) {
			fits = false
		}
		return v, fits
	}); o != nil {
		return &change{text: fmt.Sprintf("%s (%g V) in place of %s at %s", o.Part, stands(o), c.Part, called(&c)), part: o.Part,
			apply: func(d *hardware.Design) {
				d.Components[i].Part, d.Components[i].Diode, d.Components[i].Mosfet = o.Part, o.Diode, o.Mosfet
			}}
	}
	volts := exact(math.Round(now*ratingOver/10)*10, quantity.Voltage, "V")
	return &change{text: fmt.Sprintf("a part of %g V in place of %s at %s", volts.Value, c.Part, called(&c)), typical: true, apply: func(d *hardware.Design) {
		q := &d.Components[i]
		q.Part += " of the next class"
		if c.Diode != nil {
			diode := *c.Diode
			diode.ReverseVoltage, diode.Drops = volts, slices.Clone(diode.Drops)
			for k := range diode.Drops {
				diode.Drops[k].Voltage *= dropOver
			}
			q.Diode = &diode
			return
		}
		mosfet := *c.Mosfet
		mosfet.DrainVoltage = volts
		if mosfet.OnResistance != nil {
			mosfet.OnResistance = exact(dropOver*dropOver*mosfet.OnResistance.Value, quantity.Resistance, "Ω")
		}
		q.Mosfet = &mosfet
	}}
}
