package caution

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// saturates: the converter's largest code must stand for more than the highest level,
// or the controller never sees that it is reached. While nothing is trimmed the
// threshold is a code and the tolerances do not matter; a trim moves it.
func saturates(r *report) {
	s := &r.Sense
	ref := s.Reference.Quantity
	if s.Reference.Supply {
		ref = s.Supply.Quantity
	}
	high, at, of, ok := r.highest()
	if !ok || ref.Value == 0 || !s.Top.Set() || !s.Bottom.Set() || !s.Bits.Set() {
		return
	}
	codes := math.Exp2(float64(s.Bits.N))
	top := ref.Value * (1 + s.Top.Value/s.Bottom.Value) * (codes - 1) / codes
	why := ""
	if s.Trimmed.Set() && !s.Trimmed.None {
		top = ref.Low * (1 + s.Top.Low/s.Bottom.High) * (codes - 1 - max(s.Offset.High, -s.Offset.Low)) / codes
		why = " in the worst of the trimmed units"
	}
	if above(high, top) {
		r.say(fmt.Sprintf("the converter sees no more than %s%s, but %s rises to %s at %s: charging would never stop", volts(top), why, of.name, volts(high), degrees(at)),
			"make sense.top larger or sense.bottom smaller, lower the level, or set regulation.compensation_limits",
			s.Top.Leaf, s.Bottom.Leaf, s.Reference.Leaf, of.Leaf, r.Regulation.TemperatureCompensation.Leaf)
	}
}

func lfpCompensated(r *report) {
	tc := r.Regulation.TemperatureCompensation
	if r.soldFor(lfp) && tc.Set() && tc.Value != 0 {
		r.say("lithium-iron-phosphate is charged with temperature compensation: in the cold the level rises until the battery's protection cuts it off",
			"set no temperature_compensation for this chemistry", tc.Leaf, r.Chemistry.Leaf)
	}
}

const lfpHighest = 3.65 // V a cell

func lfpAbsorption(r *report) {
	for _, l := range r.levels() {
		if cell := l.volts() / r.cells(lfp); r.soldFor(lfp) && above(cell, lfpHighest) && l.name != "equalise" {
			r.say(fmt.Sprintf("%s is %s a cell, above %s for lithium-iron-phosphate: it ages the cells, and the protection may cut the battery off in full sun", l.name, volts(cell), volts(lfpHighest)),
				fmt.Sprintf("lower %s to %s or less", l.name, volts(lfpHighest*r.cells(lfp))), l.Leaf, r.Chemistry.Leaf)
		}
	}
}

func lfpCold(r *report) {
	stop := r.Regulation.ChargeStopBelow
	switch {
	case !r.soldFor(lfp):
	case !stop.Set():
		r.say("nothing stops the charge below 0 °C: charging frozen lithium-iron-phosphate plates metal and can short a cell", `set charge_stop_below = "0 °C" or higher`, r.Chemistry.Leaf)
	case below(stop.Value, zeroCelsius):
		r.say("charging stops only below "+degrees(stop.Value)+": under 0 °C it plates metal in lithium-iron-phosphate and can short a cell", `set charge_stop_below = "0 °C" or higher`, stop.Leaf, r.Chemistry.Leaf)
	}
}

func equalised(r *report) {
	e := r.Regulation.Equalise
	if !e.Set() {
		return
	}
	for _, c := range []struct{ battery, harm string }{
		{"a gel", "gas bubbles stay in the gel and take its capacity for good"},
		{"an agm", "it dries out, and no water can be added"},
		{"a " + lfp, "there is nothing to equalise, only cells to overcharge"},
	} {
		_, chemistry, _ := strings.Cut(c.battery, " ")
		if r.soldFor(chemistry) {
			r.say(fmt.Sprintf("%s battery is equalised: %s", c.battery, c.harm), "leave equalise out, or sell it for flooded batteries only", e.Leaf, r.Chemistry.Leaf)
		}
	}
}

const equaliseHighest = 15.5 // V for 12 V

func equaliseHigh(r *report) {
	e := r.Regulation.Equalise
	if limit := equaliseHighest * r.blocks(); e.Set() && limit > 0 && above(e.Level.Value, limit) {
		r.say(fmt.Sprintf("equalise is %s, above %s: more is lost to gas and heat than is gained", volts(e.Level.Value), volts(limit)), "lower it", e.Leaf)
	}
}

