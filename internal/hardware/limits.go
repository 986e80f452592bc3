package hardware

import (
	"math"

	"hindwatt/internal/physics/conductor"
)

// laminate is the temperature up to which usual board laminate is rated for good, K: 130 °C (maximum operating temperature
// of UL 746E for FR-4, from memory).
const laminate = 273.15 + 130

// limits lists what each component must not exceed, with its datasheet maximum and where that stands.
func (d *Design) limits() [][]Limit {
	out := make([][]Limit, len(d.Components))
	for i := range d.Components {
		c := &d.Components[i]
		add := func(of string, max *Value) {
			if max != nil {
				out[i] = append(out[i], Limit{Of: of, Max: max.Value, From: max.From})
			}
		}
		switch {
		case c.Diode != nil:
			if d.judged(c, c.Diode.JunctionToCase, c.Diode.JunctionToAmbient) {
				add("junction", c.Diode.MaxJunction)
			}
			add("current", c.Diode.Current)
		case c.Mosfet != nil:
			if d.judged(c, c.Mosfet.JunctionToCase, c.Mosfet.JunctionToAmbient) {
				add("junction", c.Mosfet.MaxJunction)
			}
			add("current", c.Mosfet.Current)
		case c.Regulator != nil:
			if c.Regulator.JunctionToAmbient != nil {
				add("junction", c.Regulator.MaxJunction)
			}
		case c.Contact != nil:
			add("contact", c.Contact.MaxTemperature)
			add("current", c.Contact.Current)
		case c.Fuse != nil:
			add("current", c.Fuse.Rating)
		case c.Capacitor != nil:
			add("capacitor", c.Capacitor.MaxTemperature)
		case c.Resistor != nil:
			add("power", c.Resistor.Power)
		case c.Wire != nil:
			if in, err := conductor.InsulationNamed(c.Wire.Insulation); err == nil {
				out[i] = append(out[i], Limit{Of: "insulation", Max: in.Limit, From: "IEC 60364-5-52"})
			}
		case c.Track != nil:
			out[i] = append(out[i], Limit{Of: "board", Max: laminate, From: "usual laminate, 130 °C"})
		}
	}
	return out
}

// judged reports whether the way of a junction's heat is known.
func (d *Design) judged(c *Component, toCase, toAmbient *Value) bool {
	return toAmbient != nil || toCase != nil && (c.In == "lead" || d.enclosure(c.In) >= 0)
}

// judge writes what each limit of a component stands at.
func (u *Unit) judge(i int) {
	for k := range u.limits[i] {
		l := &u.limits[i][k]
		switch l.Of {
		case "current":
			l.Value = u.carried(i)
			if u.parts[i].kind == "fuse" {
				l.Max = u.fuse(i)
			}
		case "power":
			l.Value = u.losses[i].p0
		default:
			l.Value = u.temps[i]
		}
	}
}

// carried is the current that counts against a component's rating: the mean of a diode, the rms of all others.
func (u *Unit) carried(i int) float64 {
	mean, square := u.currents(i)
	if u.parts[i].kind == "diode" {
		return math.Abs(mean)
	}
	return math.Sqrt(square)
}

// currents are the mean of a component's current and of its square.
func (u *Unit) currents(i int) (mean, square float64) {
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		c := u.state[k][i].current
		mean += share * c // [U1]
		square += share * c * c
	}
	return mean, square
}

// fuse is what a fuse carries for ever where it sits.
func (u *Unit) fuse(i int) float64 {
	f := conductor.Fuse{Rating: u.parts[i].current, Share: u.parts[i].share, Derating: u.parts[i].derating}
	amps, err := f.Continuous(u.around(i)) // [U16]
	if err != nil {
		return 0
	}
	return amps
}

// around is the temperature of what surrounds a component, K.
func (u *Unit) around(i int) float64 {
	if at := u.d.enclosure(u.d.Components[i].In); at >= 0 {
		a := u.heat.assembly
		return a.Temperature(a.Inner[at])
	}
	return u.outside.Ambient
}

// Excess says how far a limit is exceeded, below 0 if it holds: kelvins, or percent of a current or a power.
func (l Limit) Excess() float64 {
	switch l.Of {
	case "current", "power":
		if l.Max <= 0 {
			return 100
		}
		return 100 * (l.Value/l.Max - 1)
	}
	return l.Value - l.Max
}

// tightest finds the limit that is nearest, or exceeded most; component −1 if there is none.
func (u *Unit) tightest() (component, limit int, excess float64) {
	component, excess = -1, math.Inf(-1)
	for i := range u.limits {
		u.judge(i)
		for k := range u.limits[i] {
			if x := u.limits[i][k].Excess(); x > excess {
				component, limit, excess = i, k, x
			}
		}
	}
	return component, limit, excess
}
