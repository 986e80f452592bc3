package desk

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
)

// field is one value that can be changed in place.
type field struct {
	File, Key string
	Was       string // as the file has it; "" if it is not there
	Text      string // what stands in the input
	Label     string
	Wrong     string // why what was typed is not taken; "" if nothing is wrong
	Elsewhere *elsewhere
	ID        string
	Try       string // where it can be tried; "" nowhere
}

// elsewhere is a value that was changed by somebody else meanwhile.
type elsewhere struct{ Is, Source, Typed string }

// problem is why a change was not written.
type problem struct {
	status    int
	Text      string
	File, Key string // of the value that it is about; "" if it is about none
	Typed     string
	elsewhere *elsewhere
	Shown     bool // at the value itself
}

// shownPage is a page with inputs that can be typed in.
type shownPage struct {
	page.Page
	Inputs  []shownInput
	Figures []shownFigure
	Strips  []shownPromise // of the promises on it
}

// shownInput is an input with its field; nil where it is not a value of the folder.
type shownInput struct {
	page.Input
	Field *field
}

// withInputs lays a field over each input that stands in a file.
func (l *look) withInputs(p page.Page, wrong *problem) shownPage {
	out := shownPage{Page: p}
	for i, f := range p.Figures {
		out.Figures = append(out.Figures, l.shownFigure(p.ID, i, f))
	}
	values := valuesOf{dir: l.dir, known: map[string][]product.Value{}}
	for i, in := range p.Inputs {
		f := values.field(in)
		if f != nil {
			f.ID = fmt.Sprintf("%s-%d", p.ID, i)
			f.told(wrong)
			if f.Was != "" && number.MatchString(f.Text) && !strings.HasPrefix(f.File, "variants/") && !strings.HasPrefix(f.File, "bench/") {
				f.Try = view{l.variant, trialPage, trial{{File: f.File, Key: f.Key}}.query()}.address()
			}
		}
		out.Inputs = append(out.Inputs, shownInput{in, f})
	}
	return out
}

// told takes in why what was typed here was refused.
func (f *field) told(wrong *problem) {
	if wrong == nil || wrong.File != f.File || wrong.Key != f.Key {
		return
	}
	wrong.Shown = true
	f.Text, f.Wrong, f.Elsewhere = wrong.Typed, wrong.Text, wrong.elsewhere
}

// valuesOf finds the values of a folder by the places that pages name.
type valuesOf struct {
	dir   string
	known map[string][]product.Value // by file
}

func (v valuesOf) in(file string) []product.Value {
	all, ok := v.known[file]
	if !ok {
		all, _ = product.Values(v.dir, file) // a file that holds no values has none
		v.known[file] = all
	}
	return all
}

// field finds what an input was read from.
func (v valuesOf) field(in page.Input) *field {
	file, line, ok := place(in.From)
	if !ok {
		return v.unwritten(in)
	}
	var there []product.Value
	for _, one := range v.in(file) {
		if one.Line == line {
			there = append(there, one)
		}
	}
	if len(there) == 0 {
		return nil
	}
	best := slices.MaxFunc(there, func(a, b product.Value) int { return cmp.Compare(likeness(a, in), likeness(b, in)) })
	if len(there) > 1 && likeness(best, in) == 0 {
		best = there[0] // the whole of what stands in { … }
	}
	return &field{File: best.File, Key: best.Key, Was: best.Source, Text: best.Text, Label: in.Name}
}

// likeness is how well a value's key fits the name of an input, in parts that agree from the end.
func likeness(v product.Value, in page.Input) int {
	name := strings.Split(in.Name[strings.LastIndexByte(in.Name, ' ')+1:], ".")
	key := strings.Split(v.Key, ".")
	n := 0
	for n < min(len(name), len(key)) && name[len(name)-1-n] == strings.Trim(key[len(key)-1-n], `"`) {
		n++
	}
	return n
}

// unwritten is the field of an input that the folder has no value for, where its name is that of a
// key of product.toml.
func (v valuesOf) unwritten(in page.Input) *field {
	if in.From != "default" {
		return nil
	}
	for _, k := range product.Keys() {
		if k.File == "product.toml" && k.Path == in.Name {
			return &field{File: k.File, Key: k.Path, Label: in.Name}
		}
	}
	return nil
}

// place cuts "product.toml:12" into its parts.
func place(from string) (file string, line int, ok bool) {
	i := strings.LastIndexByte(from, ':')
	if i < 0 || !strings.HasSuffix(from[:i], ".toml") {
		return "", 0, false
	}
	n, err := fmt.Sscanf(from[i+1:], "%d", &line)
	return from[:i], line, err == nil && n == 1
}

// fill is the field of a value that is missing, where it can be written from a page.
func fill(lack page.Lack) *field {
	if !strings.HasSuffix(lack.File, ".toml") || lack.Key == "" || strings.ContainsAny(lack.Key, " *<>") || strings.Contains(lack.Key, "NAME") {
		return nil
	}
	return &field{File: lack.File, Key: lack.Key, Label: lack.Key}
}

// set writes one value.
func (d *Desk) set(w http.ResponseWriter, r *http.Request) {
	v := view{}
	if from := r.Header.Get("Referer"); from != "" {
		v = viewOf(from)
	}
	if err := r.ParseForm(); err != nil {
		d.render(w, r, v, refused(err))
		return
	}
	q := r.PostForm
	file, key, was, text := q.Get("file"), q.Get("key"), q.Get("was"), strings.TrimSpace(q.Get("text"))
	if text == "" && was == "" {
		d.render(w, r, v, &problem{status: http.StatusUnprocessableEntity, Text: "nothing was typed", File: file, Key: key})
		return
	}
	d.sight.yield()
	c, err := d.sight.change(file, func(dir string) (product.Change, error) { return product.Replace(dir, file, key, was, text) })
	if err != nil {
		d.render(w, r, v, d.unset(err, file, key, text))
		return
	}
	d.evening.add(c)
	http.Redirect(w, r, v.address(), http.StatusSeeOther)
}

// unset says why a value was not written.
func (d *Desk) unset(err error, file, key, typed string) *problem {
	p := &problem{status: http.StatusUnprocessableEntity, Text: err.Error(), File: file, Key: key, Typed: typed}
	var faults product.Errors
	var moved *product.Moved
	switch {
	case errors.As(err, &moved):
		p.status = http.StatusConflict
		p.Text = "this value has been changed elsewhere meanwhile, and nothing was written"
		p.elsewhere = &elsewhere{Is: cmp.Or(moved.Is, "not set"), Source: moved.Is, Typed: typed}
	case errors.As(err, &faults):
		p.Text = said(faults)
	}
	return p
}

// said words faults without the place, which is where they are shown.
func said(faults product.Errors) string {
	var all []string
	for _, e := range faults[:min(len(faults), 5)] {
		text := e.Problem
		if e.Want != "" {
			text += "; " + e.Want
		}
		all = append(all, text)
	}
	return strings.Join(slices.Compact(all), " · ")
}

// refused is a form that could not be read.
func refused(err error) *problem {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		p := &problem{status: http.StatusRequestEntityTooLarge, Text: fmt.Sprintf("that is more than %d KB", large.Limit>>10)}
		if large.Limit == maxUpload {
			p.Text = fmt.Sprintf("that is more than %d MB; take it in in parts, or put a log into bench/ with its description beside it", maxUpload>>20)
		}
		return p
	}
	return &problem{status: http.StatusBadRequest, Text: "the form could not be read: " + err.Error()}
}
