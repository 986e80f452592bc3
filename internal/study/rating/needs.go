package rating

import (
	"fmt"
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// wanted are the quantities that are asked for.
func (in *Input) wanted() ([]aim, error) {
	var list []aim
	for _, name := range in.Quantities {
		a, ok := findAim(name)
		if !ok {
			return nil, fmt.Errorf("rating: no quantity is called %q; want one of: %s", name, joined(Quantities()))
		}
		list = append(list, a)
	}
	if len(list) == 0 {
		list = aims
	}
	return list, nil
}

// missing is what a quantity lacks. What only keeps a part from being judged is among it for the current.
func (in *Input) missing(a aim) []page.Lack {
	var list []page.Lack
	switch a.name {
	case "standby", "standby-by-day":
		if in.stated(a) != nil {
			return nil
		}
	}
	if len(in.Design.Components) == 0 {
		list = append(list, page.Lack{File: "product.toml", Key: "circuit", Why: "which parts the current goes through; docs/folder.md has ready circuits to copy"})
	}
	for _, l := range in.Design.Lacks() {
		if l.Fatal && len(in.Design.Components) > 0 || !l.Fatal && a.name == "current" {
			list = append(list, page.Lack{File: l.File, Key: l.Key, Why: l.Why})
		}
	}
	if len(in.Design.Enclosures) == 0 && slices.Contains([]string{"current", "touch-temperature"}, a.name) {
		list = append(list, page.Lack{File: "product.toml", Key: "enclosure", Why: "how the heat gets out: shape, size, wall, filling"})
	}
	if in.asked() == nil && !slices.Contains([]string{"current", "standby", "standby-by-day"}, a.name) {
		list = append(list, page.Lack{File: "product.toml", Key: "current", Why: "the current at which drop, loss and temperature are told"})
	}
	return list
}

// able reports whether a quantity can be computed at all.
func (in *Input) able(a aim) bool {
	if in.stated(a) != nil {
		return true
	}
	heat := a.name == "current" || a.name == "touch-temperature"
	if in.lame() || heat && len(in.Design.Enclosures) == 0 {
		return false
	}
	return in.asked() != nil || a.name == "current" || a.name == "standby" || a.name == "standby-by-day"
}

// lame reports whether there is no circuit that could be looked at.
func (in *Input) lame() bool {
	return len(in.Design.Components) == 0 || slices.ContainsFunc(in.Design.Lacks(), func(l hardware.Lack) bool { return l.Fatal })
}

// asked is the current at which drops and temperatures are told.
func (in *Input) asked() *Value {
	if in.Conditions.Current != nil {
		return in.Conditions.Current
	}
	return in.Label
}

func (in *Input) stated(a aim) *Value {
	switch a.name {
	case "standby":
		return in.StandbyNight
	case "standby-by-day":
		return in.StandbyDay
	}
	return nil
}

// air is the range of ambient that the conditions name, K.
func (in *Input) air() (low, high float64) {
	if in.Conditions.Ambient == nil {
		return usualAir, usualAir
	}
	return ends(in.Conditions.Ambient.Quantity)
}

func ends(q quantity.Quantity) (low, high float64) {
	if q.Spread == quantity.Limits || q.Spread == quantity.Range {
		return q.Low, q.High
	}
	return q.Value, q.Value
}

// most is the upper end of a value; 0 for nil.
func most(v *Value) float64 {
	if v == nil {
		return 0
	}
	_, high := ends(v.Quantity)
	return high
}

// mounted lays the promised mounting over the enclosures that stand in no other.
func (in *Input) mounted() {
	if in.Conditions.Mounted == "" {
		return
	}
	in.Design = changed(in.Design, func(d *hardware.Design) {
		for i := range d.Enclosures {
			if d.Enclosures[i].Inside == "" {
				d.Enclosures[i].Mounted = in.Conditions.Mounted
			}
		}
	})
}

// changed returns a design with a change that leaves the first one as it is; datasheets are to be replaced, not written to.
func changed(d hardware.Design, change func(*hardware.Design)) hardware.Design {
	d.Components, d.Enclosures = slices.Clone(d.Components), slices.Clone(d.Enclosures)
	change(&d)
	return d
}
