package hardware

import (
	"fmt"

	"hindwatt/internal/physics/heat"
)

// checkShells finds enclosures that cannot be.
func (d *Design) checkShells() (out []Fault) {
	for i := range d.Enclosures {
		e := &d.Enclosures[i]
		fault := func(text, want string) { out = append(out, Fault{e.Name, text, want, e.From, true}) }
		lengths := 3
		if e.Shape == "tube" {
			lengths = 2
		}
		if len(e.Size) > 0 && len(e.Size) != lengths {
			fault(fmt.Sprintf("a %s has %d lengths, its size has %d", e.Shape, lengths, len(e.Size)), "length x width x height, or length x diameter of a tube")
		}
		least := 0.0
		for k, side := range e.Size {
			if side.Value <= 0 {
				fault("a side of its size is not above 0", "lengths above 0")
			}
			if k == 0 || side.Value < least {
				least = side.Value
			}
		}
		if e.Wall != nil && len(e.Size) > 0 && least > 0 && 2*e.Wall.Value >= least {
			fault(fmt.Sprintf("it is %s across and has two walls of %s: nothing is left inside", millimetres(least), millimetres(e.Wall.Value)), "a thinner wall or a larger size")
		}
		if e.Emissivity != nil && (e.Emissivity.Value < 0 || e.Emissivity.Value > 1) {
			fault(fmt.Sprintf("its emissivity is %.3g", e.Emissivity.Value), "0 to 1")
		}
		if _, err := heat.MaterialOf(e.Material); e.Material != "" && err != nil {
			fault(err.Error(), "one of them")
		}
		if !d.settles(i) {
			fault("it stands inside itself", "an enclosure that holds it, or none")
		}
	}
	return out
}

// settles reports whether the enclosures around one come to an end.
func (d *Design) settles(i int) bool {
	for range d.Enclosures {
		i = d.enclosure(d.Enclosures[i].Inside)
		if i < 0 {
			return true
		}
	}
	return false
}

func millimetres(m float64) string { return fmt.Sprintf("%.3g mm", m*1e3) }

// checkValues finds numbers of data sheets that cannot be.
func (d *Design) checkValues() (out []Fault) {
	seen := map[string]bool{}
	for i := range d.Components {
		c := &d.Components[i]
		for _, f := range c.fields(&fixed{}) {
			if f.value == nil || f.key == "tempco" || seen[c.Part+f.key] {
				continue
			}
			seen[c.Part+f.key] = true
			if low := least(f.value); low < 0 {
				out = append(out, Fault{c.Name, fmt.Sprintf("its %s goes down to %.3g in SI units", f.key, low), "0 or more", f.value.From, true})
			}
		}
	}
	return out
}

// least is the lowest that a value may be.
func least(v *Value) float64 { return min(v.Value, v.Low) }
