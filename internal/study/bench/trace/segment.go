package trace

import (
	"context"
	"math"

	"hindwatt/internal/numeric"
)

// A Segment is a stretch of a log that one straight line describes: blocks From to Until, Until excluded.
type Segment struct {
	From, Until int     // of the blocks
	Slope       float64 // per s
	Level       float64 // mean
	Start, End  float64 // the line's values at its first and its last block
}

// Blocks are a log averaged over equal times, so that its course can be looked at.
type Blocks struct {
	Time, Mean, Weight []float64 // weight: how many values
	First              []int     // row with which each block begins; one more than there are blocks
	Width              float64   // s
}

// Block averages a log over at most so many equal times; those without a value are left out.
//
//	t, y  s, never falling; as many of both, at least 1
func Block(t, y []float64, most int) Blocks {
	n := len(t)
	most = min(most, n)
	b := Blocks{Width: (t[n-1] - t[0]) / float64(most) * (1 + 1e-9)}
	for i := 0; i < n; {
		k := math.Floor((t[i] - t[0]) / b.Width)
		j := i
		for j < n && (b.Width == 0 || math.Floor((t[j]-t[0])/b.Width) == k) {
			j++
		}
		b.First = append(b.First, i)
		b.Time, b.Mean, b.Weight = append(b.Time, average(t[i:j])), append(b.Mean, average(y[i:j])), append(b.Weight, float64(j-i))
		i = j
	}
	b.First = append(b.First, n)
	return b
}

// sums hold running sums of weights, times and values, from which any stretch has its line at once.
type sums struct {
	w, t, y, tt, ty, yy []float64
	straight            bool // lines with a slope; else levels
}

func (b Blocks) sums(straight bool) *sums {
	n := len(b.Time)
	all := make([]float64, 6*(n+1))
	s := &sums{straight: straight}
	for i, p := range []*[]float64{&s.w, &s.t, &s.y, &s.tt, &s.ty, &s.yy} {
		*p = all[i*(n+1) : (i+1)*(n+1)]
	}
	ct, cy := average(b.Time), average(b.Mean)
	for i := range n {
		w, t, y := b.Weight[i], b.Time[i]-ct, b.Mean[i]-cy
		s.w[i+1], s.t[i+1], s.y[i+1] = s.w[i]+w, s.t[i]+w*t, s.y[i]+w*y
		s.tt[i+1], s.ty[i+1], s.yy[i+1] = s.tt[i]+w*t*t, s.ty[i]+w*t*y, s.yy[i]+w*y*y
	}
	return s
}

// line returns the weighted line through blocks i to j, j excluded, and what it leaves: Σ w r².
func (s *sums) line(i, j int) (slope, rest float64) {
	w, t, y := s.w[j]-s.w[i], s.t[j]-s.t[i], s.y[j]-s.y[i]
	rest = s.yy[j] - s.yy[i] - y*y/w
	if s.straight {
		tt, ty := s.tt[j]-s.tt[i]-t*t/w, s.ty[j]-s.ty[i]-t*y/w
		if tt > 0 {
			slope = ty / tt
			rest -= ty * slope
		}
	}
	return slope, max(rest, 0)
}

const (
	shortest  = 3 // blocks of a segment
	longBeats = 5 // doublings of the width over which neighbours are compared for the noise
)

