package hardware

import (
	"math"
	"slices"

	"hindwatt/internal/physics/heat"
)

// What is taken of the panel's lead where the folder has none: 10 m, and 0.7 µH for a metre of a pair (0.5 to 1.0 by how far apart they lie).
// Estimates; installations/NAME.toml, lead.panel sets the length.
const (
	panelReach     = 10.0
	pairInductance = 0.7e-6
)

// edgeLosses works out what each cycle loses beside the two networks at rest: at the edges of the switches, and the energy of the
// panel's lead where its current is broken off.
func (u *Unit) edgeLosses() {
	clear(u.extra)
	if !u.cycles() || u.d.Frequency == nil {
		return
	}
	f := u.d.Frequency.Value
	breaks := -1
	for i := range u.parts {
		c := &u.d.Components[i]
		if !c.driven() || c.Role == "load-switch" {
			continue
		}
		on, off := &u.state[0][i], &u.state[1][i]
		if !u.charging.on[i] {
			on, off = off, on
		}
		u.extra[i].Switching = heat.Switching(off.across, on.current, u.parts[i].edge, 0, f) // [U7]
		if c.Role == "switch" && breaks < 0 {
			breaks = i
		}
	}
	if breaks < 0 {
		return
	}
	before, after := u.panelCurrent(0), u.panelCurrent(1)
	lost := heat.Inductive(u.inductance(), math.Sqrt(math.Max(0, before*before-after*after)), f) // [U8]
	if z := u.absorbs(); z >= 0 {
		breaks = z
	}
	u.extra[breaks].Clamping += lost
}

// cycles reports whether the switch is turned on and off in every cycle.
func (u *Unit) cycles() bool {
	return !u.s.Night && u.s.Duty > 0 && u.s.Duty < 1 && u.d.Method != "on-off"
}

// panelCurrent is what the panel gives in a part of the cycle.
func (u *Unit) panelCurrent(k int) float64 { return -u.state[k][len(u.parts)+panelAt].current }

// The flows of panel and battery stand behind those of the components.
const (
	panelAt = iota
	batteryAt
	beyond // how many
)

// inductance is that of the panel's lead.
func (u *Unit) inductance() float64 {
	length := panelReach
	if l := u.d.PanelLead; l != nil && l.Length != nil {
		length = l.Length.Value
	}
	return length * pairInductance
}

// absorbs is a clamp across the panel, −1 for none: it takes the energy of the lead, else the switch does in avalanche.
func (u *Unit) absorbs() int {
	w := ways{}
	for i := range u.d.Components {
		if c := &u.d.Components[i]; slices.Contains([]string{"wire", "track", "contact", "fuse"}, c.Kind) {
			w.both(c.From, c.To)
		}
	}
	for i := range u.d.Components {
		c := &u.d.Components[i]
		if c.Clamp != nil && (w.reach(PanelPlus, c.From) && w.reach(PanelMinus, c.To) || w.reach(PanelMinus, c.From) && w.reach(PanelPlus, c.To)) {
			return i
		}
	}
	return -1
}
