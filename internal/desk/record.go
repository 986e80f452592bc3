package desk

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

// lastRows is how many rows of a kind are shown below its form.
const lastRows = 12

// recordWords are the words for the kinds of record, in the order of the files.
var recordWords = map[string]string{
	"made": "Made", "sold": "Sold", "returned": "Returned", "spent": "Spent", "hours": "Hours", "reading": "Readings",
}

// cell is one column of a record that is being typed.
type cell struct {
	product.Column
	Text, Wrong string
	Known       []string // names that the product has for it
}

// writtenRow is a row of a file of records with what is doubtful of it.
type writtenRow struct {
	Line   int
	Source string
	Cells  []string // as the table's head has them; nil if the row cannot be cut into cells
	Doubts []string
}

// recordForm is a record being typed: a new one, or one that is to be corrected.
type recordForm struct {
	Kind, File, Variant string
	Line                int    // of the row that is corrected; 0: a new one
	Was                 string // that row as it stood
	Cells               []cell
	Wrong               string // about the whole
	Is                  string // the row as somebody else has left it; "" if nobody did
	Missed              bool   // the row changed elsewhere
}

// recordPage is the form of a kind with its last rows.
type recordPage struct {
	Frame frame
	Kinds []link
	Form  recordForm
	Said  string // what was written
	Test  string // what the readings of a unit say, a line each; "" if it was not tested
	Head  []string
	Rows  []writtenRow
	Total int
}

// kindAsked is the kind that an address or a form names; the first if it names none that there is.
func kindAsked(q url.Values) string {
	if kind := q.Get("kind"); slices.Contains(product.RecordKinds(), kind) {
		return kind
	}
	return "sold"
}

// records shows a kind's form, empty or with the row that is to be corrected.
func (d *Desk) records(w http.ResponseWriter, r *http.Request, status int, f frame, l *look) {
	q := r.URL.Query()
	kind := kindAsked(q)
	form := l.form(kind, nil)
	if line, err := strconv.Atoi(q.Get("line")); err == nil {
		last, _, _ := product.LastWritten(l.dir, kind, lastRows)
		i := slices.IndexFunc(last, func(one product.Written) bool { return one.Line == line && one.Fields != nil })
		if i < 0 {
			status, form.Wrong = http.StatusNotFound, fmt.Sprintf("line %d is not among the last rows that can be corrected here", line)
		} else {
			form = l.form(kind, last[i].Fields)
			form.Line, form.Was = line, last[i].Source
		}
	}
	d.showRecords(w, status, f, l, form, q.Get("done"))
}

// form is the form of a kind, filled with the cells of a row; nil: a new row of today.
func (l *look) form(kind string, row []product.Field) recordForm {
	form := recordForm{Kind: kind, File: product.FileOf(kind), Variant: l.variant}
	for _, c := range product.RecordColumns(kind) {
		one := cell{Column: c, Known: l.laid.NamesOf(c.Of)}
		if kind == "reading" && c.Name == "what" {
			one.Known = l.readable()
		}
		if row == nil && c.Name == "date" {
			one.Text = time.Now().Format(time.DateOnly)
		}
		for _, field := range row {
			if field.Column == c.Name {
				one.Text = field.Text
			}
		}
		form.Cells = append(form.Cells, one)
	}
	if row == nil {
		form.tested()
	}
	return form
}

// tested adds the readings by which a unit that is made is accepted or goes back.
func (form *recordForm) tested() {
	if form.Kind != "made" {
		return
	}
	for _, name := range []string{"absorption", "float", "load-disconnect", "load-reconnect", "ambient"} {
		form.Cells = append(form.Cells, cell{Column: product.Column{Name: name}})
	}
}

// readable are the quantities that the promises ask for and that a reading can tell.
func (l *look) readable() (all []string) {
	for _, name := range l.laid.Promises.Names() {
		p := l.laid.Promises.Get(name)
		what := p.Study.Text + "." + p.Quantity.Text
		if _, err := promise.Readable(what); err == nil && !slices.Contains(all, what) {
			all = append(all, what)
		}
	}
	return all
}

