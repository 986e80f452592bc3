package hardware

import (
	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

// lead is a pair of conductors that leads heat away from a node, but only towards its own temperature: its current warms it.
type lead struct {
	node  heat.Node
	flow  int     // which of a unit's flows it carries
	heats float64 // W that its warmth keeps at the node for each A²
}

// fin is one conductor of a lead as a fin.
func (l *Lead) fin() heat.Lead {
	return heat.Lead{Area: l.Area.Value, Length: l.Length.Value, Diameter: conductor.OuterDiameter(l.Area.Value)}
}

// warmth is by how much a current warms a wire in free air, K for each A².
func warmth(area float64) float64 {
	current := wireLevel * area
	warm, err := (conductor.Free{Area: area}).Steady(current, heat.Reference)
	if err != nil {
		return 0
	}
	return (warm.Conductor - heat.Reference) / (current * current)
}

// follow notes the leads that leave the main case, and those on both sides of a part in the lead.
func (t *thermal) follow(main int, x *store) {
	t.leads = t.leads[:0]
	n := len(t.d.Components)
	for at, l := range [beyond]*Lead{panelAt: t.d.PanelLead, batteryAt: t.d.BatteryLead} {
		if main >= 0 && l.cools() {
			g := 2 * l.fin().Conductance(heat.Reference, heat.SeaLevel)
			t.leads = append(t.leads, lead{t.assembly.Board[main], n + at, g * warmth(l.Area.Value)})
		}
	}
	for i := range t.d.Components {
		c := &t.d.Components[i]
		if c.In != "lead" || t.part[i] < 0 || c.isConductor() {
			continue
		}
		within, around := c.inLead(&x.parts[i])
		g := 2 * usualLead.Conductance(heat.Reference, heat.SeaLevel) * around / (within + around)
		t.leads = append(t.leads, lead{t.assembly.Junction[t.part[i]], i, g * warmth(leadArea)})
	}
}

// isConductor reports whether a component is a conductor, which has its own way to the air.
func (c *Component) isConductor() bool {
	switch c.Kind {
	case "wire", "track", "contact", "fuse":
		return true
	}
	return false
}

// warmLeads sets what the leads' own currents keep at the nodes that they start from.
func (u *Unit) warmLeads() {
	leads := u.heat.leads
	for i := range leads {
		kept := 0.0
		for _, l := range leads {
			if l.node == leads[i].node {
				_, square := u.currents(l.flow)
				kept += l.heats * square // [U13]
			}
		}
		u.heat.assembly.SetHeat(leads[i].node, kept)
	}
}
