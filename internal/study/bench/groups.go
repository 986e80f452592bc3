package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
)

// Units that are told apart into groups.
const (
	apartFrom = 6    // units, from which on two groups are looked for by their values
	leastOf   = 2    // units of a group
	surely    = 0.01 // p below which groups are told apart: they are looked for, so it takes more than a doubt
	lots      = 2000 // normal lots that are drawn to know how well one falls apart by chance
)

// groupDoubts says where the units are not of one kind: batches that differ, or values that fall into two groups.
func (r *Result) groupDoubts() []page.Note {
	remedy := "judge them apart: look which part, setting or revision differs, and read more units of each"
	if len(r.sample.meters) > 1 {
		remedy += "; or compare the meters, for more than one was used"
	}
	if r.sample.sd < coarse*r.sample.own || r.sample.sd == 0 { // read too coarsely to see
		return nil
	}
	if p, names := r.batches(); p < surely {
		return []page.Note{{Text: fmt.Sprintf("the batches differ by more than their units do: %s (one-way analysis of variance, p = %.2g); one interval for all of them says too little of each", strings.Join(names, ", "), p),
			Remedy: remedy, From: "docs/models.md [R14]"}}
	}
	if p, low, high := r.twoGroups(); p < surely {
		return []page.Note{{Text: fmt.Sprintf("the units fall into two groups, %d about %s and %d about %s: of normal lots that big %s in 100 fall apart so well; one interval for both says too little of each",
			len(low), r.show(mean(low)), len(high), r.show(mean(high)), seldom(p)), Remedy: remedy, From: "docs/models.md [R15]"}}
	}
	return nil
}

func seldom(p float64) string {
	if p == 0 {
		return fmt.Sprintf("fewer than %.2g", 100./lots)
	}
	return fmt.Sprintf("%.2g", 100*p)
}

// batches tests whether batches of two units or more differ [R14]: p, and the mean of each in words; p is 1 where there are none to
// compare.
func (r *Result) batches() (p float64, names []string) {
	of := map[string][]float64{}
	var order []string
	for _, u := range r.sample.units {
		batch := r.Input.Readings[u.readings[0]].Batch
		if batch == "" {
			continue
		}
		if of[batch] == nil {
			order = append(order, batch)
		}
		of[batch] = append(of[batch], u.value)
	}
	slices.Sort(order)
	order = slices.DeleteFunc(order, func(b string) bool { return len(of[b]) < leastOf })
	if len(order) < 2 {
		return 1, nil
	}
	var all []float64
	var within float64
	for _, b := range order {
		m := mean(of[b])
		for _, v := range of[b] {
			within += square(v - m)
		}
		all = append(all, of[b]...)
		names = append(names, fmt.Sprintf("%s (%d units) at %s", b, len(of[b]), r.show(m)))
	}
	k, n := float64(len(order)), float64(len(all))
	between := covariance(all, all)*(n-1) - within
	if !(within > 0) || !(between > 0) {
		return 1, nil
	}
	f := between / (k - 1) / (within / (n - k)) // [R14]
	return distuv.F{D1: k - 1, D2: n - k}.Survival(f), names
}

// twoGroups tests whether the units' values fall into two groups [R15]: p, and the values of both.
func (r *Result) twoGroups() (p float64, low, high []float64) {
	x := r.sample.column(func(u *unit) float64 { return u.value })
	if len(x) < apartFrom || len(x) > lots {
		return 1, nil, nil
	}
	slices.Sort(x)
	cut, share := split(x)
	s := numeric.NewStream(r.Input.Seed, uint64(len(x)))
	drawn, as := make([]float64, len(x)), 0
	for range lots {
		for i := range drawn {
			drawn[i] = s.Norm()
		}
		slices.Sort(drawn)
		if _, by := split(drawn); by >= share {
			as++
		}
	}
	return float64(as) / lots, x[:cut], x[cut:]
}

// split cuts sorted values into two groups so that they lie as far apart as they can; share is how much of the sum of squares lies
// between the groups.
func split(x []float64) (cut int, share float64) {
	n := len(x)
	m, left, all := mean(x), 0.0, 0.0
	for _, v := range x {
		all += square(v - m)
	}
	for i := range n - leastOf {
		left += x[i] - m
		if i+1 < leastOf {
			continue
		}
		a, b := float64(i+1), float64(n-i-1)
		if between := left * left * (1/a + 1/b); between > share*all || cut == 0 {
			cut, share = i+1, between/math.Max(all, math.SmallestNonzeroFloat64)
		}
	}
	return cut, share
}
