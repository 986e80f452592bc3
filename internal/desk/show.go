package desk

import (
	"bytes"
	"embed"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"hindwatt/internal/page"
)

//go:embed *.html
var templateSource embed.FS

//go:embed assets
var assets embed.FS

// pages are the templates of package page with those of the desk laid over them.
var pages = template.Must(page.Templates().Funcs(template.FuncMap{
	"to":    func(id string) string { return "./" + id },
	"fill":  fill,
	"among": func(words []string, text string) bool { return text == "" || slices.Contains(words, text) },
}).ParseFS(templateSource, "*.html"))

// show writes one page. It is written whole or not at all.
func (d *Desk) show(w http.ResponseWriter, status int, name string, data any) {
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, name, data); err != nil {
		refuse(w, http.StatusInternalServerError, "The page could not be drawn: "+err.Error())
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// asset gives what the pages are drawn with; there is nothing else to be had by a name.
func (d *Desk) asset(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	kinds := map[string]string{".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
	var data []byte
	var err error
	if data, err = assets.ReadFile("assets/" + name); err != nil || strings.Contains(name, "/") {
		http.NotFound(w, r)
		return
	}
	if name == "style.css" {
		data = slices.Concat([]byte(page.Style()), data)
	}
	w.Header().Set("Content-Type", kinds[name[strings.LastIndexByte(name, '.'):]]+"; charset=utf-8")
	w.Header().Set("Cache-Control", "max-age=0, must-revalidate")
	w.Write(data)
}

// frame is what stands around every page.
type frame struct {
	Title, Product, Subtitle, Invented string

	Dir, Which, Foot string
	Page             string // "" for the first, "setpoint"
	Variant          string
	Variants         []choice
	Tried            trial // goes along when another variant is looked at
	Nav              []link
	Undo, Redo       string // what would be taken back, done again; "" for nothing
	Changes          string // "3 changes"
	Stamp            string // of the folder as it is shown
	Again            string // seconds after which a page without scripts loads itself again; "" never
	Problem          *problem
}

type choice struct {
	Name, Text string
	Current    bool
}

type link struct {
	Page, Text string
	Current    bool
}
