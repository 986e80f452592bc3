package survival

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// The series agree with the plain sum wherever they are asked, in any order, entries included.
func TestPowerSums(t *testing.T) {
	s := numeric.NewStream(3)
	p := powerSums{}
	for range 500 {
		l := 2 * math.Log(s.Float64())
		p.logs, p.weights = append(p.logs, l, l-s.Float64()), append(p.weights, 1, -0.5)
	}
	for range 400 {
		b := math.Exp(s.Uniform(-4, 4))
		for _, b := range []float64{b, b * 1.01, b * 0.96} {
			var sum, slope, size float64
			for i, l := range p.logs {
				w := math.Exp(b * l)
				sum, slope, size = sum+p.weights[i]*w, slope+p.weights[i]*w*l, size+w
			}
			gotSum, gotSlope := p.at(b)
			near(t, "sum", gotSum, sum, 1e-12*size)
			near(t, "slope", gotSlope, slope, 1e-12*size/min(b, 1))
		}
	}
	if passes := len(p.series); passes > 600 { // of 1,200 places
		t.Errorf("%d passes", passes)
	}
}
