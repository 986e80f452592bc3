package figure

import (
	"math"
	"slices"
)

// Bin is one column of a histogram.
type Bin struct {
	Low, High float64 // Low < High
	Count     float64 // ≥ 0, of any unit
}

// Distribution draws how a quantity spreads over units, with the bound it is held to.
// All numbers are in Unit, already scaled.
type Distribution struct {
	Title            string // "how far the float voltage is off"; empty: the quantity
	Quantity, Unit   string
	Bins             []Bin // rising, without overlap; see Bins
	Min, Max         *float64
	MinText, MaxText string // as in Strip
	Inside           string // what is inside the bound, written in the band: "88 % inside"; may be empty
	Marks            []Mark // intervals drawn below the columns; may be empty
	Source           string // input file and date, for the small line below; may be empty
}

// Bins counts values into equal bins between the round numbers that hold all of them: about as many as the cube root of their number asks for
// (Rice's rule, 2·n^⅓; common practice, no source), from 8 to 60. Values that are not finite are left out.
func Bins(values []float64) []Bin {
	kept := slices.DeleteFunc(slices.Clone(values), func(v float64) bool { return !finite(v) })
	if len(kept) == 0 {
		return nil
	}
	low, high := span(slices.Min(kept), slices.Max(kept))
	n := max(8, min(60, 2*math.Cbrt(float64(len(kept)))))
	f, e := step((high - low) / n * 2)
	size := multiple(1, f, e)
	first := math.Floor(low / size)
	count := int(math.Ceil(high/size)-first) + 1
	bins := make([]Bin, count)
	for i := range bins {
		k := first + float64(i)
		bins[i] = Bin{Low: multiple(k, f, e), High: multiple(k+1, f, e)}
	}
	for _, v := range kept {
		i := max(0, min(count-1, int(v/size-first)))
		if v < bins[i].Low {
			i--
		} else if v >= bins[i].High {
			i++
		}
		bins[i].Count++ // the quotient may be off by its rounding, never by more than one bin
	}
	for bins[len(bins)-1].Count == 0 {
		bins = bins[:len(bins)-1]
	}
	return bins
}

// valid returns the bins that can be drawn.
func (d Distribution) valid() []Bin {
	var out []Bin
	for _, b := range d.Bins {
		if finite(b.Low) && finite(b.High) && b.Low < b.High && b.Count >= 0 && finite(b.Count) {
			out = append(out, b)
		}
	}
	return out
}

// axis holds the bins, the marks' best values, and the bound where it is within two spans of the bins.
func (d Distribution) axis(bins []Bin, marks []Mark, b bound, from, to float64) axis {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range bins {
		low, high = min(low, c.Low), max(high, c.High)
	}
	for _, m := range marks {
		low, high = min(low, m.Best), max(high, m.Best)
	}
	if low > high {
		return stripAxis(marks, b, from, to)
	}
	size := high - low
	for _, v := range []float64{b.min, b.max} {
		if v > low-2*size && v < high+2*size {
			low, high = min(low, v-0.08*size), max(high, v+0.08*size)
		}
	}
	return rounded(low, high, from, to)
}

const figureWidth = 640 // px

// Drawing lays the distribution out; width 0 is 640 px.
func (d Distribution) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	bins, marks, b := d.valid(), tidy(d.Marks), newBound(d.Min, d.Max)
	a := d.axis(bins, marks, b, margin, width-margin)
	out := Drawing{Width: width, Title: d.title(), Description: d.describe(marks, b, a)}
	top, height := out.boundAbove(a, boundLabels(b, a, d.MinText, d.MaxText, d.Unit), b), max(110, min(170, width*0.34))
	foot := top + height
	below := foot
	if len(marks) > 0 {
		below += pitch*float64(len(marks)) + 6
	}
	if b.any() {
		out.band(a.at(b.min), a.at(b.max), top, below)
	}
	out.columns(bins, a, b, top+20, foot)
	out.line(margin, foot, width-margin, foot, Stroke{Role: Rule, Width: 1})
	for _, v := range []float64{b.min, b.max} {
		if a.holds(v) {
			out.line(a.at(v), top-4, a.at(v), below, Stroke{Role: Edge, Width: 1.4})
		}
	}
	if b.any() && textWidth(d.Inside, 12) < a.at(b.max)-a.at(b.min)-12 {
		out.write((a.at(b.min)+a.at(b.max))/2, top+13, 12, Ink, Middle, d.Inside)
	}
	for i, m := range marks {
		out.mark(m, track{axis: a, across: foot + 3 + pitch*(float64(i)+0.5)}, b, d.Unit)
	}
	y := out.ticksBelow(a, below)
	out.write(width/2, y+16, 12, Soft, Middle, fit(axisName(d.Quantity, d.Unit), 12, width))
	out.foot(y+22, d.Source)
	return out
}

func (d Distribution) title() string {
	if d.Title != "" {
		return d.Title
	}
	return d.Quantity
}

func (d Distribution) describe(marks []Mark, b bound, a axis) string {
	s := Strip{Unit: d.Unit, MinText: d.MinText, MaxText: d.MaxText}
	text := "Columns show how often each value of " + d.Quantity + " occurs. "
	if len(marks) == 0 {
		text += s.allowed(b, a)
	} else {
		text += s.describe(marks, b, a)
	}
	if d.Inside != "" {
		text += " " + d.Inside + "."
	}
	return text
}

// columns draws the bins; a column that stands across the bound is cut there, and what is outside is warm.
func (d *Drawing) columns(bins []Bin, a axis, b bound, top, foot float64) {
	most := 0.0
	for _, c := range bins {
		most = max(most, c.Count/(c.High-c.Low))
	}
	for _, c := range bins {
		if c.Count == 0 {
			continue
		}
		h := (foot - top) * c.Count / (c.High - c.Low) / most
		for _, p := range b.pieces(c.Low, c.High) {
			role := Bar
			if p.over {
				role = Over
			}
			x1, x2 := a.at(p.low), a.at(p.high)
			gap := 0.0
			if p.high == c.High && x2-x1 > 3 {
				gap = 1
			}
			d.Ops = append(d.Ops, Area{Points: rectangle(x1, foot-h, x2-x1-gap, h), Fill: role})
		}
	}
}
