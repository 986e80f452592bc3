package desk

import (
	"bytes"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// upload drops a file as the page would, and returns where that leads.
func (s *served) upload(t testing.TB, name, kind, content string, headers map[string]string) (int, string) {
	t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	form.WriteField("kind", kind)
	part, err := form.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(part, content)
	form.Close()
	r, err := http.NewRequest("POST", s.base()+"/import", &b)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Origin", s.base())
	for name, value := range headers {
		r.Header.Set(name, value)
	}
	answer, err := s.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	return answer.StatusCode, answer.Header.Get("Location")
}

var hidden = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)

// writing is the form that writes what a page shows.
func writing(t testing.TB, body string) url.Values {
	t.Helper()
	_, form, ok := strings.Cut(body, `action="/take-in"`)
	if !ok {
		t.Fatalf("the page offers nothing to write\n%s", body)
	}
	form, _, _ = strings.Cut(form, "</form>")
	v := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(form, -1) {
		v.Set(html.UnescapeString(m[1]), html.UnescapeString(m[2]))
	}
	return v
}

// What a file is need not be said.
func TestAFileShowsWhatItIs(t *testing.T) {
	s := serve(t, small)
	log, err := os.ReadFile("../../demo/osier-24/bench/full-day.csv")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ content, want string }{
		"orders.csv":  {"Order date,Price,Shipping\n2024-05-20,38 EUR,4 EUR\n", "sold"},
		"repairs.csv": {"date,serial,reason,found\n2024-05-20,A1,dark,cracked joint\n", "returned"},
		"parts.csv":   {"name,part,prices\nfuse,fuse15,1:0.30 EUR\n", "bom"},
		"meter.csv":   {"date,what,value\n2024-05-20,setpoint.float,27.3 V\n", "reading"},
		"day.csv":     {string(log), "bench"},
		"swept.txt":   {"Zeit;Spannung (V)\n0,0;12,1\n1,0;12,2\n", "bench"},
		"bare.csv":    {"date,count\n2024-05-20,3\n", "sold"},
	} {
		if status, at := s.upload(t, name, "", c.content, nil); status != 303 || !strings.HasPrefix(at, "/import?kind="+c.want+"&") {
			t.Errorf("%s: %d to %s, want %s", name, status, at, c.want)
		}
	}
	_, at := s.upload(t, "day.csv", "sold", string(log), nil)
	if _, body := s.ask(t, "GET", at, nil, nil); !strings.Contains(body, `<option value="bench">a log of the bench`) {
		t.Error("what was taken for sales cannot be taken for a log any more")
	}
}

