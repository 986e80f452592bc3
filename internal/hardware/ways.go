package hardware

import (
	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

// Estimates of bodies that no data sheet describes.
const (
	ownWay    = 100.0  // K/W of a small part whose sheet has none; it makes milliwatts
	powerWay  = 60.0   // K/W of a power part whose sheet has none: a power package in free air
	leadArea  = 2.5e-6 // m², of the lead that a part in the lead sits in
	leadReach = 0.5    // m, of it to each side
	bodyArea  = 1.4e-3 // m², of a sleeve over such a part, 30 mm x 12 mm x 8 mm
	bodyFilm  = 12.0   // W/(m²·K), convection and radiation of it
	leadWay   = 2.0    // K/W from junction into the leads where no junction_to_case is given
	wireLevel = 4.0e6  // A/m² at which a wire's own way is taken
	trackRise = 20.0   // K at which a track's own way is taken
)

// place says how a component's heat leaves it.
func (d *Design) place(i int, x *fixed) heat.Part {
	c := &d.Components[i]
	p := heat.Part{Name: c.Name, Case: d.enclosure(c.In), JunctionToCase: x.toCase, JunctionToAmbient: x.toAmbient}
	if p.Case < 0 {
		p.JunctionToAmbient = c.alone(x)
		return p
	}
	switch c.Kind {
	case "track":
		p.JunctionToCase, p.Footprint = c.trackWay(x), d.boardArea(p.Case)
	case "wire", "contact", "fuse":
		p.JunctionToAmbient = c.ownWay(x)
	default:
		if p.JunctionToCase == 0 && p.JunctionToAmbient == 0 {
			p.JunctionToAmbient = c.guess()
		}
	}
	return p
}

// guess is the way of a part whose sheet has none.
func (c *Component) guess() float64 {
	if c.Kind == "diode" || c.Kind == "mosfet" || c.Kind == "regulator" {
		return powerWay
	}
	return ownWay
}

// alone is the resistance from a part in the lead, or in no place, to the air: into the leads on both sides as fins, and
// through a small body.
func (c *Component) alone(x *fixed) float64 {
	if c.isConductor() {
		return c.ownWay(x)
	}
	if c.In != "lead" {
		if x.toAmbient > 0 {
			return x.toAmbient
		}
		return c.guess()
	}
	within, around := c.inLead(x)
	return within + around // [U10]
}

// inLead are the resistances of a part in the lead: from its junction into the leads, and from there to the air.
func (c *Component) inLead(x *fixed) (within, around float64) {
	within = x.toCase
	if within == 0 {
		within = leadWay
	}
	return within, 1 / (2*usualLead.Conductance(heat.Reference, heat.SeaLevel) + bodyFilm*bodyArea)
}

// usualLead is one of the two that a part in the lead sits between.
var usualLead = heat.Lead{Area: leadArea, Length: leadReach, Diameter: conductor.OuterDiameter(leadArea)}

// ownWay is the resistance of a conductor, contact or fuse to its surroundings.
func (c *Component) ownWay(x *fixed) float64 {
	watts := x.current * x.current * x.resistance
	switch {
	case c.Kind == "contact" && watts > 0:
		return contactRise / watts // [U11]
	case c.Kind == "fuse" && watts > 0:
		return fuseRise / watts // [U11]
	case c.Kind == "track":
		return c.trackWay(x)
	case c.Kind == "wire" && x.length > 0:
		warm, err := (conductor.Free{Area: x.area}).Steady(wireLevel*x.area, heat.Reference)
		if err == nil && warm.Loss > 0 {
			return (warm.Conductor - heat.Reference) / (warm.Loss * x.length)
		}
	}
	return ownWay
}

// trackWay is what the charts of IPC-2221 give for a track at a rise of 20 K.
func (c *Component) trackWay(x *fixed) float64 {
	layer := conductor.Outer
	if c.Track.Layer == "inner" {
		layer = conductor.Inner
	}
	current, err := layer.TrackCurrent(x.width*x.thickness, trackRise)
	r, err2 := conductor.TrackResistance(x.width, x.thickness, x.length, heat.Reference)
	if err != nil || err2 != nil || current <= 0 || r <= 0 {
		return ownWay
	}
	return trackRise / (current * current * r) // [U12]
}

// boardArea is that of a case, m², or more than any board has: a track is spread over it already.
func (d *Design) boardArea(i int) float64 {
	if board := d.Enclosures[i].Board; len(board) == 2 {
		return board[0].Value * board[1].Value
	}
	return 1
}
