package desk

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// small is a folder that is judged at once. All of it is invented.
var small = map[string]string{
	"product.toml": `# a line of the maker's own
name    = "Alder <script>alert(1)</script>"
summary = "an invented one & only"
current = "10 A"   # on the label
[sense]
top  = "120 kΩ ±1 %"
bits = 10
`,
	"promises.toml": `[promise.script]
label    = "Holds <script>alert(2)</script> & \"more\""
study    = "accounts"
quantity = "hour-worth"
min      = "20 EUR/h"
`,
	"production.toml": `[work]
hour = "24 EUR/h"
week = "20 h"
`,
}

func write(t testing.TB, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// served is a desk that runs, and a browser that was let in.
type served struct {
	*Desk
	dir    string
	client *http.Client
	stop   context.CancelFunc
	ended  chan error
}

func serve(t testing.TB, files map[string]string) *served {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	s := &served{dir: t.TempDir(), ended: make(chan error, 1)}
	write(t, s.dir, files)
	var err error
	if s.Desk, err = Listen(Options{Dir: s.dir, Seed: 1}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s.stop = stop
	go func() { s.ended <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		select {
		case err := <-s.ended:
			if err != nil {
				t.Error(err)
			}
		case <-time.After(10 * time.Second):
			t.Error("the desk did not stop")
		}
	})
	jar, _ := cookiejar.New(nil)
	s.client = &http.Client{Jar: jar, Timeout: 30 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	if status, _ := s.ask(t, "GET", strings.TrimPrefix(s.Address(), s.base()), nil, nil); status != http.StatusOK {
		t.Fatal("not let in:", status)
	}
	return s
}

// ask sends a request as a page of the desk itself would; headers change that.
func (s *served) ask(t testing.TB, method, path string, form url.Values, headers map[string]string) (int, string) {
	t.Helper()
	status, body, _ := s.fetch(t, method, path, form, headers)
	return status, body
}

// shows waits until a page shows a text: it is shown without what is still being computed.
func (s *served) shows(t testing.TB, path, text string) {
	t.Helper()
	status, body := 0, ""
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if status, body = s.ask(t, "GET", path, nil, nil); status == http.StatusOK && strings.Contains(body, text) {
			return
		}
	}
	t.Errorf("%s: %d, does not show %s", path, status, text)
}

func (s *served) fetch(t testing.TB, method, path string, form url.Values, headers map[string]string) (int, string, http.Header) {
	t.Helper()
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r, err := http.NewRequest(method, s.base()+path, body)
	if err != nil {
		t.Fatal(err)
	}
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", s.base())
	}
	for name, value := range headers {
		if name == "Host" {
			r.Host = value
		}
		r.Header.Set(name, value)
	}
	answer, err := s.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text), answer.Header
}

func (s *served) content(t testing.TB, file string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(s.dir, file))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func change(file, key, was, text string) url.Values {
	return url.Values{"file": {file}, "key": {key}, "was": {was}, "text": {text}}
}

func TestListensOnLoopbackOnly(t *testing.T) {
	s := serve(t, small)
	for _, l := range s.listeners {
		if a := l.Addr().(*net.TCPAddr); !a.IP.IsLoopback() {
			t.Errorf("listens on %v", a)
		}
	}
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, a := range addresses {
		one, ok := a.(*net.IPNet)
		if !ok || one.IP.IsLoopback() || one.IP.IsLinkLocalUnicast() {
			continue
		}
		tried++
		c, err := net.DialTimeout("tcp", net.JoinHostPort(one.IP.String(), s.port), time.Second)
		if err == nil {
			c.Close()
			t.Errorf("%v answers", one.IP)
		}
	}
	t.Logf("tried %d other addresses of this machine", tried)
}

func TestHost(t *testing.T) {
	s := serve(t, small)
	for host, want := range map[string]int{
		"127.0.0.1:" + s.port: 200, "localhost:" + s.port: 200, "[::1]:" + s.port: 200,
		"evil.example": 421, "evil.example:" + s.port: 421, "127.0.0.1": 421, "127.0.0.1.evil.example:" + s.port: 421, "127.0.0.1:1": 421, "0.0.0.0:" + s.port: 421,
	} {
		cookie := s.guard.cookie + "=" + s.guard.session // the jar would not give it to another name
		if status, _ := s.ask(t, "GET", "/", nil, map[string]string{"Host": host, "Cookie": cookie}); status != want {
			t.Errorf("Host %s: %d, want %d", host, status, want)
		}
	}
}

