package rating

import (
	"context"
	"math"

	"hindwatt/internal/statistics"
)

// A Derated is the largest current at one ambient.
type Derated struct {
	Air       float64 // K
	Current   float64 // A, nominal
	Low, High float64 // A, of 95 of 100 units, what is not known among it
	Part, Of  string  // what stops a nominal unit; "": nothing
}

// The derating curve: from -20 °C to 70 °C in steps of 5 K; its band from so many units, those that lie evenly among all.
const (
	coldest, hottestAir = zeroCelsius - 20, zeroCelsius + 70 // K
	airStep             = 5.0                                // K
	bandOuter           = 50
	bandInner           = 2
)

// Derate computes the derating curve with its band [Q8].
func (r *Result) Derate(ctx context.Context) ([]Derated, error) {
	if r.probe == nil || len(r.Input.Design.Enclosures) == 0 {
		return nil, nil
	}
	var curve []Derated
	at := r.place
	for air := coldest; air <= hottestAir+tie; air += airStep {
		at.air = air
		i, _, by, err := r.probe.largest(at, r.statesOf(aims[0]))
		if err != nil {
			return nil, err
		}
		curve = append(curve, Derated{Air: air, Current: i, Low: i, High: i, Part: by.part, Of: by.of})
	}
	return curve, r.band(ctx, curve)
}

// band fills in how far units differ: computed at every third ambient, and between them in proportion to the nominal.
func (r *Result) band(ctx context.Context, curve []Derated) error {
	const every = 3
	var knots []int
	for i := 0; i < len(curve); i += every {
		knots = append(knots, i)
	}
	units := make([][]float64, len(knots))
	for k := range units {
		units[k] = make([]float64, bandOuter*bandInner)
	}
	err := newSampler(&r.Input, &r.Input.Design, bandOuter, bandInner).run(ctx, func(p *probe, unit int) error {
		at := r.place
		for k, i := range knots {
			at.air = curve[i].Air
			current, _, _, err := p.largest(at, r.statesOf(aims[0]))
			if err != nil {
				return err
			}
			units[k][unit] = current
		}
		return nil
	})
	if err != nil {
		return err
	}
	low, high := make([]float64, len(knots)), make([]float64, len(knots))
	for k, i := range knots { // as parts of the nominal
		q := statistics.Quantiles(units[k], 0.025, 0.975)
		low[k], high[k] = part(q[0], curve[i].Current), part(q[1], curve[i].Current)
	}
	for i := range curve {
		k, rest := i/every, float64(i%every)/every
		next := min(k+1, len(knots)-1)
		c := &curve[i]
		c.Low = math.Min(c.Current, c.Current*(low[k]+rest*(low[next]-low[k])))
		c.High = math.Max(c.Current, c.Current*(high[k]+rest*(high[next]-high[k])))
	}
	return nil
}

// part is what part a is of b; 1 where there is nothing.
func part(a, b float64) float64 {
	if b <= 0 {
		return 1
	}
	return a / b
}
