package rating

import (
	"errors"
	"math"

	"hindwatt/internal/hardware"
)

// A place is one set of conditions, in SI units.
type place struct {
	air           float64 // K
	current, load float64 // A
	sun           float64 // W/m² on the case
}

// A duty is the share of a cycle in which the battery is charged.
type duty = float64

const conducting duty = 1

// stop is what ends a rating.
type stop struct{ part, of string }

// A probe is one unit to be asked. It belongs to one goroutine.
type probe struct {
	in   *Input
	unit *hardware.Unit

	points map[asked]*hardware.Point // of the values at hand
}

// asked is at which place and duty a point was looked at.
type asked struct {
	at place
	of duty
}

// set gives the unit other values.
func (p *probe) set(values []float64) error {
	clear(p.points)
	return p.unit.Set(values)
}

func (in *Input) probe(d *hardware.Design) (*probe, error) {
	u, err := d.Unit(nil)
	if err != nil {
		return nil, err
	}
	return &probe{in: in, unit: u, points: map[asked]*hardware.Point{}}, nil
}

// outside is the world at a place; while it rests, at night, the battery is at rest too.
func (in *Input) outside(at place, night bool) hardware.Outside {
	cells := in.nominal() / cell12
	o := hardware.Outside{
		Ambient: at.air, Irradiance: at.sun, Altitude: value(in.Altitude, 0),
		Panel:   hardware.Panel{Current: at.current},
		Battery: hardware.Battery{EMF: value(in.Battery, charging12*cells), Resistance: value(in.Resistance, resistance*cells)},
		Load:    hardware.Load{Current: at.load},
	}
	if night {
		o.Battery.EMF = resting12 * cells
	}
	return o
}

// nominal is the battery's voltage as the label names it, V; 12 V where it does not.
func (in *Input) nominal() float64 { return value(in.Design.NominalVoltage, cell12) }

func value(v *Value, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return v.Quantity.Value
}

// largest is the largest current at a place over some duties, which duty it is, and what stops it [Q1].
func (p *probe) largest(at place, duties []duty) (current float64, worst duty, by stop, err error) {
	current = math.Inf(1)
	for _, d := range duties {
		r, err := p.unit.Largest(p.in.outside(at, false), hardware.State{Duty: d, LoadOn: at.load > 0}, hardware.Find{})
		if err != nil {
			return 0, 0, stop{}, err
		}
		if !r.Bound {
			r.Part, r.Of = "", ""
		}
		if r.Current < current {
			current, worst, by = r.Current, d, stop{r.Part, r.Of}
		}
	}
	return current, worst, by, nil
}

func (p *probe) point(at place, d duty) (*hardware.Point, error) {
	if pt := p.points[asked{at, d}]; pt != nil {
		return pt, nil
	}
	pt, err := p.unit.Operate(p.in.outside(at, false), hardware.State{Duty: d, LoadOn: at.load > 0})
	if err == nil {
		p.points[asked{at, d}] = pt
	}
	return pt, err
}

// value is a quantity at a place, the worst of some duties. It is +Inf where the unit runs away, a current then being 0.
func (p *probe) value(a aim, at place, duties []duty) (float64, error) {
	switch a.name {
	case "current":
		i, _, _, err := p.largest(at, duties)
		return i, err
	case "standby", "standby-by-day":
		night := a.name == "standby"
		pt, err := p.unit.Operate(p.in.outside(place{air: at.air}, night), hardware.State{Duty: 0, Night: night})
		if err != nil {
			return p.never(err)
		}
		return -pt.BatteryCurrent, nil
	case "drop", "load-drop":
		duties = []duty{conducting}
	}
	worst := math.Inf(-1)
	for _, d := range duties {
		pt, err := p.point(at, d)
		if err != nil {
			return p.never(err)
		}
		worst = math.Max(worst, p.read(a, at.air, pt))
	}
	return worst, nil
}

// read takes a quantity out of a point.
func (p *probe) read(a aim, air float64, pt *hardware.Point) float64 {
	switch a.name {
	case "drop":
		return pt.PanelDrop
	case "load-drop":
		return pt.LoadDrop
	case "touch-temperature":
		return p.in.touched(pt)
	case "loss":
		return pt.Loss
	case CaseResistance:
		return (p.in.touched(pt) - air) / pt.Loss
	}
	return p.in.outsideOf(a.part(), pt)
}

// never turns a runaway into a figure that no bound holds.
func (p *probe) never(err error) (float64, error) {
	var away *hardware.Runaway
	if errors.As(err, &away) {
		return math.Inf(1), nil
	}
	return 0, err
}

// touched is the hottest surface of the enclosures that stand in no other, K.
func (in *Input) touched(pt *hardware.Point) float64 {
	hottest := math.Inf(-1)
	for i, e := range in.Design.Enclosures {
		if e.Inside == "" {
			hottest = math.Max(hottest, pt.Cases[i].Surface)
		}
	}
	return hottest
}

// outsideOf is what a thermometer on a part reads, K: its hottest place less the drop from junction to case [Q2].
func (in *Input) outsideOf(name string, pt *hardware.Point) float64 {
	i := in.find(name)
	if i < 0 {
		return math.Inf(1)
	}
	part, c := pt.Parts[i], in.Design.Components[i]
	toCase := 0.0
	switch {
	case c.Mosfet != nil:
		toCase = value(c.Mosfet.JunctionToCase, 0)
	case c.Diode != nil:
		toCase = value(c.Diode.JunctionToCase, 0)
	}
	return part.At - toCase*part.Loss.Sum()
}

func (in *Input) find(component string) int {
	for i, c := range in.Design.Components {
		if c.Name == component {
			return i
		}
	}
	return -1
}
