package figure

import "math"

const (
	largest  = 1e99  // a number beyond it counts as not finite
	limit    = 1e100 // stands for an open limit
	offPaper = 5e99  // a limit that is there, and that the scale cannot show
)

// axis maps low..high onto from..to, in px or columns. What it holds are places on its scale (see Scale.place).
type axis struct {
	low, high float64 // low < high
	from, to  float64
	decimals  int // that tell two neighbouring ticks apart, on a linear scale
	scale     Scale
	names     []string // of the items
}

// at returns the place of v; values off the axis are put at its ends.
func (a axis) at(v float64) float64 {
	t := (v - a.low) / (a.high - a.low)
	return a.from + max(0, min(1, t))*(a.to-a.from)
}

// holds reports whether v lies on the axis.
func (a axis) holds(v float64) bool { return v >= a.low && v <= a.high }

// span widens low..high to something that can be drawn.
func span(low, high float64) (float64, float64) {
	low, high = max(-limit, min(limit, low)), max(-limit, min(limit, high))
	const least = 1e-90
	size := max(math.Abs(low), math.Abs(high))
	switch {
	case size < least:
		return low - 1, high + 1
	case high-low <= max(1e-9*size, least):
		return low - 0.1*size, high + 0.1*size
	}
	return low, high
}

// spanOn widens low..high on a scale to something that can be drawn.
func (s Scale) spanOn(low, high float64) (float64, float64) {
	least := map[Scale]float64{Log: 0.3, Weibull: 1, Dates: 2, Hours: 1.0 / 30}[s]
	switch {
	case s == Linear:
		return span(low, high)
	case high-low < least:
		middle := (low + high) / 2
		low, high = middle-least/2, middle+least/2
	}
	switch s {
	case Dates:
		low, high = max(low, firstDay), min(high, lastDay)
	case Hours: // to whole minutes
		low, high = math.Floor(low*60)/60, math.Ceil(high*60)/60
	case Items:
		low, high = math.Floor(low)-0.5, math.Ceil(high)+0.5
	}
	return low, high
}

// rounded returns an axis whose ends are low and high rounded outward to a round step, about a tenth of it.
func rounded(low, high, from, to float64) axis {
	low, high = span(low, high)
	f, e := step((high - low) / 10)
	size := multiple(1, f, e)
	first, last := math.Floor(low/size+1e-9), math.Ceil(high/size-1e-9)
	return axis{low: multiple(first, f, e), high: multiple(last, f, e), from: from, to: to, decimals: max(0, -e)}
}

// roundedOn returns an axis on a scale whose ends are low and high, rounded outward to the next ticks of the scale.
func (s Scale) roundedOn(low, high float64) axis {
	low, high = s.spanOn(low, high)
	a := axis{low: low, high: high, scale: s}
	var outer []tick
	switch s {
	case Linear:
		return rounded(low, high, 0, 1)
	case Log:
		if high-low > 14 {
			return axis{low: math.Floor(low), high: math.Ceil(high), scale: s}
		}
		outer = logTicks(math.Floor(low), math.Ceil(high))
	case Weibull:
		outer = weibullTicks(-limit, limit)
	}
	for _, t := range outer {
		if t.at <= low+1e-9 {
			a.low = t.at
		}
		if t.at >= high-1e-9 {
			a.high = t.at
			break
		}
	}
	return a
}

// end writes the value at an end of the axis; zero needs no unit, and an axis about zero has signs at both ends.
func (a axis) end(v float64, unit string) string {
	switch {
	case a.scale != Linear:
		return a.say(v, unit)
	case v == 0:
		return "0"
	case a.low == -a.high:
		return withUnit(signed(v), unit)
	}
	return withUnit(short(v), unit)
}

// say writes the value at a place of the scale, with one digit more than the ticks have.
func (a axis) say(u float64, unit string) string {
	switch v := a.scale.value(u); a.scale {
	case Log:
		return withUnit(significant(v, 3), unit)
	case Weibull:
		return withUnit(significant(100*v, 3), "%")
	case Dates:
		return dateText(v, 0)
	case Hours:
		return clock(v)
	case Items:
		if i := int(v) - 1; float64(i+1) == v && i >= 0 && i < len(a.names) {
			return a.names[i]
		}
		return short(v)
	default:
		return withUnit(number(v, a.decimals+1), unit)
	}
}

// ticks returns the round places on the axis, rising, at most about want of them on a linear scale, of dates or of hours, all that there are on the others.
func (a axis) ticks(want int) []tick {
	switch a.scale {
	case Log:
		if a.high-a.low >= 0.9 {
			return logTicks(a.low, a.high)
		}
		return a.withinDecade(want)
	case Weibull:
		return weibullTicks(a.low, a.high)
	case Dates:
		return dateTicks(a.low, a.high, want)
	case Hours:
		return hourTicks(a.low, a.high, want)
	case Items:
		return itemTicks(a.low, a.high, want, a.names)
	}
	return linearTicks(a.low, a.high, want)
}

func linearTicks(low, high float64, want int) (out []tick) {
	f, e := step((high - low) / float64(max(want, 1)) * 2)
	size := multiple(1, f, e)
	for k := math.Ceil(low/size - 1e-9); k <= high/size+1e-9 && len(out) < 100; k++ {
		v := multiple(k, f, e)
		out = append(out, tick{v, tickText(v, max(0, -e)), 0})
	}
	return out
}

// withinDecade puts the ticks of a linear axis on a logarithmic one too short for powers of ten.
func (a axis) withinDecade(want int) []tick {
	out := linearTicks(a.scale.value(a.low), a.scale.value(a.high), want)
	for i := range out {
		out[i].at, _ = Log.place(out[i].at)
	}
	return out
}
