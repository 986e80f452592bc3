// Command desk measures how long a maker waits: from a changed value to the first strip that moves. It builds the program, lets it
// serve a copy of the example, as a program of its own as it is beside a browser, and drives it over HTTP and its stream of events; it
// prints the median and the 95th percentile of each study.
//
//	go run ./speed/desk [-n 200] [-program FILE] [study…]
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"hindwatt/demo"
	"hindwatt/internal/product"
)

var each bool

// trials change one value of each study, each time to one that it has not had, so that nothing is known from before, and to one so far
// from the last that a strip has to move.
var trials = []struct {
	study, file, key, format string
	from, reach              float64
}{
	{"setpoint", "product.toml", "regulation.float", "%.2f V", 26.4, 2},
	{"rating", "parts.toml", "part.fuse15.resistance", "%.2f mΩ ±15 %%", 5.2, 20},
	{"fault", "parts.toml", "part.clamp33.energy", "%.3f J", 1.5, 1},
	{"production", "production.toml", "work.hour", "%.2f EUR/h", 24, 100},
	{"charge", "installations/mild-bridge.toml", "panel.soiling", "%.1f %%", 4, 40},
}

func main() {
	n := flag.Int("n", 200, "changes of each value")
	program := flag.String("program", "", "the program, built; default: it is built first")
	flag.BoolVar(&each, "each", false, "say when each strip came")
	flag.Parse()
	if err := run(*n, *program, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(n int, program string, only []string) error {
	dir, err := os.MkdirTemp("", "hindwatt-speed-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := demo.Write(dir); err != nil {
		return err
	}
	if program == "" {
		program = filepath.Join(dir, ".hindwatt") // which the folder does not read
		if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
			return fmt.Errorf("go build, at the top of the project: %w: %s", err, out)
		}
	}
	server := exec.Command(program, "open", "--no-browser", "--seed", "1", "--in", dir)
	out, err := server.StdoutPipe()
	if err != nil {
		return err
	}
	if err := server.Start(); err != nil {
		return err
	}
	way, err := bufio.NewReader(out).ReadString('\n')
	if err == nil {
		err = measure(strings.TrimSpace(way), dir, n, only)
	}
	return errors.Join(err, server.Process.Signal(os.Interrupt), ended(server.Wait()))
}

// ended takes the exit code of a program that was interrupted for none.
func ended(err error) error {
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 130 {
		return nil
	}
	return err
}

// measure drives the server whose address lets one in.
func measure(way, dir string, n int, only []string) error {
	base, _, _ := strings.Cut(way, "/enter")
	jar, _ := cookiejar.New(nil)
	c := client{base: base, http: &http.Client{Jar: jar}, strips: map[string]string{}}
	if _, err := c.get(way); err != nil {
		return err
	}
	if _, err := c.until(func(string, string) bool { return false }); err != nil { // the first time, everything is computed
		return err
	}
	begin := time.Now()
	if _, err := c.get(base + "/"); err != nil {
		return err
	}
	fmt.Printf("first page, once computed: %v\n", time.Since(begin).Round(time.Millisecond))
	for _, t := range trials {
		if len(only) > 0 && !slices.Contains(only, t.study) {
			continue
		}
		if _, err := c.until(func(string, string) bool { return false }); err != nil { // what the last one touched is computed
			return err
		}
		var took []time.Duration
		for i := range n {
			one, err := c.change(dir, t.file, t.key, fmt.Sprintf(t.format, t.from+t.reach*float64(1+far(i+1, n))/float64(n)))
			if err != nil {
				return fmt.Errorf("%s: %w", t.study, err)
			}
			took = append(took, one)
		}
		slices.Sort(took)
		fmt.Printf("%-12s %d changes: median %v, 95 %% within %v\n", t.study, n,
			took[len(took)/2].Round(time.Millisecond), took[min(len(took)-1, len(took)*95/100)].Round(time.Millisecond))
	}
	return nil
}

// far puts 0 to n - 1 into an order in which neighbours lie about a third of n apart.
func far(i, n int) int {
	stride := max(1, n/3)
	for !coprime(stride, n) {
		stride++
	}
	return i * stride % n
}

func coprime(a, b int) bool {
	for b > 0 {
		a, b = b, a%b
	}
	return a == 1
}

// client is a browser that looks at the first page.
type client struct {
	base   string
	http   *http.Client
	strips map[string]string // by promise, as last seen
	begun  time.Time
}

// say says how long after a change something came.
func (c *client) say(what string) {
	if each && !c.begun.IsZero() {
		fmt.Printf("%8v %s\n", time.Since(c.begun).Round(time.Millisecond), what)
	}
}

func (c *client) get(address string) (string, error) { return c.ask(http.MethodGet, address, "") }

// ask asks as the page does that follows what comes to be known.
func (c *client) ask(method, address, body string) (string, error) {
	r, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		return "", err
	}
	r.Header.Set("Desk-Live", "yes")
	if body != "" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	answer, err := c.http.Do(r)
	if err != nil {
		return "", err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", address, answer.Status)
	}
	return string(text), err
}

