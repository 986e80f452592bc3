package battery

import (
	"math"

	"hindwatt/internal/numeric"
)

// A Rainflow counts the cycles of a course as it goes on, by ASTM E1049-85, 5.4.4. Its memory is that of the ranges that are still open.
type Rainflow struct {
	counted func(size, cycles float64)
	turns   []float64 // turning points not counted yet, and the newest value, which may still go on the same way
}

// NewRainflow makes a counter that hands each range to counted, with 1 or, where only half a cycle was gone through, 0.5.
func NewRainflow(counted func(size, cycles float64)) *Rainflow { return &Rainflow{counted: counted} }

// Add takes the next value of the course.
func (r *Rainflow) Add(x float64) {
	n := len(r.turns)
	if n > 0 && x == r.turns[n-1] {
		return
	}
	if n >= 2 && (x > r.turns[n-1]) == (r.turns[n-1] > r.turns[n-2]) {
		r.turns[n-1] = x
		return
	}
	r.turns = r.close(r.turns)
	r.turns = append(r.turns, x)
}

// close counts what the turning points close, and returns those that are left.
func (r *Rainflow) close(turns []float64) []float64 {
	for len(turns) >= 3 {
		n := len(turns)
		newest, before := math.Abs(turns[n-1]-turns[n-2]), math.Abs(turns[n-2]-turns[n-3])
		switch {
		case newest < before:
			return turns
		case n == 3: // the range before contains the start
			r.counted(before, 0.5)
			turns = append(turns[:0], turns[1:]...)
		default:
			r.counted(before, 1)
			turns = append(turns[:n-3], turns[n-1])
		}
	}
	return turns
}

// End counts what is left when the course ends: each range once more as half a cycle. The counter is empty then.
func (r *Rainflow) End() {
	turns := r.close(r.turns)
	for i := 1; i < len(turns); i++ {
		r.counted(math.Abs(turns[i]-turns[i-1]), 0.5)
	}
	r.turns = turns[:0]
}

// Wear returns the part of the life that cycles of a depth (0..1 of the capacity) take.
func (k *Cell) Wear(depth, cycles float64) float64 {
	if !(depth > 0) || !(k.Cycles > 0) {
		return 0
	}
	return cycles / k.Cycles * numeric.Pow(depth/0.8, k.Depth) // [G15]
}
