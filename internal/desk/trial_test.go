package desk

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// priced is a folder with one promise, on what a unit costs.
func priced() map[string]string {
	return map[string]string{
		"product.toml":    small["product.toml"],
		"promises.toml":   "[promise.cost]\nlabel = \"Costs less than 60 EUR to make\"\nstudy = \"production\"\nquantity = \"unit-cost\"\nmax = \"60 EUR\"\n",
		"production.toml": made,
	}
}

// everything is the content of all files of a folder, without what is kept of results.
func everything(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if err == nil && e.Name() == ".kept" {
				return filepath.SkipDir
			}
			return err
		}
		data, err := os.ReadFile(path)
		b.WriteString(path + "\x00" + string(data) + "\x00")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func tryForm(pairs ...string) url.Values {
	q := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		q.Add("in", pairs[i])
		q.Add("to", pairs[i+1])
	}
	return q
}

func TestTryingWritesNothing(t *testing.T) {
	s := serve(t, priced())
	before := everything(t, s.dir)
	q := tryForm("production.toml work.hour", "240 EUR/h", "product.toml sense.bits", "12")
	see := func(want string) string {
		t.Helper()
		var body string
		for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			var status int
			if status, body = s.ask(t, "GET", "/try?"+q.Encode(), nil, nil); status != http.StatusOK {
				t.Fatal(status, body)
			}
			if strings.Contains(body, want) {
				return body
			}
		}
		t.Fatalf("%q is not on the page of the trial:\n%s", want, body)
		return ""
	}
	verdict := regexp.MustCompile(`(?s)id="promise-cost".{0,60}class="v ([a-z-]+)"`)
	if body := see(`class="v not-met"`); !strings.Contains(body, `value="240 EUR/h"`) || !strings.Contains(body, "the file has 24 EUR/h") || !strings.Contains(body, "Keep as a variant") {
		t.Error(body)
	}
	if _, home := s.ask(t, "GET", "/", nil, nil); verdict.FindStringSubmatch(home) == nil || verdict.FindStringSubmatch(home)[1] != "met" {
		t.Error("the first page shows what is only tried")
	}
	q = tryForm("production.toml work.hour", "240 V")
	if body := see(`role="alert"`); !strings.Contains(body, `value="240 V"`) || !strings.Contains(body, `aria-invalid="true"`) || strings.Contains(body, "id=\"promise-cost\"") {
		t.Error(body)
	}
	if everything(t, s.dir) != before {
		t.Error("a trial wrote something")
	}
	for _, path := range []string{"/try/keep", "/try/variant"} {
		form := tryForm("production.toml work.hour", "240 V", "product.toml sense.bits", "12")
		form.Set("name", "dear")
		if status, body := s.ask(t, "POST", path, form, nil); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="240 V"`) {
			t.Error(path, status, body)
		}
		form = tryForm("product.toml sense.bits", "12", "production.toml work.hour", "240 V") // the first can be written, the second not
		form.Set("name", "dear")
		if status, _ := s.ask(t, "POST", path, form, nil); status != http.StatusUnprocessableEntity {
			t.Error(path, status)
		}
		if everything(t, s.dir) != before {
			t.Fatalf("%s wrote a part of what it refused", path)
		}
	}
	for _, in := range []string{"../x.toml a", "records/made.csv a", "product.toml", ""} {
		if status, _ := s.ask(t, "GET", "/try?"+tryForm(in, "1").Encode(), nil, nil); status != http.StatusOK && status != http.StatusNotFound {
			t.Error(in, status)
		}
	}
}

func TestWhatIsTriedGoesAlongToAVariant(t *testing.T) {
	s := serve(t, priced())
	q := tryForm("production.toml work.hour", "30 EUR/h")
	q.Set("variant", "")
	q.Set("page", trialPage)
	if status, _, h := s.fetch(t, "GET", "/go?"+q.Encode(), nil, nil); status != http.StatusSeeOther || h.Get("Location") != "/try?"+tryForm("production.toml work.hour", "30 EUR/h").Encode() {
		t.Error(status, h.Get("Location"))
	}
	q.Set("page", "setpoint")
	if _, _, h := s.fetch(t, "GET", "/go?"+q.Encode(), nil, nil); h.Get("Location") != "/setpoint" {
		t.Error(h.Get("Location"))
	}
	form := tryForm("production.toml work.hour", "30 EUR/h")
	form.Set("name", "dear")
	s.ask(t, "POST", "/try/variant", form, nil)
	s.shows(t, "/try?"+tryForm("production.toml work.hour", "31 EUR/h").Encode(), `<input type="hidden" name="to" value="31 EUR/h">`)
}

func TestKeepingWhatWasTried(t *testing.T) {
	s := serve(t, priced())
	before := everything(t, s.dir)
	form := tryForm("production.toml work.hour", "30 EUR/h", "product.toml sense.bits", "12")
	if status, body, h := s.fetch(t, "POST", "/try/keep", form, nil); status != http.StatusSeeOther || h.Get("Location") != "/" {
		t.Fatal(status, body)
	}
	if !strings.Contains(s.content(t, "production.toml"), `"30 EUR/h"`) || !strings.Contains(s.content(t, "product.toml"), "bits = 12") {
		t.Error("not written as tried")
	}
	if s.ask(t, "POST", "/undo", url.Values{}, nil); everything(t, s.dir) != before {
		t.Error("one step back does not take all of it back")
	}
	form.Set("name", "dear")
	form.Set("why", `Hours at "30"`)
	if status, body, h := s.fetch(t, "POST", "/try/variant", form, nil); status != http.StatusSeeOther || h.Get("Location") != "/v/dear/" {
		t.Fatal(status, body)
	}
	text := s.content(t, "variants/dear.toml")
	for _, want := range []string{`"production.work.hour" = "30 EUR/h"`, `"product.sense.bits" = 12`, `why = `} {
		if !strings.Contains(text, want) {
			t.Errorf("the variant lacks %s:\n%s", want, text)
		}
	}
	s.shows(t, "/v/dear/production", "30 EUR/h")
	if status, _ := s.ask(t, "POST", "/try/variant", form, nil); status != http.StatusUnprocessableEntity {
		t.Error("a variant of that name is written over:", status)
	}
	for _, name := range []string{"", "../x", "a b", "con", "-x", strings.Repeat("a", 80)} {
		form.Set("name", name)
		if status, _ := s.ask(t, "POST", "/try/variant", form, nil); status != http.StatusUnprocessableEntity {
			t.Errorf("name %q: %d", name, status)
		}
	}
	if s.ask(t, "POST", "/undo", url.Values{}, nil); everything(t, s.dir) != before {
		t.Error("one step back does not take the variant back")
	}
}

// A trial that nobody follows any more, and those beyond the most, are let go.
func TestTrialsAreLetGo(t *testing.T) {
	s := serve(t, priced())
	for i := range 3 * mostTrials {
		q := tryForm("production.toml work.hour", strings.Repeat("2", 1+i%5)+" EUR/h")
		s.ask(t, "GET", "/try?"+q.Encode(), nil, map[string]string{"Desk-Live": "yes"})
	}
	s.sight.mutex.Lock()
	trials := 0
	for _, l := range s.sight.looks {
		if l.view.query != "" {
			trials++
		}
	}
	if trials > mostTrials || len(s.sight.tried) != trials {
		t.Errorf("%d trials are held, %d counted", trials, len(s.sight.tried))
	}
	s.sight.mutex.Unlock()
	v := view{page: trialPage}.asking(tryForm("production.toml work.hour", "77 EUR/h").Encode())
	l := s.sight.at(v)
	first, second := s.sight.follow(l), s.sight.follow(l)
	if first(); l.ctx.Err() != nil {
		t.Error("let go while it is followed")
	}
	if second(); l.ctx.Err() == nil {
		t.Error("computed although nobody follows it")
	}
}

// A maker moves a slider by keyboard, sees the strip move, and keeps it as a variant.
func TestSliders(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser is slow")
	}
	ctx := browser(t)
	s := serve(t, priced())
	dress(t, ctx, "light", 1200)
	var h heard
	h.listen(t, ctx)
	do(t, ctx, "the way in", chromedp.Navigate(s.Address()))
	until(t, ctx, "the verdict", `document.querySelector('#promise-cost .v')?.textContent === 'met'`)
	before := everything(t, s.dir)
	do(t, ctx, "the page of the cost", chromedp.Navigate(s.base()+"/production"))
	until(t, ctx, "the inputs", `document.querySelectorAll('a.try').length > 1`)
	value[bool](t, ctx, `([...document.querySelectorAll('.field')].find(f => f.key.value === 'work.hour').querySelector('a.try').click(), true)`)
	until(t, ctx, "the slider", `!!document.querySelector('#trial-form input[type=range]')`)
	until(t, ctx, "the strip", `document.querySelector('#promise-cost .v')?.textContent === 'met'`)
	value[bool](t, ctx, `(document.querySelector('#trial-form input[type=range]').focus(), true)`)
	value[bool](t, ctx, `(s => { s.value = s.max; s.dispatchEvent(new Event('input', {bubbles: true})); return true })(document.activeElement)`)
	until(t, ctx, "the value", `document.querySelector('#trial-form input.to').value === '48 EUR/h' && new URLSearchParams(location.search).get('to') === '48 EUR/h'`)
	until(t, ctx, "the strip to move", `/Before, /.test(document.querySelector('#promise-cost desc')?.textContent ?? '')`)
	if !value[bool](t, ctx, `document.activeElement.type === 'range'`) {
		t.Error("the slider was taken out of the hand")
	}
	picture(t, ctx, "trial")
	if everything(t, s.dir) != before {
		t.Error("a slider wrote something")
	}
	until(t, ctx, "the offer to keep it", `!!document.getElementById('variant-name')`)
	value[bool](t, ctx, `(document.getElementById('variant-name').focus(), true)`)
	do(t, ctx, "keeping it", chromedp.KeyEvent("dear-hours"), chromedp.KeyEvent("\r"))
	until(t, ctx, "the variant", `location.pathname === '/v/dear-hours/'`)
	if !strings.Contains(s.content(t, "variants/dear-hours.toml"), `"production.work.hour" = "48 EUR/h"`) {
		t.Error("the variant has not what was tried")
	}
	for _, width := range []int64{360, 1400} {
		dress(t, ctx, "dark", width)
		do(t, ctx, "again", chromedp.Navigate(s.base()+"/try?"+tryForm("production.toml work.hour", "48 EUR/h", "product.toml sense.bits", "12").Encode()))
		until(t, ctx, "the sliders", `document.querySelectorAll('#trial-form input[type=range]').length === 2`)
		fits(t, ctx, "the trial", width)
		picture(t, ctx, map[int64]string{360: "trial-phone", 1400: "trial-dark"}[width])
	}
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if len(h.complaints) > 0 {
		t.Errorf("the browser complains: %q", h.complaints)
	}
}
