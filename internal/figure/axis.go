package figure

import "math"

const (
	largest = 1e99  // a number beyond it counts as not finite
	limit   = 1e100 // stands for an open limit
)

// axis maps low..high onto from..to, in px or columns.
type axis struct {
	low, high float64 // low < high
	from, to  float64
	decimals  int // that tell two neighbouring ticks apart
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

// rounded returns an axis whose ends are low and high rounded outward to a round step, about a tenth of it.
func rounded(low, high, from, to float64) axis {
	low, high = span(low, high)
	f, e := step((high - low) / 10)
	size := multiple(1, f, e)
	first, last := math.Floor(low/size+1e-9), math.Ceil(high/size-1e-9)
	return axis{multiple(first, f, e), multiple(last, f, e), from, to, max(0, -e)}
}

// end writes the value at an end of the axis; zero needs no unit, and an axis about zero has signs at both ends.
func (a axis) end(v float64, unit string) string {
	if v == 0 {
		return "0"
	}
	if a.low == -a.high {
		return withUnit(signed(v), unit)
	}
	return withUnit(short(v), unit)
}

// ticks returns the round values on the axis, at most about want of them, and the decimals they need.
func (a axis) ticks(want int) (values []float64, decimals int) {
	f, e := step((a.high - a.low) / float64(max(want, 1)) * 2)
	size := multiple(1, f, e)
	for k := math.Ceil(a.low/size - 1e-9); k <= a.high/size+1e-9 && len(values) < 100; k++ {
		values = append(values, multiple(k, f, e))
	}
	return values, max(0, -e)
}
