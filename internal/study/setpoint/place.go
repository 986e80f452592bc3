package setpoint

import "slices"

// A place is one set of conditions as the equations take it.
type place struct {
	air     air
	current *float64 // A, of the level; nil: each unit's own draw
	volts   float64  // V, of the display
	other   bool     // take the drawn current of another unit: that of a bench is not that of use
	byMeter bool     // as the trim's instrument shows it
}

// air is the temperature about a unit: an ambient, or that at which a unit's compensation stops.
type air struct {
	ambient float64 // K; at a kink that of a nominal unit
	kink    kink
	fresh   bool // units have not aged, though the conditions speak of an age
}

// A kink is where the compensation stops, at its limits, as the battery or as the sensor passes
// them: with their rises and errors each unit has its own.
type kink uint8

const (
	none kink = iota
	batteryColdest
	sensorColdest
	batteryHottest
	sensorHottest
)

// fill sets the air of each unit; a kink stays between the ends of the conditions.
func (a air) fill(c *chain, b *block) {
	w, n := &b.work, b.n
	if a.kink == none {
		for i := range w.air[:n] {
			w.air[i] = a.ambient
		}
		return
	}
	limit, rise, sensor := c.coldest, b.column[batteryRise][:n], b.column[sensorError][:n]
	if a.kink == batteryHottest || a.kink == sensorHottest {
		limit = c.hottest
	}
	bySensor := a.kink == sensorColdest || a.kink == sensorHottest
	if bySensor && c.onBoard {
		rise = b.column[boardRise][:n]
	}
	for i := range w.air[:n] {
		t := limit - rise[i]
		if bySensor {
			t -= sensor[i]
		}
		w.air[i] = min(max(t, c.low), c.high)
	}
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

// airs are the temperatures at which a quantity is looked at so that its lowest and highest
// over a range are among them: the ends, and between them the kinks, where the compensation stops.
// Elsewhere it is smooth and next to straight; 25 °C is there for what little it bends.
func (c *chain) airs(a aim) []air {
	list := []air{{ambient: c.low}}
	if c.low == c.high {
		return list
	}
	if c.low < at25-0.01 && c.high > at25+0.01 {
		list = append(list, air{ambient: at25})
	}
	list = append(list, air{ambient: c.high})
	if a.display() || !levelTable[a.level].charging || c.slope == 0 {
		return list
	}
	for k := batteryColdest; k <= sensorHottest; k++ {
		list = append(list, c.kinkAir(k)...)
	}
	return list
}

// kinkAir returns a kink, if that of any unit lies inside the conditions.
func (c *chain) kinkAir(k kink) []air {
	limit, d := c.coldest, c.draws
	if k == batteryHottest || k == sensorHottest {
		limit = c.hottest
	}
	rise, sensor := d[batteryRise], draw{}
	if k == sensorColdest || k == sensorHottest {
		sensor = d[sensorError]
		if c.onBoard {
			rise = d[boardRise]
		}
	}
	low, high := rise.ends(tailSDs)
	least, most := sensor.ends(tailSDs)
	from, to := limit-high-most, limit-low-least
	if to <= c.low || from >= c.high {
		return nil
	}
	return []air{{ambient: min(max(limit-rise.value-sensor.value, c.low), c.high), kink: k}}
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
	for _, t := range c.airs(a) {
		if a.display() {
			for _, v := range c.display.voltages() {
				list = append(list, place{air: t, volts: v})
			}
			continue
		}
		for _, current := range in.covered(a.level) {
			list = append(list, place{air: t, current: current})
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
	at := place{air: air{ambient: p.Ambient, fresh: c.aged && !p.Aged}, current: p.Load, byMeter: p.ByTrimMeter, volts: c.display.middle()}
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
	at := Point{Ambient: p.air.ambient, ByTrimMeter: p.byMeter, Aged: !p.air.fresh}
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

// at computes gain, leakage and lead in an air, unless they are there already.
func (c *chain) at(b *block, where air) {
	if b.work.of == where {
		return
	}
	b.work.of, b.work.holds = where, baseKey{}
	where.fill(c, b)
	c.board(b)
	c.leads(b)
	if c.compensates() {
		c.temperatures(b)
	}
}

// evaluate sets out to the quantity at a place.
func (c *chain) evaluate(b *block, a aim, p place, out []float64) {
	w, n := &b.work, b.n
	c.at(b, p.air)
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
	if held := (baseKey{a.level, a.deviation, true}); w.holds != held {
		c.terminal(b, a.level, a.deviation, w.base)
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
