package desk

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/product"
)

// row is what a form of records sends.
func row(kind string, cells ...string) url.Values {
	v := url.Values{"kind": {kind}}
	for i := 0; i < len(cells); i += 2 {
		v.Set("in."+cells[i], cells[i+1])
	}
	return v
}

func TestEachKindIsWrittenByHand(t *testing.T) {
	s := serve(t, small)
	for kind, cells := range map[string][]string{
		"made":     {"date", "2024-05-31", "count", "4", "result", "pass"},
		"sold":     {"date", "2024-05-31", "price", "34.50 EUR", "note", "at the market, twice"},
		"returned": {"date", "2024-06-02", "found", "no fault"},
		"spent":    {"date", "2024-05-31", "kind", "tools", "amount", "12.50 EUR"},
		"hours":    {"date", "2024-05-31", "kind", "make", "time", "3 h"},
		"reading":  {"date", "2024-05-31", "what", "setpoint.float", "value", "27.34 V"},
	} {
		status, _, h := s.fetch(t, "POST", "/record", row(kind, cells...), s.at("/records?kind="+kind))
		if want := "/records?kind=" + kind + "&done=2"; status != 303 || h.Get("Location") != want {
			t.Errorf("%s: %d to %s, want %s", kind, status, h.Get("Location"), want)
			continue
		}
		_, body := s.ask(t, "GET", h.Get("Location"), nil, nil)
		if !strings.Contains(body, "Written in line 2 of "+product.FileOf(kind)) {
			t.Errorf("%s: the page does not say that it is written", kind)
		}
		for i := 1; i < len(cells); i += 2 {
			if text := s.content(t, product.FileOf(kind)); !strings.Contains(text, cells[i]) {
				t.Errorf("%s: %q is not in the file\n%s", kind, cells[i], text)
			}
			if !strings.Contains(body, "<td>"+cells[i]+"</td>") {
				t.Errorf("%s: %q is not among the last rows", kind, cells[i])
			}
		}
	}
}

