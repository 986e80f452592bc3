package charge

import (
	"fmt"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A custom is between what limits a value of an installation usually lies, in SI units: common practice, no source, and wide, so that what is
// beyond is a slip of a unit or of a number.
type custom struct {
	key         string
	v           *Value
	least, most float64
	unit        string
}

// usual says which values lie beyond what is usual. They are taken as written.
func (r *Result) usual() {
	p, b := &r.Input.Panel, &r.Input.Battery
	ofCapacity := func(least, most float64) (float64, float64) { // a resistance in Ω·Ah of a cell
		perAh := float64(max(1, r.model.count/max(1, b.Series))) / (b.Capacity.Quantity.Value / ah)
		return least * perAh, most * perAh
	}
	least, most := ofCapacity(0.005, 3)
	list := []custom{
		{"panel.age", p.Age, 0, 40 * aYear, "year"},
		{"panel.soiling", p.Soiling, 0, 0.5, "%"},
		{"part." + b.Part + ".self_discharge", b.SelfDischarge, 0, 0.3 / aMonth, "%/month"},
		{"part." + b.Part + ".resistance", b.Resistance, least, most, "mΩ"},
		{"battery.age", b.Age, 0, 20 * aYear, "year"},
		{"battery.rise", b.Rise, -20, 30, "K"},
	}
	if r.model.cell.Chemistry.Lead() {
		list = append(list, custom{"part." + b.Part + ".gassing", b.Gassing, 1e-3, 0.2, "mA"})
	}
	for _, c := range list {
		if c.v == nil || c.v.Quantity.Value >= c.least && c.v.Quantity.Value <= c.most {
			continue
		}
		show := func(v float64) string { return quantity.Format(v, c.v.Quantity.Dim, c.unit, -2) }
		usual := "at most " + show(c.most)
		if c.least != 0 {
			usual = show(c.least) + " to " + show(c.most)
		}
		r.note(page.Note{Text: fmt.Sprintf("%s is %s; usual is %s (common practice, no source).", c.key, c.v.Quantity, usual), Remedy: "look for a slip in the number or its unit", From: c.v.From})
	}
}
