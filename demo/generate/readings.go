package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// design is the sense chain of one revision. Limits are of rectangular distributions;
// the text of product.toml or of the variant that says so is checked by a test.
type design struct {
	tolerance, drift    float64 // of each divider resistor; 1 and 1/K
	reference, refDrift float64 // 1 and 1/K
	offset, inl         float64 // LSB
	leakage             float64 // A
	sensorError         float64 // K
	riseLow, riseHigh   float64 // K, of the board
	onBoard, trimmed    bool
}

const (
	top, bottom, vref = 120e3, 10e3, 2.5 // Ω, Ω, V
	steps             = 1 << 10
	slope             = -0.036 // V/K
	trimAt, trimAir   = 27.3, 21.0
)

func designOf(revision string) design {
	c := design{0.01, 100e-6, 0.004, 100e-6, 2, 1, 50e-9, 1, 2, 6, false, true}
	switch revision {
	case "A":
		c.reference, c.onBoard, c.trimmed = 0.01, true, false
	case "B":
		c.trimmed = false
	}
	return c
}

// meter is an instrument that is wrong by the same share of its reading all year.
type meter struct {
	name        string
	share       float64 // limit of its leaflet
	counts      float64 // last digits
	digit       float64 // V
	wrong, late float64 // drawn: share of the reading, last digits
}

func newMeter(d draws, name string, share, counts, digit float64) meter {
	return meter{name, share, counts, digit, d.within(share), d.within(counts)}
}

// shows is what the meter displays at a true voltage, V.
func (m meter) shows(v float64) float64 {
	v += m.wrong*v + m.late*m.digit
	return math.Round(v/m.digit) * m.digit
}

// chain is the sense chain of one unit: every draw that stays with it.
type chain struct {
	design
	r1, r2, ref, d1, d2, dref float64
	off, leak, rise, sensor   float64
	factor                    float64 // of the trim: belief per raw belief
}

// newChain draws a unit and trims it if its revision is trimmed. dref is the drift that
// all references of the reel share.
func newChain(d draws, g design, dref float64, jig meter) *chain {
	c := &chain{design: g, dref: dref, factor: 1}
	c.r1, c.r2, c.ref = d.within(g.tolerance), d.within(g.tolerance), d.within(g.reference)
	c.d1, c.d2 = d.within(g.drift), d.within(g.drift)
	c.off, c.leak = d.within(g.offset), d.within(g.leakage)
	c.rise, c.sensor = d.between(g.riseLow, g.riseHigh), d.within(g.sensorError)
	if g.trimmed {
		gain, offset := c.at(trimAir, d) // idle: the board is as warm as the air
		raw := (trimAt - offset) / gain
		step := vref * (top + bottom) / bottom / steps
		c.factor = (jig.shows(trimAt) + d.within(step/2)) / raw
	}
	return c
}

// at gives true = gain·believed + offset (V) with the board at a temperature (°C);
// nonlinearity and step are drawn anew, as at another code.
func (c *chain) at(board float64, d draws) (gain, offset float64) {
	dt := board - 25
	r1 := top * (1 + c.r1) * (1 + c.d1*dt)
	r2 := bottom * (1 + c.r2) * (1 + c.d2*dt)
	full := vref * (1 + c.ref) * (1 + c.dref*dt) * (r1 + r2) / r2
	code := c.off + d.within(c.inl) + d.within(0.5)
	return full / (vref * (top + bottom) / bottom), code*full/steps + c.leak*r1
}

// stops is the true voltage at the terminals when the unit believes it is at level (V
// at 25 °C), in air of the given temperature.
func (c *chain) stops(level, air float64, compensated bool, d draws) float64 {
	gain, offset := c.at(air+c.rise, d)
	if compensated {
		at := air + c.sensor
		if c.onBoard {
			at += c.rise
		}
		level += slope * (min(50, max(-10, at)) - 25)
	}
	return gain*level/c.factor + offset
}

// sitting is an afternoon at the bench: some units of a revision, one question, one meter.
type sitting struct {
	day, revision, batches string
	meter                  string
	units                  int
	airLow, airHigh        float64 // °C
	level                  string
	amps                   float64 // charge, or load
}

