package setpoint

import (
	"fmt"
	"strings"

	"hindwatt/internal/page"
)

// Files of the folder that inputs stand in.
const (
	productFile = "product.toml"
)

// A need is an input without which a quantity cannot be computed.
type need = page.Lack

type lack struct {
	need
	quantity string
}

// wanted are the quantities asked for, in their fixed order.
func (in *Input) wanted() ([]aim, error) {
	asked := map[string]bool{}
	for _, name := range in.Quantities {
		if _, ok := findAim(name); !ok {
			return nil, fmt.Errorf("setpoint: no quantity is called %q; one of: %s", name, strings.Join(Quantities(), ", "))
		}
		asked[name] = true
	}
	var list []aim
	for _, a := range aims {
		usual := len(in.Quantities) == 0 && a.deviation && (!a.display() || in.Indicator != nil)
		if usual || asked[a.name] {
			list = append(list, a)
		}
	}
	return list, nil
}

// missing lists what a quantity needs and has not.
func (in *Input) missing(a aim) []need {
	var list []need
	want := func(given bool, key, why string) {
		if !given {
			list = append(list, need{Key: key, File: productFile, Why: why})
		}
	}
	want(in.Top != nil, "sense.top", "the divider's upper resistor")
	want(in.Bottom != nil, "sense.bottom", "the divider's lower resistor")
	if in.ReferenceIsSupply {
		want(in.Reference != nil, "sense.supply", "the supply that serves as reference")
	} else {
		want(in.Reference != nil, "sense.reference", "the converter's reference")
	}
	if in.Offset != nil || in.Nonlinearity != nil {
		want(in.Bits.N > 0, "sense.bits", "how large a step of the converter is")
	}
	if a.display() {
		return append(list, in.missingDisplay()...)
	}
	l := levelTable[a.level]
	want(l.setting(in) != nil, l.key, "the level itself")
	return append(list, in.missingCurrents(a.level)...)
}

func (in *Input) missingDisplay() []need {
	i := in.Indicator
	lacks := func(key, why string) []need { return []need{{Key: key, File: productFile, Why: why}} }
	switch {
	case i == nil:
		return lacks("indicator.kind", "whether and how the product shows its voltage")
	case i.Kind.Text == "lamps" && i.Step == nil && len(i.Thresholds) == 0:
		return lacks("indicator.thresholds", "at which voltages the lamps change")
	case i.Kind.Text != "lamps" && i.Step == nil:
		return lacks("indicator.step", "the last digit of the display")
	case len(i.Thresholds) > 0 || i.Range != nil:
		return nil
	}
	for k := range levels {
		if levelTable[k].setting(in) != nil {
			return nil
		}
	}
	return lacks("indicator.range", "which voltages the display shows")
}

// missingCurrents lists what the drop between battery and controller needs.
func (in *Input) missingCurrents(k level) []need {
	var list []need
	want := func(given bool, key, why string) {
		if !given {
			list = append(list, need{Key: key, File: productFile, Why: why})
		}
	}
	if l := in.Lead; l != nil {
		want(l.Length != nil, "sense.lead.length", "the drop in the battery lead")
		want(l.Area != nil, "sense.lead.area", "the drop in the battery lead")
	}
	c := in.Conditions
	switch {
	case k == reconnect:
	case k == disconnect:
		want(in.Lead == nil || in.LoadCurrent != nil || c.LoadCurrent != nil, "regulation.load_current", "the drop in the lead when the load is cut off")
	case in.Method.Text == "":
		want(false, "regulation.method", "whether charging is held by pulses or stopped")
	case in.dropMode() == dropStop:
		want(in.Lead == nil || in.OnCurrent != nil || c.ChargeCurrent != nil, "current", "the drop in the lead at the moment of stop")
	default:
		pulsed := in.dropMode() == dropOn || in.dropMode() == dropOff
		key := strings.ReplaceAll("regulation.current_at_"+levelTable[k].name, "-", "_")
		mean := in.CurrentAtAbsorption
		if k == float {
			mean = in.CurrentAtFloat
		}
		want(in.Lead == nil && !pulsed || mean != nil || c.ChargeCurrent != nil, key, "the drop between battery and controller while charging is held")
		want(!pulsed || in.BatteryResistance != nil, "sense.battery_resistance", "how far the battery's voltage follows the pulses")
		want(in.dropMode() != dropOn || in.OnCurrent != nil, "current", "the current while the switch is closed")
	}
	return list
}

