package desk

import (
	"encoding/csv"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// firstWindow is the address of the first curve of a page.
func firstWindow(t *testing.T, body string) string {
	t.Helper()
	m := regexp.MustCompile(`data-window="([^"]*)"`).FindStringSubmatch(body)
	if m == nil {
		t.Fatal("no curve on the page")
	}
	return m[1]
}

func TestAPartOfAFigure(t *testing.T) {
	s := serve(t, priced())
	<-s.sight.look("").answer("production").done
	_, body := s.ask(t, "GET", "/production", nil, nil)
	at := firstWindow(t, body)
	type drawn struct {
		SVG                            string
		From, To, Top, Foot, Low, High float64
		Series                         []struct {
			Name string
			At   []float64
			X, Y []string
		}
	}
	ask := func(q string) (d drawn) {
		t.Helper()
		status, text := s.ask(t, "GET", at+q, nil, nil)
		if status != 200 {
			t.Fatal(q, status, text)
		}
		if err := json.Unmarshal([]byte(text), &d); err != nil {
			t.Fatal(q, err)
		}
		return d
	}
	all := ask("&width=640")
	if len(all.Series) == 0 || len(all.Series[0].At) < 2 || all.Series[0].Y[0] == "" || !strings.HasPrefix(all.SVG, "<svg") || all.To <= all.From || all.Foot <= all.Top {
		t.Fatalf("%+v", all)
	}
	third := (all.High - all.Low) / 3
	q := func(low, high float64) string {
		text, _ := json.Marshal([]float64{low, high})
		from, to, _ := strings.Cut(strings.Trim(string(text), "[]"), ",")
		return "&width=640&from=" + from + "&to=" + to
	}
	part := ask(q(all.Low+third, all.High-third))
	if part.SVG == all.SVG || part.Low < all.Low || part.High > all.High || part.High-part.Low > 0.99*(all.High-all.Low) {
		t.Errorf("%v to %v is drawn as %v to %v", all.Low+third, all.High-third, part.Low, part.High)
	}
	for _, bad := range []string{"&from=NaN&to=1", "&from=Inf&to=x", "&width=1e9", "&width=-1", ""} {
		ask(bad)
	}
	if status, _ := s.ask(t, "GET", at+"&from=1e6&to=2e6", nil, nil); status != 404 {
		t.Error("beyond the end:", status)
	}
	status, text, h := s.fetch(t, "GET", strings.Replace(at, "/window", "/csv", 1), nil, nil)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if status != 200 || err != nil || len(rows) < 3 || rows[0][0] != "series" || !strings.HasPrefix(h.Get("Content-Type"), "text/csv") {
		t.Errorf("%d %v %.200s", status, err, text)
	}
	if status, _ := s.ask(t, "GET", regexp.MustCompile(`/\d+/window`).ReplaceAllString(at, "/0/window"), nil, nil); status != 404 {
		t.Error("a part of what is no curve:", status)
	}
}

// A maker reads a figure by keyboard, and a part of it by dragging.
func TestReadingAFigure(t *testing.T) {
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
	do(t, ctx, "the page of the cost", chromedp.Navigate(s.base()+"/production"))
	until(t, ctx, "the figure", `!!document.querySelector('figure[data-window] .wide.reading')`)
	value[bool](t, ctx, `(b => { window.box = b; b.scrollIntoView({block: 'center'}); b.focus(); return true })(document.querySelector('figure[data-window] .wide'))`)
	do(t, ctx, "an arrow", chromedp.KeyEvent("\u0303"))
	until(t, ctx, "the values", `!!box.querySelector('.cross') && /^at .+: .*EUR/.test(box.parentElement.querySelector('output').textContent)`)
	first := value[string](t, ctx, `box.parentElement.querySelector('output').textContent`)
	do(t, ctx, "another", chromedp.KeyEvent("\u0303"))
	until(t, ctx, "other values", `box.parentElement.querySelector('output').textContent !== `+"`"+first+"`")
	ticks := value[string](t, ctx, `box.querySelector('svg').textContent`)
	do(t, ctx, "nearer", chromedp.KeyEvent("+"))
	until(t, ctx, "a part by keyboard", `box.querySelector('svg').textContent !== `+"`"+ticks+"`"+` && !box.parentElement.querySelector('.readout button').hidden`)
	do(t, ctx, "the whole", chromedp.KeyEvent("0"))
	until(t, ctx, "the whole by keyboard", `box.querySelector('svg').textContent === `+"`"+ticks+"`"+` && box.parentElement.querySelector('.readout button').hidden`)
	value[bool](t, ctx, `(() => {
		const r = box.querySelector('svg').getBoundingClientRect(), y = r.top + r.height / 2;
		const at = (kind, part) => box.dispatchEvent(new PointerEvent(kind, {clientX: r.left + r.width * part, clientY: y, button: 0, pointerId: 1, bubbles: true}));
		box.setPointerCapture = () => {};
		at('pointerdown', 0.4);
		setTimeout(() => { at('pointermove', 0.6); setTimeout(() => at('pointerup', 0.7), 50); }, 50);
		return true;
	})()`)
	until(t, ctx, "a part by dragging", `box.querySelector('svg').textContent !== `+"`"+ticks+"`")
	picture(t, ctx, "figure-part")
	value[bool](t, ctx, `(box.parentElement.querySelector('.readout button').click(), true)`)
	until(t, ctx, "the whole by its button", `box.querySelector('svg').textContent === `+"`"+ticks+"`")
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if len(h.complaints) > 0 {
		t.Errorf("the browser complains: %q", h.complaints)
	}
}
