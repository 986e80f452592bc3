package hardware

import (
	"errors"
	"math"

	"hindwatt/internal/physics/circuit"
)

type fitted struct{ is, n, rs, tempco, at float64 }

func diodeCurve(d *Diode) (fitted, error) {
	if len(d.Drops) == 0 {
		return fitted{}, errors.New("it has no drops")
	}
	lo, hi := d.Drops[0], d.Drops[0]
	for _, p := range d.Drops {
		if math.Abs(p.Temperature-reference25) < 1 {
			if p.Current < lo.Current {
				lo = p
			}
			if p.Current > hi.Current {
				hi = p
			}
		}
	}
	f := fitted{n: 0.03, at: reference25, tempco: -1.2e-3}
	if hi.Current > lo.Current {
		f.rs = max(0, (hi.Voltage-lo.Voltage-f.n*math.Log(hi.Current/lo.Current))/(hi.Current-lo.Current))
	}
	f.is = lo.Current / math.Exp((lo.Voltage-f.rs*lo.Current)/f.n)
	return f, nil
}

func bodyCurve(m *Mosfet) (fitted, error) {
	return fitted{n: 0.03, at: reference25, tempco: -2e-3, is: 5 / math.Exp(0.8/0.03)}, nil
}

func (m *model) junction(t float64) circuit.Diode {
	f := m.curve
	k := m.drop
	if m.kind == "mosfet" {
		k = 1
	}
	return circuit.Diode{Saturation: f.is * math.Exp(-f.tempco*(t-f.at)/f.n), Emission: f.n * k, Series: f.rs * k}
}

// diode is a junction at a temperature, with its leakage and breakdown.
func (m *model) diode(t float64) circuit.Diode {
	j := m.junction(t)
	if m.leakage > 0 && m.rated > 0 {
		j.Leakage = circuit.Leakage{Current: m.leak(t), Voltage: m.rated}
	} else if m.leakage > 0 && m.breakdown > 0 {
		j.Leakage = circuit.Leakage{Current: m.leak(t), Voltage: m.breakdown}
	}
	if m.breakdown > 0 {
		j.Breakdown = circuit.Breakdown{Voltage: m.breakdown}
	}
	return j
}

// clamp is a suppressor; its resistance at peak follows from clamping voltage and current.
func (m *model) clamp() circuit.Clamp {
	c := circuit.Clamp{Breakdown: circuit.Breakdown{Voltage: m.breakdown}}
	if m.peak > 0 && m.clamping > m.breakdown {
		c.Series = (m.clamping - m.breakdown) / m.peak
	}
	return c
}

type onChannel struct{ r, tempco float64 }

func (c onChannel) Resistance(drive, t float64) float64 { return c.r * (1 + c.tempco*(t-reference25)) }

func channel(x *fixed) onChannel { return onChannel{x.resistance, x.tempco} }
