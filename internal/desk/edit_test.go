package desk

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/calc"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
)

// at is where a request comes from.
func (s *served) at(path string) map[string]string {
	return map[string]string{"Referer": s.base() + path}
}

func TestAValueIsWrittenInPlace(t *testing.T) {
	s := serve(t, small)
	before := s.content(t, "product.toml")
	status, _, h := s.fetch(t, "POST", "/set", change("product.toml", "current", `"10 A"`, "12 A"), s.at("/accounts"))
	if status != 303 || h.Get("Location") != "/accounts" {
		t.Errorf("%d to %s", status, h.Get("Location"))
	}
	if want := strings.Replace(before, `"10 A"`, `"12 A"`, 1); s.content(t, "product.toml") != want {
		t.Errorf("the file became\n%s", s.content(t, "product.toml"))
	}
	for i, c := range []struct{ path, want string }{
		{"/undo", before}, {"/redo", strings.Replace(before, `"10 A"`, `"12 A"`, 1)}, {"/undo", before}, {"/undo", before},
	} {
		if status, _ := s.ask(t, "POST", c.path, url.Values{}, nil); status != 303 || s.content(t, "product.toml") != c.want {
			t.Errorf("step %d %s: %d\n%s", i, c.path, status, s.content(t, "product.toml"))
		}
	}
	_, body := s.ask(t, "GET", "/changes", nil, nil)
	for _, want := range []string{"current", "taken back", "10 A", "12 A"} {
		if !strings.Contains(body, want) {
			t.Errorf("the list of changes lacks %q", want)
		}
	}
}

func TestAWrongValueIsSaidWhereItWasTyped(t *testing.T) {
	s := serve(t, small)
	before := s.content(t, "production.toml")
	<-s.sight.look("").answer("production").done
	status, body := s.ask(t, "POST", "/set", change("production.toml", "work.hour", `"24 EUR/h"`, "24 V"), s.at("/production"))
	if status != 422 || s.content(t, "production.toml") != before {
		t.Fatalf("%d", status)
	}
	i := strings.Index(body, `value="24 V"`)
	if i < 0 || !strings.Contains(body[i:min(len(body), i+200)], `aria-invalid="true"`) || !strings.Contains(body[i:min(len(body), i+600)], `class="wrong"`) {
		t.Errorf("what was typed is not beside what is wrong with it")
	}
	if strings.Contains(body, "problem") {
		t.Error("the error is said twice")
	}
}

