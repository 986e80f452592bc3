package desk

import (
	"bufio"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// stream opens the events of the first page and returns their kinds as they come.
func (s *served) stream(t *testing.T, look, whole string) <-chan string {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), "GET", s.base()+"/events?"+url.Values{"page": {"/"}, "look": {look}, "whole": {whole}}.Encode(), nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := s.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	if answer.StatusCode != 200 || answer.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatal(answer.Status, answer.Header)
	}
	kinds := make(chan string, 64)
	go func() {
		defer close(kinds)
		for lines := bufio.NewScanner(answer.Body); lines.Scan(); {
			if kind, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				kinds <- kind
			}
		}
	}()
	return kinds
}

func next(t *testing.T, kinds <-chan string) string {
	t.Helper()
	select {
	case kind := <-kinds:
		return kind
	case <-time.After(10 * time.Second):
		t.Fatal("nothing came")
		return ""
	}
}

// Two pages are open at once; both are told of a change on disk, and of one made in either.
func TestPagesAreToldOfChanges(t *testing.T) {
	s := serve(t, small)
	l := s.sight.look("")
	<-l.judged
	one, other := s.stream(t, l.stamp, "yes"), s.stream(t, l.stamp, "yes")
	if a, b := next(t, one), next(t, other); a != "rest" || b != "rest" {
		t.Errorf("of a page that is whole: %s, %s", a, b)
	}
	write(t, s.dir, map[string]string{"product.toml": small["product.toml"] + "offset = \"±2 LSB\"\n"})
	if a, b := next(t, one), next(t, other); a != "load" || b != "load" {
		t.Errorf("after a change on disk: %s, %s", a, b)
	}
	l = s.sight.look("")
	<-l.judged
	third := s.stream(t, l.stamp, "yes")
	next(t, third)
	s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", "12"), nil)
	if kind := next(t, third); kind != "load" {
		t.Errorf("after a change by another page: %s", kind)
	}
	if kind := next(t, s.stream(t, "an old one", "yes")); kind != "load" {
		t.Errorf("of a page that is out of date: %s", kind)
	}
}

// What is being computed ends when its folder has changed.
func TestAChangeEndsWhatIsComputed(t *testing.T) {
	s := serve(t, small)
	l := s.sight.look("")
	write(t, s.dir, map[string]string{"product.toml": small["product.toml"] + "offset = \"±2 LSB\"\n"})
	if s.sight.look("") == l || l.ctx.Err() == nil {
		t.Error("the look from before goes on")
	}
	if now := s.sight.look(""); now != s.sight.look("") {
		t.Error("a folder that has not changed is judged again")
	}
}
