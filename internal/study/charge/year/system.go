package year

import (
	"fmt"
	"math"

	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/panel"
)

// A Minute is what comes from outside in one step.
type Minute struct {
	Sun     float64 // W/m², that the cells turn into current: on the plane, less what is reflected
	Cell    float64 // K, of the panel's cells
	Air     float64 // K, at the controller: the temperature of the path
	Battery float64 // K
	Load    float64 // A, that the loads draw if they are connected
}

// A Panel is the source: a single diode with series and shunt resistance, all of it.
type Panel struct {
	Photocurrent, PerKelvin float64                           // A at 1000 W/m² and 25 °C, A/K
	Saturation              func(temperature float64) float64 // A
	Thermal                 float64                           // V at 25 °C: n·cells·kT/q; grows with T
	Series                  float64                           // Ω
	Light, Dark             float64                           // S, shunt conductance at 1000 W/m², growing with the sun, and what stays without
	Recombination, BuiltIn  float64                           // V, of amorphous silicon; 0 for others
}

// FromPanel takes a panel with its soiling and age.
func FromPanel(p *panel.Panel) Panel {
	bright := p.At(panel.ReferenceIrradiance, panel.ReferenceTemperature)
	dark := 1 / p.At(0, panel.ReferenceTemperature).Shunt // 0 for an infinite shunt
	return Panel{
		Photocurrent: bright.Photocurrent,
		PerKelvin:    p.At(panel.ReferenceIrradiance, panel.ReferenceTemperature+1).Photocurrent - bright.Photocurrent,
		Saturation:   func(t float64) float64 { return p.At(0, t).Saturation },
		Thermal:      bright.Thermal, Series: bright.Series,
		Light: max(0, 1/bright.Shunt-dark), Dark: dark,
		Recombination: bright.Recombination, BuiltIn: bright.BuiltIn,
	}
}

// A Method is how charging is held back.
type Method uint8

// The methods. Series and shunt regulators of one method do the same to the battery.
const (
	None  Method = iota // the panel straight on the battery
	PWM                 // a share of each cycle, so that the mean voltage is that of the setpoint
	OnOff               // off at the setpoint, on again below it by the hysteresis
)

// Regulation is what the controller does. Voltages are of the whole battery at 25 °C.
type Regulation struct {
	Method         Method
	Absorption     float64 // V
	AbsorptionTime float64 // s at the setpoint until float; 0: there is no float. It begins anew at each first light and below Rebulk
	Float          float64 // V; 0: nothing until the next first light or Rebulk
	Equalise       float64 // V, held in place of Absorption for EqualiseTime (s) each EqualiseEvery (s); 0: never
	EqualiseTime   float64
	EqualiseEvery  float64
	Rebulk         float64 // V, below which absorption begins anew; 0: only at first light
	Hysteresis     float64 // V, of on-off

	PerKelvin float64 // V/K, compensation of Absorption, Float and Rebulk from 25 °C
	From, To  float64 // K, within which it compensates; 0, 0: everywhere

	Disconnect, Reconnect float64 // V of the load; 0, 0: it stays connected until the battery collapses
	DisconnectDelay       float64 // s, for which the voltage stays below Disconnect before the load is cut off

	Standby float64 // A, that the controller draws, day and night
	Ripple  float64 // Ω, of the battery behind the electrodes' own voltage: gas under pulses is that of the voltage within them; 0: of the mean
	Night   Leak    // that flows back into the path when the panel gives nothing
}

// A Leak is a current over voltage, straight: At where the battery has Voltage, and Slope around it.
type Leak struct{ At, Voltage, Slope float64 } // A, V, S

// A System is what a Sim takes through the weather.
type System struct {
	Panel      Panel
	Path       *Path
	Battery    *battery.Battery
	Regulation Regulation
	State      float64 // of charge at the start, 0..1
}

// check finds what cannot be taken through a year.
func (s *System) check() error {
	p, r := &s.Panel, &s.Regulation
	finite := func(values ...float64) bool {
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return false
			}
		}
		return true
	}
	switch {
	case s.Battery == nil || s.Path == nil || p.Saturation == nil:
		return fmt.Errorf("a panel, a path or a battery is missing; want all three")
	case !finite(p.Photocurrent, p.PerKelvin, p.Thermal, p.Series, p.Light, p.Dark, p.Recombination, p.BuiltIn) || p.Photocurrent < 0 || !(p.Thermal > 0) || p.Series < 0 || p.Light < 0 || p.Dark < 0:
		return fmt.Errorf("a panel whose constants are not finite or below 0; want a curve of a single diode")
	case !(s.State >= 0 && s.State <= 1):
		return fmt.Errorf("a state of charge of %g; want 0 to 1", s.State)
	case r.Method > OnOff:
		return fmt.Errorf("regulation %d; want none, pwm or on-off", r.Method)
	case r.Method != None && !(r.Absorption > 0):
		return fmt.Errorf("an absorption voltage of %g V; want more than 0", r.Absorption)
	case r.Method == OnOff && !(r.Hysteresis > 0):
		return fmt.Errorf("on-off with a hysteresis of %g V; want more than 0", r.Hysteresis)
	case !finite(r.AbsorptionTime, r.Equalise, r.EqualiseTime, r.EqualiseEvery, r.Float, r.Rebulk, r.PerKelvin, r.Disconnect, r.Reconnect, r.Standby, r.Ripple, r.Night.At, r.Night.Voltage, r.Night.Slope):
		return fmt.Errorf("regulation with a value that is not finite; want numbers")
	case p.Recombination > 0 && !(p.BuiltIn > p.Recombination):
		return fmt.Errorf("a panel with recombination of %g V and a built-in voltage of %g V; want the latter above", p.Recombination, p.BuiltIn)
	case r.Equalise > 0 && !(r.EqualiseTime > 0 && r.EqualiseEvery > 0 && r.AbsorptionTime > 0):
		return fmt.Errorf("equalising for %g s each %g s, absorption for %g s; want all above 0", r.EqualiseTime, r.EqualiseEvery, r.AbsorptionTime)
	case r.Standby < 0 || r.Ripple < 0 || r.Night.Slope < 0 || !(r.DisconnectDelay >= 0):
		return fmt.Errorf("a standby current, ripple resistance, leak or delay below 0; want 0 or more")
	case r.Disconnect > 0 && !(r.Reconnect > r.Disconnect):
		return fmt.Errorf("a load that reconnects at %g V and disconnects at %g V; want it to reconnect above", r.Reconnect, r.Disconnect)
	case r.Rebulk > 0 && r.Float > 0 && r.Rebulk >= r.Float:
		return fmt.Errorf("charging begins anew below %g V, which is not below the float voltage of %g V; want it below", r.Rebulk, r.Float)
	}
	return nil
}
