package caution

import (
	"fmt"

	"hindwatt/internal/quantity"
)

// BatteryWork returns what has to be said wherever somebody is to work with the
// batteries that the product is sold for: on pages with trials, and on the leaflet.
func BatteryWork(chemistries []string) (notes []Caution) {
	say := func(text, remedy string) {
		notes = append(notes, Caution{Check: "battery-work", Study: "bench", Text: text, Remedy: remedy, Source: practice, Safety: true})
	}
	if len(chemistries) == 0 {
		return nil
	}
	say("a battery gives hundreds of amperes into a short, without warning: tools weld, rings burn to the bone",
		"take off rings and watches, insulate tools, fuse the battery at its post, and for trials begin with a supply limited to 1 A")
	lead, acid := false, false
	for _, c := range chemistries {
		lead = lead || c != lfp
		acid = acid || c == "flooded"
	}
	if lead {
		say("a lead battery gives off hydrogen while it is charged, sealed ones too when they are overcharged: it explodes",
			"charge in moving air, no flame or spark, connect the battery first and take it off last")
	}
	if acid {
		say("the acid of a flooded battery blinds and burns", "wear goggles and gloves, have much water and soda at hand")
	}
	return notes
}

// ventilation says how much air a flooded battery needs while it is boosted.
func ventilation(r *report) {
	const (
		gassing = 20e-3 // A for each Ah, boost charge, vented cells
		air     = 0.05  // m³/h for each cell and ampere of gassing
		opening = 28    // cm² for each m³/h
		hour    = 3600
	)
	r.systems(func(s system) {
		if s.battery == nil || !s.battery.Chemistry.Is("flooded") || s.capacity() == 0 {
			return
		}
		flow := air * r.cells("flooded") * gassing * s.capacity() / hour
		r.say(fmt.Sprintf("%s: while it is boosted, %s of flooded battery needs %.2g m³ of fresh air an hour, openings of %.2g cm²", s.name,
			quantity.Format(s.capacity(), quantity.Charge, "Ah", -3), flow, opening*flow), "leave openings low and high, and nothing that sparks in the same box", s.battery.Capacity.Leaf)
	})
}
