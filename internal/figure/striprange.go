package figure

import "math"

// stripAxis chooses a round axis on which the bound takes a good part and the marks are seen.
//
// A best value more than 12 sizes of the bound away, or an interval's end more than 3 spans away, is left off the axis: an arrow points to it.
// The axis is symmetric about zero where the bound is, and begins at zero where nothing is below it and zero is near.
func stripAxis(marks []Mark, b bound, from, to float64) axis {
	low, high := core(marks, b)
	if low > high {
		return rounded(0, 1, from, to)
	}
	natural := low >= 0 && allFrom(marks, 0)
	low, high = reach(marks, low, high)
	switch {
	case b.hasMin() && b.hasMax():
		pad := 0.08 * (high - low)
		low, high = min(low-pad, b.min-0.5*(b.max-b.min)), max(high+pad, b.max+0.5*(b.max-b.min))
		if b.min == -b.max {
			high = max(high, -low)
			low = -high
		}
	case b.any():
		low, high = aroundOneBound(b, low, high)
	default:
		pad := 0.15 * (high - low)
		low, high = low-pad, high+pad
	}
	if natural && low < 0.35*high {
		low = 0
	}
	return rounded(low, high, from, to)
}

// core returns the extremes of the bound and of the best values that are not far away from it.
func core(marks []Mark, b bound) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	add := func(v float64) { low, high = min(low, v), max(high, v) }
	if b.hasMin() {
		add(b.min)
	}
	if b.hasMax() {
		add(b.max)
	}
	size := math.Inf(1)
	if b.any() {
		if size = high - low; size == 0 {
			size = math.Abs(high)
		}
		if size == 0 {
			size = math.Inf(1)
		}
	}
	near, far := low-12*size, high+12*size
	for _, m := range marks {
		if !b.any() || m.Best >= near && m.Best <= far {
			add(m.Best)
		}
	}
	return low, high
}

// reach widens low..high by the ends of the intervals, each at most 3 spans away.
func reach(marks []Mark, low, high float64) (float64, float64) {
	l, h := low, high
	size := high - low
	if size == 0 {
		size = math.Abs(high)
	}
	if size == 0 {
		size = limit
	}
	for _, m := range marks {
		if !m.OpenLow && m.Best >= low && m.Best <= high {
			l = min(l, max(m.Low, low-3*size))
		}
		if !m.OpenHigh && m.Best >= low && m.Best <= high {
			h = max(h, min(m.High, high+3*size))
		}
	}
	return l, h
}

// aroundOneBound puts a bound that is open on one side near the middle, so that both regions are seen.
func aroundOneBound(b bound, low, high float64) (float64, float64) {
	at := b.min
	if b.hasMax() {
		at = b.max
	}
	far := max(high-at, at-low)
	if far == 0 {
		if far = 0.5 * math.Abs(at); far == 0 {
			far = 1
		}
	}
	return at - 1.3*far, at + 1.3*far
}

func allFrom(marks []Mark, v float64) bool {
	for _, m := range marks {
		if !m.OpenLow && m.Low < v {
			return false
		}
	}
	return true
}
