package promise

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// fewer are the units that are drawn where a judgement need not be in full.
type fewer struct {
	outer, inner int
	rated        int // of a rating, the slowest to compute of one unit
	carried      int // of each draw by which a measurement is carried over
}

var (
	sketchUnits = fewer{20, 40, 4, 1} // show where the figures lie and nearly how far they reach
	roughUnits  = fewer{24, 60, 6, 2} // follow an input that is moved, too: fewer jump about more than a drift changes
)

// sketchYears are the years of a charge study in each stage of a sketch.
var sketchYears = []int{1, 20}

// sketched is what a stage of a sketch leaves to follow in a study.
func sketched(study string, stage int) string {
	switch {
	case study == "charge" && stage < len(sketchYears):
		return "one year so far; how far others reach follows"
	case study == "charge":
		return fmt.Sprintf("%d years so far; the others follow", sketchYears[stage-1])
	case study == "fault":
		return "the margin follows"
	}
	return "the exact limits follow"
}

// stages returns how many stages a sketch of a study has.
func stages(study string) int {
	switch study {
	case "charge":
		return len(sketchYears)
	case "setpoint", "rating", "fault", "production":
		return 1
	}
	return 0 // quick in full
}

// quickest are the studies by how long one judgement takes.
var quickest = []string{"production", "accounts", "returns", "bench", "setpoint", "rating", "fault", "charge"}

// turn is one promise that is still to be judged.
type turn struct {
	at    int // in the file
	name  string
	asked *product.Promise
}

// judgeAll judges every promise: in the file's order, or, for a sketch, what is kept first, then what is quick, and then the rest in
// rounds that are coarse before they are full.
func (s *session) judgeAll(ctx context.Context, report *Report) error {
	report.Promises = make([]Judged, s.product.Promises.Len())
	var turns []turn
	for name, asked := range s.product.Promises.All() {
		turns = append(turns, turn{len(turns), name, asked})
	}
	full := func(t turn) error {
		j := newJudged(t.name, t.asked)
		if err := s.judge(ctx, t.asked, &j); err != nil {
			j.Failed, j.Verdict = err, NoEvidence
			j.Says = append(j.Says, err.Error())
		}
		report.Promises[t.at] = j
		return s.seen(ctx, j)
	}
	if !s.options.Sketch || s.options.Seen == nil {
		return numeric.Parallel(ctx, len(turns), func(i int) error { return full(turns[i]) })
	}
	found := make([]bool, len(turns))
	err := numeric.Parallel(ctx, len(turns), func(i int) error {
		found[i] = s.recall(ctx, turns[i], &report.Promises[i])
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	turns = slices.DeleteFunc(turns, func(t turn) bool { return found[t.at] })
	if s.options.Sifted != nil {
		s.options.Sifted(len(turns))
	}
	for round := 1; len(turns) > 0 && ctx.Err() == nil; round++ {
		options := s.options
		options.Kept, options.coarse, options.units = nil, round, sketchUnits
		coarse := newSession(s.product, options)
		groups := s.groups(turns)
		err = numeric.Parallel(ctx, 1+len(groups), func(i int) error {
			if i == 0 { // what most wait for, while the first of them is computed
				if slices.ContainsFunc(turns, func(t turn) bool { return t.asked.Study.Text == "setpoint" || t.asked.Study.Text == "rating" }) {
					coarse.runsOnBench()
				}
				return nil
			}
			for _, t := range groups[i-1] {
				var err error
				if stages(t.asked.Study.Text) < round {
					err = full(t)
				} else {
					err = coarse.sketch(ctx, t)
				}
				if err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		turns = slices.DeleteFunc(turns, func(t turn) bool { return stages(t.asked.Study.Text) < round })
	}
	return ctx.Err()
}

// groups are the promises that share what is computed, which would only wait for each other. Those of one study come in turn with those of
// others, the quickest first; a largest current, which is searched for, and years come last.
func (s *session) groups(turns []turn) (all [][]turn) {
	type kind struct {
		study string
		late  int
	}
	at, nth := map[string]int{}, map[kind]int{}
	var late, place []int
	for _, t := range turns {
		key := t.asked.Study.Text + " " + s.sharing(t)
		if _, known := at[key]; !known {
			at[key] = len(all)
			is := kind{t.asked.Study.Text, lateness(t)}
			all, late, place = append(all, nil), append(late, is.late), append(place, nth[is])
			nth[is]++
		}
		all[at[key]] = append(all[at[key]], t)
	}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(late[a], late[b]), cmp.Compare(place[a], place[b]),
			cmp.Compare(slices.Index(quickest, all[a][0].asked.Study.Text), slices.Index(quickest, all[b][0].asked.Study.Text)))
	})
	sorted := make([][]turn, len(all))
	for i, k := range order {
		sorted[i] = all[k]
	}
	return sorted
}

// sharing names what is computed for a promise and for others at once.
func (s *session) sharing(t turn) string {
	switch c := &t.asked.Conditions; t.asked.Study.Text {
	case "setpoint":
		return s.settingOf(c).key()
	case "fault":
		return s.faultSetting(c).key()
	case "charge":
		return s.chargeIn(t.asked)
	}
	return t.name
}

// lateness is how much slower the first figure of a promise is than those of others.
func lateness(t turn) int {
	switch study := t.asked.Study.Text; {
	case study == "charge":
		return 2
	case study == "rating" && t.asked.Quantity.Text == "current":
		return 1
	}
	return 0
}

// seen tells of a judgement.
func (s *session) seen(ctx context.Context, j Judged) error {
	if s.options.Seen != nil && ctx.Err() == nil {
		s.options.Seen(j)
	}
	return ctx.Err()
}

// recall takes a judgement that is kept; false if there is none.
func (s *session) recall(ctx context.Context, t turn, j *Judged) bool {
	by := studyOf(t.asked.Study.Text)
	*j = newJudged(t.name, t.asked)
	if !by.built() || len(j.unjudgeable(t.asked)) > 0 {
		return false
	}
	store, rests := s.under(by, t.name, t.asked)
	found, ok := kept.Find[judgement](store, by.name, rests)
	if !ok {
		return false
	}
	*j = found.Judged
	s.note(found.Notes...)
	s.doubt(j)
	j.Says = append(j.Says, j.Doubts...)
	s.seen(ctx, *j)
	return true
}

// sketch judges a promise coarsely. One that cannot be judged is left to the judgement in full, which says why.
func (s *session) sketch(ctx context.Context, t turn) error {
	j := newJudged(t.name, t.asked)
	if err := s.judge(ctx, t.asked, &j); err != nil || j.Failed != nil {
		return ctx.Err()
	}
	j.Coarse = sketched(t.asked.Study.Text, s.options.coarse)
	return s.seen(ctx, j)
}
