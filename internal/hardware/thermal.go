package hardware

import (
	"fmt"
	"slices"

	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

// thermal is a unit's enclosures and parts as physics/heat takes them.
type thermal struct {
	d        *Design
	assembly *heat.Assembly
	part     []int // of each component its place among the assembly's parts, −1 for those that make no heat
	losses   []heat.Loss
	around   heat.Around
	built    []shell // with which the assembly was built
	leads    []lead
	walls    []float64 // W/K, of each enclosure
}

// lead is one conductor that leaves a case: what it carries away, and by how much its own current warms it.
type lead struct {
	board      heat.Node
	panel      bool    // the panel's, else the battery's
	conduction float64 // W/K
	warmth     float64 // K for each A²
}

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

func (d *Design) thermal(x *store) (*thermal, error) {
	t := &thermal{d: d, part: make([]int, len(d.Components)), losses: make([]heat.Loss, len(d.Components)), built: make([]shell, len(d.Enclosures))}
	return t, t.build(x)
}

// build makes the assembly from the values at hand.
func (t *thermal) build(x *store) error {
	d := t.d
	cases := make([]heat.Case, len(d.Enclosures))
	for i := range d.Enclosures {
		c, err := d.Enclosures[i].body(&x.cases[i])
		if err != nil {
			return err
		}
		c.Inside = d.enclosure(d.Enclosures[i].Inside)
		cases[i] = c
	}
	t.walls = t.walls[:0]
	for i := range cases {
		t.walls = append(t.walls, cases[i].WallConductance())
	}
	main := d.mainCase()
	if main >= 0 {
		for _, l := range []*Lead{d.PanelLead, d.BatteryLead} {
			if l.cools() {
				one := heat.Lead{Area: l.Area.Value, Length: l.Length.Value, Diameter: conductor.OuterDiameter(l.Area.Value)}
				cases[main].Leads = append(cases[main].Leads, one, one)
			}
		}
	}
	var parts []heat.Part
	for i := range d.Components {
		t.part[i] = -1
		if d.Components[i].heats() {
			t.part[i] = len(parts)
			parts = append(parts, d.place(i, &x.parts[i]))
		}
	}
	a, err := heat.Assemble(cases, parts, t.around)
	if err != nil {
		return refused("", err)
	}
	t.assembly = a
	copy(t.built, x.cases)
	for i, l := range t.losses {
		if l != nil && t.part[i] >= 0 {
			a.SetLoss(a.Junction[t.part[i]], l)
		}
	}
	t.follow(main)
	return nil
}

// follow notes the leads that leave the main case.
func (t *thermal) follow(main int) {
	t.leads = t.leads[:0]
	if main < 0 {
		return
	}
	for _, l := range []*Lead{t.d.PanelLead, t.d.BatteryLead} {
		if !l.cools() {
			continue
		}
		one := heat.Lead{Area: l.Area.Value, Length: l.Length.Value, Diameter: conductor.OuterDiameter(l.Area.Value)}
		out := lead{board: t.assembly.Board[main], panel: l == t.d.PanelLead, conduction: 2 * one.Conductance(heat.Reference, heat.SeaLevel)}
		current := wireLevel * l.Area.Value
		if warm, err := (conductor.Free{Area: l.Area.Value}).Steady(current, heat.Reference); err == nil {
			out.warmth = (warm.Conductor - heat.Reference) / (current * current)
		}
		t.leads = append(t.leads, out)
	}
}

// cools reports whether enough is known of a lead for it to carry heat away.
func (l *Lead) cools() bool {
	return l != nil && l.Length != nil && l.Area != nil && l.Length.Value > 0 && l.Area.Value > 0
}

// mainCase is the enclosure that holds most parts, −1 for none.
func (d *Design) mainCase() int {
	count := make([]int, len(d.Enclosures))
	best := -1
	for i := range d.Components {
		if k := d.enclosure(d.Components[i].In); k >= 0 {
			if count[k]++; best < 0 || count[k] > count[best] {
				best = k
			}
		}
	}
	return best
}

// heats reports whether a component makes heat that is followed.
func (c *Component) heats() bool {
	switch c.Kind {
	case "capacitor", "thermistor", "":
		return false
	}
	return true
}

// body is an enclosure as physics/heat takes it.
func (e *Enclosure) body(x *shell) (heat.Case, error) {
	c := heat.Case{Name: e.Name, Filling: heat.AirFilled, FillingConductivity: x.filling, Wall: e.Material, Thickness: x.wall,
		Emissivity: x.emissivity, Absorptance: x.absorption, Board: x.board, Copper: x.copper}
	c.Size = x.size
	if i := slices.Index([]string{"box", "tube", "sleeve"}, e.Shape); i > 0 {
		c.Shape = heat.Shape(i)
	}
	switch e.Filling {
	case "potting":
		c.Filling = heat.Potted
	case "glue":
		c.Filling = heat.Glued
	}
	if e.Position == "upright" {
		c.Position = heat.Upright
	}
	switch e.Mounted {
	case "wood":
		c.Mount = heat.OnWood
	case "metal":
		c.Mount = heat.OnMetal
	}
	if c.Wall == "" {
		c.Wall = defaultMaterial
	}
	if err := c.Check(); err != nil {
		return c, refused("enclosure", err)
	}
	return c, nil
}

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
	switch c.Kind {
	case "wire", "contact", "fuse", "track":
		return c.ownWay(x)
	}
	if c.In != "lead" {
		if x.toAmbient > 0 {
			return x.toAmbient
		}
		return c.guess()
	}
	fin := heat.Lead{Area: leadArea, Length: leadReach, Diameter: conductor.OuterDiameter(leadArea)}
	within := x.toCase
	if within == 0 {
		within = leadWay
	}
	return within + 1/(2*fin.Conductance(heat.Reference, heat.SeaLevel)+bodyFilm*bodyArea) // [U10]
}

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