// take puts what was typed into a form.
func (form *recordForm) take(q url.Values) (fields []product.Field) {
	for i := range form.Cells {
		c := &form.Cells[i]
		if c.Text = strings.TrimSpace(q.Get("in." + c.Name)); c.Text != "" {
			fields = append(fields, product.Field{Column: c.Name, Text: c.Text})
		}
	}
	return fields
}

// place puts each error at its cell, and what is about none at the top.
func (form *recordForm) place(err error) {
	var faults product.Errors
	if !errors.As(err, &faults) {
		form.Wrong = err.Error()
		return
	}
	var rest product.Errors
	for _, e := range faults {
		placed := false
		for _, key := range strings.Split(e.Key, ", ") { // several that are missing are one error
			for i := range form.Cells {
				if c := &form.Cells[i]; c.Name == key {
					c.Wrong, placed = strings.TrimPrefix(c.Wrong+" · "+said(product.Errors{e}), " · "), true
				}
			}
		}
		if !placed {
			rest = append(rest, e)
		}
	}
	if len(rest) > 0 {
		form.Wrong = rest.Error()
	}
}

// showRecords shows a form with the last rows below it.
func (d *Desk) showRecords(w http.ResponseWriter, status int, f frame, l *look, form recordForm, done string) {
	f.Title = recordWords[form.Kind]
	p := recordPage{Frame: f, Form: form}
	for _, kind := range product.RecordKinds() {
		p.Kinds = append(p.Kinds, link{kind, recordWords[kind], kind == form.Kind})
	}
	last, total, err := product.LastWritten(l.dir, form.Kind, lastRows)
	if err != nil && p.Form.Wrong == "" {
		p.Form.Wrong = err.Error()
	}
	p.Total = total
	for _, c := range form.Cells {
		has := func(one product.Written) bool {
			return slices.ContainsFunc(one.Fields, func(f product.Field) bool { return f.Column == c.Name })
		}
		if slices.ContainsFunc(last, has) {
			p.Head = append(p.Head, c.Name)
		}
	}
	for _, one := range last {
		p.Rows = append(p.Rows, l.written(form, one, p.Head))
		if strconv.Itoa(one.Line) == done {
			p.Said = fmt.Sprintf("Written in line %s of %s.", done, form.File)
			if says, ok := d.tests.Load(done); ok && form.Kind == "made" {
				p.Test = says.(string)
			}
		}
	}
	d.show(w, status, "records", p)
}

// written is a row as the table shows it.
func (l *look) written(form recordForm, one product.Written, head []string) writtenRow {
	out := writtenRow{Line: one.Line, Source: one.Source}
	for _, e := range slices.Concat(l.folder.RecordErrors, l.folder.Breaches()) {
		if e.File == form.File && e.Line == one.Line {
			out.Doubts = append(out.Doubts, strings.TrimPrefix(e.Key+": "+said(product.Errors{e}), ": "))
		}
	}
	if one.Fields == nil {
		return out
	}
	for _, name := range head {
		text := ""
		for _, f := range one.Fields {
			if f.Column == name {
				text = f.Text
			}
		}
		out.Cells = append(out.Cells, text)
	}
	return out
}

// recordsAt is the address of a kind's form.
func recordsAt(variant, kind string) string {
	return view{variant: variant, page: "records"}.address() + "?kind=" + url.QueryEscape(kind)
}

// record writes a row, or corrects the one that the form names.
func (d *Desk) record(w http.ResponseWriter, r *http.Request) {
	v, l, ok := d.recording(w, r)
	if !ok {
		return
	}
	q := r.PostForm
	form := l.form(kindAsked(q), []product.Field{})
	if form.Line, _ = strconv.Atoi(q.Get("line")); form.Line == 0 {
		form.tested()
	}
	fields := form.take(q)
	form.Was = q.Get("was")
	changes, line, err := form.write(d, r, l.dir, fields)
	if err != nil {
		status := http.StatusUnprocessableEntity
		if form.misplaced(l.dir, err) {
			status = http.StatusConflict
		} else {
			form.place(err)
		}
		d.showRecords(w, status, d.frame(l, v), l, form, "")
		return
	}
	d.evening.add(changes...)
	http.Redirect(w, r, fmt.Sprintf("%s&done=%d", recordsAt(v.variant, form.Kind), line), http.StatusSeeOther)
}

