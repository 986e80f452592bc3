package setpoint

import (
	"fmt"
	"strings"

	"hindwatt/internal/quantity"
)

// A variable is one independent number of the chain: a column of the samples. Its place here is
// also the path of its random stream, so that a change elsewhere leaves its draws as they are:
// new ones go to the end.
type variable int

const (
	top variable = iota
	topDrift
	bottom
	bottomDrift
	reference
	referenceDrift
	ageing
	offset
	nonlinearity
	step
	leakage
	sensorError
	compensation
	boardRise
	batteryRise
	leadLength
	leadArea
	contacts
	batteryResistance
	currentAtAbsorption
	currentAtFloat
	onCurrent
	loadCurrent
	settingAbsorption
	settingFloat
	settingDisconnect
	settingReconnect
	rounding
	trimMeter
	trimTemperature
	trimDigit
	trimStep
	trimNonlinearity
	trimConverterStep
	trimDigit2
	trimStep2
	trimNonlinearity2
	trimConverterStep2
	variables
)

// names are how the budget calls a variable, and the key that it comes from; " drift" may follow
// either.
var names = [variables]struct{ name, key string }{
	top:                 {"divider top", "top"},
	topDrift:            {"divider top drift", "top drift"},
	bottom:              {"divider bottom", "bottom"},
	bottomDrift:         {"divider bottom drift", "bottom drift"},
	reference:           {"reference", "reference"},
	referenceDrift:      {"reference drift", "reference drift"},
	ageing:              {"ageing", "ageing"},
	offset:              {"converter offset", "offset"},
	nonlinearity:        {"converter nonlinearity", "nonlinearity"},
	step:                {"converter step", "bits"},
	leakage:             {"leakage", "leakage"},
	sensorError:         {"temperature sensor", "sensor_error"},
	compensation:        {"temperature compensation", "temperature_compensation"},
	boardRise:           {"board rise", "board_rise"},
	batteryRise:         {"battery rise", "battery_rise"},
	leadLength:          {"lead length", "lead.length"},
	leadArea:            {"lead area", "lead.area"},
	contacts:            {"lead contacts", "lead.contacts"},
	batteryResistance:   {"battery resistance", "battery_resistance"},
	currentAtAbsorption: {"charge current at absorption", "current_at_absorption"},
	currentAtFloat:      {"charge current at float", "current_at_float"},
	onCurrent:           {"panel current", "current"},
	loadCurrent:         {"load current", "load_current"},
	settingAbsorption:   {"absorption setting", "absorption"},
	settingFloat:        {"float setting", "float"},
	settingDisconnect:   {"load disconnect setting", "load_disconnect"},
	settingReconnect:    {"load reconnect setting", "load_reconnect"},
	rounding:            {"rounding of the display", "rounding"},
	trimMeter:           {"trim meter", "trimmed.by"},
	trimTemperature:     {"trim temperature", "trimmed.temperature"},
	trimDigit:           {"trim meter's last digit", "trimmed.digit"},
	trimStep:            {"trim step", "trimmed.step"},
	trimNonlinearity:    {"converter nonlinearity at the trim", "nonlinearity at the trim"},
	trimConverterStep:   {"converter step at the trim", "bits at the trim"},
	trimDigit2:          {"trim meter's last digit, second point", "trimmed.digit 2"},
	trimStep2:           {"trim step, second point", "trimmed.step 2"},
	trimNonlinearity2:   {"converter nonlinearity at the second trim", "nonlinearity at the trim 2"},
	trimConverterStep2:  {"converter step at the second trim", "bits at the trim 2"},
}

// supplyNames are the names of the reference where the supply serves as one.
var supplyNames = map[variable]string{reference: "supply", referenceDrift: "supply drift"}

// Names lists the inputs as the budget names them, for Unknown.
func Names() []string {
	list := make([]string, 0, variables)
	for v := range names {
		list = append(list, names[v].name)
	}
	return list
}

// name is what the budget calls v.
func (in *Input) name(v variable) string {
	if other, ok := supplyNames[v]; ok && in.ReferenceIsSupply {
		return other
	}
	return names[v].name
}

