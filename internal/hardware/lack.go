package hardware

import "slices"

// A Lack is a key that the folder does not have.
type Lack struct {
	File, Key string
	Why       string // what it would answer
	Fatal     bool   // without it no current or temperature can be computed
}

// Lacks lists the keys that are missing, in the order of the components: those without which no operating point exists, and
// those without which a part's temperature or current is not judged.
func (d *Design) Lacks() (out []Lack) {
	if len(d.Components) == 0 {
		return []Lack{{"product.toml", "circuit", "which part carries the current, and what it loses", true}}
	}
	seen := map[string]bool{}
	add := func(l Lack) {
		if !seen[l.Key] {
			seen[l.Key] = true
			out = append(out, l)
		}
	}
	var places []string
	for i := range d.Components {
		c := &d.Components[i]
		has := c.keys()
		for _, key := range needed[c.Kind] {
			if !slices.Contains(has, key) {
				add(Lack{"parts.toml", "part." + c.Part + "." + key, "the current through " + c.Name, true})
			}
		}
		for _, key := range heated[c.Kind] {
			cooled := key == "junction_to_ambient" && (c.In == "lead" || slices.Contains(has, "junction_to_case") && d.enclosure(c.In) >= 0)
			if !slices.Contains(has, key) && !cooled {
				add(Lack{"parts.toml", "part." + c.Part + "." + key, "whether " + c.Name + " gets too hot", false})
			}
		}
		if c.In != "" && c.In != "lead" && c.In != "outside" && !slices.Contains(places, c.In) {
			places = append(places, c.In)
		}
	}
	for _, place := range places {
		if k := d.enclosure(place); k < 0 || len(d.Enclosures[k].Size) == 0 {
			add(Lack{"product.toml", "enclosure." + place + ".size", "how hot what is in it gets", true})
		} else if e := &d.Enclosures[k]; e.Wall == nil {
			add(Lack{"product.toml", "enclosure." + place + ".wall", "how its wall carries heat; abs of 2 mm is taken", false})
		}
	}
	return out
}

// keys lists what a component's data sheet gives.
func (c *Component) keys() (out []string) {
	for _, f := range c.fields(&fixed{}) {
		if f.value != nil {
			out = append(out, f.key)
		}
	}
	if c.Diode != nil && len(c.Diode.Drops) > 0 {
		out = append(out, "drops")
	}
	if c.Wire != nil && c.Wire.Insulation != "" {
		out = append(out, "insulation")
	}
	return out
}
