package rating

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Other is what one change would do to a nominal unit.
type Other struct {
	Name    string  // "nfet60 in place of nfet100 at q1"
	Group   string  // "part", "filling", "wall", "mounting", "copper", "place", "made up": better than any part of the folder
	Current float64 // A, largest
	More    float64 // A, than now
	Part    string  // that stops it then
	Of      string
	Touch   float64 // K, of the case at the asked current; 0 where none is asked or it runs away
	Refused string  // why it cannot be computed; "" otherwise
}

// change is one change to a design.
type change struct {
	name, group string
	apply       func(*hardware.Design)
}

// Instead computes what other parts, fillings, walls, mountings and copper would do, one at a time, the largest gain first [Q9].
func (r *Result) Instead(ctx context.Context) ([]Other, error) {
	now := r.Outcome("current")
	if now == nil || now.Never != "" {
		return nil, nil
	}
	changes := slices.Concat(r.otherParts(now.Nominal), r.madeUp(), r.otherCases())
	list := make([]Other, len(changes))
	err := numeric.Parallel(ctx, len(changes), func(i int) error {
		list[i] = r.changed(changes[i], now)
		return nil
	})
	slices.SortStableFunc(list, func(a, b Other) int { return cmp.Compare(b.More, a.More) })
	return list, err
}

// changed computes one change; the duty of regulation is looked for anew.
func (r *Result) changed(c change, now *Outcome) Other {
	o := Other{Name: c.name, Group: c.group}
	in := r.Input
	in.Design = changed(in.Design, c.apply)
	p, err := in.probe(&in.Design)
	if err != nil {
		o.Refused = err.Error()
		return o
	}
	other := &Result{Input: in, probe: p, place: r.place}
	if err := other.duties(); err != nil {
		o.Refused = err.Error()
		return o
	}
	current, _, by, err := p.largest(now.At, other.statesOf(aims[0]))
	if err != nil {
		o.Refused = err.Error()
		return o
	}
	o.Current, o.More, o.Part, o.Of = current, current-now.Nominal, by.part, by.of
	if now.At.current > 0 {
		touch, _ := findAim("touch-temperature")
		if t, err := p.value(touch, now.At, other.statesOf(touch)); err == nil && finite(t) {
			o.Touch = t
		}
	}
	return o
}

// carries reports whether the asked current, or a good part of it, goes through a component.
func (r *Result) carries(i int) bool {
	c := r.Input.Design.Components[i]
	if r.Point == nil || r.place.current == 0 {
		return c.Role == "switch" || c.Role == "load-switch" || c.Role == "blocking"
	}
	return math.Abs(r.Point.Parts[i].RMS) > r.place.current/10
}

// otherParts puts every other mosfet and diode of the folder in the place of those that carry the current. One whose own
// limit is below what is carried now is left out.
func (r *Result) otherParts(current float64) []change {
	var list []change
	for i, c := range r.Input.Design.Components {
		if !r.carries(i) {
			continue
		}
		for _, o := range r.Input.Others {
			if o.Kind != c.Kind || o.Part == c.Part || limitOf(o) < current {
				continue
			}
			list = append(list, change{fmt.Sprintf("%s%s in place of %s at %s", o.Part, voltage(o), c.Part, c.Name), "part", func(d *hardware.Design) {
				d.Components[i].Part, d.Components[i].Mosfet, d.Components[i].Diode = o.Part, o.Mosfet, o.Diode
			}})
		}
	}
	return list
}

// limitOf is the current that a part is made for; +Inf where it does not say.
func limitOf(c hardware.Component) float64 {
	switch {
	case c.Mosfet != nil:
		return value(c.Mosfet.Current, math.Inf(1))
	case c.Diode != nil:
		return value(c.Diode.Current, math.Inf(1))
	}
	return math.Inf(1)
}

// voltage says what a part bears: " (60 V)".
func voltage(c hardware.Component) string {
	v := (*Value)(nil)
	switch {
	case c.Mosfet != nil:
		v = c.Mosfet.DrainVoltage
	case c.Diode != nil:
		v = c.Diode.ReverseVoltage
	}
	if v == nil {
		return ""
	}
	return " (" + v.Quantity.String() + ")"
}

// lessDrop is by how much a better diode is taken to drop less, V.
const lessDrop = 0.1

