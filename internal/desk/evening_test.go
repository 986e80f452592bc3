package desk

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// The evening goes on: a sale is written down by keyboard alone, a table and a log are dropped, and all
// of it is taken back.
func TestRecordsAndDropsInTheBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser is slow")
	}
	ctx := browser(t)
	s := serve(t, withSales())
	dress(t, ctx, "light", 1400)
	var h heard
	h.listen(t, ctx)
	do(t, ctx, "the way in", chromedp.Navigate(s.Address()))
	until(t, ctx, "the first page", `!!document.querySelector('#promise-script')`)
	do(t, ctx, "the form", chromedp.Navigate(s.base()+"/records?kind=sold"))
	until(t, ctx, "its cells", `!!document.getElementById('in.price')`)
	focus := func(id string) {
		value[bool](t, ctx, `(i => { i.focus(); i.select?.(); return true })(document.getElementById('`+id+`'))`)
	}
	focus("in.price")
	do(t, ctx, "a wrong price", chromedp.KeyEvent("37 V"), chromedp.KeyEvent("\r"))
	until(t, ctx, "the refusal at its cell", `document.activeElement.id === 'in.price' && !!document.getElementById('wrong.price')`)
	write(t, s.dir, map[string]string{"production.toml": small["production.toml"] + "# a note\n"}) // meanwhile, elsewhere
	until(t, ctx, "the news of it", `document.getElementById('status').textContent.includes('something new')`)
	if got := value[string](t, ctx, `document.getElementById('in.price').value`); got != "37 V" {
		t.Errorf("what was typed became %q", got)
	}
	picture(t, ctx, "records-refused")
	focus("in.price")
	do(t, ctx, "a right one", chromedp.KeyEvent("37 EUR"), chromedp.KeyEvent("\r"))
	until(t, ctx, "the row", `document.querySelector('tbody')?.textContent.includes('37 EUR') && !document.querySelector('.wrong')`)
	if !strings.Contains(s.content(t, "records/sold.csv"), ",37 EUR,") {
		t.Error("the sale was not written")
	}
	picture(t, ctx, "records")

	drop := func(at, name, kind, content string) {
		text, err := json.Marshal(content)
		if err != nil {
			t.Fatal(err)
		}
		do(t, ctx, "the page that takes files", chromedp.Navigate(s.base()+at))
		until(t, ctx, "its form", `document.readyState === 'complete' && !!document.querySelector('form.drop')`)
		value[bool](t, ctx, `(() => { const kind = document.getElementById('kind'); if (kind) kind.value = '`+kind+`';
			const d = new DataTransfer(); d.items.add(new File([`+string(text)+`], '`+name+`'));
			document.body.dispatchEvent(new DragEvent('drop', {dataTransfer: d, bubbles: true, cancelable: true})); return true })()`)
	}
	drop("/import", "orders.csv", "sold", "Order date,Price\n2024-05-20,38 EUR\n2024-05-21,39 EUR\n")
	until(t, ctx, "the rows", `document.querySelector('form.write button')?.textContent === 'Write 2 rows'`)
	picture(t, ctx, "import")
	if strings.Contains(s.content(t, "records/sold.csv"), "38 EUR") {
		t.Error("written before it was agreed to")
	}
	press(t, ctx, "agreeing", "form.write button")
	until(t, ctx, "the rows among the last", `document.querySelector('tbody')?.textContent.includes('39 EUR')`)

	log, err := os.ReadFile("../../demo/osier-24/bench/full-day.csv")
	if err != nil {
		t.Fatal(err)
	}
	drop("/bench", "roof.csv", "", string(log))
	until(t, ctx, "what the log tells", `!!document.querySelector('#told svg')`)
	picture(t, ctx, "log")
	for _, scheme := range []struct {
		name  string
		width int64
	}{{"dark", 360}, {"light", 360}, {"dark", 1400}} {
		dress(t, ctx, scheme.name, scheme.width)
		picture(t, ctx, "log-"+scheme.name+map[bool]string{true: "-phone"}[scheme.width == 360])
		fits(t, ctx, "the log's page", scheme.width)
	}
	press(t, ctx, "agreeing", "form.write button")
	until(t, ctx, "the page of the bench", `location.pathname === '/bench'`)
	if s.content(t, "bench/roof.csv") != string(log) || !strings.Contains(s.content(t, "bench/roof.toml"), "battery voltage") {
		t.Error("the run was not written")
	}
	for range 3 {
		before := value[string](t, ctx, `document.querySelector("form[action='/undo'] button").title`)
		press(t, ctx, "taking back", "form[action='/undo'] button")
		until(t, ctx, "the step", `document.querySelector("form[action='/undo'] button").title !== `+string(quote(t, before)))
	}
	if s.content(t, "records/sold.csv") != sales {
		t.Errorf("taken back, the sales are\n%s", s.content(t, "records/sold.csv"))
	}
	if _, err := os.Stat(s.dir + "/bench/roof.csv"); err == nil {
		t.Error("taken back, the log is still there")
	}
	write(t, s.dir, map[string]string{"records/sold.csv": "date,count,serial,channel,price,carriage,basis,note\n2024-05-01,1,A-0001,shop,39 EUR,4.90 EUR,counted,\"sent to a friend of the house, who paid in spring\"\n"})
	for _, at := range []string{"/records?kind=reading", "/records?kind=sold", "/import", "/calculators?calc=tolerance-factor", "/selftest"} {
		for _, scheme := range []string{"light", "dark"} {
			for _, width := range []int64{360, 1400} {
				dress(t, ctx, scheme, width)
				do(t, ctx, at, chromedp.Navigate(s.base()+at))
				until(t, ctx, at, `document.readyState === 'complete'`)
				fits(t, ctx, at, width)
				picture(t, ctx, strings.NewReplacer("/", "", "?", "-", "=", "-").Replace(at)+"-"+scheme+map[bool]string{true: "-phone"}[width == 360])
			}
		}
	}
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if len(h.complaints) > 0 {
		t.Errorf("the browser complains: %q", h.complaints)
	}
	delete(h.hosts, "127.0.0.1:"+s.port)
	if len(h.hosts) > 0 {
		t.Errorf("requests to other hosts: %v", h.hosts)
	}
}

func quote(t *testing.T, text string) []byte {
	t.Helper()
	data, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
