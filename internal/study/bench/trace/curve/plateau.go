package curve

import (
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
)

// names are those of the levels, in the order in which they were first held.
func (r *Result) names() (names []string) {
	for _, p := range r.Phases {
		if len(p.held) > 0 && !slices.Contains(names, p.Name) {
			names = append(names, p.Name)
		}
	}
	return names
}

// held are the rows of a level: those that were held, but for the time that each phase takes to settle.
func (r *Result) held(name string) (rows []int) {
	t := r.Input.Time
	for _, p := range r.Phases {
		if p.Name != name || len(p.held) == 0 {
			continue
		}
		long := 0.0
		for _, h := range p.held {
			long += t[h[1]-1] - t[h[0]]
		}
		from := t[p.held[0][0]] + min(settling, settlePart*long)
		for _, h := range p.held {
			for i := h[0]; i < h[1]; i++ {
				if t[i] >= from {
					rows = append(rows, i)
				}
			}
		}
	}
	return rows
}

// plateau is what was held at one level; nil where too little is left of it.
func (r *Result) plateau(name string) (*Plateau, error) {
	in := &r.Input
	rows := r.held(name)
	all := len(rows)
	rows = in.inliers(rows)
	if len(rows) < fewestRows {
		return nil, nil
	}
	p := &Plateau{Name: name, Rows: len(rows), Left: all - len(rows)}
	y, t := pick(in.Voltage, rows), pick(in.Time, rows)
	step := usualStep(t)
	p.For = step * float64(len(rows))
	p.Alias = in.Pulse.Alias(len(rows), step)
	if in.Current != nil {
		p.Current = mean(pick(in.Current, rows))
	}
	steady := y
	if in.Temperature != nil {
		kelvin := pick(in.Temperature, rows)
		p.HasTemp = true
		p.Temperature = bench.Interval{Best: mean(kelvin), Low: slices.Min(kelvin), High: slices.Max(kelvin)}
		steady = slices.Clone(y)
		for i := range steady {
			steady[i] -= in.Compensation * (kelvin[i] - p.Temperature.Best)
		}
		if span := p.Temperature.High - p.Temperature.Low; span >= leastSpan {
			p.Drift = drift(t, kelvin, y, span)
		}
	}
	var err error
	p.Level, err = trace.Hold(steady, in.Gauge, p.Alias.Bound)
	p.Ripple = ripple(t, y)
	return p, err
}

const (
	leastSpan = 1.0 // K, below which no drift is looked for
	telling   = 5.0 // K, from which on one contradicts a compensation
	level95   = 0.95
)

// inliers are the rows about the middle of a level; dips under clouds and loads are left out.
func (in *Input) inliers(rows []int) []int {
	if len(rows) == 0 {
		return rows
	}
	y := pick(in.compensated(), rows)
	middle := numeric.Select(slices.Clone(y), len(y)/2)
	off := make([]float64, len(y))
	for i, v := range y {
		off[i] = math.Abs(v - middle)
	}
	const normal = 1.4826 // standard deviations in the median deviation of a normal population
	width := outlying * max(normal*numeric.Select(slices.Clone(off), len(off)/2), in.Gauge.Step()/2)
	kept := make([]int, 0, len(rows))
	for i, d := range off {
		if d <= width {
			kept = append(kept, rows[i])
		}
	}
	return kept
}

func pick(x []float64, rows []int) []float64 {
	out := make([]float64, len(rows))
	for i, row := range rows {
		out[i] = x[row]
	}
	return out
}

// usualStep is the median time from a value to the next.
func usualStep(t []float64) float64 {
	steps := make([]float64, 0, len(t))
	for i := 1; i < len(t); i++ {
		steps = append(steps, t[i]-t[i-1])
	}
	return numeric.Select(steps, len(steps)/2)
}

// drift is the line of a level over the temperature. Both are averaged in blocks first, since noise of the
// temperature would flatten the line; blocks that follow each other count as fewer [L2].
func drift(t, kelvin, y []float64, span float64) *Drift {
	const blocks = 200
	x, v := trace.Block(t, kelvin, blocks).Mean, trace.Block(t, y, blocks).Mean
	l, err := trace.Fit(x, v, 0)
	if err != nil {
		return nil
	}
	if l, err = trace.Fit(x, v, trace.Independent(l.Residuals(x, v))); err != nil {
		return nil
	}
	return &Drift{Slope: l.SlopeWithin(level95), Span: span}
}

// ripple is how values move about their mean over a minute, or over 8 values where that is longer.
func ripple(t, y []float64) Ripple {
	const together = 8
	rest := make([]float64, 0, len(y))
	for i := 0; i < len(y); {
		j := i + 1
		for j < len(y) && (t[j]-t[i] < finer || j-i < together) {
			j++
		}
		m := mean(y[i:j])
		for _, v := range y[i:j] {
			rest = append(rest, v-m)
		}
		i = j
	}
	const tail = 0.005
	q := statistics.Quantiles(rest, tail, 1-tail)
	return Ripple{RMS: trace.Scatter(rest), Peak: q[1] - q[0]}
}
