package hardware

import (
	"errors"
	"math"

	"hindwatt/internal/physics/heat"
)

// openRatio is the open voltage of a held current over the nominal voltage: 21.6 V of a 12 V panel (De Soto et al. 2006 for 36 cells of silicon; common practice).
const openRatio = 1.8

// Operate returns the point at which the unit settles: the currents of both parts of the cycle and every temperature, each at
// what the other makes of it.
//
// Errors: *InputError, *Runaway, *Unsolved.
func (u *Unit) Operate(o Outside, s State) (*Point, error) {
	if err := u.begin(o, s); err != nil {
		return nil, err
	}
	if err := u.steady(u.from(u.start(question{o: u.outside, s: s}))); err != nil {
		return nil, err
	}
	return u.point(), nil
}

// begin takes the conditions. Every operation starts from the same state, so that its result does not depend on the last.
func (u *Unit) begin(o Outside, s State) error {
	if o.Panel.Open == 0 && u.d.NominalVoltage != nil {
		o.Panel.Open = openRatio * u.d.NominalVoltage.Value
	}
	if err := o.check(s); err != nil {
		return err
	}
	u.outside, u.s = o, s
	u.heat.surround(&o)
	for i := range u.temps {
		u.temps[i] = o.Ambient + 20
	}
	u.charging.solution, u.stopped.solution = nil, nil
	u.charging.start, u.stopped.start = nil, nil
	clear(u.charging.on)
	clear(u.stopped.on)
	return nil
}

// check looks at what is outside.
func (o *Outside) check(s State) error {
	for _, x := range []struct {
		name     string
		v        float64
		from, to float64
		want     string
	}{
		{"ambient", o.Ambient, heat.MinAmbient, heat.MaxAmbient, "want -60 °C to 150 °C"},
		{"irradiance", o.Irradiance, 0, 2000, "want 0 to 2000 W/m²"}, {"altitude", o.Altitude, -500, 11000, "want -500 m to 11000 m"},
		{"panel current", o.Panel.Current, 0, 1e4, "want 0 to 10 kA"}, {"photocurrent", o.Panel.Photocurrent, 0, 1e4, "want 0 to 10 kA"},
		{"open voltage", o.Panel.Open, 0, 1e4, "want 0 to 10 kV"},
		{"battery", o.Battery.EMF, -1000, 1000, "want up to 1000 V"}, {"battery resistance", o.Battery.Resistance, 0, 1e6, "want 0 or more"},
		{"load current", o.Load.Current, 0, 1e4, "want 0 to 10 kA"}, {"load resistance", o.Load.Resistance, 0, 1e9, "want 0 or more"},
		{"duty", s.Duty, 0, 1, "want 0 to 1"},
	} {
		if !(x.v >= x.from && x.v <= x.to) {
			return &InputError{x.name, "it is out of range", x.want}
		}
	}
	if o.Panel.Current > 0 && o.Panel.Photocurrent == 0 && o.Panel.Open <= 0 {
		return &InputError{"panel", "a held current without an open voltage", "want Open, or the design's nominal voltage"}
	}
	return nil
}

// settled is the change of temperature, K, below which currents are not looked at again: some 1e-7 of a resistance or a drop.
const settled = 1e-5

// ceiling, K, is above what any part of such a controller bears, and about where silicon conducts by itself: beyond 300 °C no data
// sheet's law holds, so a state up there, where cooling has caught up with the loss again, is a runaway too (common practice).
const ceiling = 273.15 + 300

// steady lets currents and temperatures settle on each other, upward from the ambient.
func (u *Unit) steady(begun bool) error {
	const most = 60
	for round := range most {
		if err := u.solve(begun || round > 0); err != nil {
			return err
		}
		u.edgeLosses()
		u.feed()
		moved, err := u.warm(begun || round > 0)
		if err != nil {
			return err
		}
		if moved < settled && u.temps[u.hottest()] <= ceiling {
			return nil
		}
		if moved < settled {
			break
		}
	}
	return &Runaway{u.d.Components[u.hottest()].Name, u.outside.Ambient}
}

// warm finds the temperatures for the losses at hand; moved is by how much the largest change was.
func (u *Unit) warm(again bool) (moved float64, err error) {
	a := u.heat.assembly
	u.warmLeads()
	if again {
		err = a.Again(u.outside.Ambient)
	} else {
		err = a.Solve(u.outside.Ambient)
	}
	if err != nil {
		return 0, u.hot(err)
	}
	for i, k := range u.heat.part {
		t := u.outside.Ambient
		if k >= 0 {
			t = a.Temperature(a.Junction[k])
		} else if at := u.d.enclosure(u.d.Components[i].In); at >= 0 {
			t = a.Temperature(a.Inner[at])
		}
		moved = max(moved, math.Abs(t-u.temps[i]))
		u.temps[i] = t
	}
	return moved, nil
}

// hot turns an error of the thermal network into one of this package.
func (u *Unit) hot(err error) error {
	var runaway *heat.Runaway
	var tooHot *heat.TooHot
	switch {
	case errors.As(err, &runaway):
		return &Runaway{runaway.Name, runaway.Ambient}
	case errors.As(err, &tooHot):
		return &Runaway{tooHot.Name, tooHot.Ambient}
	}
	return refused("", err)
}

// hottest is the component with the highest temperature.
func (u *Unit) hottest() int {
	at := 0
	for i := range u.temps {
		if u.temps[i] > u.temps[at] {
			at = i
		}
	}
	return at
}
