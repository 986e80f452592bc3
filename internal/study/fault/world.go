package fault

import (
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/circuit"
	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/quantity"
)

// Estimates, each of which a key of the folder overrides where there is one.
const (
	zeroCelsius  = 273.15
	usualAmbient = zeroCelsius + 40
	usualSensor  = zeroCelsius + 25
	ohms12       = 10e-3  // Ω for every 12 V of a battery in good order; estimate
	absorption12 = 14.4   // V (MODELS D1)
	oversize     = 1.25   // label current over short-circuit current: IEC 60364-7-712, from memory
	cellOpen     = 0.605  // V of a silicon cell, open, 25 °C: De Soto et al. 2006
	touchOhms    = 5e-3   // of two leads or terminals that touch; estimate
	leadArea     = 2.5e-6 // m², of leads that the folder does not name; estimate
	usualLead    = 1.0    // m, of a battery's lead that the folder does not name; estimate
	coldRecord   = -40.0  // °C, the lowest of a place that does not say: of a night whose sun comes up on the panel; estimate, for inhabited places
	voltTempco   = -0.0033
	loadStands   = 4.0 / 3 // of the nominal voltage: 16 V and 32 V, what equipment for vehicles stands (ISO 16750-2, from memory)
	hour         = 3600.0  // s, as long as a case is followed
	chargeHours  = 8.0     // capacity over the label's current; estimate
	lowState     = 0.2     // of charge, of a low battery
	shareLoad    = 0.1     // of the label's current, that usually hangs on it at most; estimate
	noLoad       = 1e-6    // of the label's current, in place of none
	bypassCells  = 18.0    // cells with one bypass diode: common practice
	onOffReact   = 1.0     // s until a control without pwm answers; estimate
)

// world is what stands outside, in plain numbers.
type world struct {
	nominal, label, ambient     float64
	panel                       circuit.Panel // in full sun, as it is joined
	darkShunt                   float64       // Ω; 0: none
	short, open, tempco         float64       // A, V, 1/K relative
	full, low, ohms, absorb     float64       // V, V, Ω, V
	disconnect                  float64       // V; 0: none
	chemistry                   battery.Chemistry
	lithium                     bool
	cells                       int
	capacity                    float64 // C
	cell                        *battery.Battery
	load                        float64    // Ω, usual
	rated                       float64    // Ω, at the label's current
	area                        [2]float64 // m², of battery's and panel's lead
	lead                        [2]float64 // Ω
	length                      [2]float64 // m
	record                      float64    // °C, the lowest of its place
	automatic                   bool       // it chooses between two nominal voltages by itself
	react                       float64    // s until the control answers
	reverseOff                  float64    // s until it answers to a current that turns back; 0: it does not look
	loadStands                  float64    // V
	warmest, coldest, perKelvin float64    // K, K, V/K: what it makes of a lost sensor
}

func hot(v *Value, standard float64) float64 {
	switch {
	case v == nil:
		return standard
	case v.Spread == quantity.Limits || v.Spread == quantity.Range:
		return v.High
	}
	return v.Value
}

func best(v *Value, standard float64) float64 {
	if v == nil {
		return standard
	}
	return v.Value
}

// world turns the input into plain numbers and tells what was taken for what is not given.
func (in *Input) world() (*world, []Taken, error) {
	w := &world{nominal: in.Design.NominalVoltage.Value, label: in.Label.Value, ambient: hot(in.Ambient, usualAmbient)}
	if !(w.nominal > 0 && w.nominal < 1000) || !(w.label > 0 && w.label < 1e4) || !(w.ambient > 200 && w.ambient < 400) {
		return nil, nil, fmt.Errorf("fault: nominal voltage %g V, current %g A, ambient %.0f °C; want more than 0, and -70 to 125 °C", w.nominal, w.label, w.ambient-zeroCelsius)
	}
	t := &takes{}
	w.outside(in, t)
	if err := w.accumulator(in, t); err != nil {
		return nil, nil, err
	}
	return w, t.list, w.generator(in, t)
}

