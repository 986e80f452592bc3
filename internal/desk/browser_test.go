package desk

import (
	"context"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browser starts Chromium without a window. Without one the test is skipped, which fails where HINDWATT_BROWSER is "required".
func browser(t *testing.T) context.Context {
	t.Helper()
	var path string
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		if os.Getenv("HINDWATT_BROWSER") == "required" {
			t.Fatal("there is no Chromium on this machine, and HINDWATT_BROWSER asks for one")
		}
		t.Skip("SKIPPED: there is no Chromium on this machine, so that nothing was tried in a browser")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 120*time.Second)
	t.Cleanup(cancel)
	ctx, end := chromedp.NewExecAllocator(ctx, append(append([]chromedp.ExecAllocatorOption{}, chromedp.DefaultExecAllocatorOptions[:]...),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true), chromedp.WindowSize(1200, 900))...)
	t.Cleanup(end)
	ctx, close := chromedp.NewContext(ctx)
	t.Cleanup(close)
	if err := chromedp.Do(ctx); err != nil { // starts it, for as long as ctx lasts
		t.Fatal(err)
	}
	return ctx
}

// heard is what the browser complained of, and where it sent requests.
type heard struct {
	mutex      sync.Mutex
	complaints []string
	hosts      map[string]bool
}

func (h *heard) listen(t *testing.T, ctx context.Context) {
	h.hosts = map[string]bool{}
	err := chromedp.Listen(ctx, func(ev any) {
		h.mutex.Lock()
		defer h.mutex.Unlock()
		switch e := ev.(type) {
		case *network.EventRequestWillBeSent:
			if u, err := url.Parse(e.Request.URL); err == nil {
				h.hosts[u.Host] = true
			}
		case *runtime.EventExceptionThrown:
			h.complaints = append(h.complaints, e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			if e.Type == "error" || e.Type == "warning" {
				h.complaints = append(h.complaints, "console")
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}

func do(t *testing.T, ctx context.Context, what string, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	limit, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	if err := chromedp.Do(limit, steps...); err != nil {
		t.Fatalf("%s: %v", what, err)
	}
}

// press clicks where a selector is; once more where the page was put in the place of an older one just then.
func press(t *testing.T, ctx context.Context, what, selector string) {
	t.Helper()
	limit, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	for range 5 {
		err := chromedp.Do(limit, chromedp.Click(selector))
		if err == nil {
			return
		}
		if !strings.Contains(err.Error(), "Could not find node") {
			t.Fatalf("%s: %v", what, err)
		}
	}
	t.Fatalf("%s: the page does not come to rest", what)
}

func value[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a script to be true.
func until(t *testing.T, ctx context.Context, what, script string) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if v, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script)); err == nil && v {
			return
		}
	}
	body, _ := chromedp.Run(ctx, chromedp.Evaluate[string]("document.body.innerText.slice(0, 1500)"))
	t.Fatalf("%s did not happen; the page says\n%s", what, body)
}

// picture keeps what the page looks like where HINDWATT_PICTURES names a folder.
func picture(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	dir := os.Getenv("HINDWATT_PICTURES")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		t.Fatal(err)
	}
}

// fits looks that a page, once laid out, is no wider than its window.
func fits(t *testing.T, ctx context.Context, what string, width int64) {
	t.Helper()
	over := 0
	for end := time.Now().Add(3 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if over = value[int](t, ctx, `document.documentElement.scrollWidth - innerWidth`); over <= 0 {
			return
		}
	}
	t.Errorf("%s is %d px wider than a window of %d px", what, over, width)
}

func dress(t *testing.T, ctx context.Context, scheme string, width int64) {
	t.Helper()
	do(t, ctx, "looks", chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}), chromedp.EmulateViewport(width, 900))
}

