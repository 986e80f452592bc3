package setpoint

import (
	"context"

	"hindwatt/internal/quantity"
)

// A Trimmed is what one way of trimming leaves.
type Trimmed struct {
	How     string // "not trimmed", "one point, 27.3 V"
	Meter   string // accuracy of its instrument; "" if not trimmed
	Assumed bool   // the instrument is a usual one, none being given
	Good    bool   // the instrument is a good one, to show what a better one would buy
	Result  *Result
}

// Samples of one way of trimming: 10^5.
const (
	trimOuter = 100
	trimInner = 1000
)

// A usual handheld voltmeter, and a good one: typical of datasheets, no source.
var (
	usualInstrument = Instrument{Accuracy: quantity.Accuracy{Relative: 0.005, Digits: 2}, Digit: exact(0.01, quantity.Voltage)}
	goodInstrument  = Instrument{Accuracy: quantity.Accuracy{Relative: 0.0005}, Digit: exact(0.001, quantity.Voltage)}
)

// Trims computes what no trim, one point and two points leave of the quantities of the run, by the
// product's own instrument, the bench's best or a usual one; and one point by a good one.
func (r *Result) Trims(ctx context.Context) ([]Trimmed, error) {
	in := r.Input
	in.Outer, in.Inner, in.Quantities = trimOuter, trimInner, nil
	for _, o := range r.Outcomes {
		if o.aim.deviation {
			in.Quantities = append(in.Quantities, o.Quantity)
		}
	}
	if len(in.Quantities) == 0 {
		return nil, nil
	}
	instrument, assumed := in.instrument()
	one, two := in.trimPoints(r.chain.fullScale())
	list, trims := []Trimmed{{How: "not trimmed"}}, []*Trim{nil}
	if len(one) == 1 {
		list = append(list, Trimmed{How: "one point, " + atWords(one), Meter: instrument.Accuracy.String(), Assumed: assumed})
		trims = append(trims, in.withPoints(one, instrument))
	}
	if len(two) == 2 {
		list = append(list, Trimmed{How: "two points, " + atWords(two), Meter: instrument.Accuracy.String(), Assumed: assumed})
		trims = append(trims, in.withPoints(two, instrument))
	}
	if len(one) == 1 {
		list = append(list, Trimmed{How: "one point, " + atWords(one), Meter: goodInstrument.Accuracy.String(), Good: true})
		trims = append(trims, in.withPoints(one, goodInstrument))
	}
	for i := range list {
		var err error
		in.Trim = trims[i]
		if list[i].Result, err = Run(ctx, in); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// instrument is what a trim would be made by.
func (in *Input) instrument() (i Instrument, assumed bool) {
	switch {
	case in.Trim != nil:
		return in.Trim.Instrument, false
	case in.Meter != nil && (in.Meter.Digit != nil || in.Meter.Accuracy.Digits == 0):
		return *in.Meter, false
	}
	return usualInstrument, true
}

// trimPoints are where a trim is best made: as it is, or at float, and at the lowest and the
// highest level that the converter reads.
func (in *Input) trimPoints(full float64) (one, two []Value) {
	var lowest, highest *Value
	for k := range levels {
		v := levelTable[k].setting(in)
		if v == nil || v.Quantity.Value > full {
			continue
		}
		if k == float || k == absorption && in.Float == nil || one == nil {
			one = []Value{*v}
		}
		if lowest == nil || v.Quantity.Value < lowest.Quantity.Value {
			lowest = v
		}
		if highest == nil || v.Quantity.Value > highest.Quantity.Value {
			highest = v
		}
	}
	if lowest != nil && lowest.Quantity.Value < highest.Quantity.Value {
		two = []Value{*lowest, *highest}
	}
	if in.Trim != nil && len(in.Trim.At) == 1 {
		one = in.Trim.At
	}
	if in.Trim != nil && len(in.Trim.At) == 2 {
		two = in.Trim.At
	}
	if one == nil && in.Indicator != nil && in.Indicator.Range != nil && in.Indicator.Range.Quantity.Value <= full {
		one = []Value{*in.Indicator.Range}
	}
	return one, two
}

func (in *Input) withPoints(at []Value, i Instrument) *Trim {
	if len(at) == 0 {
		return nil
	}
	t := Trim{At: at, Instrument: i}
	if in.Trim != nil {
		t = *in.Trim
		t.At, t.Instrument = at, i
	}
	return &t
}

func atWords(at []Value) string {
	text := ""
	for i, v := range at {
		if i > 0 {
			text += " and "
		}
		text += volts(v.Quantity.Value, shortest(v.Quantity.Value))
	}
	return text
}
