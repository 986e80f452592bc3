package hardware

// A field is one number of a data sheet or an enclosure, where it goes in a unit, and what stands in for it.
type field struct {
	key      string
	value    *Value
	to       *float64
	standard float64 // where value is nil; its source stands beside it
}

// fixed is what every number of a part comes to in one unit, SI. A field means the same for all kinds that have it.
type fixed struct {
	resistance float64 // Ω: at 25 °C of a mosfet, at 20 °C of copper, at any temperature of a resistor
	series     float64 // Ω
	tempco     float64 // 1/K of resistance; V/K of a diode's drop
	drop       float64 // factor on the drops of a diode; V of a body diode or a lamp
	voltage    float64 // V: output, reference, stand-off
	breakdown  float64 // V
	clamping   float64 // V at peak
	peak       float64 // A
	current    float64 // A: rating, quiescent, drawn by day
	sleep      float64 // A, drawn by night
	leakage    float64 // A at rated and 25 °C
	rated      float64 // V of leakage
	exponent   float64 // 1/K of leakage
	drive      float64 // V, gate
	given      float64 // V, gate, at which resistance is given
	threshold  float64 // V
	plateau    float64 // V
	charge     float64 // C, gate to drain
	gate       float64 // Ω
	gateCharge float64 // C
	toCase     float64 // K/W
	toAmbient  float64 // K/W
	most       float64 // K
	power      float64 // W
	width      float64 // m
	length     float64 // m
	thickness  float64 // m
	area       float64 // m²
	inductance float64 // H/m
	beta       float64 // K
	share      float64 // of a fuse's rating for ever at 25 °C
	derating   float64 // 1/K, of that above 25 °C
}

// Values that stand in where a data sheet is silent. Estimates, unless a source stands beside; each can be overridden by the key.
const (
	bodyDrop        = 0.85  // V at some amperes: a silicon junction
	onTempco        = 0.007 // 1/K: half as much again at 100 °C, as sheets of low-voltage trench mosfets have it
	driveVoltage    = 10.0  // V, at which sheets give on-resistance
	leakExponent    = 0.055 // 1/K: a maker's note on the junction limits of Schottky diodes, from memory
	copperTempco    = 1 / 254.5
	gateThreshold   = 3.0
	contactRise     = 45.0 // K at rated current: IEC 60947-7-1, from memory
	fuseRise        = 60.0 // K at rated current
	dropSpread      = 0.05 // ± of a diode's drop from part to part
	reference25     = 298.15
	copperReference = 293.15
)