func TestATableIsShownBeforeItIsTakenIn(t *testing.T) {
	s := serve(t, small)
	const table = "Order date;Gross;Customer\n31.05.2024;34,50;Somebody Else\n02.06.2024;35,00;Another\n"
	status, at := s.upload(t, `C:\shop\orders.csv`, "sold", table, nil)
	if status != 303 || !strings.HasPrefix(at, "/import?kind=sold&upload=") {
		t.Fatalf("%d to %s", status, at)
	}
	_, body := s.ask(t, "GET", at, nil, nil)
	for _, want := range []string{"<h2 id=\"import-title\">orders.csv</h2>", "personal", "looked through, harmless", `name="col.2"`, "such as 34,50"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(body, "--without") {
		t.Error("the page speaks of options of the terminal")
	}
	if status, _ := s.ask(t, "POST", "/take-in", writing(t, body), nil); status != 422 {
		t.Errorf("what may be personal is taken: %d", status)
	}
	_, body = s.ask(t, "GET", at+"&col.3=-&col.2=price&currency=EUR", nil, nil)
	form := writing(t, body)
	if !strings.Contains(body, "Write 2 rows") || !strings.Contains(body, "34,50 → 34.50") || !strings.Contains(body, "→ 2024-05-31") {
		t.Errorf("the rows are not shown\n%s", body)
	}
	if _, err := os.Stat(filepath.Join(s.dir, "records")); err == nil {
		t.Error("something was written before it was agreed to")
	}
	status, _, h := s.fetch(t, "POST", "/take-in", form, nil)
	if status != 303 || h.Get("Location") != "/records?kind=sold&done=2" {
		t.Errorf("%d to %s", status, h.Get("Location"))
	}
	if text := s.content(t, "records/sold.csv"); !strings.Contains(text, "2024-05-31") || !strings.Contains(text, "34.50 EUR") || strings.Contains(text, "Somebody") {
		t.Errorf("written\n%s", text)
	}
	if status, _ = s.ask(t, "POST", "/take-in", form, nil); status != 410 {
		t.Errorf("twice: %d", status)
	}
	s.ask(t, "POST", "/undo", url.Values{}, nil)
	if _, err := os.Stat(filepath.Join(s.dir, "records", "sold.csv")); err == nil {
		t.Error("taken back, the file is still there")
	}
}

func TestOnlyWhatWasShownIsTakenIn(t *testing.T) {
	s := serve(t, withSales())
	_, at := s.upload(t, "o.csv", "sold", "date,price\n2024-05-09,39 EUR\n", nil)
	_, body := s.ask(t, "GET", at, nil, nil)
	form := writing(t, body)
	write(t, s.dir, map[string]string{"records/sold.csv": sales + "2024-05-09,39 EUR,\n"})
	if status, body := s.ask(t, "POST", "/take-in", form, nil); status != 409 || !strings.Contains(body, "already") {
		t.Errorf("the folder changed: %d", status)
	}
	if strings.Count(s.content(t, "records/sold.csv"), "2024-05-09") != 1 {
		t.Error("a row was taken twice")
	}
}

func TestUploadsAreHeldAndNothingElse(t *testing.T) {
	s := serve(t, small)
	for _, name := range []string{"../../evil.sh", "/etc/passwd", "NUL", "a.exe", "<script>alert(9)</script>.csv", ".htaccess"} {
		_, at := s.upload(t, name, "sold", "#!/bin/sh\ntouch /tmp/hindwatt-ran\n", nil)
		status, body := s.ask(t, "GET", at, nil, nil)
		if status != 200 || strings.Contains(body, "<script>alert") {
			t.Errorf("%s: %d", name, status)
		}
	}
	if entries, _ := os.ReadDir(s.dir); len(entries) != len(small) {
		t.Errorf("the folder holds %v", entries)
	}
	if _, err := os.Stat("/tmp/hindwatt-ran"); err == nil {
		t.Error("an upload was run")
	}
	_, first := s.upload(t, "1.csv", "sold", "date\n2024-05-01\n", nil)
	for range mostDropped {
		s.upload(t, "2.csv", "sold", "date\n2024-05-01\n", nil)
	}
	if status, _ := s.ask(t, "GET", first, nil, nil); status != 410 {
		t.Errorf("more than %d files are held: %d", mostDropped, status)
	}
	for _, headers := range []map[string]string{{"Origin": "https://evil.example"}, {"Sec-Fetch-Site": "cross-site"}} {
		if status, _ := s.upload(t, "1.csv", "sold", "date\n2024-05-01\n", headers); status != 403 {
			t.Errorf("dropped by another site: %d", status)
		}
	}
	if status, _ := s.upload(t, "1.csv", "sold", strings.Repeat("x", maxUpload+1), nil); status != http.StatusRequestEntityTooLarge {
		t.Errorf("a file that is too large: %d", status)
	}
	if status, _ := s.upload(t, "1.csv", "sold", "", nil); status != 422 {
		t.Errorf("an empty file: %d", status)
	}
}

func TestALogIsShownBeforeItsRunIsWritten(t *testing.T) {
	s := serve(t, nil)
	if status, _ := s.ask(t, "POST", "/example", url.Values{}, nil); status != 303 {
		t.Fatal(status)
	}
	log := s.content(t, "bench/full-day.csv")
	_, at := s.upload(t, "Roof day 2.csv", "bench", log, nil)
	_, body := s.ask(t, "GET", at, nil, nil)
	for _, want := range []string{`value="roof-day-2"`, "is = &#34;battery voltage&#34;", "header = &#34;Ubat [V]&#34;", "absorption", "<svg"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	file := filepath.Join(s.dir, "bench", "roof-day-2.toml")
	if _, err := os.Stat(file); err == nil {
		t.Error("the run was written before it was shown")
	}
	_, body = s.ask(t, "GET", at+"&key.date=2024-05-14&key.serial=1437&key.meter=logger&key.note=%22a%22%5C", nil, nil)
	status, _, h := s.fetch(t, "POST", "/take-in", writing(t, body), nil)
	if status != 303 || h.Get("Location") != "/bench" {
		t.Fatalf("%d to %s", status, h.Get("Location"))
	}
	text := s.content(t, "bench/roof-day-2.toml")
	if !strings.Contains(text, "date = 2024-05-14\n") || !strings.Contains(text, `note = "\"a\"\\"`) || s.content(t, "bench/roof-day-2.csv") != log {
		t.Errorf("written\n%s", text)
	}
	s.ask(t, "POST", "/undo", url.Values{}, nil)
	if _, err := os.Stat(file); err == nil {
		t.Error("taken back, the run is still there")
	}
	_, at = s.upload(t, "full-day.csv", "bench", log, nil)
	_, body = s.ask(t, "GET", at, nil, nil)
	if status, _ := s.ask(t, "POST", "/take-in", writing(t, body), nil); status != 422 || s.content(t, "bench/full-day.csv") != log {
		t.Errorf("over a run that is there: %d", status)
	}
}