// The evening of a maker: look, change a value by keyboard alone, see what moves, take it back, see a
// file change by itself, print.
func TestTheEvening(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser is slow")
	}
	ctx := browser(t)
	s := serve(t, map[string]string{
		"product.toml":    small["product.toml"],
		"promises.toml":   "[promise.cost]\nlabel = \"Costs less than 60 EUR to make\"\nstudy = \"production\"\nquantity = \"unit-cost\"\nmax = \"60 EUR\"\n",
		"production.toml": made,
	})
	dress(t, ctx, "light", 1200)
	var h heard
	h.listen(t, ctx)
	do(t, ctx, "the way in", chromedp.Navigate(s.Address()))
	until(t, ctx, "the verdict", `document.querySelector('#promise-cost .v')?.textContent === 'met'`)
	picture(t, ctx, "home")

	do(t, ctx, "the page of the cost", chromedp.Navigate(s.base()+"/production"))
	until(t, ctx, "the inputs", `document.querySelectorAll('.field input[name=text]').length > 2`)
	field := value[string](t, ctx, `[...document.querySelectorAll('.field')].find(f => f.key.value === 'bom.parts.prices').querySelector('[name=text]').id`)
	was := value[string](t, ctx, `document.getElementById('`+field+`').value`)
	file := value[string](t, ctx, `document.getElementById('`+field+`').form.file.value`)
	before := s.content(t, file)
	picture(t, ctx, "production")

	value[bool](t, ctx, `(i => { i.focus(); i.select(); return true })(document.getElementById('`+field+`'))`)
	do(t, ctx, "typing nonsense", chromedp.KeyEvent("20 V"), chromedp.KeyEvent("\r"))
	until(t, ctx, "the refusal beside the field", `document.getElementById('`+field+`').getAttribute('aria-invalid') === 'true' && !!document.querySelector('.wrong')`)
	if s.content(t, file) != before {
		t.Error("nonsense was written")
	}
	picture(t, ctx, "refused")
	value[bool](t, ctx, `(i => { i.focus(); i.select(); return true })(document.getElementById('`+field+`'))`)
	do(t, ctx, "typing a price", chromedp.KeyEvent("1:90 EUR"), chromedp.KeyEvent("\r"))
	until(t, ctx, "the new value", `document.getElementById('`+field+`')?.value === '1:90 EUR' && !document.querySelector('.wrong')`)
	if !strings.Contains(s.content(t, file), "1:90 EUR") {
		t.Error("the price was not written")
	}
	do(t, ctx, "back to the promises", chromedp.Navigate(s.base()+"/"))
	until(t, ctx, "the strip to move", `document.querySelector('#promise-cost .v')?.textContent === 'not met' && document.querySelector('#promise-cost .since')?.textContent.includes('was met')`)
	picture(t, ctx, "moved")
	press(t, ctx, "taking back", "form[action='/undo'] button")
	until(t, ctx, "the verdict from before", `document.querySelector('#promise-cost .v')?.textContent === 'met'`)
	if s.content(t, file) != before {
		t.Errorf("taken back, the file is another; it had %s", was)
	}

	text := s.content(t, "promises.toml")
	write(t, s.dir, map[string]string{"promises.toml": strings.Replace(text, "Costs less", "Costs surely less", 1)})
	until(t, ctx, "a change on disk to appear", `document.querySelector('#promise-cost h3')?.textContent.includes('surely')`)

	for _, width := range []int64{360, 3840} {
		dress(t, ctx, "dark", width)
		for _, path := range []string{"/", "/production", "/calculators", "/changes"} {
			do(t, ctx, path, chromedp.Navigate(s.base()+path))
			until(t, ctx, path, `document.readyState === 'complete'`)
			fits(t, ctx, path, width)
			picture(t, ctx, strings.ReplaceAll(strings.Trim(path, "/")+"-dark", "/", "")+"-"+map[int64]string{360: "phone", 3840: "4k"}[width])
		}
	}
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF())
	if err != nil || len(pdf) < 5000 || string(pdf[:4]) != "%PDF" {
		t.Errorf("print: %d bytes, %v", len(pdf), err)
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