// boardArea is that of a case, m²: a track is spread over it already.
func (d *Design) boardArea(i int) float64 {
	e := &d.Enclosures[i]
	area := 1.0
	for _, side := range e.Size {
		area *= max(side.Value, 1e-3)
	}
	if len(e.Board) == 2 {
		return e.Board[0].Value * e.Board[1].Value
	}
	return 1 // more than any board, so no spreading is added
}

// feed joins the loss of a component to its node.
func (t *thermal) feed(i int, l heat.Loss) {
	t.losses[i] = l
	if k := t.part[i]; k >= 0 {
		t.assembly.SetLoss(t.assembly.Junction[k], l)
	}
}

// set takes the values of another unit. Only those of the shape need a new assembly.
func (t *thermal) set(x *store) error {
	for i := range x.cases {
		now, was := x.cases[i], t.built[i]
		now.emissivity, now.absorption, was.emissivity, was.absorption = 0, 0, 0, 0
		if now != was {
			if err := t.build(x); err != nil {
				return err
			}
			break
		}
	}
	for i := range x.cases {
		if c := &x.cases[i]; !(c.emissivity >= 0 && c.emissivity <= 1) {
			return &InputError{"enclosure." + t.d.Enclosures[i].Name, fmt.Sprintf("its emissivity is %.3g", c.emissivity), "want 0 to 1"}
		}
		t.assembly.SetEmissivity(i, x.cases[i].emissivity, x.cases[i].absorption)
	}
	t.assembly.SetDoubt(heat.DoubtOf(x.doubt[:]))
	for i, k := range t.part {
		if kind := t.d.Components[i].Kind; k >= 0 && kind != "wire" && kind != "track" { // whose ways follow from their shape
			p := t.d.place(i, &x.parts[i])
			t.assembly.SetPart(k, p.JunctionToCase, p.JunctionToAmbient)
		}
	}
	return nil
}

// surround sets what is around the unit.
func (t *thermal) surround(o *Outside) {
	t.around = heat.Around{Altitude: o.Altitude, Irradiance: o.Irradiance}
	t.assembly.SetAround(t.around)
}
