package desk

import (
	"maps"
	"testing"

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
