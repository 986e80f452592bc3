package panel

import (
	"fmt"
	"math"
)

// contradictions returns what of the label does not go together, each with its remedy. The bounds are common practice.
func (l Label) contradictions() []string {
	fill, cell := [2]float64{0.60, 0.82}, [2]float64{0.55, 0.75}
	if l.Amorphous {
		fill, cell = [2]float64{0.50, 0.68}, [2]float64{0.80, 0.95}
	}
	peak := l.PeakVoltage * l.PeakCurrent
	var notes []string
	outside := func(v float64, within [2]float64, format string, args ...any) {
		if !(v >= within[0] && v <= within[1]) {
			notes = append(notes, fmt.Sprintf(format, args...))
		}
	}
	filled := peak / (l.OpenCircuit * l.ShortCircuit)
	outside(filled, fill, "fill factor %.2f (usually %.2f to %.2f): a slip in the label, or new and settled values mixed; measure the short-circuit current and the open-circuit voltage",
		filled, fill[0], fill[1])
	if !l.Amorphous {
		i, v := l.PeakCurrent/l.ShortCircuit, l.PeakVoltage/l.OpenCircuit
		outside(i, [2]float64{0.85, 0.96}, "peak current %.2f of the short-circuit current (usually 0.85 to 0.96): are two values swapped?", i)
		outside(v, [2]float64{0.76, 0.86}, "peak voltage %.2f of the open-circuit voltage (usually 0.76 to 0.86): are two values swapped?", v)
	}
	if l.PeakPower > 0 && math.Abs(l.PeakPower-peak) > 0.03*l.PeakPower {
		notes = append(notes, fmt.Sprintf("peak power %.4g W, but peak voltage times peak current is %.4g W: the currents and voltages are taken", l.PeakPower, peak))
	}
	if l.Cells > 0 {
		each := l.OpenCircuit / float64(l.Cells)
		outside(each, cell, "%.3f V of open circuit for each of %d cells (usually %.2f to %.2f V): count the cells", each, l.Cells, cell[0], cell[1])
	}
	return notes
}

// compare returns what of the label the fitted panel does not reproduce.
func (f *Fit) compare(l Label) []string {
	c := f.Reference
	var notes []string
	if i := c.Current(l.PeakVoltage); math.Abs(i-l.PeakCurrent) > 0.002*l.ShortCircuit {
		notes = append(notes, fmt.Sprintf("no cells have so square a curve: %.4g A is calculated at %.4g V instead of %.4g A", i, l.PeakVoltage, l.PeakCurrent))
	}
	if v, _, p := c.MaximumPower(); math.Abs(v-l.PeakVoltage) > 0.02*l.PeakVoltage {
		notes = append(notes, fmt.Sprintf("the curve through the label's points has its maximum, %.4g W, at %.4g V instead of %.4g V", p, v, l.PeakVoltage))
	}
	if f.Ideality > 1.4 && !l.Amorphous {
		notes = append(notes, fmt.Sprintf("ideality %.2f (usually 1.0 to 1.4)", f.Ideality))
	}
	if share := c.Series * l.PeakCurrent / l.PeakVoltage; !l.Amorphous && (share < 0.02 || share > 0.12) {
		notes = append(notes, fmt.Sprintf("series resistance %.3g Ω takes %.1f %% of the peak voltage (usually 2 to 12 %%): the label's peak point may be rounded or wrong", c.Series, 100*share))
	}
	if least := 5 * l.PeakVoltage / l.ShortCircuit; c.Shunt < least {
		notes = append(notes, fmt.Sprintf("shunt resistance %.3g Ω (usually above %.3g Ω): the label's peak current may be too small", c.Shunt, least))
	}
	return notes
}
