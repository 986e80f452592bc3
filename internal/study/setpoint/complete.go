package setpoint

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// complete fills in defaults and checks every value that is given.
func (in *Input) complete() error {
	if in.Outer == 0 {
		in.Outer = outerDraws
	}
	if in.Inner == 0 {
		in.Inner = innerUnits
	}
	if in.Outer < 1 || in.Inner < 1 {
		return fmt.Errorf("setpoint: %d outer draws of %d units; want 1 or more of both", in.Outer, in.Inner)
	}
	for _, c := range in.checks() {
		if err := c.check(); err != nil {
			return err
		}
	}
	return in.words()
}

// words checks the inputs that are one of a few words, and counts.
func (in *Input) words() error {
	type word struct {
		key     string
		choice  Choice
		allowed []string
	}
	list := []word{
		{"regulation.method", in.Method, []string{"pwm", "on-off"}},
		{"sense.sampled", in.Sampled, []string{"mean", "on", "off"}},
		{"sense.sensor", in.Sensor, []string{"battery", "board", "none"}},
	}
	if t := in.Trim; t != nil {
		list = append(list, word{"sense.trimmed.method", t.Method, []string{"gain", "offset"}})
		switch {
		case len(t.At) < 1 || len(t.At) > 2:
			return fmt.Errorf("setpoint: %s: sense.trimmed.at: %d voltages; want one or two", from(t.From, "product.toml"), len(t.At))
		case len(t.At) == 2 && t.At[0].Quantity.Value == t.At[1].Quantity.Value:
			return fmt.Errorf("setpoint: %s: sense.trimmed.at: the same voltage twice; want two that differ", from(t.From, "product.toml"))
		}
	}
	if i := in.Indicator; i != nil {
		list = append(list, word{"indicator.kind", i.Kind, []string{"digits", "lamps"}},
			word{"indicator.rounding", i.Rounding, []string{"round", "truncate"}})
	}
	for _, w := range list {
		if w.choice.Text == "" {
			continue
		}
		found := false
		for _, a := range w.allowed {
			found = found || a == w.choice.Text
		}
		if !found {
			return fmt.Errorf("setpoint: %s: %s: %q; want one of %s", from(w.choice.From, "product.toml"), w.key,
				w.choice.Text, strings.Join(w.allowed, ", "))
		}
	}
	if in.Bits.N < 0 || in.Bits.N > 32 {
		return fmt.Errorf("setpoint: %s: sense.bits: %d; want 1 to 32", from(in.Bits.From, "product.toml"), in.Bits.N)
	}
	return nil
}

// A check holds one value to its dimension and least value.
type check struct {
	key   string
	value *Value
	dim   quantity.Dimension
	least float64 // every draw must be at least this, and above it if over is set
	over  bool
}

var anything = math.Inf(-1)

