package year

import (
	"fmt"
	"math"
)

// A Path is what stands between panel and battery terminals while the battery is charged: the drop, in V, over current and temperature. It is
// a table with cubic pieces in the current, eight in each octave, monotone, and straight in temperature.
type Path struct {
	least, most  float64     // A
	coldest, per float64     // K, 1/K
	first        uint64      // index of the first piece
	rows         [][]segment // from each temperature to the next

	// Error is the largest difference from what was tabulated that was found at the middle of the pieces and between the temperatures, V, for currents
	// from a thousandth of the largest up; Small is that for smaller currents.
	Error, Small float64
}

const (
	octaves  = 16 // below the largest current
	perShift = 49 // 52 − 3: eight pieces an octave
)

// A segment is a piece at one temperature, and what is added to it at the next.
type segment struct{ at, rise piece }

// NewPath tabulates a drop for currents from 0 to most (A) and at temperatures (K, evenly spaced and rising, one at least). The drop must not fall with
// the current. Beyond most the table goes on straight, beyond the temperatures it stays.
func NewPath(drop func(current, temperature float64) (float64, error), most float64, temperatures []float64) (*Path, error) {
	if !(most > 0) || math.IsInf(most, 0) {
		return nil, fmt.Errorf("a largest current of %g A; want more than 0", most)
	}
	if len(temperatures) == 0 {
		return nil, fmt.Errorf("no temperature for the path; want one or more")
	}
	_, exponent := math.Frexp(most)
	p := &Path{least: math.Ldexp(1, exponent-octaves), most: most, coldest: temperatures[0]}
	p.first = bits(p.least) >> perShift
	if len(temperatures) > 1 {
		p.per = 1 / (temperatures[1] - temperatures[0])
	}
	var pieces [][]piece
	for i, t := range temperatures {
		if want := temperatures[0] + float64(i)/max(p.per, 1e-300); i > 0 && !(math.Abs(t-want) < 1e-6*math.Abs(t-temperatures[0])) {
			return nil, fmt.Errorf("temperatures of the path are not evenly spaced at %g K; want even steps up", t)
		}
		row, err := p.row(drop, t)
		if err != nil {
			return nil, err
		}
		pieces = append(pieces, row)
	}
	if len(pieces) == 1 { // one temperature stands for all
		pieces = append(pieces, pieces[0])
	}
	for j := range len(pieces) - 1 {
		p.rows = append(p.rows, between(pieces[j], pieces[j+1]))
	}
	return p, p.judge(drop, temperatures)
}

// node returns the current at which piece i begins.
func (p *Path) node(i int) float64 {
	return math.Float64frombits((p.first+uint64(i))<<perShift) - p.least
}

// row tabulates one temperature.
func (p *Path) row(drop func(current, temperature float64) (float64, error), t float64) ([]piece, error) {
	n := int(bits(p.most+p.least)>>perShift-p.first) + 2
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = p.node(i)
		v, err := drop(x[i], t)
		switch {
		case err != nil:
			return nil, err
		case math.IsNaN(v) || math.IsInf(v, 0) || i > 0 && v < y[i-1]:
			return nil, fmt.Errorf("the drop of the path is %g V at %g A and %g K; want it finite and not falling with the current", v, x[i], t)
		}
		y[i] = v
	}
	slope := slopes(x, y)
	row := make([]piece, n) // the last goes on straight
	for i := range row {
		if row[i] = (piece{y[i], slope[i]}); i+1 < n {
			row[i] = hermite(y[i], slope[i], y[i+1], slope[i+1], x[i+1]-x[i])
		}
	}
	return row, nil
}

// slopes returns those of the parabolas through each point and its neighbours, at most three times the smaller chord, within which
// pieces stay monotone (Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980, p. 238). y must not fall.
func slopes(x, y []float64) []float64 {
	last := len(x) - 1
	s := make([]float64, len(x))
	chord := func(i int) float64 { return (y[i+1] - y[i]) / (x[i+1] - x[i]) }
	for i := 1; i < last; i++ {
		before, after := chord(i-1), chord(i)
		h0, h1 := x[i]-x[i-1], x[i+1]-x[i]
		s[i] = min((float64(before*h1)+float64(after*h0))/(h0+h1), 3*min(before, after))
	}
	s[0] = min(max(0, float64(2*chord(0))-s[1]), 3*chord(0))
	s[last] = min(max(0, float64(2*chord(last-1))-s[last-1]), 3*chord(last-1))
	return s
}

// judge finds how far the table is from what it stands for.
func (p *Path) judge(drop func(current, temperature float64) (float64, error), temperatures []float64) error {
	for j, t := range temperatures {
		if j+1 < len(temperatures) {
			t = 0.5 * (t + temperatures[j+1])
		}
		for i := range len(p.rows[0]) {
			current := 0.5 * (p.node(i) + p.node(i+1))
			if current > p.most {
				break
			}
			want, err := drop(current, t)
			if err != nil {
				return err
			}
			got, _ := p.At(current, t)
			if miss := math.Abs(got - want); current < 1e-3*p.most {
				p.Small = max(p.Small, miss)
			} else {
				p.Error = max(p.Error, miss)
			}
		}
	}
	return nil
}

// between joins the pieces of two temperatures.
func between(cold, hot []piece) []segment {
	row := make([]segment, len(cold))
	for i := range row {
		row[i].at = cold[i]
		for k := range row[i].rise {
			row[i].rise[k] = hot[i][k] - cold[i][k]
		}
	}
	return row
}

// at chooses the row of a temperature, and the share of the way to the next.
func (p *Path) at(temperature float64) (row []segment, share float64) {
	x := (temperature - p.coldest) * p.per
	i := int(x)
	if last := len(p.rows) - 1; x < 0 {
		i, x = 0, 0
	} else if i > last {
		i, x = last, float64(last+1)
	}
	return p.rows[i], x - float64(i)
}

// find returns the segment of a current from 0 up, and how far behind its node that is.
func (p *Path) find(row []segment, current float64) (c *segment, d float64) {
	x := current + p.least
	i := bits(x)>>perShift - p.first
	if i >= uint64(len(row)) {
		i = uint64(len(row)) - 1
		if current < 0 { // by rounding
			i = 0
		}
	}
	return &row[i], x - math.Float64frombits((p.first+i)<<perShift)
}

// between returns the piece at a share of the way to the next temperature.
func (c *segment) between(share float64) (c0, c1, c2, c3 float64) {
	return c.at[0] + float64(share*c.rise[0]), c.at[1] + float64(share*c.rise[1]), c.at[2] + float64(share*c.rise[2]), c.at[3] + float64(share*c.rise[3])
}

// At returns the drop and its slope, V and Ω.
func (p *Path) At(current, temperature float64) (drop, slope float64) {
	row, share := p.at(temperature)
	c, d := p.find(row, max(current, 0))
	c0, c1, c2, c3 := c.between(share)
	return c0 + float64(d*(c1+float64(d*(c2+float64(d*c3))))), c1 + float64(d*(float64(2*c2)+float64(float64(3*c3)*d)))
}
