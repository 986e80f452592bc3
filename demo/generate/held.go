package main

import (
	"fmt"
	"math"
)

// held is what an hour at a held current showed: on the tab of the blocking diode and on the outside of the case, three units.
// The rises are of the size that such parts have in such a case on a cabinet's back plate; they are put in, not computed.
var held = []struct {
	what, note string
	rise       float64 // K above the air, of the mean unit
	scatter    float64 // limit from unit to unit, 1
}{
	{"rating.temperature.d1", "an hour in the cabinet", 64.5, 0.04},
	{"rating.touch-temperature", "", 10.4, 0.08},
}

// The thermometer of bench-2, as bench/meters.toml has it.
const (
	thermometerShare  = 0.01
	thermometerCounts = 10
	thermometerDigit  = 0.1 // K
)

// hold adds the readings at a held current.
func hold(t *table, units []*unit, d draws) {
	s := sitting{"2024-04-09", "C", "b29 b30", "bench-2", 3, 21.5, 22.2, "", 9.8}
	m := newMeter(d, s.meter, thermometerShare, thermometerCounts, thermometerDigit)
	picked := pick(units, s)
	air := make([]float64, len(picked))
	for i := range air {
		air[i] = decimals(d.between(s.airLow, s.airHigh), 1)
	}
	for _, h := range held {
		for i, u := range picked {
			rise := h.rise * (1 + d.within(h.scatter))
			row := map[string]string{"date": s.day, "what": h.what, "meter": m.name, "serial": serial(u.serial), "revision": s.revision,
				"ambient": fmt.Sprintf("%.1f °C", air[i]), "charge_current": fmt.Sprintf("%.1f A", s.amps), "basis": "counted",
				"value": fmt.Sprintf("%.1f °C", math.Round(m.shows(air[i]+rise)*10)/10)}
			if i == 0 && h.note != "" {
				row["note"] = h.note
			}
			t.add(row)
		}
	}
}
