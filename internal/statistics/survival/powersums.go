package survival

import "hindwatt/internal/numeric"

// order is the highest power of the step in an expansion.
const order = 14

// powerSums are Σ w·t^b of ages t, asked at many shapes b that lie near each other.
//
// One pass over the ages gives the series of the sum in b around a centre, which then costs a
// few multiplications instead of an exponential for each unit; passes are made, and kept, where no
// series in hand reaches.
type powerSums struct {
	logs, weights []float64 // log t and w of each age
	series        []series
}

// series is Σ w·e^((centre+δ)·log t) = Σ_k term[k]·δ^k, term[k] = Σ w·t^centre·(log t)^k/k!.
type series struct {
	centre float64
	term   [order + 1]float64
}

// at returns the sum and its derivative by b.
func (p *powerSums) at(b float64) (sum, slope float64) {
	best := 0
	for i := range p.series {
		if distance(p.series[i].centre, b) < distance(p.series[best].centre, b) {
			best = i
		}
	}
	if len(p.series) > 0 {
		if sum, slope, ok := p.series[best].at(b); ok {
			return sum, slope
		}
	}
	p.series = append(p.series, p.expand(b))
	return p.series[len(p.series)-1].term[0], p.series[len(p.series)-1].term[1]
}

// second returns the sum and its first two derivatives by b, from the series that at made use of.
func (p *powerSums) second(b float64) (sum, slope, bend float64) {
	sum, slope = p.at(b)
	best := &p.series[0]
	for i := range p.series {
		if distance(p.series[i].centre, b) < distance(best.centre, b) {
			best = &p.series[i]
		}
	}
	d, power := b-best.centre, 1.0
	for k := 2; k <= order; k++ {
		bend += float64(k*(k-1)) * best.term[k] * power
		power *= d
	}
	return sum, slope, bend
}

func distance(a, b float64) float64 { return max(a-b, b-a) }

// at evaluates the series and its derivative. ok is false where the last term of the derivative is not lost in the
// rounding of its first; terms fall about as (δ/centre)^k, those of the sum faster than those of the derivative.
func (s *series) at(b float64) (sum, slope float64, ok bool) {
	const rounding = 0x1p-52
	d := b - s.centre
	power := 1.0
	for k := range order {
		power *= d
		slope += float64(k+1) * s.term[k+1] * power
		sum += s.term[k+1] * power
	}
	if d == 0 {
		return s.term[0], s.term[1], true
	}
	last := distance(order*s.term[order]*power, 0)
	return s.term[0] + sum, slope / d, last <= rounding*distance(s.term[1]*d, 0)
}

// expand makes one pass over the ages.
func (p *powerSums) expand(b float64) series {
	s := series{centre: b}
	for i, l := range p.logs {
		power := p.weights[i] * numeric.Exp(b*l)
		for k := range s.term {
			s.term[k] += power
			power *= l
		}
	}
	factorial := 1.0
	for k := 2; k <= order; k++ {
		factorial *= float64(k)
		s.term[k] /= factorial
	}
	return s
}

// cells is how many groups of ages grouped makes.
const cells = 1024

// grouped returns the sums with each age moved to the middle of its cell of a grid in log t.
func (p *powerSums) grouped() powerSums {
	low, high := p.logs[0], p.logs[0]
	for _, l := range p.logs {
		if l < low {
			low = l
		}
		if l > high {
			high = l
		}
	}
	width := (high - low) / cells
	if width == 0 {
		width = 1
	}
	g := powerSums{logs: make([]float64, cells), weights: make([]float64, cells)}
	for i := range g.logs {
		g.logs[i] = low + (float64(i)+0.5)*width
	}
	for i, l := range p.logs {
		g.weights[min(int((l-low)/width), cells-1)] += p.weights[i]
	}
	return g
}
