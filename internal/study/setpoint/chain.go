package setpoint

import (
	"math"

	"hindwatt/internal/quantity"
)

const (
	at25    = 298.15      // K, where nominal values hold and compensation begins
	twenty  = 293.15      // K, 20 °C
	copper  = 0.017241e-6 // Ω·m at 20 °C: IEC 60028, annealed copper
	copperT = 0.00393     // 1/K at 20 °C: IEC 60028
)

// drop says how the voltage between battery and controller depends on currents.
type dropMode uint8

const (
	dropMean dropMode = iota // the converter sees the mean of the pwm cycle
	dropOn                   // it looks while the switch is closed
	dropOff                  // it looks while the switch is open
	dropStop                 // on-off: the moment at which charging stops
)

// A chain is the product as the equations take it: what does not vary from sample to sample.
type chain struct {
	draws [variables]draw

	nominalGain float64 // [S3]
	perCode     float64 // 1/2^bits; 0 without a converter
	full        float64 // part of the converter's range that its highest code is; +Inf without one
	aged        bool    // units in use have aged
	onBoard     bool    // the compensation's sensor sits on the board
	slope       float64 // V/K, of the target
	coldest     float64 // K, beyond which the target stays
	hottest     float64
	low, high   float64 // K, ambients of the conditions
	setting     [levels]float64
	mode        dropMode
	trim        trim
	display     display
}

// scratch holds what the equations make of a block on the way.
type scratch struct {
	errors  []float64 // offset, nonlinearity and step, as a part of the converter's range
	inverse []float64 // x_raw/g0 for each volt of x [S4]
	shift   []float64 // V, d of [S4]
	air     []float64 // K
	above   []float64 // K, of the board from 25 °C
	sensed  []float64 // K, by the compensation's sensor, from 25 °C, within its limits
	cell    []float64 // K, of the battery, likewise
	gain    []float64 // g(T) [S1]
	leak    []float64 // V, of the leakage [S2]
	lead    []float64 // Ω [S8]
	base    []float64
	drop    []float64
	one     []float64
	other   []float64
	// of each gather
	minus, lows, highs [][]float64
	first              []bool // nothing is in lows and highs yet

	of    air     // that gain, leak and lead are for
	holds baseKey // what base is for
}

// baseKey says what base holds.
type baseKey struct {
	level     level
	deviation bool
	any       bool
}

func (w *scratch) init(n int) {
	for _, p := range []*[]float64{&w.errors, &w.inverse, &w.shift, &w.air, &w.above, &w.sensed, &w.cell, &w.gain, &w.leak, &w.lead, &w.base, &w.drop, &w.one, &w.other} {
		*p = make([]float64, n)
	}
}

// forGathers makes room for n quantities.
func (w *scratch) forGathers(n int) {
	for len(w.lows) < n {
		w.first = append(w.first, true)
		w.minus = append(w.minus, make([]float64, len(w.base)))
		w.lows = append(w.lows, make([]float64, len(w.base)))
		w.highs = append(w.highs, make([]float64, len(w.base)))
	}
}

// newChain prepares the equations; in has been checked.
func newChain(in *Input) (*chain, error) {
	c := &chain{draws: in.draws(), full: math.Inf(1), coldest: 0, hottest: math.Inf(1), aged: in.Conditions.Aged}
	r1, r2, v := in.Top.Quantity.Value, in.Bottom.Quantity.Value, in.Reference.Quantity.Value
	c.nominalGain = (1 + r1/r2) * v // [S3]
	if in.Bits.N > 0 {
		c.perCode = math.Ldexp(1, -in.Bits.N)
		c.full = 1 - c.perCode
	}
	c.low, c.high = in.ambientRange()
	c.onBoard = in.Sensor.Text == "board"
	if in.Compensation != nil {
		c.slope = in.Compensation.Quantity.Value
	}
	if in.CompensationLimits != nil {
		c.coldest, c.hottest = in.CompensationLimits.Quantity.Low, in.CompensationLimits.Quantity.High
	}
	for k, l := range levelTable {
		if v := l.setting(in); v != nil {
			c.setting[k] = v.Quantity.Value
		}
	}
	c.mode = in.dropMode()
	c.display = in.display(c.draws)
	if err := in.trimWithin(c.fullScale()); err != nil {
		return nil, err
	}
	c.trim = in.trim(c)
	c.draws[rounding] = c.display.rounding(in.Indicator)
	return c, in.markUnknown(&c.draws)
}

