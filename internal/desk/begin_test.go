package desk

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestEightQuestionsStartAFolder(t *testing.T) {
	s := serve(t, nil)
	status, body := s.ask(t, "GET", "/", nil, nil)
	if status != 200 || strings.Count(body, "<fieldset>") != 8 || !strings.Contains(body, "Open the example") {
		t.Fatalf("%d, %d questions", status, strings.Count(body, "<fieldset>"))
	}
	status, body = s.ask(t, "POST", "/start", url.Values{"Price": {"34 V"}, "Minutes": {"35"}, "Name": {"Rush <8>"}}, nil)
	if status != 422 || !strings.Contains(body, `value="34 V" autocomplete="off" aria-invalid="true"`) || !strings.Contains(body, `value="35"`) || !empty(s.dir) {
		t.Errorf("a wrong answer: %d\n%s", status, body)
	}
	status, _ = s.ask(t, "POST", "/start", url.Values{"Price": {"34 EUR"}, "Voltage": {"12 V"}, "Current": {"5 A"}, "Circuit": {"shunt"}, "Name": {"Rush 12"}}, nil)
	if status != 303 || !strings.Contains(s.content(t, "product.toml"), "Rush 12") {
		t.Fatalf("the folder: %d", status)
	}
	if status, body = s.ask(t, "GET", "/", nil, nil); status != 200 || !strings.Contains(body, "Rush 12</a></h1>") {
		t.Errorf("the product: %d", status)
	}
	if status, _ := s.ask(t, "POST", "/start", url.Values{"Price": {"34 EUR"}}, nil); status == 303 {
		t.Error("a product was started over another")
	}
}

func TestAFolderWithOtherThingsGetsOneOfItsOwn(t *testing.T) {
	s := serve(t, map[string]string{"notes.txt": "mine\n"})
	before, _ := os.ReadDir(filepath.Dir(s.dir))
	for _, name := range []string{"", "..", "../x", ".x", "a/b", `a\b`, "/tmp/x"} {
		if status, _ := s.ask(t, "POST", "/start", url.Values{"folder": {name}}, nil); status != 422 {
			t.Errorf("folder %q: %d", name, status)
		}
	}
	if entries, _ := os.ReadDir(filepath.Dir(s.dir)); len(entries) != len(before) {
		t.Errorf("%d things beside the folder", len(entries))
	}
	if status, _ := s.ask(t, "POST", "/start", url.Values{"folder": {"rush-12"}}, nil); status != 303 {
		t.Errorf("%d", status)
	}
	if text := s.content(t, "rush-12/product.toml"); !strings.Contains(text, "rush-12") {
		t.Error(text)
	}
}

func TestTheExample(t *testing.T) {
	s := serve(t, nil)
	if status, _ := s.ask(t, "POST", "/example", url.Values{}, nil); status != 303 {
		t.Fatal(status)
	}
	status, body := s.ask(t, "GET", "/", nil, nil)
	if status != 200 || !strings.Contains(body, "invented example") || strings.Count(body, "<article") < 15 {
		t.Errorf("%d, %d promises", status, strings.Count(body, "<article"))
	}
}
