package setpoint

import (
	"slices"
)

// A place is one set of conditions as the equations take it.
type place struct {
	ambient float64  // K
	current *float64 // A, of the level; nil: each unit's own draw
	volts   float64  // V, of the display
	other   bool     // take the drawn current of another unit: that of a bench is not that of use
	byMeter bool     // as the trim's instrument shows it
}

// An aim is one of the quantities that the study can be asked for.
type aim struct {
	name      string
	level     level // levels: the display
	deviation bool
}

const displayError = "display-error"

// aims are all quantities, in the order in which they are shown.
var aims = func() (list []aim) {
	for k := range levels {
		list = append(list, aim{levelTable[k].name + "-error", k, true})
	}
	list = append(list, aim{displayError, levels, true})
	for k := range levels {
		list = append(list, aim{levelTable[k].name, k, false})
	}
	return list
}()

// Quantities lists what the study can be asked for: for each level K the deviation "K-error" of the
// battery's voltage from the compensated target, and that voltage "K" itself, and "display-error".
func Quantities() []string {
	var list []string
	for _, a := range aims {
		list = append(list, a.name)
	}
	return list
}

func findAim(name string) (aim, bool) {
	i := slices.IndexFunc(aims, func(a aim) bool { return a.name == name })
	if i < 0 {
		return aim{}, false
	}
	return aims[i], true
}

func (a aim) display() bool { return a.level == levels }

// ambients are the temperatures at which a quantity is looked at so that its lowest and highest
// over a range are among them: the ends, and between them the kinks, where the compensation stops.
// Elsewhere it is smooth and next to straight; 25 °C is there for what little it bends.
func (c *chain) ambients(in *Input, a aim) []float64 {
	low, high := in.ambientRange()
	list := []float64{low}
	inside := func(t float64) {
		if t > low+0.01 && t < high-0.01 {
			list = append(list, t)
		}
	}
	inside(at25)
	if !a.display() && levelTable[a.level].charging && c.slope != 0 {
		for _, t := range []float64{c.coldest, c.hottest} {
			inside(t - valueOf(in.BatteryRise))
			if c.onBoard {
				inside(t - valueOf(in.BoardRise))
			}
		}
	}
	if high > low {
		list = append(list, high)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func (in *Input) ambientRange() (low, high float64) {
	if in.Conditions.Ambient == nil {
		return at25, at25
	}
	q := in.Conditions.Ambient.Quantity
	return q.Low, q.High
}

// places are the conditions at which a quantity is looked at.
func (c *chain) places(in *Input, a aim) []place {
	var list []place
	for _, t := range c.ambients(in, a) {
		if a.display() {
			for _, v := range c.display.voltages() {
				list = append(list, place{ambient: t, volts: v})
			}
			continue
		}
		for _, current := range in.covered(a.level) {
			list = append(list, place{ambient: t, current: current})
		}
	}
	return list
}

// covered are the currents of a level that the conditions name: the ends of their range, or nil.
func (in *Input) covered(k level) []*float64 {
	v := in.Conditions.LoadCurrent
	if levelTable[k].charging {
		v = in.Conditions.ChargeCurrent
	}
	if v == nil || k == reconnect {
		return []*float64{nil}
	}
	low, high := v.Quantity.Low, v.Quantity.High
	if low == high {
		return []*float64{&low}
	}
	return []*float64{&low, &high}
}

// place makes one of a Point that a caller names.
func (c *chain) place(a aim, p Point) place {
	at := place{ambient: p.Ambient, current: p.Load, byMeter: p.ByTrimMeter, volts: (c.display.low + c.display.high) / 2}
	if !a.display() && levelTable[a.level].charging {
		at.current = p.Charge
	}
	if p.Voltage != nil {
		at.volts = *p.Voltage
	}
	return at
}

// point tells a place to a caller.
func (a aim) point(p place) Point {
	at := Point{Ambient: p.ambient, ByTrimMeter: p.byMeter}
	switch {
	case a.display():
		at.Voltage = &p.volts
	case levelTable[a.level].charging:
		at.Charge = p.current
	default:
		at.Load = p.current
	}
	return at
}

// evaluate sets out to the quantity at a place; board and leads have been called for its ambient.
func (c *chain) evaluate(b *block, a aim, p place, out []float64) {
	w, n := &b.work, b.n
	switch {
	case a.display() && c.display.kind == digits:
		c.believed(b, p.volts, w.errors, out)
		for i, r := range b.column[rounding][:n] {
			out[i] += r
		}
	case a.display():
		// A lamp changes where the belief passes its threshold: the true voltage there, less the threshold.
		for i := range out[:n] {
			out[i] = w.gain[i]*((p.volts-w.shift[i])*w.inverse[i]+w.errors[i]) + w.leak[i] - p.volts
		}
	default:
		c.battery(b, a, p, out)
	}
}

// battery sets out to the battery's voltage, or its deviation [S10].
func (c *chain) battery(b *block, a aim, p place, out []float64) {
	w, n := &b.work, b.n
	if held := (baseKey{a.level, a.deviation, p.ambient, b.at}); w.holds != held {
		c.terminal(b, a.level, p.ambient, a.deviation, w.base)
		w.holds = held
	}
	current := b.column[c.currentOf(a.level)][:n]
	switch {
	case p.current != nil:
		current = w.one[:n]
		for i := range current {
			current[i] = *p.current
		}
	case p.other:
		own := current
		current = w.one[:n]
		for i := range current {
			current[i] = own[n-1-i]
		}
	}
	c.dropAt(b, a.level, current, w.drop)
	for i := range out[:n] {
		out[i] = w.base[i] - w.drop[i] // [S10]
	}
	if p.byMeter && c.trim.points > 0 {
		limit, meter := c.trim.limitAt(c.setting[a.level]), b.column[trimMeter]
		for i := range out[:n] {
			out[i] += limit * meter[i]
		}
	}
}