// write writes what was typed, and says in which line.
func (form *recordForm) write(d *Desk, r *http.Request, dir string, fields []product.Field) ([]product.Change, int, error) {
	if form.Kind == "reading" {
		for _, f := range fields {
			if f.Column != "what" {
				continue
			}
			if _, err := promise.Readable(f.Text); err != nil {
				return nil, 0, product.Errors{{Key: "what", Problem: err.Error()}}
			}
		}
	}
	if form.Line > 0 {
		c, err := product.Correct(dir, form.Kind, form.Line, form.Was, fields)
		return []product.Change{c}, form.Line, err
	}
	if form.Kind == "made" {
		return d.made(r, dir, fields)
	}
	done, err := product.Record(dir, form.Kind, fields)
	return []product.Change{done.Change}, done.Line, err
}

// made records a unit with the readings of its test, and keeps what the test says for the page.
func (d *Desk) made(r *http.Request, dir string, fields []product.Field) (changes []product.Change, line int, err error) {
	done, err := promise.RecordMade(r.Context(), dir, fields, d.options.Seed)
	if err != nil {
		return nil, 0, err
	}
	for _, one := range done.Recorded {
		changes, line = append(changes, one.Change), one.Line
	}
	if done.Tested {
		verdict := "Fail: it goes back; its readings stay."
		if done.Pass {
			verdict = "Pass."
		}
		d.tests.Store(strconv.Itoa(line), strings.Join(append(done.Says, verdict), "\n"))
	}
	return changes, line, nil
}

// misplaced reports whether the row was changed or moved elsewhere meanwhile, and turns the form to
// where it stands now.
func (form *recordForm) misplaced(dir string, err error) bool {
	var moved *product.Moved
	if !errors.As(err, &moved) {
		return false
	}
	form.Missed, form.Is = true, moved.Is
	last, _, _ := product.LastWritten(dir, form.Kind, lastRows)
	for _, one := range last {
		if one.Source == form.Was { // as it was, on another line
			form.Line, form.Is = one.Line, one.Source
			return true
		}
	}
	form.Was = moved.Is
	if moved.Is == "" {
		form.Line = 0
	}
	return true
}

// takeBack takes a row out of its file.
func (d *Desk) takeBack(w http.ResponseWriter, r *http.Request) {
	v, l, ok := d.recording(w, r)
	if !ok {
		return
	}
	q := r.PostForm
	kind := kindAsked(q)
	line, _ := strconv.Atoi(q.Get("line"))
	change, err := product.TakeBack(l.dir, kind, line, q.Get("was"))
	var moved *product.Moved
	switch {
	case errors.As(err, &moved):
		form := l.form(kind, nil)
		form.Wrong = "that row has been changed or moved elsewhere meanwhile, and nothing was taken back; the rows below are as they stand now"
		d.showRecords(w, http.StatusConflict, d.frame(l, v), l, form, "")
	case err != nil:
		form := l.form(kind, nil)
		form.place(err)
		d.showRecords(w, http.StatusUnprocessableEntity, d.frame(l, v), l, form, "")
	default:
		d.evening.add(change)
		http.Redirect(w, r, recordsAt(v.variant, kind), http.StatusSeeOther)
	}
}

// recording reads a form about records; false if the folder or the form cannot be read, which is said.
func (d *Desk) recording(w http.ResponseWriter, r *http.Request) (v view, l *look, ok bool) {
	v = view{variant: viewOf(r.Header.Get("Referer")).variant, page: "records"}
	if err := r.ParseForm(); err != nil {
		d.render(w, r, v, refused(err))
		return v, nil, false
	}
	if l = d.sight.look(v.variant); l.absent || l.faults != nil {
		d.render(w, r, v, &problem{status: http.StatusUnprocessableEntity, Text: "nothing can be recorded while the folder cannot be read"})
		return v, nil, false
	}
	return v, l, true
}

// back is the address that a request came from; a form of records keeps its kind.
func back(r *http.Request) string {
	from := r.Header.Get("Referer")
	v := viewOf(from)
	if u, err := url.Parse(from); err == nil && v.page == "records" {
		return recordsAt(v.variant, kindAsked(u.Query()))
	}
	return v.address()
}
