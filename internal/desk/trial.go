package desk

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"

	"hindwatt/internal/product"
)

// trialPage is where values are tried without being kept; what is tried stands in its address.
//
//	in  "product.toml sense.top", as often as there are values
//	to  what each is to be, in the same order; empty for what the file has
const trialPage = "try"

// Of a trial: how many values are changed at once, how long what is typed may be, and how many trials are computed or held at a time.
const (
	mostTried  = 6
	longTried  = 500
	mostTrials = 4
)

// trial is what is tried, laid over the folder in memory.
type trial []product.Setting

// trialOf reads a trial from the values of an address or a form; what is no place of a value is left out, and so is what comes twice.
func trialOf(q url.Values) (t trial) {
	to := q["to"]
	for i, in := range q["in"] {
		file, key, ok := strings.Cut(in, " ")
		if !ok || len(in) > longTried || slices.ContainsFunc(t, func(s product.Setting) bool { return s.File == file && s.Key == key }) {
			continue
		}
		s := product.Setting{File: file, Key: key}
		if i < len(to) && len(to[i]) <= longTried {
			s.Text = strings.TrimSpace(to[i])
		}
		if t = append(t, s); len(t) == mostTried {
			break
		}
	}
	return t
}

// query is a trial as an address has it; "" for an empty one.
func (t trial) query() string {
	q := url.Values{}
	for _, s := range t {
		q.Add("in", s.File+" "+s.Key)
		q.Add("to", s.Text)
	}
	return q.Encode()
}

// changed are the settings that are another value than the file has.
func (t trial) changed(v valuesOf) (all trial) {
	for _, s := range t {
		if is := v.at(s.File, s.Key); s.Text != "" && s.Text != is.Text && s.Text != is.Source {
			all = append(all, s)
		}
	}
	return all
}

// at is the value of a key; without source if there is none.
func (v valuesOf) at(file, key string) product.Value {
	for _, one := range v.in(file) {
		if one.Key == key {
			return one
		}
	}
	return product.Value{File: file, Key: key}
}

// tried is one value of a trial as the page shows it.
type tried struct {
	ID, In, Is, Text, Key, File, Without, Wrong string
}

// offered are the values of one file that can be tried.
type offered struct {
	File   string
	Values []product.Value
}

// trying shows the promises as they would be.
func (d *Desk) trying(w http.ResponseWriter, r *http.Request, status int, f frame, v view, l *look) {
	f.Title = "What if? " + f.Product
	t := v.trial()
	values := valuesOf{dir: l.dir, known: map[string][]product.Value{}}
	data := struct {
		Frame       frame
		Tried       []tried
		Offered     []offered
		More        bool
		Changed     bool
		Wrong       []string
		Name, Why   string
		Strips      []shownPromise
		Count, Read string
	}{Frame: f, More: len(t) < mostTried, Changed: len(t.changed(values)) > 0, Name: r.PostFormValue("name"), Why: r.PostFormValue("why"), Read: view{variant: v.variant}.address()}
	wrong := map[string]string{}
	if l.faults != nil {
		wrong, data.Wrong = t.wrong(l.faults)
	}
	for i, s := range t {
		is := values.at(s.File, s.Key)
		without := slices.Delete(slices.Clone(t), i, i+1)
		data.Tried = append(data.Tried, tried{
			ID: fmt.Sprintf("try-%d", i), In: s.File + " " + s.Key, Is: is.Text, Text: cmp.Or(s.Text, is.Text), Key: s.Key, File: s.File,
			Without: view{v.variant, trialPage, without.query()}.address(), Wrong: wrong[s.File+" "+s.Key],
		})
	}
	if data.More {
		data.Offered = values.offered(l.laid)
	}
	if l.faults == nil {
		if !closed(l.judged) && !live(r) {
			wait(r, l.judged)
		}
		if !closed(l.judged) {
			data.Frame.Again = "2"
		}
		data.Strips = l.strips("")
		l.mutex.Lock()
		data.Count = counting(l.promises)
		if closed(l.judged) {
			site := l.site
			site.Promises = l.promises
			data.Count = site.Count()
		}
		l.mutex.Unlock()
	}
	d.show(w, status, "trial", data)
}

// wrong words the faults of a trial: at the value that each is about, and the rest.
func (t trial) wrong(faults error) (at map[string]string, rest []string) {
	at = map[string]string{}
	var all product.Errors
	if !errors.As(faults, &all) {
		return at, []string{faults.Error()}
	}
	for _, e := range all[:min(len(all), maxFaultsShown)] {
		i := slices.IndexFunc(t, func(s product.Setting) bool { return e.File == s.File && e.Key == s.Key })
		if i < 0 {
			rest = append(rest, e.Error())
			continue
		}
		at[t[i].File+" "+t[i].Key] = said(product.Errors{e})
	}
	return at, rest
}