func (in *Input) dropMode() dropMode {
	switch {
	case in.Method.Text == "on-off":
		return dropStop
	case in.Sampled.Text == "on":
		return dropOn
	case in.Sampled.Text == "off":
		return dropOff
	}
	return dropMean
}

// fullScale is the highest voltage that a nominal unit reads, V; +Inf without a converter [S16].
func (c *chain) fullScale() float64 { return c.nominalGain * c.full }

// stepVolts is one nominal step of the converter at the battery, V.
func (c *chain) stepVolts() float64 { return c.nominalGain * c.perCode }

// begin computes what holds at every temperature: the converter's errors and the trim.
func (c *chain) begin(b *block) {
	b.work.of = air{}
	col, w := b.column, &b.work
	o, inl, st := col[offset][:b.n], col[nonlinearity][:b.n], col[step][:b.n]
	e := w.errors[:b.n]
	for i := range e {
		e[i] = (o[i] + inl[i] + st[i]) * c.perCode
	}
	c.trim.apply(c, b)
}

// board computes the gain of the chain and the shift by leakage in the air of the block.
func (c *chain) board(b *block) {
	w, warm := &b.work, b.column[boardRise][:b.n]
	for i, air := range w.air[:b.n] {
		w.above[i] = air + warm[i] - at25
	}
	c.gainAt(b)
	if !c.aged || w.of.fresh {
		return
	}
	gain := w.gain[:b.n]
	for i, age := range b.column[ageing][:b.n] {
		gain[i] *= 1 + age
	}
}

// gainAt sets gain [S1] of new units, and leak [S2], for boards that are above 25 °C by w.above, K.
func (c *chain) gainAt(b *block) {
	col, n := b.column, b.n
	r1, d1, r2, d2 := col[top][:n], col[topDrift][:n], col[bottom][:n], col[bottomDrift][:n]
	v, dv, current := col[reference][:n], col[referenceDrift][:n], col[leakage][:n]
	above, gain, leak := b.work.above[:n], b.work.gain[:n], b.work.leak[:n]
	for i, t := range above {
		upper := r1[i] * (1 + d1[i]*t)
		lower := r2[i] * (1 + d2[i]*t)
		gain[i] = (1 + upper/lower) * v[i] * (1 + dv[i]*t) // [S1]
		leak[i] = current[i] * upper
	}
}

// temperatures sets what the compensation's sensor feels and what the battery has, from 25 °C,
// as far as the compensation follows them [S7].
func (c *chain) temperatures(b *block) {
	w, n := &b.work, b.n
	air, sensed, cell := w.air[:n], w.sensed[:n], w.cell[:n]
	battery, sensor := b.column[batteryRise][:n], b.column[sensorError][:n]
	warmer := battery
	if c.onBoard {
		warmer = b.column[boardRise][:n]
	}
	for i, t := range air {
		sensed[i] = min(max(t+warmer[i]+sensor[i], c.coldest), c.hottest) - at25
		cell[i] = min(max(t+battery[i], c.coldest), c.hottest) - at25
	}
}