func TestTheAddressLetsOneBrowserIn(t *testing.T) {
	s := serve(t, small)
	way := strings.TrimPrefix(s.Address(), s.base())
	stranger := &served{Desk: s.Desk, client: &http.Client{CheckRedirect: s.client.CheckRedirect}}
	for _, path := range []string{"/", "/setpoint", "/assets/style.css", "/enter", "/enter?key=", "/enter?key=x", "/changes"} {
		if status, body := stranger.ask(t, "GET", path, nil, nil); status != 403 || strings.Contains(body, "Alder") {
			t.Errorf("%s without the address: %d", path, status)
		}
	}
	if status, _ := stranger.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", "12"), nil); status != 403 || !strings.Contains(s.content(t, "product.toml"), "bits = 10") {
		t.Errorf("a stranger wrote: %d", status)
	}
	status, _, header := stranger.fetch(t, "GET", way, nil, nil)
	cookie := header.Get("Set-Cookie")
	if status != 200 || !strings.Contains(cookie, "SameSite=Strict") || !strings.Contains(cookie, "HttpOnly") || !strings.Contains(cookie, "Path=/") {
		t.Errorf("the way in: %d %s", status, cookie)
	}
	if status, _ := stranger.ask(t, "GET", way, nil, nil); status != 403 {
		t.Errorf("the same address again: %d, want 403", status)
	}
	if status, _ := s.ask(t, "GET", way, nil, nil); status != 200 {
		t.Errorf("a used address for who is in already: %d, want 200", status)
	}
	name, _, _ := strings.Cut(cookie, ";")
	if status, _ := stranger.ask(t, "GET", "/", nil, map[string]string{"Cookie": name}); status != 200 {
		t.Errorf("with the cookie: %d", status)
	}
	if status, _ := stranger.ask(t, "GET", "/", nil, map[string]string{"Cookie": name[:len(name)-1]}); status != 403 {
		t.Errorf("with a part of the cookie: %d", status)
	}
}

func TestOtherSitesChangeNothing(t *testing.T) {
	s := serve(t, small)
	before := s.content(t, "product.toml")
	for _, headers := range []map[string]string{
		{"Origin": "https://evil.example"}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"},
		{"Origin": "null"}, {"Origin": "http://127.0.0.1:1"}, {"Origin": "http://localhost:" + s.port},
	} {
		if status, _ := s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", "12"), headers); status != 403 || s.content(t, "product.toml") != before {
			t.Errorf("%v: %d, want 403", headers, status)
		}
	}
	for kind, want := range map[string]int{"text/plain": 415, "": 415, "application/octet-stream": 415, "multipart/form-data; boundary=x": 415, "text/html": 415, "application/x-www-form-urlencoded": 303} {
		if status, _ := s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", "12"), map[string]string{"Content-Type": kind}); status != want {
			t.Errorf("a body of %q: %d, want %d", kind, status, want)
		}
	}
	for _, path := range []string{"/set?file=product.toml&key=sense.bits&was=12&text=9", "/undo", "/redo"} {
		if status, _ := s.ask(t, "GET", path, nil, nil); status == 200 || status == 303 {
			t.Errorf("GET %s: %d", path, status)
		}
	}
}

func TestPolicy(t *testing.T) {
	s := serve(t, small)
	for _, path := range []string{"/", "/setpoint", "/nowhere", "/assets/style.css", "/enter"} {
		_, _, h := s.fetch(t, "GET", path, nil, nil)
		p := h.Get("Content-Security-Policy")
		if !strings.HasPrefix(p, "default-src 'none'") || strings.Contains(p, "unsafe") || !strings.Contains(p, "frame-ancestors 'none'") || strings.ContainsAny(p, "*:") {
			t.Errorf("%s: %s", path, p)
		}
		if h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may be sniffed", path)
		}
	}
	for _, path := range []string{"/", "/accounts", "/changes"} {
		_, body := s.ask(t, "GET", path, nil, nil)
		body = strings.ReplaceAll(body, `xmlns="http://www.w3.org/2000/svg"`, "") // a name, no address
		for _, bad := range []string{" style=", " onclick=", "<style", "javascript:", "http://", "https://"} {
			if strings.Contains(body, bad) {
				t.Errorf("%s holds %q", path, bad)
			}
		}
	}
}

