package pair

import (
	"fmt"
	"math"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/fit"
)

const (
	usual  = 0.95 // level where none is given
	fewest = 3    // readings of a span
	often  = 6    // spans from which on their own scatter counts
	lags   = 8    // of an autoregression
	most   = 6000 // rows that are fitted; of more, so many following each other are averaged
	least  = 8    // rows of a span that are left by it
)

// Run compares. An input that makes no sense is an error; what is merely doubtful is in Result.Warnings.
func Run(in Input) (*Result, error) {
	if in.Level == 0 {
		in.Level = usual
	}
	if err := in.check(); err != nil {
		return nil, fmt.Errorf("pair: %s: %w", in.Quantity, err)
	}
	r := &Result{Duration: in.duration()}
	in.average()
	r.Input = in
	var err error
	switch {
	case in.Hand != nil:
		r.hand()
	case in.Side != nil:
		err = r.side()
	default:
		err = r.inTurn()
	}
	if err != nil {
		return nil, fmt.Errorf("pair: %s: %w", in.Quantity, err)
	}
	r.meter()
	if in.Dim == quantity.Current && r.Duration > 0 {
		charge := r.Difference.Times(r.Duration)
		r.Charge = &charge
	}
	r.Real = !r.Difference.Holds(0)
	r.doubt()
	return r, nil
}

// duration is the time that each was seen, the shorter of both, s.
func (in *Input) duration() float64 {
	if in.Side != nil {
		t := in.Side[0].Time
		return t[len(t)-1] - t[0]
	}
	var times [2]float64
	for _, s := range in.Spans {
		times[s.Who] += s.Time[len(s.Time)-1] - s.Time[0]
	}
	return math.Min(times[0], times[1])
}

// average makes a long log shorter by the means of rows that follow each other.
func (in *Input) average() {
	rows := 0
	for _, s := range in.Spans {
		rows += len(s.Time)
	}
	spans := make([]Span, len(in.Spans))
	for i, s := range in.Spans {
		spans[i] = s.averaged(min(1+(rows-1)/most, max(1, len(s.Time)/least)))
	}
	if in.Spans != nil {
		in.Spans = spans
	}
	if in.Side != nil {
		size := 1 + (len(in.Side[0].Time)-1)/most
		in.Side = &[2]Span{in.Side[0].averaged(size), in.Side[1].averaged(size)}
	}
}

// averaged is the span by means of so many rows each; those that are left over at its end join the last.
func (s Span) averaged(size int) Span {
	if size <= 1 {
		return s
	}
	by := func(x []float64) (out []float64) {
		for from := 0; from+size <= len(x); from += size {
			to := from + size
			if to+size > len(x) {
				to = len(x)
			}
			out = append(out, mean(x[from:to]))
		}
		return out
	}
	return Span{Who: s.Who, Time: by(s.Time), Value: by(s.Value), Sun: by(s.Sun)}
}

// hand compares two readings [D1].
func (r *Result) hand() {
	a, b := r.Input.Hand[0], r.Input.Hand[1]
	r.Levels = [2]float64{a.Value, b.Value}
	d := b.Value - a.Value
	r.Uncorrected, r.Effective = d, 1
	half := r.expand() * math.Hypot(a.StandardUncertainty(), b.StandardUncertainty())
	r.WithoutMeter = fit.Interval{Best: d, Low: d - half, High: d + half}
}

func (r *Result) expand() float64 { return statistics.NormalQuantile((1 + r.Input.Level) / 2) }

// side compares two columns: the difference row by row, less what goes with the sun about its mean [D2].
func (r *Result) side() error {
	a, b := r.Input.Side[0], r.Input.Side[1]
	rows := make([]row, len(a.Time))
	for i := range rows {
		rows[i] = row{time: a.Time[i], value: b.Value[i] - a.Value[i], second: 1, begins: i == 0}
		if a.Sun != nil {
			rows[i].sun = a.Sun[i]
		}
	}
	g, err := regress(rows, a.Sun != nil, false, true)
	if err != nil {
		return err
	}
	r.take(g)
	r.WithoutMeter = g.Interval(difference, r.Input.Level)
	r.Uncorrected = r.WithoutMeter.Best
	first := mean(a.Value)
	r.Levels = [2]float64{first, first + r.WithoutMeter.Best}
	return nil
}

// inTurn compares spans: one regression over all rows [D3]; and, from six spans on, one over their means, of which the wider
// limits are taken, since spans may differ by more than their rows tell.
func (r *Result) inTurn() error {
	var rows, means []row
	var sums, counts [2]float64
	sun := true
	for _, s := range r.Input.Spans {
		sun = sun && s.Sun != nil
	}
	for _, s := range r.Input.Spans {
		m := row{time: mean(s.Time), value: mean(s.Value), second: float64(s.Who), begins: true}
		for i, v := range s.Value {
			q := row{time: s.Time[i], value: v, second: float64(s.Who), begins: i == 0}
			if sun {
				q.sun = s.Sun[i]
			}
			rows = append(rows, q)
			sums[s.Who], counts[s.Who] = sums[s.Who]+v, counts[s.Who]+1
		}
		if sun {
			m.sun = mean(s.Sun)
		}
		means = append(means, m)
	}
	drift := len(means) > 2
	g, err := regress(rows, sun, drift, false)
	if err != nil {
		return err
	}
	r.take(g)
	r.WithoutMeter = g.Interval(difference, r.Input.Level)
	if len(means) >= often {
		if coarse, err := regress(means, sun, drift, false); err == nil {
			if i := coarse.Interval(difference, r.Input.Level); i.High-i.Low > r.WithoutMeter.High-r.WithoutMeter.Low {
				r.WithoutMeter, r.Effective = i, float64(len(means))
			}
		}
	}
	r.Levels = [2]float64{g.At[level], g.At[level] + r.WithoutMeter.Best}
	r.Uncorrected = sums[1]/counts[1] - sums[0]/counts[0]
	return nil
}

// take keeps what a regression tells beside the difference.
func (r *Result) take(g *regression) {
	r.Effective = g.effective
	if g.sun >= 0 {
		i := g.Interval(g.sun, r.Input.Level)
		r.SunSlope = &i
	}
	if g.drift >= 0 {
		i := g.Interval(g.drift, r.Input.Level)
		r.Drift = &i
	}
}

// meter adds what the meters may be off by [D4].
func (r *Result) meter() {
	d := r.WithoutMeter
	a, b := r.Input.Meters[0], r.Input.Meters[1]
	if !a.Known() || !b.Known() {
		r.Difference = d
		if r.Input.Hand != nil { // nothing at all limits it
			r.Difference = fit.Interval{Best: d.Best, Low: d.Best, High: d.Best, OpenLow: true, OpenHigh: true}
		}
		return
	}
	var limits []float64
	if a.Name == b.Name {
		limits = []float64{a.Accuracy.Relative * math.Abs(d.Best), a.Digit / 2, b.Digit / 2}
	} else {
		limits = []float64{a.Accuracy.Limit(r.Levels[0], a.Digit), b.Accuracy.Limit(r.Levels[1], b.Digit), a.Digit / 2, b.Digit / 2}
	}
	var square float64
	for _, limit := range limits {
		square += limit * limit / 3 // rectangular: JCGM 100, 4.3.7
	}
	r.Difference = d.Wider(r.expand() * math.Sqrt(square))
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
