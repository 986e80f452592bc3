package setpoint

// A level is one at which the controller acts.
type level int

const (
	absorption level = iota
	float
	disconnect
	reconnect
	levels
)

// levelTable says what is particular to each level.
var levelTable = [levels]struct {
	name     string // of its quantities, and of its page
	key      string // in product.toml
	variable variable
	current  variable // that flows in the lead, with pwm
	charging bool     // compensated, and with the charge current flowing
	setting  func(*Input) *Value
}{
	absorption: {"absorption", "regulation.absorption", settingAbsorption, currentAtAbsorption, true,
		func(in *Input) *Value { return in.Absorption }},
	float: {"float", "regulation.float", settingFloat, currentAtFloat, true,
		func(in *Input) *Value { return in.Float }},
	disconnect: {"load-disconnect", "regulation.load_disconnect", settingDisconnect, loadCurrent, false,
		func(in *Input) *Value { return in.LoadDisconnect }},
	reconnect: {"load-reconnect", "regulation.load_reconnect", settingReconnect, loadCurrent, false,
		func(in *Input) *Value { return in.LoadReconnect }},
}

// currentOf is the variable of the current in the lead at a level.
func (c *chain) currentOf(k level) variable {
	if levelTable[k].charging && c.mode == dropStop {
		return onCurrent
	}
	return levelTable[k].current
}

// Target returns the compensated target of a level ("float") in V, for a battery in an ambient in K,
// at its nominal rise above it [S6]. ok is false if there is no such level or it is not given.
func (in Input) Target(name string, ambient float64) (volts float64, ok bool) {
	for _, l := range levelTable {
		if l.name != name {
			continue
		}
		v := l.setting(&in)
		if v == nil {
			return 0, false
		}
		volts = v.Quantity.Value
		if !l.charging || in.Compensation == nil {
			return volts, true
		}
		battery := ambient + valueOf(in.BatteryRise)
		if lim := in.CompensationLimits; lim != nil {
			battery = min(max(battery, lim.Quantity.Low), lim.Quantity.High)
		}
		return volts + in.Compensation.Quantity.Value*(battery-at25), true
	}
	return 0, false
}