// number is what a slider can move: a figure with its unit, with or without a spread.
var number = regexp.MustCompile(`^[-−+]?\d+(\.\d+)?`)

// offered lists what can be tried, by file.
func (v valuesOf) offered(p *product.Product) (all []offered) {
	files := []string{"product.toml", "parts.toml", "production.toml"}
	if p != nil {
		for _, name := range p.Installations.Names() {
			files = append(files, path.Join("installations", name+".toml"))
		}
	}
	for _, file := range files {
		one := offered{File: file}
		for _, is := range v.in(file) {
			if number.MatchString(is.Text) {
				one.Values = append(one.Values, is)
			}
		}
		if len(one.Values) > 0 {
			all = append(all, one)
		}
	}
	return all
}

// keep writes what is tried, as one change.
func (d *Desk) keep(w http.ResponseWriter, r *http.Request) {
	d.keepAs(w, r, func(dir string, t trial, v view) (view, []product.Change, error) {
		var done []product.Change
		values := valuesOf{dir: dir, known: map[string][]product.Value{}}
		for _, s := range t {
			c, err := product.Replace(dir, s.File, s.Key, values.at(s.File, s.Key).Source, s.Text)
			if err != nil {
				return v, done, err
			}
			done = append(done, c)
		}
		return view{variant: v.variant}, done, nil
	})
}

var (
	variantName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9-]{0,59}$`)
	deviceName  = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com\d|lpt\d)$`) // which some systems keep for devices
)

// keepVariant writes what is tried as a variant of its own; the product's files stay as they are.
func (d *Desk) keepVariant(w http.ResponseWriter, r *http.Request) {
	d.keepAs(w, r, func(dir string, t trial, v view) (view, []product.Change, error) {
		name, why := strings.TrimSpace(r.PostFormValue("name")), strings.TrimSpace(r.PostFormValue("why"))
		if !variantName.MatchString(name) || deviceName.MatchString(name) {
			return v, nil, fmt.Errorf("%q is no name of a variant; want letters, digits and - such as wider-sense", name)
		}
		file := path.Join("variants", name+".toml")
		if there, err := product.Values(dir, file); err != nil || len(there) > 0 {
			return v, nil, fmt.Errorf("there is a variant %s already; want another name", name)
		}
		settings := []product.Setting{}
		if why != "" {
			settings = append(settings, product.Setting{File: file, Key: "why", Text: why})
		}
		if v.variant != "" {
			settings = append(settings, product.Setting{File: file, Key: "on", Text: v.variant})
		}
		for _, s := range t {
			path := strings.ReplaceAll(strings.TrimSuffix(s.File, ".toml"), "/", ".") + "." + s.Key
			if strings.Contains(path, `"`) {
				return v, nil, fmt.Errorf("%s cannot be named in a variant; keep it as a change", s.Key)
			}
			settings = append(settings, product.Setting{File: file, Key: `set."` + path + `"`, Text: s.Text})
		}
		var done []product.Change
		for _, s := range settings {
			c, err := product.Set(dir, s.File, s.Key, s.Text)
			if err != nil {
				return v, done, err
			}
			done = append(done, c)
		}
		return view{variant: name}, done, nil
	})
}

// keepAs writes a trial, all of it or nothing, as one step of the evening.
func (d *Desk) keepAs(w http.ResponseWriter, r *http.Request, write func(string, trial, view) (view, []product.Change, error)) {
	if err := r.ParseForm(); err != nil {
		d.render(w, r, view{page: trialPage}, refused(err))
		return
	}
	t := trialOf(r.PostForm)
	v := view{r.PostFormValue("variant"), trialPage, t.query()}
	dir := d.sight.folder()
	changed := t.changed(valuesOf{dir: dir, known: map[string][]product.Value{}})
	if len(changed) == 0 {
		d.render(w, r, v, &problem{status: http.StatusUnprocessableEntity, Text: "nothing is changed: every value is what its file has"})
		return
	}
	d.sight.yield()
	to, done, err := write(dir, changed, v)
	if err != nil {
		if len(done) > 0 {
			err = errors.Join(err, step{Changes: done}.undo(dir))
		}
		var faults product.Errors
		text := err.Error()
		if errors.As(err, &faults) {
			text = said(faults)
		}
		d.render(w, r, v, &problem{status: http.StatusUnprocessableEntity, Text: text})
		return
	}
	d.evening.add(done...)
	http.Redirect(w, r, to.address(), http.StatusSeeOther)
}
