package desk

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/intake"
	"hindwatt/internal/page"
	"hindwatt/internal/product/logfile"
)

// dropped are the files that were dropped on the page and not taken in yet. They are held in memory
// only: nothing of them is on the disk before it was shown and agreed to, and nothing runs them.
type dropped struct {
	mutex sync.Mutex
	files []droppedFile // the latest last
}

type droppedFile struct {
	id, name string
	data     []byte
}

// mostDropped is how many files are held; the oldest goes first.
const mostDropped = 4

func (d *dropped) add(name string, data []byte) (id string) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	id = secret()
	d.files = append(d.files, droppedFile{id, name, data})
	if len(d.files) > mostDropped {
		d.files = slices.Delete(d.files, 0, len(d.files)-mostDropped)
	}
	return id
}

func (d *dropped) get(id string) (droppedFile, bool) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	for _, f := range d.files {
		if same(f.id, id) {
			return f, true
		}
	}
	return droppedFile{}, false
}

func (d *dropped) forget(id string) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	d.files = slices.DeleteFunc(d.files, func(f droppedFile) bool { return same(f.id, id) })
}

// importWords are what the rows of a file may be, with "bench" for the log of a run; "" leaves it to the file.
var importWords = []choice{
	{"", "as the file shows", false},
	{"sold", "units sold", false}, {"made", "units made", false}, {"returned", "units that came back", false}, {"spent", "money spent", false},
	{"hours", "hours of work", false}, {"reading", "readings by hand", false}, {"bom", "the bill of materials", false}, {"bench", "a log of the bench", false},
}

// matched is a column of the file with what it may be taken for.
type matched struct {
	intake.Column
	Name   string // of its field: "col.3"
	Chosen string
	As     []choice
}

// importPage is a file that is looked at before it is taken in.
type importPage struct {
	Frame         frame
	Kinds         []choice
	File, ID      string // "" while none was dropped
	Kind          string
	Wrong         string
	Shown         *page.Page
	Columns       []matched
	Pairs         [][2]string // what was chosen, for the form that writes
	Ready         bool
	Fresh         int
	Options       map[string]string
	Dates, Signs  []choice
	Units         []unitAsked
	Log           *logForm
	SkipBad, Bare bool
}

// unitAsked is a column whose numbers may lack a unit.
type unitAsked struct{ Name, Column, Text string }