func (in *Input) checks() []check {
	list := []check{
		{"regulation.absorption", in.Absorption, quantity.Voltage, 0, true},
		{"regulation.float", in.Float, quantity.Voltage, 0, true},
		{"regulation.load_disconnect", in.LoadDisconnect, quantity.Voltage, 0, true},
		{"regulation.load_reconnect", in.LoadReconnect, quantity.Voltage, 0, true},
		{"regulation.temperature_compensation", in.Compensation, quantity.VoltagePerKelvin, anything, false},
		{"regulation.compensation_limits", in.CompensationLimits, quantity.TemperaturePoint, 0, true},
		{"sense.top", in.Top, quantity.Resistance, 0, true},
		{"sense.bottom", in.Bottom, quantity.Resistance, 0, true},
		{"sense.reference", in.Reference, quantity.Voltage, 0, true},
		{"sense.offset", in.Offset, quantity.Step, anything, false},
		{"sense.nonlinearity", in.Nonlinearity, quantity.Step, anything, false},
		{"sense.leakage", in.Leakage, quantity.Current, anything, false},
		{"sense.ageing", in.Ageing, quantity.Ratio, -1, true},
		{"sense.sensor_error", in.SensorError, quantity.TemperatureDifference, anything, false},
		{"sense.board_rise", in.BoardRise, quantity.TemperatureDifference, anything, false},
		{"sense.battery_rise", in.BatteryRise, quantity.TemperatureDifference, anything, false},
		{"sense.battery_resistance", in.BatteryResistance, quantity.Resistance, 0, false},
		{"regulation.current_at_absorption", in.CurrentAtAbsorption, quantity.Current, 0, false},
		{"regulation.current_at_float", in.CurrentAtFloat, quantity.Current, 0, false},
		{"current", in.OnCurrent, quantity.Current, 0, false},
		{"regulation.load_current", in.LoadCurrent, quantity.Current, 0, false},
		{"conditions.ambient", in.Conditions.Ambient, quantity.TemperaturePoint, 0, true},
		{"conditions.charge_current", in.Conditions.ChargeCurrent, quantity.Current, 0, false},
		{"conditions.load_current", in.Conditions.LoadCurrent, quantity.Current, 0, false},
	}
	if in.ReferenceIsSupply {
		list[8].key = "sense.supply"
	}
	if l := in.Lead; l != nil {
		list = append(list, check{"sense.lead.length", l.Length, quantity.Length, 0, false},
			check{"sense.lead.area", l.Area, quantity.Area, 0, true},
			check{"sense.lead.contacts", l.Contacts, quantity.Resistance, 0, false})
	}
	if t := in.Trim; t != nil {
		list = append(list, check{"sense.trimmed.temperature", t.Temperature, quantity.TemperaturePoint, 0, true},
			check{"sense.trimmed.step", t.Step, quantity.Voltage, 0, false},
			check{"sense.trimmed.digit", t.Instrument.Digit, quantity.Voltage, 0, false})
		for i := range t.At {
			list = append(list, check{"sense.trimmed.at", &t.At[i], quantity.Voltage, 0, true})
		}
	}
	if i := in.Indicator; i != nil {
		list = append(list, check{"indicator.step", i.Step, quantity.Voltage, 0, false},
			check{"indicator.range", i.Range, quantity.Voltage, 0, true})
		for k := range i.Thresholds {
			list = append(list, check{"indicator.thresholds", &i.Thresholds[k], quantity.Voltage, 0, true})
		}
	}
	return list
}

// tailSDs is how far a normal input must stay away from where it makes no sense: one draw in
// 5·10^8 lies further out.
const tailSDs = 6

func (c check) check() error {
	if c.value == nil {
		return nil
	}
	q, where := c.value.Quantity, from(c.value.From, "product.toml")
	if q.Dim != c.dim {
		return fmt.Errorf("setpoint: %s: %s: %s; want a %s such as %s", where, c.key, q.String(), c.dim.Name(), c.dim.Example())
	}
	low := min(q.Low, q.Value) - tailSDs*q.SD
	for _, x := range []float64{q.Value, q.Low, q.High, q.SD, q.Drift} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("setpoint: %s: %s: not a finite number; want a %s such as %s", where, c.key, c.dim.Name(), c.dim.Example())
		}
	}
	switch {
	case c.over && !(low > c.least):
		return fmt.Errorf("setpoint: %s: %s: %s reaches down to %s; want it above %s throughout", where, c.key, q.String(),
			like(q, low), like(q, c.least))
	case !c.over && !(low >= c.least):
		return fmt.Errorf("setpoint: %s: %s: %s reaches down to %s; want %s or more throughout", where, c.key, q.String(),
			like(q, low), like(q, c.least))
	case q.Drift*300 >= 1:
		return fmt.Errorf("setpoint: %s: %s: its drift is beyond 0.3 %%/K; want less", where, c.key)
	case c.dim == quantity.TemperaturePoint && q.Spread == quantity.Normal && q.SD > 0 && strings.HasPrefix(c.key, "conditions."):
		return fmt.Errorf("setpoint: %s: %s: %s; want a temperature or a range such as -10..45 °C", where, c.key, q.String())
	}
	return nil
}

// like writes a number as a quantity was written.
func like(q quantity.Quantity, v float64) string {
	return quantity.Quantity{Value: v, Low: v, High: v, Dim: q.Dim, Unit: q.Unit}.String()
}