// Segments cuts blocks where their course changes: straight lines with a penalty for each, the best of
// all ways to cut them, found by dynamic programming with pruning (PELT) [L5]. The penalty is that of
// Schwarz's criterion, p·ln n for the p numbers that a segment costs, times the variance of the noise.
//
//	straight  segments are lines with a slope (3 numbers each, with their beginning), else levels (2)
//
// Source: Killick, Fearnhead and Eckley, Journal of the American Statistical Association 107 (2012),
// p. 1590; Schwarz, Annals of Statistics 6 (1978), p. 461.
func Segments(ctx context.Context, b Blocks, straight bool) ([]Segment, error) {
	n := len(b.Time)
	if n == 0 {
		return nil, nil
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := b.sums(straight)
	numbers := 2.0
	if straight {
		numbers = 3
	}
	return b.segments(s, s.partition(n, numbers*math.Log(float64(n))*b.noise())), nil
}

// noise is the variance of a value of weight 1 [L8]: that by which three neighbours fail to lie on a line,
// taken of blocks, of two together, of four and so on, and the largest of them, since values that follow
// each other scatter more over longer times. The median makes it robust against changes.
func (b Blocks) noise() (variance float64) {
	for width := 1; width < 1<<longBeats; width *= 2 {
		variance = max(variance, b.bent(width))
	}
	return variance + b.least()
}

// bent is that variance of so many blocks together; 0 where there are too few.
func (b Blocks) bent(width int) float64 {
	const few, median = 12, 0.4549364 // the median of the square of a standard normal value
	var off []float64
	for i := 0; i+3*width <= len(b.Mean); i += width {
		var mean, weight [3]float64
		for k := range mean {
			for j := i + k*width; j < i+(k+1)*width; j++ {
				mean[k] += b.Weight[j] * (b.Mean[j] - b.Mean[i])
				weight[k] += b.Weight[j]
			}
			mean[k] /= weight[k]
		}
		d := mean[1] - (mean[0]+mean[2])/2
		off = append(off, d*d/(1/weight[1]+(1/weight[0]+1/weight[2])/4))
	}
	if len(off) == 0 || width > 1 && len(off) < few {
		return 0
	}
	return numeric.Select(off, len(off)/2) / median
}

// least is a variance below which noise is not told from rounding.
func (b Blocks) least() float64 {
	high, low := b.Mean[0], b.Mean[0]
	for _, v := range b.Mean {
		high, low = max(high, v), min(low, v)
	}
	const grain = 1e-6 // of the range
	return grain * grain * (high - low) * (high - low)
}

// partition returns where the best segments end, with a penalty for each.
func (s *sums) partition(n int, penalty float64) []int {
	best, from := make([]float64, n+1), make([]int, n+1)
	worse := make([]int, n+1) // end from which on a beginning is worse than to begin there; 0: none yet
	best[0] = -penalty
	candidates := []int{0}
	for end := 1; end <= n; end++ {
		best[end] = math.Inf(1)
		kept := candidates[:0]
		for _, i := range candidates {
			if worse[i] == 0 || end < worse[i]+shortest {
				kept = append(kept, i)
			}
		}
		candidates = kept
		for _, i := range candidates {
			if end-i < shortest && (i > 0 || end < n) {
				continue
			}
			if _, rest := s.line(i, end); best[i]+rest+penalty < best[end] {
				best[end], from[end] = best[i]+rest+penalty, i
			}
		}
		for _, i := range candidates { // Killick et al., eq. 4 with K = 0, when a segment from end on is long enough
			if worse[i] == 0 && end-i >= shortest {
				if _, rest := s.line(i, end); best[i]+rest > best[end] {
					worse[i] = end
				}
			}
		}
		candidates = append(candidates, end)
	}
	var ends []int
	for end := n; end > 0; end = from[end] {
		ends = append(ends, end)
	}
	for i, j := 0, len(ends)-1; i < j; i, j = i+1, j-1 {
		ends[i], ends[j] = ends[j], ends[i]
	}
	return ends
}

// segments describes those that end at some blocks.
func (b Blocks) segments(s *sums, ends []int) []Segment {
	out := make([]Segment, 0, len(ends))
	from := 0
	for _, end := range ends {
		slope, _ := s.line(from, end)
		var w, t, y float64
		for i := from; i < end; i++ {
			w += b.Weight[i]
			t += b.Weight[i] * (b.Time[i] - b.Time[from])
			y += b.Weight[i] * (b.Mean[i] - b.Mean[from])
		}
		seg := Segment{From: from, Until: end, Slope: slope, Level: b.Mean[from] + y/w}
		centre := b.Time[from] + t/w
		seg.Start = seg.Level + slope*(b.Time[from]-centre)
		seg.End = seg.Level + slope*(b.Time[end-1]-centre)
		out = append(out, seg)
		from = end
	}
	return out
}
