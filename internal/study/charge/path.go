package charge

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/study/charge/year"
)

// Temperatures of the air at the controller for which the path is tabulated, K; and how many currents each.
var airs = []float64{zero - 35, zero - 10, zero + 15, zero + 40, zero + 65}

const knots = 20

// hardware tabulates the way through the controller, once for each temperature, and what it draws.
func (m *model) hardware() error {
	var err error
	if m.wires, err = m.leads(); err != nil {
		return err
	}
	d := m.in.Design
	if len(d.Components) == 0 { // straight on the battery
		m.path = m.wires
		return nil
	}
	for _, f := range d.Check() {
		if f.Fatal {
			return fmt.Errorf("%s: %s: %s; %s", f.From, f.At, f.Text, f.Want)
		}
	}
	u, err := d.Unit(nil)
	if err != nil {
		return fmt.Errorf("product.toml: circuit: %w", err)
	}
	if m.path, err = m.tabulate(u, m.most()); err != nil {
		return err
	}
	return m.resting(u)
}

// tabulate asks the network of the controller for its drop while it conducts [CH5], at a few currents and temperatures; between them a
// curve goes on that never swings.
func (m *model) tabulate(u *hardware.Unit, most float64) (*year.Path, error) {
	volts := m.holding()
	var away *hardware.Runaway
	drop := func(i, air float64) (float64, error) {
		p, err := u.Operate(m.outside(air, i, volts), hardware.State{Duty: 1})
		switch {
		case errors.As(err, &away):
			return 0, err
		case err != nil:
			return 0, fmt.Errorf("product.toml: circuit: %w", err)
		}
		return max(0, p.PanelDrop) + float64(i*m.ohm(air)), nil
	}
	curves := map[float64]*numeric.Monotone{}
	scale := most / 2000
	at := func(i float64) float64 { return numeric.Log(1 + i/scale) }
	for _, air := range airs {
		x, y := make([]float64, knots), make([]float64, knots)
		for k := range x {
			x[k] = at(most) * float64(k) / float64(knots-1)
			i := scale * (numeric.Exp(x[k]) - 1)
			v, err := drop(max(i, 1e-4*scale), air)
			if k > 0 && errors.As(err, &away) { // the years go on as if it lived, and say so
				v, err = float64(y[k-1]*i/(scale*(numeric.Exp(x[k-1])-1+1e-4))), nil
				m.runaway(i, air, away)
			}
			if err != nil {
				return nil, err
			}
			if y[k] = v; k > 0 { // heat may lower a diode's drop more than current raises it
				y[k] = max(v, y[k-1])
			}
		}
		curve, err := numeric.NewMonotone(x, y)
		if err != nil {
			return nil, err
		}
		curves[air] = curve
	}
	path, err := year.NewPath(func(i, air float64) (float64, error) {
		k := 0
		for k < len(airs)-2 && air > airs[k+1] {
			k++
		}
		part := (air - airs[k]) / (airs[k+1] - airs[k])
		a, _ := curves[airs[k]].At(at(i))
		b, _ := curves[airs[k+1]].At(at(i))
		return max(0, a+part*(b-a)), nil
	}, most, airs)
	if err != nil {
		return nil, err
	}
	for k, air := range airs[1:] { // what lies between is asked too
		for _, part := range []float64{0.05, 0.25, 0.6} {
			mid := 0.5 * (air + airs[k])
			want, err := drop(part*most, mid)
			if errors.As(err, &away) {
				continue
			}
			if err != nil {
				return nil, err
			}
			got, _ := path.At(part*most, mid)
			path.Error = max(path.Error, math.Abs(got-want))
		}
	}
	return path, nil
}

// melts is the least current at which a part of the controller runs away in air of a temperature, A and K.
type melts struct {
	part         string
	current, air float64
}

// runaway notes that the controller bears a current in air of a temperature no more.
func (m *model) runaway(current, air float64, r *hardware.Runaway) {
	if n := len(m.melts); n == 0 || m.melts[n-1].air != air {
		m.melts = append(m.melts, melts{r.Part, current, air})
	}
}

// most is the largest current that the path is tabulated for, A.
func (m *model) most() float64 { return 1.4 * (m.panel.Reference.Photocurrent + 40*m.panel.Tempco) }

// ohm is the resistance of the leads of panel and battery in air of a temperature, which their copper is taken to have, Ω.
func (m *model) ohm(air float64) float64 {
	return m.in.Design.PanelLead.Ohms(air) + m.in.Design.BatteryLead.Ohms(air)
}

// leads is the path with nothing but leads between panel and battery.
func (m *model) leads() (*year.Path, error) {
	return year.NewPath(func(i, air float64) (float64, error) { return float64(i * m.ohm(air)), nil }, m.most(), airs)
}

// holding is the voltage at which the path and the leak are told, V.
func (m *model) holding() float64 {
	return value(m.in.Regulation.Absorption, float64(m.count)*2.3)
}

// resting asks for the standby and for what flows back at night.
func (m *model) resting(u *hardware.Unit) error {
	low, high := float64(m.count)*2.0, float64(m.count)*2.2
	if len(m.cell.Curve) > 0 {
		low, high = float64(m.count)*3.1, float64(m.count)*3.4
	}
	m.day, m.night = m.in.Regulation.StandbyDay, m.in.Regulation.StandbyNight
	draws := func(volts float64, night bool, dark bool) (float64, error) {
		o := m.outside(zero+25, 0, volts)
		if dark {
			c := m.panel.At(0, zero+25)
			shunt := c.Shunt
			if math.IsInf(shunt, 1) {
				shunt = 1e9
			}
			o.Panel = hardware.Panel{Photocurrent: 1e-12, Saturation: c.Saturation, A: c.Thermal, Series: c.Series, Shunt: shunt}
		}
		p, err := u.Operate(o, hardware.State{Duty: 0, Night: night})
		if err != nil {
			return 0, fmt.Errorf("product.toml: circuit: %w", err)
		}
		if dark {
			return -p.PanelCurrent, nil
		}
		return -p.BatteryCurrent, nil
	}
	var err error
	if m.sum, err = draws(high, false, false); err != nil {
		return err
	}
	if m.asleep, err = draws(high, true, false); err != nil {
		return err
	}
	a, err := draws(low, true, true)
	if err != nil {
		return err
	}
	b, err := draws(high, true, true)
	if err != nil {
		return err
	}
	a, b = max(0, a), max(0, b)
	m.leak = leak{At: b, Voltage: high, Slope: max(0, (b-a)/(high-low))}
	return nil
}

// bare is what flows back into the panel itself where nothing stands between.
func (m *model) bare() leak {
	low, high := float64(m.count)*2.0, float64(m.count)*2.2
	c := m.panel.At(0, panel.ReferenceTemperature)
	a, b := -c.Current(low), -c.Current(high)
	return leak{At: b, Voltage: high, Slope: max(0, (b-a)/(high-low))}
}
