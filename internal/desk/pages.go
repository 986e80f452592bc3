package desk

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

// handler puts the guard before all pages.
func (d *Desk) handler() http.Handler {
	open := http.NewServeMux()
	open.HandleFunc("GET /enter", d.enter)
	open.HandleFunc("POST "+againPath, d.again)
	mux := http.NewServeMux()
	mux.HandleFunc("GET /assets/{name}", d.asset)
	mux.HandleFunc("GET /go", d.goTo)
	for _, at := range []string{"/", "/v/{variant}/"} {
		mux.HandleFunc("GET "+at+"{$}", d.read)
		mux.HandleFunc("GET "+at+"{page}", d.read)
	}
	d.routes(mux)
	return d.guard.protect(open, mux)
}

// view is which page is asked for.
type view struct {
	variant, page string
	query         string // what is tried, on that page
}

// address is the path of a view.
func (v view) address() string {
	at := "/" + url.PathEscape(v.page)
	if v.variant != "" {
		at = "/v/" + url.PathEscape(v.variant) + at
	}
	if v.query != "" {
		at += "?" + v.query
	}
	return at
}

// asking is a view with what is tried on it, in one order of words.
func (v view) asking(query string) view {
	if v.page == trialPage {
		q, _ := url.ParseQuery(query)
		v.query = trialOf(q).query()
	}
	return v
}

// trial is what is tried.
func (v view) trial() trial {
	q, _ := url.ParseQuery(v.query)
	return trialOf(q)
}

// viewOf reads an address that the desk has given out; anything else is the first page.
func viewOf(address string) view {
	u, err := url.Parse(address)
	if err != nil || u.Path == "" {
		return view{}
	}
	parts := strings.Split(strings.TrimPrefix(path.Clean(u.Path), "/"), "/")
	switch {
	case len(parts) == 1:
		return view{page: parts[0]}.asking(u.RawQuery)
	case parts[0] == "v" && len(parts) == 2:
		return view{variant: parts[1]}
	case parts[0] == "v" && len(parts) == 3:
		return view{variant: parts[1], page: parts[2]}.asking(u.RawQuery)
	}
	return view{}
}

func (d *Desk) viewOf(r *http.Request) view {
	v := view{variant: r.PathValue("variant"), page: r.PathValue("page")}.asking(r.URL.RawQuery)
	if v.variant == "" {
		v.variant = d.options.Variant
	}
	return v
}

// goTo is where the choice of a variant leads.
func (d *Desk) goTo(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	http.Redirect(w, r, view{variant: q.Get("variant"), page: q.Get("page")}.asking(r.URL.RawQuery).address(), http.StatusSeeOther)
}

func (d *Desk) read(w http.ResponseWriter, r *http.Request) { d.render(w, r, d.viewOf(r), nil) }

// render shows a view, with a problem in it where a change was refused.
func (d *Desk) render(w http.ResponseWriter, r *http.Request, v view, p *problem) {
	l := d.sight.at(v)
	if live(r) {
		wait(r, l.sifted)
	}
	f := d.frame(l, v)
	f.Problem = p
	status := http.StatusOK
	if p != nil {
		status = p.status
	}
	switch {
	case l.absent:
		d.absent(w, f)
	case v.page == trialPage && (l.faults == nil || v.query != ""):
		d.trying(w, r, status, f, v, l)
	case l.faults != nil:
		d.faulty(w, status, f, l)
	case v.page == "":
		d.home(w, r, status, f, l)
	case questionOf(v.page) != nil:
		d.question(w, r, status, f, l)
	default:
		if !d.other(w, r, status, f, l) {
			f.Title = "No such page"
			d.show(w, http.StatusNotFound, "missing", struct {
				Frame         frame
				Heading, Text string
			}{f, "There is no such page", "The list above has all there are."})
		}
	}
}

// live reports whether a page that asks follows what comes to be known: it is shown at once.
func live(r *http.Request) bool { return r.Header.Get("Desk-Live") != "" }

// patience is how long a page waits for what is being computed before it is shown without.
const patience = 200 * time.Millisecond