// terminal sets out to the true voltage at the controller's terminals when it believes itself at a
// level [S2], less the target at the battery's temperature [S6] if it is to be a deviation.
func (c *chain) terminal(b *block, k level, deviation bool, out []float64) {
	l, col, w, n := &levelTable[k], b.column, &b.work, b.n
	e, gain, leak := w.errors[:n], w.gain[:n], w.leak[:n]
	inverse, shift, setting := w.inverse[:n], w.shift[:n], col[l.variable][:n]
	out = out[:n]
	target, slope := 0.0, 0.0
	if deviation {
		target, slope = c.setting[k], c.slope
	}
	if !l.charging || !c.compensates() {
		for i := range out {
			out[i] = gain[i]*((setting[i]-shift[i])*inverse[i]+e[i]) + leak[i] - target // [S2]
		}
		return
	}
	sensed, cell, own := w.sensed[:n], w.cell[:n], col[compensation][:n]
	for i := range out {
		x := setting[i] + own[i]*sensed[i] // [S6]
		out[i] = gain[i]*((x-shift[i])*inverse[i]+e[i]) + leak[i] - (target + slope*cell[i])
	}
}

// compensates reports whether the target or the controller follows the temperature.
func (c *chain) compensates() bool { return c.slope != 0 || c.draws[compensation].shape != fixed }

// leads sets the resistance of the battery lead, both ways, in the air of the block [S8].
func (c *chain) leads(b *block) {
	n := b.n
	length, area, contact := b.column[leadLength][:n], b.column[leadArea][:n], b.column[contacts][:n]
	lead, air := b.work.lead[:n], b.work.air[:n]
	if l, a := &c.draws[leadLength], &c.draws[leadArea]; l.shape == fixed && a.shape == fixed {
		at20 := 0.0 // Ω
		if l.value > 0 {
			at20 = 2 * copper * l.value / a.value
		}
		for i := range lead {
			lead[i] = at20*(1+copperT*(air[i]-twenty)) + contact[i]
		}
		return
	}
	for i := range lead {
		lead[i] = 2*copper*(1+copperT*(air[i]-twenty))*length[i]/area[i] + contact[i]
	}
}

// dropAt sets out to what the battery's voltage lies below the controller's [S9]. current is that
// of the level: the mean while holding, or the load's.
func (c *chain) dropAt(b *block, k level, current, out []float64) {
	n, lead := b.n, b.work.lead
	on, rb := b.column[onCurrent][:n], b.column[batteryResistance][:n]
	current, out, lead = current[:n], out[:n], lead[:n]
	mode := c.mode
	switch {
	case k == disconnect:
		for i := range out {
			out[i] = -current[i] * lead[i]
		}
	case k == reconnect:
		clear(out)
	case mode == dropOn:
		for i := range out {
			closed := max(on[i], current[i])
			out[i] = closed*lead[i] + (closed-current[i])*rb[i]
		}
	case mode == dropOff:
		for i := range out {
			out[i] = -current[i] * rb[i]
		}
	default: // dropMean: the mean; dropStop: the full current
		for i := range out {
			out[i] = current[i] * lead[i]
		}
	}
}

// believed sets out to what the controller takes a true voltage at its terminals for, less
// that voltage [S11].
func (c *chain) believed(b *block, volts float64, errors, out []float64) {
	w, n := &b.work, b.n
	gain, leak, inverse, shift := w.gain[:n], w.leak[:n], w.inverse[:n], w.shift[:n]
	errors, out, full := errors[:n], out[:n], c.full
	for i := range out {
		part := (volts-leak[i])/gain[i] - errors[i]
		if part > full { // the converter shows no more [S16]
			part = full
		}
		out[i] = part/inverse[i] + shift[i] - volts
	}
}

// limitOf is the limit of error of an instrument at a voltage, V.
func limitOf(m *Instrument, volts float64) float64 {
	return m.Accuracy.Limit(volts, valueOf(m.Digit))
}

func valueOf(v *Value) float64 {
	if v == nil {
		return 0
	}
	return v.Quantity.Value
}

// exact makes a Value of a number.
func exact(v float64, d quantity.Dimension) *Value {
	return &Value{Quantity: quantity.Quantity{Value: v, Low: v, High: v, Dim: d}}
}
