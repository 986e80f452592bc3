package hardware

import (
	"cmp"
	"fmt"

	"hindwatt/internal/physics/heat"
	"hindwatt/internal/quantity"
)

// A Variable is one uncertain input of a design. Those whose name begins with "heat." are factors on what a model carries away, 1 at
// best, each value in their limits as likely as another by its logarithm.
type Variable struct {
	Name     string            // key of the folder: "part.sb20.drops", "enclosure.case.emissivity"; "q1: part.nfet100.on_resistance" where several components share a part
	Quantity quantity.Quantity // nominal value and distribution
	Unknown  bool              // the same, unknown, for all units; false: it varies from unit to unit
	From     string            // file:line, or "estimate" and why
}

// slot is a variable and where its value goes in a unit.
type slot struct {
	Variable
	to *float64
}

// Variables lists every uncertain value of the data sheets and enclosures and every doubt of the models, in a fixed order. A value
// that is written without a spread is not among them, with two exceptions: a diode's drop scatters by ±5 % (estimate), as a
// factor on all points of its curve, and what a fuse carries for ever is 0.75 to 0.8 of its rating, less 0.2 to 0.3 % for each kelvin. A part that stands in several places scatters in each by itself.
func (d *Design) Variables() []Variable {
	_, slots := d.values()
	out := make([]Variable, len(slots))
	for i, s := range slots {
		out[i] = s.Variable
	}
	return out
}

// store is every number of a unit.
type store struct {
	parts []fixed
	cases []shell
	doubt [doubts]float64 // factors in the order of heat.Doubts
}

// doubts is how many doubts the models of heat have.
const doubts = 6

// shell is every number of an enclosure.
type shell struct {
	size                                  [3]float64
	filling, wall, emissivity, absorption float64
	board                                 [2]float64
	copper                                float64
}

// values returns all nominal values and where the uncertain ones go.
func (d *Design) values() (*store, []slot) {
	s := &store{parts: make([]fixed, len(d.Components)), cases: make([]shell, len(d.Enclosures))}
	uses := map[string]int{}
	for i := range d.Components {
		uses[d.Components[i].Part]++
	}
	var slots []slot
	add := func(name string, v *Value, to *float64, unknown bool) {
		*to = v.Value
		if v.Spread != quantity.Exact {
			slots = append(slots, slot{Variable{name, v.Quantity, unknown, v.From}, to})
		}
	}
	for i := range d.Components {
		c, x := &d.Components[i], &s.parts[i]
		prefix := "part." + c.Part + "."
		if uses[c.Part] > 1 {
			prefix = c.Name + ": " + prefix
		}
		if c.Diode != nil {
			add(prefix+"drops", estimate(1, dropSpread), &x.drop, false)
		}
		if f := c.Fuse; f != nil { // common practice for blade fuses
			add(prefix+"continuous_share", cmp.Or(f.ContinuousShare, estimate(0.775, 0.025/0.775)), &x.share, true)
			add(prefix+"derating", cmp.Or(f.Derating, estimate(0.0025, 0.2)), &x.derating, true)
		}
		for _, f := range c.fields(x) {
			if f.value == nil {
				*f.to = f.standard
				continue
			}
			add(prefix+f.key, f.value, f.to, false)
		}
	}
	d.shells(s, add)
	return s, slots
}

// shells fills the enclosures. What is written with a spread there is one case as another: unknown, not scattered.
func (d *Design) shells(s *store, add func(name string, v *Value, to *float64, unknown bool)) {
	for i := range d.Enclosures {
		e, x := &d.Enclosures[i], &s.cases[i]
		prefix := "enclosure." + e.Name + "."
		for k := range min(len(e.Size), 3) {
			add(fmt.Sprintf("%ssize.%d", prefix, k+1), &e.Size[k], &x.size[k], false)
		}
		for k := range min(len(e.Board), 2) {
			add(fmt.Sprintf("%sboard.%d", prefix, k+1), &e.Board[k], &x.board[k], false)
		}
		for _, f := range []field{
			{"filling_conductivity", e.FillingConductivity, &x.filling, 0}, {"wall", e.Wall, &x.wall, defaultWall},
			{"emissivity", e.Emissivity, &x.emissivity, emissivityOf(e.Material)}, {"absorptance", e.Absorptance, &x.absorption, 0.7},
			{"copper", e.Copper, &x.copper, 35e-6},
		} {
			if f.value == nil {
				*f.to = f.standard
				continue
			}
			add(prefix+f.key, f.value, f.to, true)
		}
	}
	for i, of := range heat.Doubts() {
		x := quantity.Quantity{Value: 1, Spread: quantity.Limits, Low: of.Low, High: of.High}
		add("heat."+of.Name, &Value{Quantity: x, From: of.Source}, &s.doubt[i], true)
	}
}

// estimate is a factor that lies within ±half.
func estimate(nominal, half float64) *Value {
	return &Value{Quantity: quantity.Quantity{Value: nominal, Spread: quantity.Limits, Low: nominal * (1 - half), High: nominal * (1 + half)}, From: "estimate"}
}

// defaultMaterial is that of a wall of which none is given: abs of 2 mm, as boxes are sold. Common practice.
const (
	defaultMaterial = "abs"
	defaultWall     = 2e-3
)

// emissivityOf is that of a wall as it comes.
func emissivityOf(material string) float64 {
	if material == "" {
		material = defaultMaterial
	}
	m, _ := heat.MaterialOf(material) // Check has named an unknown one
	return m.Bare
}
