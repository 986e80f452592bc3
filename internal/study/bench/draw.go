package bench

import (
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A draw is what is unknown, once: where the population may lie, what each meter errs by, and the
// group of a carry.
type draw struct {
	z, scale float64   // the population's standard deviation is scale·s, its mean z·scale·s/√n off [R6]
	errors   []float64 // by meter, parts of its limits, -1..1
	group    int
}

// How many draws there are; a quarter of them with a carry, where each looks at a whole group.
const (
	outerDraws  = 4000
	settleDraws = 1200 // while looking for a number of units
)

// draw makes draws of what n units leave unknown. They differ from those for another n only by scale, so that
// more units never look worse by chance. The pairs z, scale are generalised pivotal quantities of a normal population,
// laid out evenly together with the other unknowns.
func (s *sample) draw(n, count int, seed uint64, c *Carry) []draw {
	groups := 1
	if c != nil {
		count, groups = count/4, c.Groups
	}
	scales, draws := newScales(float64(n-1)), make([]draw, count)
	for k, u := range lattice(count, 3+len(s.meters), seed) {
		errors := u[3:]
		for m := range errors {
			errors[m] = 2*errors[m] - 1
		}
		draws[k] = draw{
			z:      statistics.NormalQuantile(u[0]),
			scale:  scales.at(statistics.NormalQuantile(u[1])),
			group:  int(u[2] * float64(groups)),
			errors: errors,
		}
	}
	return draws
}

// scales is a table of (χ²/ν)^⅓ over normal deviates of the same probability: nearly straight (Wilson and
// Hilferty 1931), so that little is lost between nodes. It saves some 10^3 quantiles of χ² at each
// number of units that is tried.
type scales [2*scalesEnd*scalesStep + 1]float64

const (
	scalesEnd  = 8 // deviates either way
	scalesStep = 8 // nodes a deviate
)

func newScales(dof float64) *scales {
	var s scales
	for i := range s {
		z := float64(i)/scalesStep - scalesEnd
		s[i] = math.Cbrt(statistics.ChiSquaredQuantile(statistics.NormalCDF(z), dof) / dof)
	}
	return &s
}

// at returns √(ν/χ²) at a deviate, by the cubic through four nodes; within 1e-4 of it, held by a test.
func (s *scales) at(z float64) float64 {
	x := min(max((z+scalesEnd)*scalesStep, 1), float64(len(s)-3))
	i := int(x)
	t, a, b, c, d := x-float64(i), s[i-1], s[i], s[i+1], s[i+2]
	w := b + t*((c-a/3-b/2-d/6)+t*((a+c)/2-b+t*((d-a)/6+(b-c)/2)))
	return 1 / math.Sqrt(w*w*w)
}

// lattice returns points that fill the unit cube evenly, none on its faces: multiples of powers of 1/φ, with φ the
// positive root of φ^(d+1) = φ + 1, moved together by the seed. Of such points about the square root of the
// number of random ones is needed (Niederreiter, Random Number Generation and
// Quasi-Monte Carlo Methods, 1992, chapter 3; this φ: common practice, no source).
func lattice(count, dimensions int, seed uint64) [][]float64 {
	phi := 1.5
	for range 64 {
		phi = math.Pow(1+phi, 1/float64(dimensions+1))
	}
	stream := numeric.NewStream(seed)
	start, step := make([]float64, dimensions), make([]float64, dimensions)
	for i := range step {
		start[i], step[i] = stream.Float64(), math.Pow(phi, -float64(i+1))
	}
	points, all := make([][]float64, count), make([]float64, count*dimensions)
	for k := range points {
		points[k] = all[k*dimensions : (k+1)*dimensions]
		for i := range points[k] {
			_, u := math.Modf(start[i] + float64(k)*step[i])
			points[k][i] = min(max(u, 0x1p-53), 1-0x1p-53)
		}
	}
	return points
}