// madeUp are parts that no data sheet of the folder describes: half the on-resistance, a tenth of a volt less drop; and a
// diode put in the lead, where its heat stays outside.
func (r *Result) madeUp() []change {
	var list []change
	for i, c := range r.Input.Design.Components {
		switch {
		case !r.carries(i):
		case c.Mosfet != nil && c.Mosfet.OnResistance != nil:
			list = append(list, change{"half the on-resistance at " + c.Name, "made up", func(d *hardware.Design) {
				m := *c.Mosfet
				m.OnResistance = scaled(m.OnResistance, 0.5)
				d.Components[i].Mosfet = &m
			}})
		case c.Diode != nil && len(c.Diode.Drops) > 0:
			list = append(list, change{"0.1 V less drop at " + c.Name, "made up", func(d *hardware.Design) {
				x := *c.Diode
				x.Drops = slices.Clone(x.Drops)
				for k := range x.Drops {
					x.Drops[k].Voltage = math.Max(x.Drops[k].Voltage-lessDrop, x.Drops[k].Voltage/4)
				}
				d.Components[i].Diode = &x
			}})
			if c.In != "lead" {
				list = append(list, change{c.Name + " in the lead", "place", func(d *hardware.Design) { d.Components[i].In = "lead" }})
			}
		}
	}
	return list
}

func scaled(v *Value, by float64) *Value {
	out := *v
	out.Value, out.Low, out.High, out.SD = v.Value*by, v.Low*by, v.High*by, v.SD*by
	return &out
}

func exactly(v float64, dim quantity.Dimension, unit string) *Value {
	return &Value{Quantity: quantity.Quantity{Value: v, Low: v, High: v, Dim: dim, Unit: unit}, From: "computed case"}
}

// otherCases changes one thing about the enclosures that the current's parts are in.
func (r *Result) otherCases() []change {
	var list []change
	for i, e := range r.Input.Design.Enclosures {
		set := func(name, group string, apply func(*hardware.Enclosure)) {
			list = append(list, change{name + " (" + e.Name + ")", group, func(d *hardware.Design) { apply(&d.Enclosures[i]) }})
		}
		if filled := e.Filling == "potting" || e.Filling == "glue"; filled {
			set("air in place of "+e.Filling, "filling", func(e *hardware.Enclosure) { e.Filling, e.FillingConductivity = "air", nil })
		} else {
			set("potting in place of air", "filling", func(e *hardware.Enclosure) { e.Filling, e.FillingConductivity = "potting", nil })
		}
		for _, w := range []struct {
			material string
			metal    bool
		}{{"aluminium", true}, {"abs", false}} {
			if metal := e.Material == "aluminium" || e.Material == "steel"; metal != w.metal {
				set("a wall of "+w.material, "wall", func(e *hardware.Enclosure) { e.Material = w.material; e.Emissivity = paint(w.metal) })
			}
		}
		if e.Inside == "" {
			for _, m := range []string{"free", "wood", "metal"} {
				if m != e.Mounted && !(e.Mounted == "" && m == "free") {
					set("mounted "+mountWords[m], "mounting", func(e *hardware.Enclosure) { e.Mounted = m })
				}
			}
		}
		if len(e.Board) == 2 {
			list = append(list, r.otherCopper(i, e)...)
		}
	}
	return list
}

var mountWords = map[string]string{"free": "free in air", "wood": "on wood", "metal": "on metal", "": "free in air"}

// paint is the emissivity of a wall that is tried: anodised or painted metal 0.8, plastic 0.9 (MODELS F2 [M]).
func paint(metal bool) *Value {
	if metal {
		return exactly(0.8, quantity.Ratio, "")
	}
	return exactly(0.9, quantity.Ratio, "")
}

// otherCopper changes the copper of a board and of the tracks on it.
func (r *Result) otherCopper(i int, e hardware.Enclosure) []change {
	var list []change
	for _, micrometres := range []float64{35, 70, 105} {
		thick := micrometres * 1e-6
		if math.Abs(value(e.Copper, 35e-6)-thick) < 1e-6 {
			continue
		}
		list = append(list, change{fmt.Sprintf("copper of %.0f µm (%s)", micrometres, e.Name), "copper", func(d *hardware.Design) {
			copper := exactly(thick, quantity.Length, "µm")
			d.Enclosures[i].Copper = copper
			for k, c := range d.Components {
				if c.In == e.Name && c.Track != nil {
					t := *c.Track
					t.Copper = copper
					d.Components[k].Track = &t
				}
			}
		}})
	}
	return list
}