var sittings = []sitting{
	{"2021-03-11", "A", "b01", "pocket", 4, 17, 19, "float", 0.2},
	{"2021-11-30", "A", "b06 b07", "pocket", 3, 15, 18, "float", 0.2},
	{"2022-04-12", "B", "b09 b10", "pocket", 3, 17, 20, "float", 0.2},
	{"2023-01-24", "B", "b17 b18", "bench-2", 5, 18, 20, "float", 0.2},
	{"2023-05-04", "C", "b20 b21", "bench-1", 4, 19, 20.5, "float", 0.2},
	{"2023-12-06", "C", "b26 b27", "bench-1", 3, 18, 19, "float", 0.2},
	{"2024-03-26", "C", "b29 b30", "bench-1", 3, 20.5, 22, "float", 0.2},
	{"2023-05-05", "C", "b20 b21", "bench-1", 4, 19, 20.5, "absorption", 2},
	{"2024-03-27", "C", "b29 b30", "bench-1", 2, 20.5, 22, "absorption", 2},
	{"2023-05-08", "C", "b20 b21", "bench-1", 5, 19, 21, "load-disconnect", 2},
	{"2023-05-08", "C", "b20 b21", "bench-1", 4, 19, 21, "load-reconnect", 0},
}

var levels = map[string]float64{"float": 27.3, "absorption": 28.8, "load-disconnect": 22.8, "load-reconnect": 25.2}

// benchLead is the lead between controller and battery on the bench, Ω: 1 m of 2.5 mm²
// both ways at 20 °C and two pairs of contacts.
const benchLead = 2*0.017241/2.5 + 5e-3

func readingsTable(units []*unit, d draws) *table {
	t := newTable("date what value meter serial revision ambient charge_current load_current basis note mistake state")
	meters := benchMeters(d)
	dref := d.within(designOf("C").refDrift)
	chains := map[int]*chain{}
	for _, s := range sittings {
		m := meters[slices.IndexFunc(meters, func(m meter) bool { return m.name == s.meter })]
		for _, u := range pick(units, s) {
			if chains[u.serial] == nil {
				chains[u.serial] = newChain(d, designOf(s.revision), dref, meters[1])
			}
			t.add(s.read(chains[u.serial], m, u, d))
		}
	}
	return t
}

func benchMeters(d draws) []meter {
	return []meter{newMeter(d, "bench-1", 0.0005, 3, 0.001), newMeter(d, "bench-2", 0.001, 2, 0.01), newMeter(d, "pocket", 0.005, 2, 0.01)}
}

// pick takes units of the batches that are not sold at that day, evenly.
func pick(units []*unit, s sitting) []*unit {
	on := date(s.day)
	var there []*unit
	for _, u := range units {
		if strings.Contains(s.batches, u.batch.name) && u.result != "scrap" && u.made.Before(on) && (u.sold.IsZero() || !u.sold.Before(on)) {
			there = append(there, u)
		}
	}
	if len(there) < s.units {
		panic(fmt.Sprintf("%s: %d units there, %d wanted", s.day, len(there), s.units))
	}
	picked := make([]*unit, s.units)
	for i := range picked {
		picked[i] = there[i*len(there)/s.units]
	}
	return picked
}

// read is one row. The meter's probes are on the battery's posts.
func (s sitting) read(c *chain, m meter, u *unit, d draws) map[string]string {
	air := decimals(d.between(s.airLow, s.airHigh), 1)
	charging := s.level == "float" || s.level == "absorption"
	v := c.stops(levels[s.level], air, charging, d)
	row := map[string]string{"date": s.day, "what": "setpoint." + s.level, "meter": m.name, "serial": serial(u.serial),
		"revision": s.revision, "ambient": fmt.Sprintf("%.1f °C", air), "basis": "counted"}
	if charging {
		v -= s.amps * benchLead
		row["charge_current"] = fmt.Sprintf("%.1f A", s.amps)
	} else {
		v += s.amps * benchLead
		row["load_current"] = fmt.Sprintf("%.1f A", s.amps)
	}
	places := 3
	if m.digit > 0.005 {
		places = 2
	}
	row["value"] = fmt.Sprintf("%.*f V", places, m.shows(v))
	return row
}