// chargeRanges are the usual levels at 25 °C, V for 12 V; of lithium-iron-phosphate
// four cells.
var chargeRanges = []struct {
	chemistry string
	cells     float64 // that make 12 V
	low, high float64
}{
	{"flooded", 6, 13.8, 14.8},
	{"agm", 6, 13.8, 14.8},
	{"gel", 6, 13.8, 14.2},
	{lfp, 4, 14.0, 14.6},
}

func chargeLevel(r *report) {
	l := r.Regulation.Absorption
	name := "absorption"
	if !l.Set() {
		l, name = r.Regulation.Float, "float"
	}
	if !l.Set() {
		return
	}
	for _, c := range chargeRanges {
		blocks := r.cells(c.chemistry) / c.cells
		if v := l.Level.Value; r.soldFor(c.chemistry) && blocks > 0 && outside(v, c.low*blocks, c.high*blocks) {
			effect := "the battery is never quite full and its plates harden"
			if v > c.high*blocks {
				effect = "the battery loses water, or is overcharged"
			}
			r.say(fmt.Sprintf("%s is %s at 25 °C, usual for %s are %s to %s: %s", name, volts(v), c.chemistry, volts(c.low*blocks), volts(c.high*blocks), effect),
				"check it against the battery maker's sheet", l.Leaf, r.Chemistry.Leaf)
		}
	}
}

func floatLevel(r *report) {
	f := r.Regulation.Float
	low, high := 13.2*r.blocks(), 13.8*r.blocks()
	if r.lead() && f.Set() && r.Regulation.Absorption.Set() && high > 0 && outside(f.Level.Value, low, high) {
		r.say(fmt.Sprintf("float is %s at 25 °C, usual for lead batteries are %s to %s", volts(f.Level.Value), volts(low), volts(high)), "check it against the battery maker's sheet", f.Leaf)
	}
}

// Limits of the compensation, V/K a cell.
const (
	slopeLeast = 2e-3
	slopeMost  = 6e-3
)

func slope(r *report) {
	tc := r.Regulation.TemperatureCompensation
	cells := r.cells("flooded")
	if !r.lead() || cells == 0 || len(r.levels()) == 0 {
		return
	}
	perCell := tc.Value / cells
	shown := quantity.Format(perCell, quantity.VoltagePerKelvin, "mV/K", 1)
	switch {
	case !tc.Set() || tc.Value == 0:
		r.say("the levels of a lead battery do not follow its temperature: it is overcharged in the heat and never full in the cold", "set temperature_compensation, -3 to -5 mV/K a cell", tc.Leaf, r.Chemistry.Leaf)
	case perCell > 0:
		r.say("temperature_compensation is "+shown+" a cell: the level rises with heat, which a lead battery may not survive", "turn its sign", tc.Leaf)
	case outside(-perCell, slopeLeast, slopeMost):
		r.say("temperature_compensation is "+shown+" a cell, usual are -2 to -6 mV/K", "check whether it is meant for the whole battery", tc.Leaf, r.Cells.Leaf)
	}
}

func compensatedRange(r *report) {
	low, high := 13.2*r.blocks(), 15.2*r.blocks()
	cold, hot, known := r.ambients()
	if !r.lead() || high == 0 || !known || r.Regulation.TemperatureCompensation.Value == 0 {
		return
	}
	for _, l := range r.levels() {
		if l.name == "equalise" {
			continue
		}
		for _, t := range []float64{cold, hot} {
			if v := r.compensated(l.volts(), t); outside(v, low, high) && !outside(l.volts(), low, high) {
				r.say(fmt.Sprintf("%s becomes %s at %s; after compensation %s to %s is usual", l.name, volts(v), degrees(t), volts(low), volts(high)),
					"set compensation_limits", l.Leaf, r.Regulation.TemperatureCompensation.Leaf, r.Regulation.CompensationLimits.Leaf)
			}
		}
	}
}

