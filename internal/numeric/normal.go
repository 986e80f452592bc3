package numeric

import "math"

// The ziggurat of Marsaglia and Tsang (Journal of Statistical Software 5(8), 2000) with 256
// layers of equal area: zigguratX[j] is the right edge of layer j, falling from
// zigguratX[1] = zigguratTail to zigguratX[256] = 0; layer 0 is the base with the tail, as wide
// as a box of its area would be. zigguratY is the density exp(-x²/2) at those edges.
const (
	zigguratTail = 3.6541528853610088     // as published; TestZigguratCloses holds it
	tailArea     = 0.00032339576466332124 // ∫ exp(-x²/2) beyond it: √(π/2)·erfc(zigguratTail/√2)
)

var zigguratX, zigguratY, zigguratScale = newZiggurat()

func newZiggurat() (x, y [257]float64, scale [256]float64) {
	area := float64(zigguratTail*density(zigguratTail)) + tailArea
	x[0], x[1] = area/density(zigguratTail), zigguratTail
	for j := 2; j < 256; j++ {
		x[j] = math.Sqrt(float64(-2 * Log(area/x[j-1]+density(x[j-1]))))
	}
	for j := range x {
		y[j] = density(x[j])
	}
	for j := range scale {
		scale[j] = x[j] * 0x1p-52
	}
	return x, y, scale
}

// density is the normal density without its factor 1/√(2π).
func density(x float64) float64 { return Exp(float64(-0.5 * float64(x*x))) }

// Norm returns a number of the standard normal distribution. It is exact in
// distribution but for the grain of 2^-52 of a layer's width.
func (s *Stream) Norm() float64 {
	for {
		u := s.Uint64()
		j := u & 255
		x := float64(float64(int64(u)>>11) * zigguratScale[j])
		if math.Abs(x) < zigguratX[j+1] {
			return x
		}
		if x, ok := s.normEdge(x, j); ok {
			return x
		}
	}
}

// FillNorm sets each element of dst as Norm does, in order, and faster.
func (s *Stream) FillNorm(dst []float64) {
	t := *s
	for i := range dst {
		u := t.Uint64()
		j := u & 255
		x := float64(float64(int64(u)>>11) * zigguratScale[j])
		if !(math.Abs(x) < zigguratX[j+1]) {
			*s = t
			edge, ok := s.normEdge(x, j)
			if !ok {
				edge = s.Norm()
			}
			x, t = edge, *s
		}
		dst[i] = x
	}
	*s = t
}

// normEdge decides on an x of layer j that is not inside the next layer: in the tail, or under
// the curve, or refused.
func (s *Stream) normEdge(x float64, j uint64) (float64, bool) {
	if j == 0 {
		return math.Copysign(s.normTail(), x), true
	}
	y := zigguratY[j] + float64((zigguratY[j+1]-zigguratY[j])*s.Float64())
	return x, y < density(x)
}

// normTail returns a normal number beyond zigguratTail (Marsaglia 1964).
func (s *Stream) normTail() float64 {
	for {
		x := -Log(1-s.Float64()) / zigguratTail
		y := -Log(1 - s.Float64())
		if y+y > float64(x*x) {
			return zigguratTail + x
		}
	}
}
