package circuit

import (
	"fmt"

	"hindwatt/internal/numeric"
)

// A Channel is the on-resistance of a field-effect transistor as its data sheet gives it.
type Channel struct {
	Resistance float64 // at Drive and Reference, Ω, > 0
	Drive      float64 // gate voltage of Resistance, V, > Threshold
	Threshold  float64 // gate threshold voltage at Reference, V, > 0

	// A second point, at a lower gate voltage; 0 where the sheet gives none. All of Resistance is then that of the
	// channel, which makes it rise more at a low drive than it does.
	LowResistance float64
	LowDrive      float64

	// HotFactor is the resistance at HotTemperature over that at Reference, and 0 means (T/Reference)^1.8, some 1.5 at
	// 100 °C, as low-voltage transistors have it (an estimate from data sheets).
	HotFactor      float64
	HotTemperature float64 // K

	ThresholdTempco float64 // V/K; 0 means −5 mV/K (common practice)
}

const (
	hotPower        = 1.8
	thresholdTempco = -5e-3
)

// OnResistance returns that at a gate voltage and a junction temperature in K:
//
//	R = (Rd + K·(Drive − Vth)/(Drive − Vth25)/(drive − Vth))·(T/Reference)^m   [C9]
//
//	drive   gate to source, V, positive for a channel of either kind
//	kelvin  150 … 600
//
// Rd and K follow from the two points of the sheet. Vth falls with temperature; at Drive that is within the last
// factor already, as the sheet's hot value is measured so. ok is false where the drive does not
// reach the threshold: then the transistor is off. The error names an impossible value.
func (c Channel) OnResistance(drive, kelvin float64) (ohms float64, ok bool, err error) {
	if fault := c.check(); fault != "" {
		return 0, false, &ValueError{fault}
	}
	if fault := first(ask("gate voltage", drive, "V", -100, 100), ask("junction temperature", kelvin, "K", 150, 600)); fault != "" {
		return 0, false, &ValueError{fault}
	}
	rest, k := c.split()
	tempco := c.ThresholdTempco
	if tempco == 0 {
		tempco = thresholdTempco
	}
	over := drive - c.Threshold - tempco*(kelvin-Reference)
	full := (c.Drive - c.Threshold - tempco*(kelvin-Reference)) / (c.Drive - c.Threshold)
	if !(over > 0) {
		return 0, false, nil
	}
	ohms = (rest + k*full/over) * c.warm(kelvin) // [C9]
	if !(ohms <= MostResistance) {
		return 0, false, nil
	}
	return ohms, true, nil
}

// split returns Rd and K.
func (c Channel) split() (rest, k float64) {
	over := c.Drive - c.Threshold
	if c.LowResistance == 0 {
		return 0, c.Resistance * over
	}
	k = (c.LowResistance - c.Resistance) / (1/(c.LowDrive-c.Threshold) - 1/over)
	if k > c.Resistance*over {
		return 0, c.Resistance * over
	}
	return c.Resistance - k/over, k
}

// warm returns the resistance at a temperature over that at Reference, at full drive.
func (c Channel) warm(kelvin float64) float64 {
	m := hotPower
	if c.HotFactor != 0 {
		m = numeric.Log(c.HotFactor) / numeric.Log(c.HotTemperature/Reference)
	}
	return numeric.Pow(kelvin/Reference, m)
}

func (c Channel) check() string {
	fault := first(ask("on-resistance", c.Resistance, "ohm", 1e-6, 1e6), ask("gate threshold", c.Threshold, "V", 0.1, 20),
		ask("gate voltage of the on-resistance", c.Drive, "V", 0.1, 100),
		askIf(c.HotFactor != 0, "hot factor", c.HotFactor, "", 1, 10),
		askIf(c.HotFactor != 0, "temperature of the hot factor", c.HotTemperature, "K", Reference+10, 600))
	switch {
	case fault != "":
	case !(c.Drive > c.Threshold):
		fault = fmt.Sprintf("gate voltage of the on-resistance of %g V; want more than the threshold of %g V", c.Drive, c.Threshold)
	case c.LowResistance == 0:
	case !(c.LowDrive > c.Threshold && c.LowDrive < c.Drive):
		fault = fmt.Sprintf("lower gate voltage of %g V; want it between the threshold of %g V and %g V", c.LowDrive, c.Threshold, c.Drive)
	case !(c.LowResistance >= c.Resistance && c.LowResistance <= 1e6):
		fault = fmt.Sprintf("on-resistance of %g ohm at the lower gate voltage; want at least %g ohm", c.LowResistance, c.Resistance)
	}
	return fault
}

// Warmed returns a resistance at another temperature: ohms·(1 + tempco·warmer), and at least 0.
//
//	tempco  per kelvin; copper has 0.00393 at 20 °C (IEC 60028)
//	warmer  K above the temperature at which ohms holds
func Warmed(ohms, tempco, warmer float64) float64 { return max(0, ohms*(1+tempco*warmer)) }