// outside is the air, the load, the leads and the control.
func (w *world) outside(in *Input, t *takes) {
	t.missing(in.Ambient, "ambient", w.ambient, "°C", "a hot day", "")
	light := shareLoad * w.label
	load := min(best(in.Load, light), light)
	if in.Load == nil || in.Load.Value > light {
		t.add("usual load", digits(load)+" A", "a tenth of the label's current: estimate; a heavier one would take what the panel gives, and hide what comes to battery and load without it", "")
	}
	w.load, w.rated = w.nominal/max(load, noLoad*w.label), w.nominal/w.label
	w.absorb = best(in.Absorption, absorption12*w.nominal/12)
	t.missing(in.Absorption, "absorption voltage", w.absorb, "V", "14.4 V for every 12 V: common practice", "product.toml, regulation.absorption")
	w.disconnect, w.reverseOff = best(in.Disconnect, 0), best(in.ReverseOff, 0)
	w.loadStands = best(in.LoadMax, loadStands*w.nominal)
	w.record = coldRecord
	if in.Lowest != nil {
		w.record = in.Lowest.Value - zeroCelsius
	}
	t.missing(in.Lowest, "record cold", zeroCelsius+w.record, "°C", "the lowest of inhabited places: estimate", "installations/NAME.toml, lowest")
	t.missing(in.LoadMax, "voltage that a load bears", w.loadStands, "V", "4/3 of the nominal voltage (ISO 16750-2, from memory)", "product.toml, regulation.load_voltage_max")
	d := &in.Design
	for k, l := range []*hardware.Lead{d.BatteryLead, d.PanelLead} {
		w.area[k], w.lead[k], w.length[k] = leadOf(l)
	}
	if d.BatteryLead == nil {
		t.add("battery's lead", "1 m of 2.5 mm²", "estimate", "product.toml, sense.lead")
	}
	if d.PanelLead == nil {
		t.add("panel's lead", "2.5 mm²", "estimate", "installations/NAME.toml, lead.panel")
	}
	w.react = onOffReact
	if d.Frequency != nil && d.Frequency.Value > 0 && d.Method != "on-off" {
		w.react = 1 / d.Frequency.Value
	}
	w.perKelvin, w.automatic = best(in.Compensation, 0), in.Automatic
	w.coldest, w.warmest = zeroCelsius-40, zeroCelsius+85
	if v := in.CompensationLimits; v != nil {
		w.coldest, w.warmest = v.Low, v.High
	}
}

// leadOf are area, resistance of both conductors, and length of a lead.
func leadOf(l *hardware.Lead) (area, ohms, length float64) {
	area, length = leadArea, usualLead
	if l != nil && l.Area != nil && l.Area.Value > 0 {
		area = l.Area.Value
	}
	if l != nil && l.Length != nil && l.Length.Value > 0 {
		length = l.Length.Value
	}
	ohms, _, err := conductor.Resistance(area, 2*length, conductor.Class5, zeroCelsius+20)
	if err != nil {
		ohms = 0
	}
	if l != nil && l.Contacts != nil {
		ohms += l.Contacts.Value
	}
	return area, ohms, length
}

// accumulator is the battery.
func (w *world) accumulator(in *Input, t *takes) error {
	b := &in.Battery
	w.chemistry = battery.AGM
	if b.Chemistry != "" {
		c, known := battery.ChemistryOf(b.Chemistry)
		if !known {
			return fmt.Errorf("fault: %s: chemistry %q is not known; want flooded, agm, gel or lithium-iron-phosphate", b.From, b.Chemistry)
		}
		w.chemistry = c
	} else {
		t.add("battery's chemistry", "agm", "the usual one of small batteries", "product.toml, chemistry")
	}
	w.lithium = !w.chemistry.Lead()
	each := 2.0
	if w.lithium {
		each = 3.2
	}
	if w.cells = b.Cells; w.cells <= 0 {
		w.cells = max(1, int(math.Round(w.nominal/each)))
	}
	w.capacity = best(b.Capacity, chargeHours*3600*w.label)
	t.missing(b.Capacity, "battery's capacity", w.capacity/3600, "Ah", "eight hours of the label's current: estimate", "installations/NAME.toml, battery.part")
	w.ohms = best(b.Resistance, ohms12*w.nominal/12)
	t.missing(b.Resistance, "battery's resistance", w.ohms*1e3, "mΩ", "10 mΩ for every 12 V: estimate", "product.toml, sense.battery_resistance")
	var err error
	if w.cell, err = battery.New(battery.Defaults(w.chemistry, 20*3600), w.cells, w.capacity); err != nil {
		return fmt.Errorf("fault: the battery: %w", err)
	}
	for _, own := range []struct {
		given *Value
		cell  *float64
	}{{b.ProtectionHigh, &w.cell.Cell.High}, {b.ProtectionLow, &w.cell.Cell.Low}} {
		if own.given != nil {
			*own.cell = own.given.Value / float64(w.cells)
		}
	}
	if !(w.ohms > 0) {
		return fmt.Errorf("fault: the battery's resistance is %g Ω; want more than 0", w.ohms)
	}
	w.full, _ = w.cell.Open(0, usualSensor)
	w.low, _ = w.cell.Open(w.cell.Deficit(lowState), usualSensor)
	return nil
}

