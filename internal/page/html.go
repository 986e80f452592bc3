package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"hindwatt/internal/figure"
)

//go:embed site.html
var siteSource string

//go:embed style.css
var styleSource string

// Widths, in px, that figures are laid out for; the page scales them down a little on narrower screens.
const (
	stripWidth  = 340
	wideWidth   = 640
	narrowWidth = 340
)

var parts = template.Must(template.New("site").Funcs(template.FuncMap{
	"class":    func(verdict string) string { return strings.ReplaceAll(verdict, " ", "-") },
	"strip":    func(s figure.Plot) template.HTML { return inline(s, stripWidth) },
	"wide":     func(p figure.Plot) template.HTML { return inline(p, wideWidth) },
	"narrow":   func(p figure.Plot) template.HTML { return inline(p, narrowWidth) },
	"right":    func(t Table, column int) bool { return t.right(column) },
	"cells":    func(t Table, row []string) []string { return t.cells(row) },
	"key":      key,
	"bind":     bind,
	"sentence": sentence,
	"opening":  opening,
	"promised": promised,
	"to":       func(id string) string { return "#" + id },
}).Parse(withStyle(siteSource)))

// site is the dossier's own, since one that was executed cannot be cloned.
var site = template.Must(parts.Clone())

// Templates returns the templates that a site is made of, for another frame around them: "promise", "page", "table", "note", "lack" and
// "key". Those that are there to be replaced are "input", "figure", "back", "since" (what a promise has
// below it) and "strips" (what a page has below its answer), and the function
// to, which gives the address of a page.
func Templates() *template.Template { return template.Must(parts.Clone()) }

// Style returns the stylesheet that the templates want, which that of figure belongs to.
func Style() string { return figure.Variables() + gridVariables + figure.Stylesheet() + styleSource }

// grid is the squared paper's line, light and dark; figures do not need it.
const gridVariables = ":root{--grid:#eceff3}\n@media screen and (prefers-color-scheme:dark){:root{--grid:#191f25}}\n"

// withStyle puts the stylesheet into the template's own text, and its hash into the policy, so that nothing has to be exempt from escaping.
func withStyle(source string) string {
	css := Style()
	hash := sha256.Sum256([]byte(css))
	source = strings.Replace(source, "STYLEHASH", "sha256-"+base64.StdEncoding.EncodeToString(hash[:]), 1)
	return strings.Replace(source, "STYLESHEET", css, 1)
}

// HTML writes the site as one file that needs no network and no script: first the promises, then each page.
// An id that is not unique, a verdict that is none of the four, or a failing w gives an error; then nothing or part of it is written.
func (s Site) HTML(w io.Writer) error {
	if err := s.check(); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := site.Execute(&b, s); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// inline is the one place where text goes into the page unescaped: drawings that our own writer has escaped.
func inline(p figure.Plot, width float64) template.HTML {
	d := p.Drawing(width)
	return template.HTML(d.Inline())
}

// linked is a promise that knows whether its page is there.
type linked struct {
	Promise
	Linked bool
}

func promised(p Promise, s Site) linked {
	for _, q := range s.Pages {
		if q.ID == p.PageID {
			return linked{p, true}
		}
	}
	return linked{p, false}
}

// EvidenceTable is a promise's evidence as a table.
func (p Promise) EvidenceTable() Table {
	t := Table{Title: "Evidence", Head: []string{"kind", "best value", "interval", "conditions", "units", "basis", "from"}, Align: "lrrllll"}
	for _, e := range p.Evidence {
		t.Rows = append(t.Rows, []string{e.KindText(), e.Value, e.Interval, e.Conditions, e.Units, e.Basis, e.From})
	}
	return t
}

// keyLine is one entry of the key to the strips.
type keyLine struct {
	Picture template.HTML
	Text    string
}

func key() []keyLine {
	var out []keyLine
	for _, k := range figure.Key() {
		out = append(out, keyLine{template.HTML(k.Drawing.Inline()), k.Text})
	}
	return out
}
