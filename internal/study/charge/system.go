package charge

import (
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/study/charge/year"
)

// A change is what one run does otherwise than the folder says; the zero value changes nothing.
type change struct {
	none              bool    // no controller: the panel straight on the battery
	stuck             bool    // the controller's switch never opens
	cold              bool    // the protection of lithium cells does not know the cold
	absorption, float float64 // V, added
	compensation      float64 // V/K, added
}

// simulate makes a simulation of one unit at its start.
func (m *model) simulate(u unit, c change) (*tally, error) {
	cell, err := m.battery(u)
	if err != nil {
		return nil, err
	}
	if c.cold {
		cell.Cell.ColdCharge = 0
	}
	p := m.panel
	p.Soiling = min(0.999, max(0, drawn(m.in.Panel.Soiling, u.soiling, 0)))
	source := year.FromPanel(&p)
	source.Photocurrent *= u.panel
	source.PerKelvin *= u.panel
	s := year.System{Panel: source, Path: m.path, Battery: cell, State: 1}
	switch {
	case c.stuck && len(m.in.Design.Components) > 0:
		s.Regulation = m.regulation(u, c)
		s.Regulation.Method = year.None
	case c.none || c.stuck || m.in.Regulation.Method == "none":
		s.Path = m.wires
		s.Regulation = year.Regulation{Method: year.None, Night: m.bare()}
	default:
		s.Regulation = m.regulation(u, c)
	}
	sim, err := year.New(s)
	if err != nil {
		return nil, err
	}
	return &tally{sim: sim, u: u, cell: cell}, nil
}

// regulation is that of one unit.
func (m *model) regulation(u unit, c change) year.Regulation {
	in := &m.in.Regulation
	r := year.Regulation{
		Method: year.PWM, Absorption: in.Absorption.Quantity.Value + u.error + c.absorption,
		PerKelvin: value(in.Compensation, 0) + c.compensation, Night: m.leak,
	}
	if in.Method == "on-off" {
		r.Method, r.Hysteresis = year.OnOff, value(in.Hysteresis, usualHysteresis*float64(m.count)/6)
	} else if m.ohms > 0 {
		r.Ripple = m.ohms
	}
	if in.Float != nil && in.AbsorptionTime != nil {
		r.AbsorptionTime = in.AbsorptionTime.Quantity.Value
		r.Float = in.Float.Quantity.Value + u.error + c.float
	}
	if in.Equalise != nil && in.EqualiseTime != nil && in.AbsorptionTime != nil {
		r.Equalise, r.EqualiseTime, r.EqualiseEvery = in.Equalise.Quantity.Value+u.error, in.EqualiseTime.Quantity.Value, equaliseEvery
	}
	if v := in.CompensationLimits; v != nil {
		r.From, r.To = v.Quantity.Low, v.Quantity.High
	}
	if in.LoadDisconnect != nil && in.LoadReconnect != nil {
		r.Disconnect, r.Reconnect = in.LoadDisconnect.Quantity.Value+u.error, in.LoadReconnect.Quantity.Value+u.error
		r.DisconnectDelay = value(in.LoadDelay, 0)
	}
	day := max(0, drawn(m.day, u.standby, m.sum))
	r.Standby = day
	r.Night.At -= day - max(0, drawn(m.night, u.standby, m.asleep)) // at night it draws less [CH6]
	return r
}

// equaliseEvery is how often a battery is equalised, s: common practice, 28 to 30 days.
const equaliseEvery = 30 * 86400

// usualHysteresis is that of an on-off regulator for 12 V where none is written, V: common practice, 0.4 V to 0.8 V.
const usualHysteresis = 0.6

// temperature is where the battery stands.
type temperature struct{ battery, cell float64 }

// follow moves the temperatures on by a minute.
func (m *model) follow(t *temperature, air, sun float64) {
	if t.battery == 0 {
		t.battery, t.cell = air+m.rise, air
	}
	around, settled := air+m.rise, panel.CellTemperature(air, sun, m.noct)
	t.battery = around + float64((t.battery-around)*m.batteryLags)
	t.cell = settled + float64((t.cell-settled)*m.cellLags)
}
