package diagram

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

// Of returns the circuit of a design, ready to draw.
func Of(d *hardware.Design) Circuit {
	c := Circuit{Title: "The circuit", Source: d.From}
	for _, one := range d.Components {
		part := Part{Name: one.Name, Kind: one.Kind, Label: labelOf(one), Ends: []End{{Node: one.From}, {Node: one.To}}}
		if one.Mosfet != nil {
			part.Ends = []End{{Pin: "drain", Node: one.From}, {Pin: "source", Node: one.To}, {Pin: "gate", Node: one.Gate}}
			if one.Mosfet.Channel == "p" {
				part.Kind = "p-mosfet"
			}
		}
		if one.In == "lead" || one.In == "outside" {
			part.Place = one.In
		}
		c.Parts = append(c.Parts, part)
	}
	return c
}

// labelOf is a short value: that which tells most of its kind, else the part's name.
func labelOf(c hardware.Component) string {
	short := func(v *quantity.Written) string {
		if v == nil {
			return c.Part
		}
		q := v.Quantity
		return quantity.Format(q.Value, q.Dim, q.Unit, -3)
	}
	switch {
	case c.Fuse != nil:
		return short(c.Fuse.Rating)
	case c.Resistor != nil:
		return short(c.Resistor.Resistance)
	case c.Capacitor != nil:
		return short(c.Capacitor.Capacitance)
	}
	return c.Part
}