// drop takes a file that was dropped, and shows what it would be.
func (d *Desk) drop(w http.ResponseWriter, r *http.Request) {
	v := view{variant: viewOf(r.Header.Get("Referer")).variant, page: "import"}
	parts, err := r.MultipartReader()
	if err != nil {
		d.render(w, r, v, refused(err))
		return
	}
	name, kind, data := "", "", []byte(nil)
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		var all []byte
		if err == nil {
			all, err = io.ReadAll(part) // bounded by the guard
		}
		if err != nil {
			d.render(w, r, v, refused(err))
			return
		}
		switch part.FormName() {
		case "file":
			name, data = path.Base(strings.ReplaceAll(part.FileName(), `\`, "/")), all
		case "kind":
			kind = string(all)
		}
	}
	if len(data) == 0 {
		d.render(w, r, v, &problem{status: http.StatusUnprocessableEntity, Text: "no file was chosen, or it is empty"})
		return
	}
	if kind == "" {
		kind = kindOf(name, data)
	}
	q := url.Values{"upload": {d.dropped.add(name, data)}, "kind": {kind}}
	http.Redirect(w, r, v.address()+"?"+q.Encode(), http.StatusSeeOther)
}

// kindOf says what a file looks to be: rows of a kind, or what a logger wrote of voltages, currents and the like.
func kindOf(name string, data []byte) string {
	if kind := intake.KindOf(name, data); kind != "" {
		return kind
	}
	for _, h := range logfile.Headings(data) {
		if h.Like != "" && h.Like != "time" {
			return "bench"
		}
	}
	return "sold"
}

// importing shows what a file that was dropped would be. What was chosen is in the address.
func (d *Desk) importing(w http.ResponseWriter, r *http.Request, status int, f frame, l *look) {
	d.showImport(w, status, f, l, r.URL.Query(), "")
}

func (d *Desk) showImport(w http.ResponseWriter, status int, f frame, l *look, q url.Values, wrong string) {
	f.Title = "From a file"
	p := importPage{Frame: f, Kind: q.Get("kind"), Wrong: wrong}
	for _, k := range importWords {
		p.Kinds = append(p.Kinds, choice{k.Name, k.Text, k.Name == p.Kind})
	}
	file, there := d.dropped.get(q.Get("upload"))
	switch {
	case !there:
		if q.Get("upload") != "" && wrong == "" {
			status, p.Wrong = http.StatusGone, "that file is not held any more; drop it again"
		}
	case p.Kind == "bench":
		p.File, p.ID = file.name, file.id
		p.Log = l.logForm(file, q)
		p.Ready, p.Pairs = p.Log.Ready, pairs(q)
	default:
		p.File, p.ID = file.name, file.id
		p.table(l.dir, file, q)
	}
	d.show(w, status, "import", p)
}

// table looks at a file of rows.
func (p *importPage) table(dir string, file droppedFile, q url.Values) {
	o := optionsOf(q)
	plan, err := intake.PrepareData(dir, file.name, file.data, o)
	if err != nil {
		p.Wrong = strings.TrimSpace(p.Wrong + "\n" + onPage.Replace(err.Error()))
	} else {
		shown := worded(plan.Page())
		p.Shown, p.Ready = &shown, plan.Ready()
		p.Fresh, _, _ = plan.Rows()
	}
	names, needed := intake.Targets(p.Kind)
	for _, c := range plan.Columns() {
		m := matched{Column: c, Name: fmt.Sprintf("col.%d", c.At), Chosen: q.Get(fmt.Sprintf("col.%d", c.At))}
		found := "left out"
		if c.As != "" && m.Chosen == "" {
			found = c.As
		}
		m.As = []choice{{"", "as found: " + found, m.Chosen == ""}, {"-", "leave out", m.Chosen == "-"}}
		if c.Private {
			m.As = append(m.As, choice{"+", "looked through, harmless", m.Chosen == "+"})
		}
		for _, name := range names {
			text := name
			if needed[name] {
				text += " (needed)"
			}
			m.As = append(m.As, choice{name, text, m.Chosen == name})
		}
		p.Columns = append(p.Columns, m)
		if as := c.As; slices.Contains([]string{"time", "minutes", "value", "ambient", "charge_current", "load_current"}, as) {
			p.Units = append(p.Units, unitAsked{"unit." + as, as, q.Get("unit." + as)})
		}
	}
	p.Options = map[string]string{"currency": q.Get("currency"), "sheet": q.Get("sheet")}
	p.Dates = chosenOf(q.Get("dates"), choice{"", "as the file shows", false}, choice{"dmy", "day, month, year", false}, choice{"mdy", "month, day, year", false}, choice{"ymd", "year, month, day", false})
	p.Signs = chosenOf(q.Get("decimal"), choice{"", "as the file shows", false}, choice{".", "point", false}, choice{",", "comma", false})
	p.SkipBad, p.Bare, p.Pairs = o.SkipBad, o.NoHeader, pairs(q)
}

func chosenOf(text string, all ...choice) []choice {
	for i := range all {
		all[i].Current = all[i].Name == text
	}
	return all
}

// pairs are what was chosen, in a fixed order.
func pairs(q url.Values) (all [][2]string) {
	for name := range q {
		if name != "shown" && q.Get(name) != "" {
			all = append(all, [2]string{name, q.Get(name)})
		}
	}
	slices.SortFunc(all, func(a, b [2]string) int { return strings.Compare(a[0], b[0]) })
	return all
}

// optionsOf reads what was chosen.
func optionsOf(q url.Values) intake.Options {
	o := intake.Options{Kind: q.Get("kind"), Dates: q.Get("dates"), Decimal: q.Get("decimal"), Currency: strings.TrimSpace(q.Get("currency")), Sheet: strings.TrimSpace(q.Get("sheet")), SkipBad: q.Get("skip") != "", NoHeader: q.Get("bare") != ""}
	for _, one := range pairs(q) {
		name, text := one[0], one[1]
		if column, ok := strings.CutPrefix(name, "unit."); ok {
			o.Units = append(o.Units, column+"="+text)
		}
		at, ok := strings.CutPrefix(name, "col.")
		switch {
		case !ok:
		case text == "-":
			o.Without = append(o.Without, "@"+at)
		case text == "+":
			o.Harmless = append(o.Harmless, "@"+at)
		default:
			o.Map = append(o.Map, text+"=@"+at)
		}
	}
	return o
}

// onPage puts the words of the page for those of the terminal.
var onPage = strings.NewReplacer(
	"say another with --currency", "name another as the currency", "say which with --currency, such as --currency", "name it as the currency, such as",
	"say --decimal", "choose the decimal sign", "it is left out; choose with --map, or drop the other with --without", "it is left out; choose at its column, or leave the other out",
	"name one with --sheet", "name one as the sheet", "--skip-bad takes the other", "“leave out rows that are wrong” takes the other", "--as", "kind", "--map", "choose the column:", "--without", "leave out",
	"--harmless and its header keep it", "“looked through, harmless” keeps it", "--dates", "days:", "--decimal", "decimal sign:", "--currency", "currency:", "--unit", "unit:", "--sheet", "sheet:", "--no-header", "no header")

// worded is a page with the words of the desk.
func worded(p page.Page) page.Page {
	for i := range p.Answer {
		p.Answer[i] = onPage.Replace(p.Answer[i])
	}
	for i := range p.Warnings {
		p.Warnings[i].Text, p.Warnings[i].Remedy = onPage.Replace(p.Warnings[i].Text), onPage.Replace(p.Warnings[i].Remedy)
	}
	for _, t := range p.Tables {
		for _, row := range t.Rows {
			for i := range row {
				row[i] = onPage.Replace(row[i])
			}
		}
	}
	return p
}

// takeIn writes what was shown, and only that: where the folder has changed since, it is shown again.
func (d *Desk) takeIn(w http.ResponseWriter, r *http.Request) {
	v, l, ok := d.recording(w, r)
	if !ok {
		return
	}
	v.page = "import"
	q := r.PostForm
	file, there := d.dropped.get(q.Get("upload"))
	again := func(status int, wrong string) {
		shown := url.Values{}
		for name, values := range q {
			if name != "shown" {
				shown[name] = values
			}
		}
		d.showImport(w, status, d.frame(l, v), l, shown, wrong)
	}
	switch {
	case !there:
		again(http.StatusGone, "that file is not held any more; drop it again")
		return
	case q.Get("shown") != l.stamp:
		again(http.StatusConflict, "the folder has changed since this was shown, and nothing was written; look at it again")
		return
	case q.Get("kind") == "bench":
		d.takeLog(w, r, l, v, file, q, again)
		return
	}
	plan, err := intake.PrepareData(l.dir, file.name, file.data, optionsOf(q))
	if err != nil || !plan.Ready() {
		again(http.StatusUnprocessableEntity, "")
		return
	}
	done, err := plan.Write()
	if err != nil {
		again(http.StatusUnprocessableEntity, err.Error())
		return
	}
	d.dropped.forget(file.id)
	d.evening.add(done.Change)
	to := recordsAt(v.variant, q.Get("kind")) + fmt.Sprintf("&done=%d", done.Line)
	if q.Get("kind") == "bom" {
		to = view{variant: v.variant, page: "production"}.address()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}
