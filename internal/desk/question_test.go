package desk

import (
	"context"
	"maps"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

func TestEveryStudyHasItsPlaceInTheList(t *testing.T) {
	for _, s := range promise.Studies() {
		if q := questionOf(s[0]); q == nil || q.short == "" || q.text != s[1] {
			t.Errorf("%s has no words in the list of pages", s[0])
		}
	}
}

func TestWhatCouldHaveBeenIsLaidBeside(t *testing.T) {
	s := serve(t, small)
	for _, page := range []string{"/compare", "/hindsight", "/next"} {
		s.shows(t, page, "There is nothing to lay beside the product yet")
	}
	files := maps.Clone(small)
	files["variants/finer.toml"] = "why = \"a finer divider\"\n[set]\n\"product.sense.top\" = \"120 kΩ ±0.1 %\"\n"
	s = serve(t, files)
	s.shows(t, "/compare", "a finer divider")
	s.shows(t, "/v/finer/compare", "a finer divider")
	s.shows(t, "/hindsight", "finer")
	s.shows(t, "/next", "The next revision")
	if status, _ := s.ask(t, "GET", "/figure/compare/0/svg", nil, nil); status != 200 {
		t.Errorf("its figure: %d", status)
	}
}

// Pages that lay the product beside the same choices are computed one after another, and one that nobody wants any more does not wait.
func TestTheSameChoicesAreJudgedOnce(t *testing.T) {
	l := &look{folder: &product.Folder{Variants: []*product.Variant{{}}}, beside: make(chan struct{}, 1)}
	var now, most atomic.Int32
	answer := orNothing(func(context.Context, *look) (page.Page, error) {
		most.Store(max(most.Load(), now.Add(1)))
		defer now.Add(-1)
		time.Sleep(time.Millisecond)
		return page.Page{}, nil
	})
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			if _, err := answer(t.Context(), l); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if most.Load() != 1 {
		t.Errorf("%d at once", most.Load())
	}
	l.beside <- struct{}{}
	over, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := answer(over, l); err == nil {
		t.Error("it waited, and was computed")
	}
}
