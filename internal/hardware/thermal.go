package hardware

import (
	"fmt"
	"slices"

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
				one := l.fin()
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
	t.follow(main, x)
	return nil
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
