package soak

import (
	"fmt"
	"math"
	"slices"
)

// A record is the log in blocks of equal time, each the mean of its rows.
type record struct {
	from, to, mid []float64 // s since the first row
	rise          []float64 // K above the ambient
	begins        []bool    // a gap lies before the block
	start, end    float64   // s of the log's own clock
	rows          int
}

// Sizes of logs.
const (
	fewest = 8
	most   = 600 // blocks; a longer log is averaged, which loses nothing that changes slower than a block lasts
)

func (in *Input) check() error {
	switch n := len(in.Time); {
	case n < fewest:
		return fmt.Errorf("%d readings; want %d or more, spread over the warm-up", n, fewest)
	case len(in.Temperature) != n:
		return fmt.Errorf("%d temperatures for %d times; want as many", len(in.Temperature), n)
	case len(in.Ambient) != n && len(in.Ambient) != 1:
		return fmt.Errorf("%d ambient temperatures for %d times; want as many, or one", len(in.Ambient), n)
	case !(in.Level > 0 && in.Level < 1):
		return fmt.Errorf("level is %v; want more than 0 and less than 1", in.Level)
	}
	for i, t := range in.Time {
		switch {
		case !(math.Abs(t) <= 1e12):
			return fmt.Errorf("time %d is %v s; want a finite number", i+1, t)
		case i > 0 && t <= in.Time[i-1]:
			return fmt.Errorf("time %d, %g s, is not after the one before, %g s; want rising times", i+1, t, in.Time[i-1])
		case !possible(in.Temperature[i]) || !possible(in.ambient(i)):
			return fmt.Errorf("reading %d: %g K over an ambient of %g K; want temperatures", i+1, in.Temperature[i], in.ambient(i))
		}
	}
	if lowest, highest := slices.Min(in.Temperature), slices.Max(in.Temperature); lowest == highest {
		return fmt.Errorf("all %d temperatures are %s; want those of a warm-up", len(in.Temperature), absolute(lowest))
	}
	if p := in.Power; p != nil && !(p.Value > 0 && p.Low > 0 && p.Value <= 1e9) {
		return fmt.Errorf("power is %v; want more than 0 W", *p)
	}
	return nil
}

func possible(kelvin float64) bool { return kelvin > 0 && kelvin < 5000 }

func (in *Input) ambient(i int) float64 {
	if len(in.Ambient) == 1 {
		return in.Ambient[0]
	}
	return in.Ambient[i]
}

// record makes the blocks.
func (in *Input) record() *record {
	n := len(in.Time)
	steps := make([]float64, n-1)
	for i := range steps {
		steps[i] = in.Time[i+1] - in.Time[i]
	}
	slices.Sort(steps)
	usual := steps[len(steps)/2]
	size := (n + most - 1) / most
	r := &record{start: in.Time[0], end: in.Time[n-1], rows: n}
	gap := true
	for i := 0; i < n; {
		var time, rise float64
		k := 0
		for ; k < size && i+k < n && (k == 0 || in.Time[i+k]-in.Time[i+k-1] < 1.5*usual); k++ {
			time += in.Time[i+k] - r.start
			rise += in.Temperature[i+k] - in.ambient(i+k)
		}
		half := 0.5 * usual
		if k == 1 {
			half = 0
		}
		r.from = append(r.from, in.Time[i]-r.start-half)
		r.to = append(r.to, in.Time[i+k-1]-r.start+half)
		r.mid = append(r.mid, time/float64(k))
		r.rise = append(r.rise, rise/float64(k))
		r.begins = append(r.begins, gap)
		i += k
		gap = i < n && in.Time[i]-in.Time[i-1] >= 1.5*usual
	}
	return r
}

// duration is the time from the first row to the last, s.
func (r *record) duration() float64 { return r.end - r.start }

// decay is the mean of e^(-t/tau) over a block.
func (r *record) decay(i int, tau float64) float64 {
	from, width := r.from[i]/tau, (r.to[i]-r.from[i])/tau
	if width < 1e-6 {
		return math.Exp(-from - width/2)
	}
	return -math.Exp(-from) * math.Expm1(-width) / width
}