func TestAWrongCellIsSaidWhereItWasTyped(t *testing.T) {
	s := serve(t, small)
	status, body := s.ask(t, "POST", "/record", row("sold", "date", "2024-05-32", "price", "34 V", "note", "<b>kept</b>", "channel", ""), s.at("/records?kind=sold"))
	if status != 422 {
		t.Errorf("%d", status)
	}
	if _, err := os.Stat(filepath.Join(s.dir, "records")); err == nil {
		t.Error("something was written")
	}
	for _, want := range []string{`value="2024-05-32"`, `value="34 V"`, `value="&lt;b&gt;kept&lt;/b&gt;"`, `aria-describedby="wrong.date"`, `aria-describedby="wrong.price"`, `id="wrong.price" role="alert"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if strings.Contains(body, `id="wrong.note"`) {
		t.Error("a cell that is right is said to be wrong")
	}
	_, body = s.ask(t, "POST", "/record", row("spent"), s.at("/records?kind=spent"))
	for _, name := range []string{"date", "kind", "amount"} {
		if !strings.Contains(body, `id="wrong.`+name+`"`) {
			t.Errorf("%s is needed, and that is not said at it", name)
		}
	}
	if _, body = s.ask(t, "POST", "/record", row("reading", "date", "2024-05-31", "what", "setpoint.flaot", "value", "27 V"), nil); !strings.Contains(body, `id="wrong.what"`) {
		t.Error("a quantity that there is not is taken")
	}
}

const sales = "date,price,note\n2024-05-01,34 EUR,\"a, b\"\n2024-05-02,35 EUR,\n2024-05-03,36 EUR,<i>x</i>\n"

func withSales() map[string]string {
	files := map[string]string{"records/sold.csv": sales}
	for name, text := range small {
		files[name] = text
	}
	return files
}

// of is a form about a row that is there.
func of(v url.Values, line, was string) url.Values {
	v.Set("line", line)
	v.Set("was", was)
	return v
}

func TestARowIsCorrectedAndTakenOut(t *testing.T) {
	s := serve(t, withSales())
	_, body := s.ask(t, "GET", "/records?kind=sold&line=3", nil, nil)
	if !strings.Contains(body, "Correct line 3") || !strings.Contains(body, `value="35 EUR"`) || strings.Contains(body, "<i>x") {
		t.Error("the form does not hold the row")
	}
	status, _ := s.ask(t, "POST", "/record", of(row("sold", "date", "2024-05-02", "price", "35.50 EUR"), "3", "2024-05-02,35 EUR,"), s.at("/records?kind=sold&line=3"))
	corrected := strings.Replace(sales, "35 EUR", "35.50 EUR", 1)
	if status != 303 || s.content(t, "records/sold.csv") != corrected {
		t.Errorf("corrected: %d\n%s", status, s.content(t, "records/sold.csv"))
	}
	status, _ = s.ask(t, "POST", "/take-out", of(row("sold"), "2", `2024-05-01,34 EUR,"a, b"`), s.at("/records?kind=sold"))
	without := strings.Replace(corrected, "2024-05-01,34 EUR,\"a, b\"\n", "", 1)
	if status != 303 || s.content(t, "records/sold.csv") != without {
		t.Errorf("taken out: %d\n%s", status, s.content(t, "records/sold.csv"))
	}
	for i, c := range []struct{ path, want string }{{"/undo", corrected}, {"/undo", sales}, {"/redo", corrected}, {"/redo", without}} {
		status, _, h := s.fetch(t, "POST", c.path, url.Values{}, s.at("/records?kind=sold&line=9"))
		if status != 303 || h.Get("Location") != "/records?kind=sold" || s.content(t, "records/sold.csv") != c.want {
			t.Errorf("step %d %s: %d to %s\n%s", i, c.path, status, h.Get("Location"), s.content(t, "records/sold.csv"))
		}
	}
}

func TestARowChangedElsewhereIsNotOverwritten(t *testing.T) {
	s := serve(t, withSales())
	mine := of(row("sold", "date", "2024-05-02", "price", "31 EUR"), "3", "2024-05-02,35 EUR,")
	changed := strings.Replace(sales, "35 EUR", "37 EUR", 1)
	write(t, s.dir, map[string]string{"records/sold.csv": changed})
	status, body := s.ask(t, "POST", "/record", mine, nil)
	if status != 409 || s.content(t, "records/sold.csv") != changed {
		t.Errorf("%d", status)
	}
	for _, want := range []string{"2024-05-02,37 EUR,", `value="31 EUR"`, "Write mine over it"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	// A row that only stands elsewhere is followed, so that no other is overwritten.
	moved := strings.Replace(sales, "2024-05-01,34 EUR,\"a, b\"\n", "", 1)
	write(t, s.dir, map[string]string{"records/sold.csv": moved})
	status, body = s.ask(t, "POST", "/record", mine, nil)
	if status != 409 || s.content(t, "records/sold.csv") != moved || !strings.Contains(body, `name="line" value="2"`) || !strings.Contains(body, `name="was" value="2024-05-02,35 EUR,"`) {
		t.Errorf("moved: %d", status)
	}
	if status, _ = s.ask(t, "POST", "/take-out", of(row("sold"), "3", "2024-05-02,35 EUR,"), nil); status != 409 || s.content(t, "records/sold.csv") != moved {
		t.Errorf("another row was taken out: %d", status)
	}
	if status, _ = s.ask(t, "GET", "/records?kind=sold&line=77", nil, nil); status != 404 {
		t.Errorf("a row that there is not: %d", status)
	}
}

func TestOtherSitesWriteNoRecords(t *testing.T) {
	s := serve(t, withSales())
	form := of(row("sold", "date", "2024-05-31", "price", "1 EUR"), "2", `2024-05-01,34 EUR,"a, b"`)
	for _, path := range []string{"/record", "/take-out", "/take-in", "/undo"} {
		for _, headers := range []map[string]string{{"Origin": "https://evil.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"}} {
			if status, _ := s.ask(t, "POST", path, form, headers); status != 403 {
				t.Errorf("%s with %v: %d, want 403", path, headers, status)
			}
		}
		for _, kind := range []string{"text/plain", "multipart/form-data; boundary=x", ""} {
			if status, _ := s.ask(t, "POST", path, form, map[string]string{"Content-Type": kind}); status != 415 {
				t.Errorf("%s with a body of %q: %d, want 415", path, kind, status)
			}
		}
		if status, _ := s.ask(t, "GET", path+"?"+form.Encode(), nil, nil); status == 303 {
			t.Errorf("GET %s changes something", path)
		}
		stranger := &served{Desk: s.Desk, client: &http.Client{CheckRedirect: s.client.CheckRedirect}}
		if status, _ := stranger.ask(t, "POST", path, form, nil); status != 403 {
			t.Errorf("%s from a stranger: %d, want 403", path, status)
		}
	}
	for _, kind := range []string{"../product", "product.toml", "made/../../x", "NUL", "bom"} {
		s.ask(t, "POST", "/record", row(kind, "date", "x"), nil)
	}
	if s.content(t, "records/sold.csv") != sales || s.content(t, "product.toml") != small["product.toml"] {
		t.Error("something was written")
	}
}

func TestAUnitIsJudgedByItsReadings(t *testing.T) {
	s := serve(t, nil)
	if status, _ := s.ask(t, "POST", "/example", url.Values{}, nil); status != 303 {
		t.Fatal(status)
	}
	before := s.content(t, "records/made.csv")
	for _, c := range []struct{ float, want string }{{"27.40 V", "Pass."}, {"26.10 V", "Fail: it goes back"}} { // 27.304 V to 27.582 V at 21 °C
		status, _, h := s.fetch(t, "POST", "/record", row("made", "date", "2026-01-05", "float", c.float, "ambient", "21 °C"), s.at("/records?kind=made"))
		if status != 303 {
			t.Fatalf("%s: %d", c.float, status)
		}
		if _, body := s.ask(t, "GET", h.Get("Location"), nil, nil); !strings.Contains(body, c.want) {
			t.Errorf("%s: the page does not say %q", c.float, c.want)
		}
		s.ask(t, "POST", "/undo", url.Values{}, nil)
		if s.content(t, "records/made.csv") != before {
			t.Error("taken back, made.csv is another")
		}
	}
	if status, body := s.ask(t, "POST", "/record", row("made", "date", "2026-01-05", "float", "27 A"), nil); status != 422 || !strings.Contains(body, `id="wrong.float"`) {
		t.Errorf("a wrong reading: %d", status)
	}
}
