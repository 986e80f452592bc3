package setpoint

import "slices"

// display is how the product shows its voltage.
type display struct {
	kind       displayKind
	step       float64 // V; 0: shown as believed
	truncate   bool
	low, high  float64   // V, true voltages that it is judged over
	thresholds []float64 // V, of lamps, rising
}

type displayKind uint8

const (
	noDisplay displayKind = iota
	digits
	lamps
)

func (in *Input) display(draws [variables]draw) display {
	i := in.Indicator
	if i == nil {
		return display{}
	}
	d := display{kind: digits, step: valueOf(i.Step), truncate: i.Rounding.Text == "truncate"}
	if len(i.Thresholds) > 0 {
		d.kind = lamps
		for _, t := range i.Thresholds {
			d.thresholds = append(d.thresholds, t.Quantity.Value)
		}
		slices.Sort(d.thresholds)
		d.low, d.high = d.thresholds[0], d.thresholds[len(d.thresholds)-1]
		return d
	}
	if i.Range != nil {
		d.low, d.high = i.Range.Quantity.Low, i.Range.Quantity.High
		return d
	}
	for k := range levels {
		v := levelTable[k].setting(in)
		if v == nil {
			continue
		}
		volts := v.Quantity.Value
		if d.low == 0 || volts < d.low {
			d.low = volts
		}
		d.high = max(d.high, volts)
	}
	return d
}

// middle is the voltage that stands for all; of lamps the middle threshold.
func (d *display) middle() float64 {
	if d.kind == lamps {
		return d.thresholds[len(d.thresholds)/2]
	}
	return (d.low + d.high) / 2
}

// sweeps reports whether the display is judged over so many voltages that every rounding of the
// display and every place within a converter's step occurs in every unit.
func (d *display) sweeps() bool { return d.kind == digits && d.high > d.low }

// ends are the least and the most that rounding adds to what is shown [S11].
func (d *display) ends() (low, high float64) {
	if d.truncate {
		return -d.step, 0
	}
	return -d.step / 2, d.step / 2
}

// rounding is the draw of the rounding at some one voltage.
func (d *display) rounding(i *Indicator) draw {
	low, high := d.ends()
	if d.kind != digits || d.step == 0 {
		return draw{}
	}
	where := i.From
	if i.Step != nil && i.Step.From != "" {
		where = i.Step.From
	}
	return draw{shape: uniform, value: (low + high) / 2, low: low, high: high, from: where}
}

// voltages are the true voltages at which the display is looked at.
func (d *display) voltages() []float64 {
	switch {
	case d.kind == lamps:
		return d.thresholds
	case d.low == d.high:
		return []float64{d.low}
	}
	return []float64{d.low, d.high}
}