// assume gives the trim's meter a usual last digit if its accuracy counts digits and none is given.
func (in *Input) assume() {
	if in.Trim == nil || in.Trim.Instrument.Accuracy.Digits == 0 || in.Trim.Instrument.Digit != nil {
		return
	}
	trim := *in.Trim
	trim.Instrument.Digit = usualInstrument.Digit
	in.Trim, in.digitAssumed = &trim, true
}

// cautions say which values were taken because none is given.
func (in *Input) cautions() []page.Note {
	var list []page.Note
	say := func(when bool, text, remedy string) {
		if when {
			list = append(list, page.Note{Text: text, Remedy: remedy, From: productFile})
		}
	}
	bare := func(v *Value) bool { return v != nil && v.Quantity.StandardUncertainty() == 0 }
	say(bare(in.Top) || bare(in.Bottom), "A resistor of the divider is given without a tolerance and taken as exact.",
		"write it as on the reel: sense.top = \"120 kΩ ±1 % ±100 ppm/K\"")
	say(bare(in.Reference), "The reference is given without a tolerance and taken as exact.",
		"write sense.reference as on its sheet: \"2.5 V ±0.4 % ±50 ppm/K\"")
	say(in.Bits.N == 0, "No converter is given: the chain is taken as a comparator without steps.", "write sense.bits, sense.offset and sense.nonlinearity")
	say(in.Bits.N > 0 && in.Offset == nil, "No offset of the converter is given; it is taken as none.", "write sense.offset = \"±2 LSB\" from its sheet")
	say(in.Bits.N > 0 && in.Nonlinearity == nil, "No nonlinearity of the converter is given; it is taken as none.", "write sense.nonlinearity = \"±1 LSB\" from its sheet")
	say(in.Lead == nil, "No battery lead is given: what is judged is the voltage at the controller's own terminals.", "write sense.lead as the leaflet asks for it")
	compensated := in.Compensation != nil && in.Compensation.Quantity.Value != 0
	say(compensated && in.Sensor.Text == "", "Where the temperature sensor sits is not given; it is taken to sit on the battery.", "write sense.sensor")
	say(compensated && in.Sensor.Text != "none" && in.SensorError == nil, "No error of the temperature sensor is given; it is taken as none.", "write sense.sensor_error = \"±2 K\"")
	say(compensated && in.Sensor.Text == "board" && in.BoardRise == nil, "The sensor sits on the board, and how far the board warms itself is not given; it is taken as not at all.", "write sense.board_rise = \"5..15 K\"")
	say(in.Trim != nil && len(in.Trim.At) == 2 && in.Trim.Method.Text != "", "A trim at two points sets gain and offset both: the method that is given is not used.",
		"leave out method in sense.trimmed, or trim at one point")
	say(in.Conditions.Aged && in.Ageing == nil, "How far the sense chain drifts with age is not given; it is taken as not at all.", "write sense.ageing = \"±0.1 %\"")
	say(in.digitAssumed, "How much the last digit of the trim's meter counts is not given; it is taken as 10 mV.",
		"write digit in sense.trimmed, or in bench/meters.toml beside the meter's accuracy")
	say(in.Trim != nil && in.Trim.Temperature == nil, "The temperature at which units are trimmed is not given; it is taken as 23 °C.", "write temperature in sense.trimmed")
	return list
}