func loadLevels(r *report) {
	off, on, float := r.Regulation.LoadDisconnect, r.Regulation.LoadReconnect, r.Regulation.Float
	blocks := r.blocks()
	if blocks == 0 {
		return
	}
	if r.lead() && off.Set() && outside(off.Value, 10.8*blocks, 12.0*blocks) {
		r.say(fmt.Sprintf("load_disconnect is %s, usual for lead are %s to %s: lower wears the battery out, higher wastes it", volts(off.Value), volts(10.8*blocks), volts(12.0*blocks)), "check it against the load's current", off.Leaf)
	}
	switch {
	case !off.Set() || !on.Set():
	case !above(on.Value, off.Value):
		r.say(fmt.Sprintf("load_reconnect, %s, is not above load_disconnect, %s: the load is switched on and off without end", volts(on.Value), volts(off.Value)), "raise load_reconnect", on.Leaf, off.Leaf)
	case below(on.Value-off.Value, 0.8*blocks):
		r.say(fmt.Sprintf("load_reconnect is only %s above load_disconnect: the battery recovers by that when the load goes, so it chatters", volts(on.Value-off.Value)), "leave at least "+volts(0.8*blocks)+" between them", on.Leaf, off.Leaf)
	}
	if on.Set() && float.Set() && !below(on.Value, float.Level.Value) {
		r.say(fmt.Sprintf("load_reconnect, %s, is not below float, %s: in poor weather the load may never come back", volts(on.Value), volts(float.Level.Value)), "lower load_reconnect", on.Leaf, float.Leaf)
	}
}

func hysteresis(r *report) {
	h := r.Regulation.Hysteresis
	if low, high := 0.2*r.blocks(), 1.0*r.blocks(); h.Set() && high > 0 && outside(h.Value, low, high) {
		r.say(fmt.Sprintf("hysteresis is %s, usual are %s to %s: less chatters, more leaves the battery short", volts(h.Value), volts(low), volts(high)), "check it", h.Leaf)
	}
}

func frequency(r *report) {
	if f := r.Regulation.Frequency; f.Set() && (below(f.Low, 10) || above(f.High, 1000)) {
		r.say(quantity.Format(f.Value, quantity.Frequency, "", -3)+" is an unusual pwm frequency: below 10 Hz lamps flicker, above 1 kHz a switch without a driver gets hot", "use 10 Hz to 1 kHz, or check the switching loss", f.Leaf)
	}
}

func ripple(r *report) {
	b := r.Sense.BatteryResistance
	if v := b.High * r.Current.Value; r.Regulation.Method.Is("pwm") && b.Set() && r.blocks() > 0 && above(v, 0.3*r.blocks()) {
		r.say(fmt.Sprintf("at %s the battery's voltage steps by up to %s in each pwm cycle, more than %s", amps(r.Current.Value), volts(v), volts(0.3*r.blocks())), "judge the mean, or say for which batteries it is meant", b.Leaf, r.Current.Leaf)
	}
}

const sourceImpedance = 10e3 // Ω

func dividerImpedance(r *report) {
	top, bottom := r.Sense.Top, r.Sense.Bottom
	if !top.Set() || !bottom.Set() {
		return
	}
	if z := top.Value * bottom.Value / (top.Value + bottom.Value); above(z, sourceImpedance) {
		r.say("the divider gives the converter a source of "+quantity.Format(z, quantity.Resistance, "", -3)+": what leaks into its input shifts the reading", "stay below 10 kΩ, or put 100 nF at the input and state the leakage", top.Leaf, bottom.Leaf)
	}
}

func sensorOnBoard(r *report) {
	s, tc := &r.Sense, r.Regulation.TemperatureCompensation
	if !s.Sensor.Is("board") || !tc.Set() || tc.Value == 0 {
		return
	}
	if !s.BoardRise.Set() {
		r.say("the temperature sensor sits on the board, and how much warmer that gets is not said: typically 10 K to 25 K", "state board_rise, or put the sensor on the battery", s.Sensor.Leaf)
	} else if above(s.BoardRise.High, 5) {
		r.say(fmt.Sprintf("the sensor on the board reads up to %s too much, which shifts the level by %s", quantity.Format(s.BoardRise.High, quantity.TemperatureDifference, "K", -3), volts(tc.Value*s.BoardRise.High)),
			"put the sensor on the battery, or subtract the rise", s.BoardRise.Leaf, s.Sensor.Leaf)
	}
}