// protected reports whether a battery's own protection opens when it is drained.
func (w *world) protected() bool { return w.lithium && w.cell.Cell.Low > 0 }

// generator is the panel.
func (w *world) generator(in *Input, t *takes) error {
	p := &in.Panel
	series, parallel := float64(max(1, p.Series)), float64(max(1, p.Parallel))
	blocks := w.nominal / 12
	w.short, w.open = best(p.ShortCircuit, w.label/oversize/parallel), best(p.OpenCircuit, 36*cellOpen*blocks/series)
	cells := p.Cells
	if cells <= 0 {
		cells = max(1, int(math.Round(w.open/cellOpen)))
	}
	t.missing(p.ShortCircuit, "panel's short-circuit current", w.short*parallel, "A", "the label's current over 1.25", "installations/NAME.toml, panel.part")
	t.missing(p.OpenCircuit, "panel's open-circuit voltage", w.open*series, "V", "36 cells of 0.605 V for every 12 V", "installations/NAME.toml, panel.part")
	fit, err := (panel.Label{ShortCircuit: w.short, OpenCircuit: w.open, PeakCurrent: best(p.PeakCurrent, 0.93*w.short), PeakVoltage: best(p.PeakVoltage, 0.82*w.open), Cells: cells}).Fit()
	if err != nil {
		return fmt.Errorf("fault: the panel: %w", err)
	}
	c := fit.Panel.Reference.Array(int(series), int(parallel))
	w.tempco = voltTempco
	if p.VoltageTempco != nil {
		w.tempco = p.VoltageTempco.Value / w.open
	}
	w.short, w.open = c.ShortCircuit(), c.OpenCircuit()
	w.panel = circuit.Panel{Photocurrent: c.Photocurrent, Saturation: c.Saturation, A: c.Thermal, Series: c.Series}
	if !math.IsInf(c.Shunt, 0) && c.Shunt < 1e9 {
		w.panel.Shunt = c.Shunt
	}
	w.darkShunt = best(p.DarkShunt, darker*c.Shunt/series*parallel) * series / parallel // of amorphous and old panels less
	if math.IsInf(w.darkShunt, 0) || w.darkShunt > 1e9 {
		w.darkShunt = 0
	}
	w.panel.Breakdown = circuit.Breakdown{Voltage: cellBreaks * float64(cells) * series}
	if p.NoBypass {
		return nil
	}
	w.panel.Bypass = &circuit.Diode{Saturation: 1e-9 * parallel, Emission: 0.03, Series: 5e-3 / parallel}
	w.panel.Bypasses = max(1, int(math.Round(float64(cells)*series/bypassCells)))
	t.add("panel's bypass diodes", fmt.Sprintf("%d in series", w.panel.Bypasses), "one for every 18 cells: common practice; through them a reversed panel is a short", "")
	return nil
}

const darker = 10.0 // shunt of a panel in the dark over that in light, as in physics/panel; estimate

const cellBreaks = 15.0 // V of a silicon cell in reverse, of 8 to 25 V; estimate, as in physics/panel

// takes collects what stands in for what is not given.
type takes struct{ list []Taken }

func (t *takes) add(name, text, note, key string) {
	t.list = append(t.list, Taken{Name: name, Text: text, Note: note, Key: key})
}

func (t *takes) missing(v *Value, name string, x float64, unit, note, key string) {
	if v != nil {
		return
	}
	if unit == "°C" {
		x -= zeroCelsius
	}
	t.add(name, digits(x)+" "+unit, note, key)
}
