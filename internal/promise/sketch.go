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

// How much a sketch computes: so few units show where the figures lie and nearly how far they reach.
const (
	sketchOuter   = 24
	sketchInner   = 60
	sketchRated   = 6 // of a rating, the slowest to compute of one unit
	sketchCarried = 2 // units of each draw by which a measurement is carried over
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
	order(turns)
	if s.options.Sifted != nil {
		s.options.Sifted(len(turns))
	}
	for round := 1; len(turns) > 0 && ctx.Err() == nil; round++ {
		options := s.options
		options.Kept, options.coarse = nil, round
		coarse := newSession(s.product, options)
		err = numeric.Parallel(ctx, len(turns), func(i int) error {
			if stages(turns[i].asked.Study.Text) < round {
				return full(turns[i])
			}
			return coarse.sketch(ctx, turns[i])
		})
		if err != nil {
			return err
		}
		turns = slices.DeleteFunc(turns, func(t turn) bool { return stages(t.asked.Study.Text) < round })
	}
	return ctx.Err()
}

// order puts the first promise of each study before the second of any, the quickest study first: promises of one study share what they
// compute, and would only wait for each other. Years come last.
func order(turns []turn) {
	nth, count := map[string]int{}, map[string]int{}
	for _, t := range turns {
		nth[t.name] = count[t.asked.Study.Text]
		count[t.asked.Study.Text]++
	}
	years := func(t turn) int { return map[bool]int{true: 1}[t.asked.Study.Text == "charge"] }
	slices.SortStableFunc(turns, func(a, b turn) int {
		return cmp.Or(cmp.Compare(years(a), years(b)), cmp.Compare(nth[a.name], nth[b.name]),
			cmp.Compare(slices.Index(quickest, a.asked.Study.Text), slices.Index(quickest, b.asked.Study.Text)))
	})
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