// wait waits a little for something to be done.
func wait(r *http.Request, done <-chan struct{}) bool {
	timer := time.NewTimer(patience)
	defer timer.Stop()
	select {
	case <-done:
		return true
	case <-timer.C:
	case <-r.Context().Done():
	}
	return false
}

// frame fills in what stands around a view.
func (d *Desk) frame(l *look, v view) frame {
	f := frame{Product: "hindwatt", Title: "hindwatt", Dir: l.dir, Page: v.page, Variant: v.variant, Tried: v.trial(), Stamp: l.stamp}
	f.Nav = []link{{"", "Promises", v.page == ""}}
	if l.laid == nil {
		return f
	}
	f.Product, f.Invented = cmp.Or(l.laid.Name.Text, filepath.Base(l.dir)), l.laid.Invented.Text
	f.Title = f.Product
	for _, q := range questions {
		f.Nav = append(f.Nav, link{q.name, q.short, v.page == q.name})
	}
	f.Nav = append(f.Nav, d.tools(v.page)...)
	f.Variants, f.Which = variants(l, v)
	f.Undo, f.Redo, f.Changes = d.evening.said()
	l.mutex.Lock()
	f.Subtitle = cmp.Or(l.site.Subtitle, l.laid.Summary.Text)
	l.mutex.Unlock()
	f.Foot = (&promise.Report{Variant: v.variant}).Foot(d.options.Seed)
	return f
}

// variants lists what can be laid over the product, and says which it is.
func variants(l *look, v view) (all []choice, which string) {
	base := "the product as it is"
	if r := l.folder.Revisions(); len(r) > 0 {
		for _, one := range r {
			if one.Variant == "" {
				base = "as it is, revision " + one.Name
			}
		}
	}
	all = append(all, choice{"", base, v.variant == ""})
	which = base
	for _, one := range l.folder.Variants {
		text := one.Name
		if one.MadeFrom.Set() || one.FromSerial.Set() {
			text = "revision " + cmp.Or(one.Revision.Text, one.Name)
		}
		if v.variant == one.Name {
			which = text
		}
		all = append(all, choice{one.Name, text, v.variant == one.Name})
	}
	return all, which
}

// shownPromise is a promise as the desk shows it.
type shownPromise struct {
	page.Promise
	Linked bool
	Was    string // the verdict before the last change; "" if there was none
	Coarse string // what is to follow of a judgement that is coarse so far
}

// moved is a promise whose verdict is another than before.
type moved struct{ Name, Label, From, To string }

// worst puts what contradicts itself first, then the worst verdicts, safety first among equals.
func worst(a, b shownPromise) int {
	return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(unsafe(a), unsafe(b)))
}

func rank(p shownPromise) int {
	verdict := p.Verdict
	if verdict == computing {
		verdict = p.Was // stays where it was meanwhile
	}
	if len(p.Disagree) > 0 {
		return 0
	}
	return 1 + slices.Index([]string{page.NotMet, page.Unproven, computing, page.NoEvidence, page.Met}, cmp.Or(verdict, computing))
}

func unsafe(p shownPromise) int {
	if p.Safety {
		return 0
	}
	return 1
}

// home is the first page.
func (d *Desk) home(w http.ResponseWriter, r *http.Request, status int, f frame, l *look) {
	done := live(r) && closed(l.judged) || !live(r) && wait(r, l.judged)
	if !done {
		f.Again = "2"
	}
	l.mutex.Lock()
	site := l.site
	site.Promises = slices.Clone(l.promises)
	coarse, failed := maps.Clone(l.coarse), l.failed
	l.mutex.Unlock()
	data := struct {
		Frame             frame
		Count             string
		Moved             []moved
		Warnings          []page.Promise
		Cautions, Advice  []page.Note
		Promises, Without []shownPromise
	}{Frame: f, Count: site.Count(), Cautions: site.Cautions, Advice: site.Advice}
	if done {
		data.Warnings = site.Warnings()
	} else {
		data.Count = counting(site.Promises)
	}
	if failed != nil {
		data.Frame.Problem = &problem{Text: failed.Error()}
	}
	for _, p := range site.Promises {
		shown := l.shown(p, coarse[p.Name])
		if shown.Was != "" && p.Verdict != computing && shown.Was != p.Verdict {
			data.Moved = append(data.Moved, moved{p.Name, p.Label, shown.Was, p.Verdict})
		}
		if p.Verdict == page.NoEvidence || p.Verdict == computing && shown.Was == page.NoEvidence {
			data.Without = append(data.Without, shown)
		} else {
			data.Promises = append(data.Promises, shown)
		}
	}
	slices.SortStableFunc(data.Promises, worst)
	slices.SortStableFunc(data.Without, worst)
	d.show(w, status, "home", data)
}

