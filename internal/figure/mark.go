package figure

import "math"

// MarkKind is the kind of evidence that a mark stands for.
type MarkKind uint8

// The kinds differ by shape.
const (
	Calculated MarkKind = iota // hollow ring
	Measured                   // filled square; hollow when carried over
	Recorded                   // filled triangle, point up
)

// String returns the kind as a word.
func (k MarkKind) String() string {
	switch k {
	case Measured:
		return "measured"
	case Recorded:
		return "recorded"
	}
	return "calculated"
}

// Mark is one piece of evidence: a best value with its interval, in the unit of the figure it stands on.
// A Low or High that is not finite is open; a mark whose Best is not finite is left out.
type Mark struct {
	Kind              MarkKind
	Carried           bool    // carried over to other conditions by the model: drawn hollow
	Best, Low, High   float64 // Low ≤ Best ≤ High
	OpenLow, OpenHigh bool    // no limit on that side: Low or High is not read
	Label             string  // what it stands on, in a few words: "3 units, 22 °C"; empty: the kind
}

// finite reports whether v is a number that a figure can show.
func finite(v float64) bool { return math.Abs(v) <= largest }

// tidy returns the marks that can be drawn, each with its interval around its best value and open sides set to ±limit.
func tidy(marks []Mark) []Mark {
	var out []Mark
	for _, m := range marks {
		if !finite(m.Best) {
			continue
		}
		m.OpenLow, m.OpenHigh = m.OpenLow || !finite(m.Low), m.OpenHigh || !finite(m.High)
		if m.Low = min(m.Low, m.Best); m.OpenLow {
			m.Low = -limit
		}
		if m.High = max(m.High, m.Best); m.OpenHigh {
			m.High = limit
		}
		if m.Label == "" {
			m.Label = m.Kind.String()
		}
		out = append(out, m)
	}
	return out
}

// bound is an allowed region, ±limit where it is open.
type bound struct{ min, max float64 }

func newBound(low, high *float64) bound {
	b := bound{-limit, limit}
	if low != nil && finite(*low) {
		b.min = *low
	}
	if high != nil && finite(*high) {
		b.max = *high
	}
	return b
}

func (b bound) hasMin() bool         { return b.min > -limit }
func (b bound) hasMax() bool         { return b.max < limit }
func (b bound) any() bool            { return b.hasMin() || b.hasMax() }
func (b bound) holds(v float64) bool { return v >= b.min && v <= b.max }

// piece is a part of an interval on one side of a bound.
type piece struct {
	low, high float64
	over      bool
}

// pieces cuts low..high at the bound, rising. An interval without width has none.
func (b bound) pieces(low, high float64) []piece {
	var out []piece
	add := func(l, h float64, over bool) {
		if h > l {
			out = append(out, piece{l, h, over})
		}
	}
	add(low, min(high, b.min), true)
	add(max(low, b.min), min(high, b.max), false)
	add(max(low, b.max), high, true)
	return out
}