var (
	stamp = regexp.MustCompile(`data-look="([^"]*)" data-whole="([^"]*)"`)
)

// change writes a value, and waits for the first strip that is not what it was.
func (c *client) change(dir, file, key, text string) (time.Duration, error) {
	values, err := product.Values(dir, file)
	if err != nil {
		return 0, err
	}
	at := slices.IndexFunc(values, func(v product.Value) bool { return v.Key == key })
	if at < 0 {
		return 0, fmt.Errorf("%s has no %s", file, key)
	}
	body := url.Values{"file": {file}, "key": {key}, "was": {values[at].Source}, "text": {text}}.Encode()
	begin := time.Now()
	page, err := c.ask(http.MethodPost, c.base+"/set", body)
	if err != nil {
		return 0, fmt.Errorf("%s = %s: %w", key, text, err)
	}
	c.begun = begin
	c.say("the page")
	moved, err := c.from(page, func(was, is string) bool { return was != is })
	if err == nil && !moved {
		err = fmt.Errorf("%s = %s: no strip has moved", key, text)
	}
	return time.Since(begin), err
}

// until follows the stream until a strip is as wanted, or everything is computed.
func (c *client) until(wanted func(was, is string) bool) (found bool, err error) {
	page, err := c.get(c.base + "/")
	if err != nil {
		return false, err
	}
	return c.from(page, wanted)
}

// from follows the stream of a page.
func (c *client) from(page string, wanted func(was, is string) bool) (found bool, err error) {
	shown := stamp.FindStringSubmatch(page)
	if shown == nil {
		return false, errors.New("the page does not say what it shows")
	}
	answer, err := c.http.Get(c.base + "/events?" + url.Values{"page": {"/"}, "look": {shown[1]}, "whole": {"no"}}.Encode())
	if err != nil {
		return false, err
	}
	defer answer.Body.Close()
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 1<<22)
	kind := ""
	for lines.Scan() {
		line := lines.Text()
		if k, ok := strings.CutPrefix(line, "event: "); ok {
			kind = k
		}
		data, ok := strings.CutPrefix(line, "data: ")
		switch {
		case ok && kind == "load":
			return c.whole(wanted)
		case ok && kind == "promise":
			var p struct{ Name, HTML string }
			if err := json.Unmarshal([]byte(data), &p); err != nil {
				return false, err
			}
			if c.see(p.Name, p.HTML, wanted) {
				return true, nil
			}
		}
	}
	return false, lines.Err()
}

var article = regexp.MustCompile(`(?s)<article class="promise" id="promise-([^"]*)".*?</article>`)

// whole looks at the page once all is computed.
func (c *client) whole(wanted func(was, is string) bool) (found bool, err error) {
	page, err := c.get(c.base + "/")
	for _, m := range article.FindAllStringSubmatch(page, -1) {
		found = c.see(m[1], m[0], wanted) || found
	}
	return found, err
}

var strip = regexp.MustCompile(`(?s)<dl.*|<desc>(.*?)</desc>`)

// see keeps what a strip says, without what it said before.
func (c *client) see(name, html string, wanted func(was, is string) bool) bool {
	is := html
	if m := strip.FindStringSubmatch(html); m != nil {
		is = m[1]
	}
	is, _, _ = strings.Cut(is, " Before, ")
	was, known := c.strips[name]
	if was != is {
		c.say(name + ": " + is)
	} else {
		c.say(name + " stays")
	}
	c.strips[name] = is
	return known && wanted(was, is)
}
