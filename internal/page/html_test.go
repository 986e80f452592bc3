package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"flag"
	"html"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"hindwatt/internal/figure"
)

var update = flag.Bool("update", false, "write the golden files anew")

func render(t *testing.T, s Site) string {
	t.Helper()
	var b bytes.Buffer
	if err := s.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func all(pattern, text string) (out []string) {
	for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(text, -1) {
		out = append(out, m[len(m)-1])
	}
	return out
}

// CSP Level 3: a hash source is the base64 of the SHA-256 of the element's text. One character changed and the page is bare.
func TestPolicyHoldsTheStyle(t *testing.T) {
	text := render(t, fixture())
	styles := all(`(?s)<style>(.*?)</style>`, text)
	if len(styles) != 1 {
		t.Fatalf("%d styles", len(styles))
	}
	sum := sha256.Sum256([]byte(styles[0]))
	policy := html.UnescapeString(all(`Content-Security-Policy" content="(.*?)"`, text)[0])
	if want := "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; !strings.Contains(policy, want) || !strings.Contains(policy, "default-src 'none'") {
		t.Errorf("policy %q lacks %q", policy, want)
	}
	if strings.Contains(text, `style="`) || strings.Contains(text, "STYLE") {
		t.Error("a style attribute, which the policy forbids, or a place that was not filled")
	}
}

func TestEveryColourIsDefined(t *testing.T) {
	text := render(t, fixture())
	for _, name := range all(`var\((--[a-z]+)\)`, text) {
		if n := strings.Count(text, name+":#"); n != 2 {
			t.Errorf("%s is defined %d times, want light and dark", name, n)
		}
	}
}

func TestNeedsNothingElse(t *testing.T) {
	text := render(t, fixture())
	for _, pattern := range []string{`<script`, `<link`, `<img`, `\son\w+=`, `src=`, `url\(`, `@import`, `NaN`, `[^a-z]Inf[^o]`, `ZgotmplZ`} {
		if m := regexp.MustCompile(pattern).FindString(text); m != "" {
			t.Errorf("%q in the page", m)
		}
	}
	for _, u := range all(`https?://[^"' ]*`, text) {
		if u != "http://www.w3.org/2000/svg" {
			t.Errorf("address %s", u)
		}
	}
}

func TestLinksAndIdentifiers(t *testing.T) {
	text := render(t, fixture())
	ids := all(`\sid="(.*?)"`, text)
	if sorted := slices.Sorted(slices.Values(ids)); len(slices.Compact(sorted)) != len(ids) {
		t.Errorf("an id stands twice: %v", ids)
	}
	for _, target := range append(all(`href="#(.*?)"`, text), all(`aria-labelledby="(.*?)"`, text)...) {
		if !slices.Contains(ids, target) {
			t.Errorf("nothing is called %q", target)
		}
	}
	if strings.Contains(text, `href="#faults"`) {
		t.Error("a promise links to a page that is not there")
	}
	if !strings.Contains(text, `href="#setpoint"`) || !strings.Contains(text, `href="#promise-reversed"`) {
		t.Error("no link to the question's page, or none from the warning to its promise")
	}
}

// WCAG 2.2, 1.3.1 and 2.4.6: headings in order, one first heading, landmarks, and heads that name their cells.
func TestStructure(t *testing.T) {
	text := render(t, fixture())
	last := 0
	for i, h := range all(`<h([1-6])`, text) {
		level := int(h[0] - '0')
		if level > last+1 || (level == 1) != (i == 0) {
			t.Errorf("heading %d of level %d after %d", i, level, last)
		}
		last = level
	}
	for _, tag := range []string{"<header", "<nav aria-label", "<main", "<footer", `lang="en"`, `class="skip" href="#main"`} {
		if strings.Count(text, tag) != 1 {
			t.Errorf("%d of %s", strings.Count(text, tag), tag)
		}
	}
	for _, th := range all(`<th[ >][^>]*`, text) {
		if !strings.Contains(th, "scope=") {
			t.Errorf("no scope: %s", th)
		}
	}
	if n := strings.Count(text, "<table>"); n == 0 || n != strings.Count(text, "<caption") || n != strings.Count(text, `class="scroll" role="region" tabindex="0"`) {
		t.Error("a table without a caption, or that cannot be scrolled by keyboard")
	}
	if strings.Count(text, `<svg class="hw"`) != strings.Count(text, `role="img"`) || strings.Count(text, "<svg") != strings.Count(text, "<title>")-1 {
		t.Error("a drawing without a name")
	}
	for _, tag := range []string{"div", "section", "article", "ul", "ol", "li", "dl", "dt", "dd", "table", "tr", "th", "td", "figure", "figcaption", "details", "summary", "p", "span", "a", "h2", "h3", "aside", "svg"} {
		if open, closed := len(all(`<`+tag+`[ >]`, text)), strings.Count(text, "</"+tag+">"); open != closed {
			t.Errorf("%d of <%s> and %d of </%s>", open, tag, closed, tag)
		}
	}
}