func TestAValueChangedElsewhereIsNotOverwritten(t *testing.T) {
	s := serve(t, small)
	write(t, s.dir, map[string]string{"production.toml": strings.Replace(small["production.toml"], "24 EUR/h", "26 EUR/h", 1)})
	<-s.sight.look("").answer("production").done
	status, body := s.ask(t, "POST", "/set", change("production.toml", "work.hour", `"24 EUR/h"`, "30 EUR/h"), s.at("/production"))
	if status != 409 || !strings.Contains(s.content(t, "production.toml"), "26 EUR/h") {
		t.Fatalf("%d\n%s", status, s.content(t, "production.toml"))
	}
	for _, want := range []string{"in the file", "26 EUR/h", "typed here", "30 EUR/h", "Write mine over it"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if status, _ := s.ask(t, "POST", "/set", change("production.toml", "work.hour", `"26 EUR/h"`, "30 EUR/h"), s.at("/production")); status != 303 {
		t.Errorf("written over on purpose: %d", status)
	}
}

func TestUndoStopsAtWhatIsNotItsOwn(t *testing.T) {
	s := serve(t, small)
	s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", "12"), nil)
	text := strings.Replace(s.content(t, "product.toml"), "bits = 12", "bits = 11", 1)
	write(t, s.dir, map[string]string{"product.toml": text})
	status, body := s.ask(t, "POST", "/undo", url.Values{}, nil)
	if status != 409 || !strings.Contains(body, "has been changed since") || s.content(t, "product.toml") != text {
		t.Errorf("%d", status)
	}
}

func TestAFaultOnDiskIsShownWithItsLine(t *testing.T) {
	s := serve(t, small)
	write(t, s.dir, map[string]string{"product.toml": "name = \"x\"\n[sense]\ntop = \"120 kohn\"\n"})
	_, body := s.ask(t, "GET", "/", nil, nil)
	for _, want := range []string{"product.toml:3:", "120 kohn", "did you mean kohm", "^^^"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	write(t, s.dir, small)
	if _, body := s.ask(t, "GET", "/", nil, nil); !strings.Contains(body, "Promises</h2>") {
		t.Error("the page does not come back")
	}
}

func TestFieldsAreThoseOfTheFile(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, map[string]string{"product.toml": "name = \"x\"\n[sense]\ntop = \"120 kΩ\"\nlead = { length = \"1 m\", area = \"2.5 mm²\" }\n"})
	v := valuesOf{dir: dir, known: map[string][]product.Value{}}
	for _, c := range []struct{ name, from, key, was string }{
		{"sense.top", "product.toml:3", "sense.top", `"120 kΩ"`},
		{"sense.lead.area", "product.toml:4", "sense.lead.area", `"2.5 mm²"`},
		{"q1: lead.length", "product.toml:4", "sense.lead.length", `"1 m"`},
		{"something", "product.toml:4", "sense.lead", `{ length = "1 m", area = "2.5 mm²" }`},
		{"sense.ageing", "default", "sense.ageing", ""},
		{"heat.mounting", "default", "", ""},
		{"heat.mounting", "a handbook: estimate", "", ""},
		{"x", "records/sold.csv:3", "", ""},
		{"sense.top", "product.toml:99", "", ""},
		{"sense.top", "../product.toml:3", "", ""},
	} {
		f := v.field(page.Input{Name: c.name, From: c.from})
		if f == nil && c.key == "" {
			continue
		}
		if f == nil || f.Key != c.key || f.Was != c.was {
			t.Errorf("%s from %s: %+v, want %s", c.name, c.from, f, c.key)
		}
	}
}

func TestCalculators(t *testing.T) {
	s := serve(t, small)
	status, body := s.ask(t, "GET", "/calculators", nil, nil)
	if status != 200 || strings.Count(body, "?calc=") < 20 {
		t.Errorf("%d, %d calculators", status, strings.Count(body, "?calc="))
	}
	status, body = s.ask(t, "GET", "/calculators?calc=tolerance-factor&in.n=10&in.proportion=0.95&in.confidence=0.95&in.sides=2", nil, nil)
	if status != 200 || !strings.Contains(body, "3.39") { // ISO 16269-6, two sides, n = 10, mean and deviation unknown: 3.393, from memory
		t.Errorf("%d\n%s", status, body)
	}
	status, body = s.ask(t, "GET", "/calculators?calc=tolerance-factor&in.n=ten", nil, nil)
	if status != 422 || !strings.Contains(body, `value="ten"`) || !strings.Contains(body, `class="wrong"`) {
		t.Errorf("a wrong input: %d", status)
	}
	if status, _ := s.ask(t, "GET", "/calculators?calc=nothing", nil, nil); status != 404 {
		t.Errorf("no such calculator: %d", status)
	}
}

func TestCalculatorsReadFilesOfTheFolderOnly(t *testing.T) {
	s := serve(t, small)
	outside := filepath.Join(t.TempDir(), "secret.csv")
	if err := os.WriteFile(outside, []byte("age,verysecret\n1,2\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range calc.List() {
		for _, in := range c.Inputs {
			if in.Name != "file" {
				continue
			}
			for _, path := range []string{outside, "../" + filepath.Base(filepath.Dir(outside)) + "/secret.csv"} {
				_, body := s.ask(t, "GET", "/calculators?calc="+c.Name+"&in.file="+url.QueryEscape(path), nil, nil)
				if strings.Contains(body, "verysecret") {
					t.Errorf("%s read %s", c.Name, path)
				}
			}
		}
	}
}