// counting says how many promises are judged so far.
func counting(all []page.Promise) string {
	n := 0
	for _, p := range all {
		if p.Verdict != computing {
			n++
		}
	}
	return fmt.Sprintf("%d of %d judged so far", n, len(all))
}

func (l *look) shown(p page.Promise, coarse string) shownPromise {
	before := l.before[p.Name]
	if p.Verdict != computing || coarse != "" {
		p.Strip = movedFrom(p.Strip, before.Strip)
	}
	return shownPromise{Promise: p, Linked: questionOf(p.PageID) != nil, Was: before.Verdict, Coarse: coarse}
}

// movedFrom is a strip with where its marks stood before.
func movedFrom(now, before figure.Plot) figure.Plot {
	switch is := now.(type) {
	case figure.Strip:
		if was, ok := before.(figure.Strip); ok && was.Unit == is.Unit {
			is.Was = was.Marks
			return is
		}
	case figure.Ends:
		if was, ok := before.(figure.Ends); ok {
			is.Was = was.Marks
			return is
		}
	}
	return now
}

// strips are the promises that a study judges, or all for "", in the file's order.
func (l *look) strips(study string) (all []shownPromise) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	for _, p := range l.promises {
		if study == "" || l.judgedBy(p.Name) == study {
			one := l.shown(p, l.coarse[p.Name])
			one.Linked = false
			all = append(all, one)
		}
	}
	return all
}

// judgedBy is the study of a promise.
func (l *look) judgedBy(name string) string { return l.laid.Promises.Get(name).Study.Text }

// fault is one thing that is wrong in the folder, for the page.
type fault struct{ Place, Key, Text, Excerpt string }

// faulty says what is wrong in the folder.
func (d *Desk) faulty(w http.ResponseWriter, status int, f frame, l *look) {
	f.Title, f.Again = "The folder cannot be read", "3"
	data := struct {
		Frame  frame
		Faults []fault
	}{Frame: f}
	var all product.Errors
	var one *product.Error
	switch {
	case errors.As(l.faults, &all):
	case errors.As(l.faults, &one):
		all = product.Errors{one}
	default:
		data.Faults = []fault{{Text: l.faults.Error()}}
	}
	for _, e := range all[:min(len(all), maxFaultsShown)] {
		data.Faults = append(data.Faults, faultOf(e))
	}
	if more := len(all) - maxFaultsShown; more > 0 {
		data.Faults = append(data.Faults, fault{Text: fmt.Sprintf("and %d more", more)})
	}
	if f.Variant != "" && one != nil {
		status = http.StatusNotFound // no such variant
	}
	d.show(w, status, "faults", data)
}

const maxFaultsShown = 50

func faultOf(e *product.Error) fault {
	out := fault{Place: e.File, Key: e.Key, Text: e.Problem}
	if e.Line > 0 {
		out.Place = fmt.Sprintf("%s:%d:%d", e.File, e.Line, e.Column)
	}
	if e.Value != "" {
		out.Text = "“" + e.Value + "”: " + out.Text
	}
	if e.Want != "" {
		out.Text += "; " + e.Want
	}
	if _, below, ok := strings.Cut(e.Detail(), "\n"); ok {
		out.Excerpt = below
	}
	return out
}
