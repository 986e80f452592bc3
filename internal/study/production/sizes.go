package production

import (
	"context"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A Size is what one costs in batches of so many.
type Size struct {
	Units     int
	Cost      float64 // what is left over is used later
	Low, High float64 // of Cost, at 95 % by JCGM 100
	NeverUsed float64 // what is left over never is
	Tied      float64 // money that lies in it
	Minutes   float64 // s of a good unit
}

// flat is how far above the least cost a batch may lie and still be called as cheap.
const flat = 0.01

// sizes computes what one costs over batch sizes, and the flat part about the least.
func (r *Result) sizes(ctx context.Context) error {
	units := r.batchSizes()
	r.Sizes = make([]Size, len(units))
	err := numeric.Parallel(ctx, len(units), func(i int) (err error) {
		r.Sizes[i], err = r.model.size(units[i])
		return err
	})
	if err != nil {
		return err
	}
	least := 0
	for i, s := range r.Sizes {
		if s.Cost < r.Sizes[least].Cost {
			least = i
		}
	}
	low, high := least, least
	enough := (1 + flat) * r.Sizes[least].Cost
	for low > 0 && r.Sizes[low-1].Cost <= enough {
		low--
	}
	for high < len(r.Sizes)-1 && r.Sizes[high+1].Cost <= enough {
		high++
	}
	r.BestLow, r.BestHigh = r.Sizes[low].Units, r.Sizes[high].Units
	return nil
}

// batchSizes are those that are looked at: up to four batches or 100, but no more than a year's units.
func (r *Result) batchSizes() []int {
	batch, most := r.model.batch, max(4*r.model.batch, 100)
	if all := r.Input.Recorded; all.Years > 0 && all.AllGood.Best > 0 {
		most = max(batch, min(most, int(min(1e9, all.AllGood.Best/all.Years))))
	}
	most = max(most, r.Batch)
	units := []int{batch, r.Batch, most}
	for n := 1; n <= most; {
		units = append(units, n)
		n = max(n+1, int(math.Round(float64(n)*1.04)))
	}
	slices.Sort(units)
	return slices.Compact(units)
}

// size computes one batch size.
func (m *model) size(n int) (Size, error) {
	p, err := m.planFor(n)
	if err != nil {
		return Size{}, err
	}
	x := m.estimates()
	b, err := statistics.Propagate(func(x []float64) (float64, error) { return m.unit(x, p, nil, nil).Total, nil }, m.inputs, nil)
	if err != nil {
		return Size{}, err
	}
	u, tied := m.unit(x, p, nil, nil), m.left(x, p)
	return Size{n, u.Total, min(u.Total, max(0, b.Low)), max(u.Total, b.High), u.Total + tied/float64(n)/u.Yield, tied, u.Time}, nil
}

// isFlat reports whether all sizes that were looked at cost the same within flat.
func (r *Result) isFlat() bool {
	return len(r.Sizes) > 0 && r.BestLow == r.Sizes[0].Units && r.BestHigh == r.Sizes[len(r.Sizes)-1].Units
}