// find returns the variable of a name or a key, with spaces, _ and - alike.
func (in *Input) find(name string) (variable, bool) {
	plain := func(s string) string {
		return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
			return r == ' ' || r == '_' || r == '-' || r == '.'
		}), " ")
	}
	wanted := strings.TrimPrefix(plain(name), "sense ")
	for v := range variables {
		if wanted == plain(in.name(v)) || wanted == plain(names[v].key) {
			return v, true
		}
	}
	return 0, false
}

// shape is how a variable is spread.
type shape uint8

const (
	fixed   shape = iota // always value
	uniform              // between low and high
	normal               // about value, with sd
)

// A draw says how one variable is drawn.
type draw struct {
	shape     shape
	unknown   bool // the same for all units
	value     float64
	low, high float64
	sd        float64
	from      string
}

// spread makes a draw of a value as written; a nil one is fixed at 0.
func spread(v *Value) draw {
	if v == nil {
		return draw{}
	}
	q := v.Quantity
	d := draw{value: q.Value, low: q.Value, high: q.Value, from: v.From}
	switch {
	case q.Spread == quantity.Normal && q.SD > 0:
		d.shape, d.sd = normal, q.SD
	case (q.Spread == quantity.Limits || q.Spread == quantity.Range) && q.Low < q.High:
		d.shape, d.low, d.high = uniform, q.Low, q.High
	}
	return d
}

// worstSDs is how many standard deviations an input without limits counts in the arithmetic worst
// case. Common practice, no source.
const worstSDs = 3

// ends are the limits of a draw; without limits so many standard deviations.
func (d *draw) ends(deviations float64) (low, high float64) {
	if d.shape == normal {
		return d.value - deviations*d.sd, d.value + deviations*d.sd
	}
	return d.low, d.high
}

// within makes a uniform draw of ±half about 0.
func within(half float64, from string) draw {
	if !(half > 0) {
		return draw{from: from}
	}
	return draw{shape: uniform, low: -half, high: half, from: from}
}

// drift makes the draw of a quantity's relative change per kelvin.
func drift(v *Value) draw {
	if v == nil {
		return draw{}
	}
	return within(v.Quantity.Drift, v.From)
}

// draws makes the draws of all variables. The trim's are set by newTrim.
func (in *Input) draws() [variables]draw {
	d := [variables]draw{
		top: spread(in.Top), topDrift: drift(in.Top),
		bottom: spread(in.Bottom), bottomDrift: drift(in.Bottom),
		reference: spread(in.Reference), referenceDrift: drift(in.Reference),
		offset: spread(in.Offset), nonlinearity: spread(in.Nonlinearity),
		leakage: spread(in.Leakage), sensorError: spread(in.SensorError),
		compensation: spread(in.Compensation), boardRise: spread(in.BoardRise), batteryRise: spread(in.BatteryRise),
		batteryResistance:   spread(in.BatteryResistance),
		currentAtAbsorption: spread(in.CurrentAtAbsorption), currentAtFloat: spread(in.CurrentAtFloat),
		onCurrent: spread(in.OnCurrent), loadCurrent: spread(in.LoadCurrent),
		settingAbsorption: spread(in.Absorption), settingFloat: spread(in.Float),
		settingDisconnect: spread(in.LoadDisconnect), settingReconnect: spread(in.LoadReconnect),
	}
	if in.Bits.N > 0 {
		d[step] = within(0.5, in.Bits.From) // a converter's step: JCGM 100 F.2.2.1
	}
	if in.Conditions.Aged {
		d[ageing] = spread(in.Ageing)
	}
	if in.Sensor.Text == "none" {
		d[compensation] = draw{from: in.Sensor.From}
		d[sensorError] = draw{}
	}
	if in.Lead != nil {
		d[leadLength], d[leadArea], d[contacts] = spread(in.Lead.Length), spread(in.Lead.Area), spread(in.Lead.Contacts)
	}
	return d
}

// markUnknown sets which draws are the same for all units.
func (in *Input) markUnknown(d *[variables]draw) error {
	d[trimMeter].unknown = true
	for _, name := range in.Unknown.Names {
		v, ok := in.find(name)
		if !ok {
			return fmt.Errorf("setpoint: %s: unknown: no input is called %q; one of: %s",
				from(in.Unknown.From, "sense.unknown"), name, strings.Join(Names(), ", "))
		}
		d[v].unknown = true
	}
	return nil
}

// from is where a value is written, or its key if that is not known.
func from(where, key string) string {
	if where == "" {
		return key
	}
	return where
}