func TestLabelsAreText(t *testing.T) {
	s := serve(t, small)
	<-s.sight.look("").judged
	for _, path := range []string{"/", "/accounts", "/v/%3Cscript%3E/", "/%3Cscript%3Ealert(3)"} {
		_, body := s.ask(t, "GET", path, nil, nil)
		if strings.Contains(body, "<script>") || strings.Contains(body, "alert(1)</script>") {
			t.Errorf("%s: a script of the folder is a script of the page", path)
		}
	}
	_, body := s.ask(t, "GET", "/", nil, nil)
	for _, want := range []string{"Alder &lt;script&gt;alert(1)", "Holds &lt;script&gt;alert(2)"} {
		if !strings.Contains(body, want) {
			t.Errorf("the first page does not show %s", want)
		}
	}
	status, body := s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", `"><script>alert(4)</script>`), map[string]string{"Referer": s.base() + "/accounts"})
	if status != 422 || strings.Contains(body, "<script>alert") {
		t.Errorf("what was typed comes back as a script: %d", status)
	}
}

func TestNoPathLeadsOut(t *testing.T) {
	s := serve(t, small)
	outside := filepath.Join(t.TempDir(), "secret.toml")
	write(t, filepath.Dir(outside), map[string]string{"secret.toml": "name = \"very secret\"\n"})
	if err := os.MkdirAll(filepath.Join(s.dir, "variants"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{
		"/../../../../etc/passwd", "/assets/../desk.html", "/assets/..%2fdesk.go", "/assets/%2e%2e%2fdesk.go", "/product.toml", "/assets/product.toml",
		"/..%2f..%2fetc%2fpasswd", "/v/..%2f..%2f/setpoint", "/assets/NUL", "/assets/CON.css", "/assets/%00", "/assets/.", "/..%5c..%5cwindows", "//etc/passwd",
	} {
		status, body := s.ask(t, "GET", path, nil, nil)
		if strings.Contains(body, "root:") || strings.Contains(body, "package desk") || strings.Contains(body, "a line of the maker's own") {
			t.Errorf("GET %s: %d gives a file away", path, status)
		}
	}
	before := s.content(t, "product.toml")
	for _, file := range []string{
		"../secret.toml", outside, "variants/../../x.toml", `variants\..\..\x.toml`, "installations/../../x.toml", "/dev/null", "NUL", "variants/NUL", "records/sold.csv",
		"variants/.hidden.toml", "variants/a\x00.toml", ".", "", "product.toml/../../x.toml", "decisions/x.md", "originals/x.toml",
	} {
		if status, _ := s.ask(t, "POST", "/set", change(file, "name", "", "owned"), nil); status != 422 && status != 400 {
			t.Errorf("a value in %q: %d, want it refused", file, status)
		}
	}
	if data, _ := os.ReadFile(outside); string(data) != "name = \"very secret\"\n" || s.content(t, "product.toml") != before {
		t.Error("a file was written")
	}
	if err := os.Symlink(outside, filepath.Join(s.dir, "variants", "link.toml")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	status, body := s.ask(t, "GET", "/v/link/", nil, nil)
	if strings.Contains(body, "very secret") {
		t.Errorf("a link out of the folder is read: %d", status)
	}
	if status, _ := s.ask(t, "POST", "/set", change("variants/link.toml", "why", "", "owned"), nil); status != 422 {
		t.Errorf("a link out of the folder is written: %d", status)
	}
	if data, _ := os.ReadFile(outside); string(data) != "name = \"very secret\"\n" {
		t.Error("the file behind a link was written")
	}
}

func TestBodiesAreLimited(t *testing.T) {
	s := serve(t, small)
	status, _ := s.ask(t, "POST", "/set", change("product.toml", "sense.bits", "10", strings.Repeat("9", maxForm+1)), nil)
	if status != http.StatusRequestEntityTooLarge {
		t.Errorf("a form that is too long: %d, want 413", status)
	}
	r, _ := http.NewRequest("GET", s.base()+"/", nil)
	r.Header.Set("X-Long", strings.Repeat("x", 2*headerBytes))
	if answer, err := s.client.Do(r); err == nil {
		answer.Body.Close()
		if answer.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
			t.Errorf("long headers: %d", answer.StatusCode)
		}
	}
}

func TestASecondProgramGetsAnotherWayIn(t *testing.T) {
	s := serve(t, small)
	var address string
	for ok := false; !ok; time.Sleep(10 * time.Millisecond) { // the notice is left while Serve begins
		address, ok = Running(s.dir)
	}
	other := &served{Desk: s.Desk, client: &http.Client{CheckRedirect: s.client.CheckRedirect}}
	if status, _ := other.ask(t, "GET", strings.TrimPrefix(address, s.base()), nil, nil); status != 200 {
		t.Errorf("the second way in: %d", status)
	}
	if status, _ := other.ask(t, "POST", againPath, nil, map[string]string{"Authorization": "Bearer x"}); status != 403 {
		t.Errorf("somebody who cannot read the notice: %d, want 403", status)
	}
	if info, err := os.Stat(noticeFile(s.Desk.dir)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the notice: %v, %v", info, err)
	}
	if _, ok := Running(t.TempDir()); ok {
		t.Error("another folder is said to be open")
	}
	s.stop()
	<-s.ended
	s.ended <- nil
	if _, ok := Running(s.dir); ok {
		t.Error("a desk that has stopped is said to be open")
	}
	if _, err := os.Stat(noticeFile(s.Desk.dir)); err == nil {
		t.Error("the notice is still there")
	}
}

func TestStopsWhileSomethingIsComputed(t *testing.T) {
	s := serve(t, small)
	s.ask(t, "GET", "/", nil, nil)
	begin := time.Now()
	s.stop()
	if err := <-s.ended; err != nil || time.Since(begin) > 3*time.Second {
		t.Errorf("stopped after %v: %v", time.Since(begin), err)
	}
	s.ended <- nil
	if c, err := net.Dial("tcp", "127.0.0.1:"+s.port); err == nil {
		c.Close()
		t.Error("the port still answers")
	}
}