// fields lists the numbers of a component's data sheet in a fixed order, with their places in x.
func (c *Component) fields(x *fixed) []field {
	switch {
	case c.Resistor != nil:
		r := c.Resistor
		return []field{{"resistance", r.Resistance, &x.resistance, 0}, {"power", r.Power, &x.power, 0}, {"thermal_resistance", r.ThermalResistance, &x.toAmbient, 0}}
	case c.Wire != nil:
		w := c.Wire
		return []field{{"area", or(c.Area, w.Area), &x.area, 0}, {"length", or(c.Length, w.Length), &x.length, 0}, {"inductance", w.Inductance, &x.inductance, 0}}
	case c.Track != nil:
		t := c.Track
		return []field{{"width", t.Width, &x.width, 0}, {"length", or(c.Length, t.Length), &x.length, 0}, {"copper", t.Copper, &x.thickness, 35e-6}}
	case c.Contact != nil:
		k := c.Contact
		return []field{{"resistance", k.Resistance, &x.resistance, 0}, {"current", k.Current, &x.current, 0}, {"max_temperature", k.MaxTemperature, &x.most, 0}}
	case c.Diode != nil:
		d := c.Diode
		return []field{
			{"tempco", d.Tempco, &x.tempco, 0}, {"series", d.Series, &x.series, 0}, {"leakage", d.Leakage, &x.leakage, 0},
			{"leakage_voltage", or(d.LeakageVoltage, d.ReverseVoltage), &x.rated, 0}, {"leakage_exponent", d.LeakageExponent, &x.exponent, leakExponent},
			{"reverse_voltage", d.ReverseVoltage, &x.breakdown, 0}, {"current", d.Current, &x.current, 0},
			{"junction_to_case", d.JunctionToCase, &x.toCase, 0}, {"junction_to_ambient", d.JunctionToAmbient, &x.toAmbient, 0}, {"max_junction", d.MaxJunction, &x.most, 0},
		}
	case c.Mosfet != nil:
		m := c.Mosfet
		return []field{
			{"on_resistance", m.OnResistance, &x.resistance, 0}, {"on_resistance_drive", m.OnResistanceDrive, &x.given, driveVoltage},
			{"on_resistance_tempco", m.OnResistanceTempco, &x.tempco, onTempco}, {"drive", or(m.Drive, m.OnResistanceDrive), &x.drive, driveVoltage},
			{"threshold", m.Threshold, &x.threshold, gateThreshold}, {"drain_voltage", m.DrainVoltage, &x.breakdown, 0}, {"current", m.Current, &x.current, 0},
			{"gate_charge", m.GateCharge, &x.gateCharge, 0}, {"gate_drain_charge", m.GateDrainCharge, &x.charge, 0}, {"gate_resistance", m.GateResistance, &x.gate, 0},
			{"plateau", m.Plateau, &x.plateau, 5}, {"body_drop", m.BodyDrop, &x.drop, bodyDrop}, {"leakage", m.Leakage, &x.leakage, 0},
			{"junction_to_case", m.JunctionToCase, &x.toCase, 0}, {"junction_to_ambient", m.JunctionToAmbient, &x.toAmbient, 0}, {"max_junction", m.MaxJunction, &x.most, 0},
		}
	case c.Fuse != nil:
		f := c.Fuse
		return []field{{"rating", f.Rating, &x.current, 0}, {"resistance", f.Resistance, &x.resistance, 0}}
	case c.Clamp != nil:
		z := c.Clamp
		return []field{
			{"standoff", z.Standoff, &x.voltage, 0}, {"breakdown", or(z.Breakdown, z.Clamping), &x.breakdown, 0},
			{"clamping", z.Clamping, &x.clamping, 0}, {"clamping_current", z.ClampingCurrent, &x.peak, 0},
		}
	}
	return c.smallFields(x)
}

// smallFields are those of parts that carry no charging current.
func (c *Component) smallFields(x *fixed) []field {
	switch {
	case c.Capacitor != nil:
		k := c.Capacitor
		return []field{{"series", k.Series, &x.series, 0}, {"ripple_current", k.RippleCurrent, &x.current, 0}, {"max_temperature", k.MaxTemperature, &x.most, 0}}
	case c.Thermistor != nil:
		return []field{{"resistance", c.Thermistor.Resistance, &x.resistance, 0}, {"beta", c.Thermistor.Beta, &x.beta, 3950}}
	case c.Reference != nil:
		return []field{{"voltage", c.Reference.Voltage, &x.voltage, 0}}
	case c.Regulator != nil:
		r := c.Regulator
		return []field{{"output", r.Output, &x.voltage, 0}, {"quiescent", r.Quiescent, &x.current, 0}, {"junction_to_ambient", r.JunctionToAmbient, &x.toAmbient, 0}, {"max_junction", r.MaxJunction, &x.most, 0}}
	case c.Control != nil:
		k := c.Control
		return []field{{"supply", k.Supply, &x.voltage, 0}, {"current", k.Current, &x.current, 0}, {"sleep_current", or(k.SleepCurrent, k.Current), &x.sleep, 0}}
	case c.Lamp != nil:
		return []field{{"current", c.Lamp.Current, &x.current, 0}, {"drop", c.Lamp.Drop, &x.drop, 0}}
	}
	return nil
}

// needed lists the keys without which the part's current cannot be computed.
var needed = map[string][]string{
	"resistor": {"resistance"}, "wire": {"area", "length"}, "track": {"width", "length"}, "contact": {"resistance"}, "diode": {"drops"},
	"mosfet": {"on_resistance"}, "fuse": {"resistance"}, "thermistor": {"resistance"}, "reference": {"voltage"}, "regulator": {"output"},
}

// heated lists the keys without which the part's temperature is not judged.
var heated = map[string][]string{
	"contact": {"max_temperature"}, "diode": {"junction_to_ambient", "max_junction"}, "mosfet": {"junction_to_ambient", "max_junction"},
	"fuse": {"rating"}, "regulator": {"junction_to_ambient", "max_junction"}, "wire": {"insulation"},
}

func or(a, b *Value) *Value {
	if a != nil {
		return a
	}
	return b
}
