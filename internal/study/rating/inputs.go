package rating

import (
	"cmp"
	"fmt"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// inputs are those that the answer rests on: the conditions, what is taken where none is given, and every uncertain value,
// those that weigh most in the current first.
func (r *Result) inputs() []page.Input {
	in := &r.Input
	var list []page.Input
	add := func(name string, v *Value, otherwise, note string) {
		switch {
		case v != nil:
			list = append(list, page.Input{Name: name, Text: v.Quantity.String(), From: v.From, Note: note})
		case otherwise != "":
			list = append(list, page.Input{Name: name, Text: otherwise, From: "default", Note: note})
		}
	}
	cells := in.nominal() / cell12
	add("ambient", in.Conditions.Ambient, celsius(usualAir), "")
	add("current", in.asked(), "", "at which drop, loss and temperatures are told")
	if in.Conditions.LoadCurrent != nil {
		add("load_current", in.Conditions.LoadCurrent, "", "")
	}
	add("battery", in.Battery, volts(charging12*cells), "while it charges")
	add("battery_resistance", in.Resistance, fmt.Sprintf("%.0f mΩ (estimate)", 1000*resistance*cells), "")
	add("altitude", in.Altitude, "0 m", "thinner air cools less")
	add("regulation.frequency", in.Design.Frequency, "", "")
	add("standby.by_night", in.StandbyNight, "", "")
	if in.lame() {
		return list
	}
	weight := map[string]float64{}
	if o := r.Outcome("current"); o != nil {
		for _, l := range o.Linear.Lines {
			weight[l.Name] = l.Share
		}
	}
	variables := in.Design.Variables()
	slices.SortStableFunc(variables, func(a, b hardwareVariable) int { return cmp.Compare(weight[b.Name], weight[a.Name]) })
	for _, v := range variables {
		note := ""
		if v.Unknown {
			note = "not known, the same for all units"
		}
		list = append(list, page.Input{Name: v.Name, Text: text(v), From: v.From, Note: note})
	}
	return list
}

// text writes a quantity; a factor of a model as its limits.
func text(v hardwareVariable) string {
	if isFactor(v) || v.Quantity.Value == 1 && v.Quantity.Dim == quantity.Ratio {
		return fmt.Sprintf("times %.2g to %.2g", v.Quantity.Low, v.Quantity.High)
	}
	return v.Quantity.String()
}
