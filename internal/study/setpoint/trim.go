package setpoint

import "hindwatt/internal/quantity"

// trim is how a unit's belief is set right by an instrument.
type trim struct {
	points  int  // 0, 1 or 2
	shift   bool // one point, by offset instead of gain
	at      [2]float64
	limit   [2]float64 // V, of the instrument at those voltages
	limitAt func(volts float64) float64
}

// Where nothing is said, a workshop's air is at 23 °C: middle of the 18 to 28 °C for which an
// instrument's accuracy usually holds. Common practice, no source.
const workshop = 296.15

// trimColumns are the variables of each point of a trim.
var trimColumns = [2]struct{ digit, step, nonlinearity, converter variable }{
	{trimDigit, trimStep, trimNonlinearity, trimConverterStep},
	{trimDigit2, trimStep2, trimNonlinearity2, trimConverterStep2},
}

// trim reads how units are trimmed, and sets the draws of it.
func (in *Input) trim(c *chain) trim {
	if in.Trim == nil {
		return trim{}
	}
	t := trim{points: len(in.Trim.At), shift: in.Trim.Method.Text == "offset" && len(in.Trim.At) == 1}
	m, d := &in.Trim.Instrument, &c.draws
	t.limitAt = func(volts float64) float64 { return limitOf(m, volts) }
	d[trimMeter] = within(1, m.From)
	d[trimTemperature] = spread(in.Trim.Temperature)
	if in.Trim.Temperature == nil {
		d[trimTemperature] = spread(exact(workshop, quantity.TemperaturePoint))
	}
	smallest := c.stepVolts()
	if in.Trim.Step != nil {
		smallest = in.Trim.Step.Quantity.Value
	}
	for p := range t.points {
		t.at[p] = in.Trim.At[p].Quantity.Value
		t.limit[p] = limitOf(m, t.at[p])
		columns := trimColumns[p]
		d[columns.digit] = within(0.5*valueOf(m.Digit), m.From)
		d[columns.step] = within(0.5*smallest, in.Trim.From)
		d[columns.nonlinearity] = d[nonlinearity]
		d[columns.converter] = d[step]
	}
	if in.Trim.Instrument.Accuracy == (quantity.Accuracy{}) {
		d[trimMeter] = draw{from: m.From}
	}
	return t
}

// apply sets inverse and shift of [S4] for each unit, so that at the trim's voltages it believes
// what the instrument showed [S5].
func (t *trim) apply(c *chain, b *block) {
	w, n := &b.work, b.n
	inverse, shift := w.inverse[:n], w.shift[:n]
	for i := range inverse {
		inverse[i], shift[i] = 1/c.nominalGain, 0
	}
	if t.points == 0 {
		return
	}
	// The unit lies idle on the bench: its board is at the air's temperature.
	for i, t := range b.column[trimTemperature][:n] {
		w.above[i] = t - at25
	}
	c.gainAt(b)
	t.raw(c, b, 0, w.base, w.one)
	switch {
	case t.points == 2:
		t.raw(c, b, 1, w.drop, w.other)
		for i := range inverse {
			gain := (w.other[i] - w.one[i]) / (w.drop[i] - w.base[i])
			shift[i] = w.one[i] - gain*w.base[i]
			inverse[i] = 1 / (gain * c.nominalGain)
		}
	case t.shift:
		for i := range shift {
			shift[i] = w.one[i] - w.base[i]
		}
	default:
		for i := range inverse {
			inverse[i] = w.base[i] / (w.one[i] * c.nominalGain)
		}
	}
}

// raw sets, at point p of the trim, what the untrimmed unit believes and what it is set to
// believe: what the instrument shows of the true voltage, within the trim's step.
func (t *trim) raw(c *chain, b *block, p int, believed, shown []float64) {
	w, n, columns := &b.work, b.n, trimColumns[p]
	o, inl, st := b.column[offset][:n], b.column[columns.nonlinearity][:n], b.column[columns.converter][:n]
	meter, digit, step := b.column[trimMeter][:n], b.column[columns.digit][:n], b.column[columns.step][:n]
	for i := range believed[:n] {
		e := (o[i] + inl[i] + st[i]) * c.perCode
		believed[i] = ((t.at[p]-w.leak[i])/w.gain[i] - e) * c.nominalGain // [S2] solved for x_raw
		shown[i] = t.at[p] + t.limit[p]*meter[i] + digit[i] + step[i]     // [S5]
	}
}
