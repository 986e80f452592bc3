package returns

import (
	"context"
	"testing"
)

// without makes an order list of many units: no serial, and no unit of a return is known. Of part of the returns the batch is.
func without(n int, batch bool) Input {
	in := many(n)
	for _, b := range in.Returns {
		b.Joined, b.Own = false, true
	}
	if batch {
		for i := range in.Units {
			u := &in.Units[i]
			if u.Back != nil {
				u.Back.Batch = u.Batch
			}
			u.Back = nil
		}
		return in
	}
	sold := map[Day]float64{}
	var days []Day
	for _, u := range in.Units {
		if sold[u.Sold]++; sold[u.Sold] == 1 {
			days = append(days, u.Sold)
		}
	}
	in.Units = nil
	for _, d := range days {
		in.Sales = append(in.Sales, Sale{From: d, Until: d, Count: Exactly(sold[d]), Own: true})
	}
	return in
}

// Ages that batches bound are near those that are known: the limits at half a year hold the known share.
func TestBatchesNearTruth(t *testing.T) {
	truth, err := run(t, many(5000)).Share(Asked{Age: year / 2})
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, without(5000, true))
	got, err := r.Share(Asked{Age: year / 2})
	if err != nil || !r.Known || !(got.Low <= truth.Best && truth.Best <= got.High) || got.Low > truth.Low || got.High < truth.High {
		t.Errorf("%+v, %v; want limits wider than %+v", got, err, truth)
	}
	if r.Named != len(r.Input.Returns) {
		t.Errorf("%d of %d returns have a unit of their batch", r.Named, len(r.Input.Returns))
	}
	blind := run(t, without(5000, false))
	if blind.Known || blind.Periods == nil || blind.All.Sold.Best != 5000 {
		t.Errorf("known %v, %v sold", blind.Known, blind.All.Sold)
	}
	told(t, blind)
}

func BenchmarkWithoutSerials(b *testing.B) {
	for name, in := range map[string]Input{"batches": without(100000, true), "nothing": without(100000, false)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Run(context.Background(), in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