func TestVerdictsAreWords(t *testing.T) {
	text := render(t, fixture())
	for verdict, class := range map[string]string{Met: "met", Unproven: "unproven", NotMet: "not-met", NoEvidence: "no-evidence"} {
		if !strings.Contains(text, `<p class="v `+class+`">`+verdict+`</p>`) {
			t.Errorf("%s is not there as a word", verdict)
		}
		if !strings.Contains(text, ".v."+class) && verdict != Met {
			t.Errorf("%s has no line of its own", verdict)
		}
	}
	if !strings.Contains(text, "2 met, 1 unproven, 2 not met, 2 no evidence") {
		t.Error("the count is wrong or missing")
	}
	if strings.Index(text, "disagree:") > strings.Index(text, "Fewer than 12") {
		t.Error("a disagreement does not come first")
	}
	if i := strings.Index(text, "Warning."); i < 0 || i > strings.Index(text, "<article") {
		t.Error("an unmet safety promise is no warning at the top")
	}
}

// fill puts s into every text of v, and gives each slice an element.
func fill(v reflect.Value, s string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(s)
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), s)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), s)
	case reflect.Bool:
		v.SetBool(true)
	}
}

func TestEveryTextIsEscaped(t *testing.T) {
	const evil = `<script>"'&</style></svg>` + "\x00\xff"
	var s Site
	fill(reflect.ValueOf(&s).Elem(), evil)
	s.Pages[0].ID, s.Promises[0].Verdict = "x", Met
	s.Pages[0].Figures[0].Plot = figure.Distribution{Title: evil, Quantity: evil, Unit: evil, Inside: evil, Source: evil, Bins: []figure.Bin{{Low: 0, High: 1, Count: 1}}}
	text := render(t, s)
	if strings.Contains(text, "<script") || strings.Count(text, "</style>") != 1 || strings.Count(text, "</svg>") != strings.Count(text, "<svg") {
		t.Error("a text was taken for markup")
	}
	if n := strings.Count(text, "&lt;script&gt;"); n < 30 {
		t.Errorf("only %d of the texts are shown", n)
	}
	for _, style := range []figure.TextStyle{{}, {ASCII: true}} {
		for _, out := range []string{textOf(t, s, 80, style), textOf(t, s.Pages[0], 80, style)} {
			if strings.ContainsAny(out, "\x00\x1b") || !utf8.ValidString(out) {
				t.Error("a control character reaches the terminal")
			}
		}
	}
}

func TestEmptySite(t *testing.T) {
	text := render(t, Site{Product: "x", Pages: []Page{{ID: "a", Figures: []Figure{{}}}}})
	if !strings.Contains(text, "0 met, 0 unproven, 0 not met, 0 no evidence") {
		t.Error("no count")
	}
}

func TestRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		site Site
		want string
	}{
		"page twice":    {Site{Pages: []Page{{ID: "a"}, {ID: "a"}}}, `page: id "a": malformed or not unique; want letters, digits and hyphens, once`},
		"page unnamed":  {Site{Pages: []Page{{}}}, `page: id "": malformed or not unique; want letters, digits and hyphens, once`},
		"page reserved": {Site{Pages: []Page{{ID: "promises"}}}, `page: id "promises": malformed or not unique; want letters, digits and hyphens, once`},
		"promise twice": {Site{Promises: []Promise{{Name: "a", Verdict: Met}, {Name: "a", Verdict: Met}}}, `page: promise "a": empty or not unique; want each name once`},
		"verdict":       {Site{Promises: []Promise{{Name: "a", Verdict: "good"}}}, `page: promise "a": verdict "good"; want met, unproven, not met or no evidence`},
	} {
		var b bytes.Buffer
		if err := c.site.HTML(&b); err == nil || err.Error() != c.want || b.Len() > 0 {
			t.Errorf("%s: %v after %d bytes, want %s", name, err, b.Len(), c.want)
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteErrorsAreTold(t *testing.T) {
	for name, err := range map[string]error{
		"html": fixture().HTML(full{}), "site": fixture().Text(full{}, 80, figure.TextStyle{}), "page": fixturePage().Text(full{}, 80, figure.TextStyle{}),
	} {
		if err == nil {
			t.Errorf("%s: nothing said", name)
		}
	}
}

func TestHTMLGolden(t *testing.T) {
	text := render(t, fixture())
	if text != render(t, fixture()) {
		t.Error("not the same twice")
	}
	body := text[strings.Index(text, "<body>"):]
	body = regexp.MustCompile(`(?s)<svg.*?</svg>\n`).ReplaceAllString(body, "<svg/>") // drawings have goldens of their own
	golden(t, "body.html", body)
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test -update writes it", err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}
