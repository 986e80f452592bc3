package desk

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/product/logfile"
	"hindwatt/internal/promise"
)

// logForm is the description of a run that is being made for a log.
type logForm struct {
	ID      string
	Name    string
	Kinds   []choice
	Lines   []logLine // keys of the run that are typed
	Columns []logColumn
	Text    string // of bench/NAME.toml
	Told    *shownPage
	Wrong   string
	Ready   bool
}

// logLine is one key of the run.
type logLine struct {
	Key, Text, Note string
	Known           []string
}

// logColumn is a column of the log with what it may be.
type logColumn struct {
	logfile.Heading
	Field  string // "is.3"
	As     []choice
	Unit   string
	chosen string
}

// runKinds are the kinds of run that one log tells by itself.
var runKinds = []choice{
	{"curve", "charging through a day or part of it", false}, {"thresholds", "a supply swept over the switching points", false},
	{"soak", "temperatures at a held current", false}, {"iv", "a panel from short circuit to open circuit", false},
}

// columnsAre is what a column may be, and which of it a unit in its heading suggests.
var columnsAre = []struct{ is, like string }{
	{"time", "time"}, {"date", ""}, {"battery voltage", "voltage"}, {"panel voltage", "voltage"}, {"supply voltage", "voltage"}, {"output voltage", "voltage"},
	{"charge current", "current"}, {"load current", "current"}, {"panel current", "current"}, {"drop", ""}, {"temperature", "temperature"}, {"irradiance", "irradiance"},
}

// suggested is what a column is taken for at first, by the kind of run.
func suggested(kind, like string) string {
	first := map[string][]string{"curve": {"battery voltage", "charge current"}, "soak": {"", "charge current"}, "iv": {"panel voltage", "panel current"}, "thresholds": {"supply voltage", "load current"}}[kind]
	switch {
	case like == "voltage" && first != nil:
		return first[0]
	case like == "current" && first != nil:
		return first[1]
	case like == "time" || like == "temperature" || like == "irradiance":
		return like
	}
	return ""
}

// typedKeys are the keys of a run that the form has, in the order in which they are written.
var typedKeys = []logLine{
	{Key: "date", Note: "such as 2024-05-14"}, {Key: "rig", Note: "panel, battery, supply, leads"}, {Key: "serial", Note: "of the unit"}, {Key: "revision"},
	{Key: "shows", Note: "what is read from it, parted by commas, such as setpoint.float"}, {Key: "meter"}, {Key: "interval", Note: "from row to row, where the log has no time"},
	{Key: "dates", Known: []string{"dmy", "mdy", "ymd"}}, {Key: "decimal", Known: []string{"point", "comma"}},
	{Key: "conditions.ambient", Note: "such as 21 °C"}, {Key: "conditions.charge_current", Note: "such as 5 A"}, {Key: "conditions.load_current"},
	{Key: "conditions.irradiance"}, {Key: "conditions.cells", Note: "temperature of a panel's cells"}, {Key: "note"},
}

var notInName = regexp.MustCompile(`[^A-Za-z0-9]+`)

// logForm reads what was chosen, and looks at the log with it.
func (l *look) logForm(file droppedFile, q url.Values) *logForm {
	f := &logForm{ID: file.id, Name: strings.TrimSpace(q.Get("name"))}
	if f.Name == "" {
		f.Name = strings.ToLower(strings.Trim(notInName.ReplaceAllString(strings.TrimSuffix(file.name, path.Ext(file.name)), "-"), "-"))
	}
	kind := q.Get("run")
	if kind == "" {
		kind = "curve"
	}
	f.Kinds = chosenOf(kind, slices.Clone(runKinds)...)
	for _, k := range typedKeys {
		k.Text = strings.TrimSpace(q.Get("key." + k.Key))
		switch k.Key {
		case "meter", "revision":
			k.Known = l.laid.NamesOf(k.Key)
		}
		f.Lines = append(f.Lines, k)
	}
	for _, h := range logfile.Headings(file.data) {
		c := logColumn{Heading: h, Field: fmt.Sprintf("is.%d", h.Number), Unit: strings.TrimSpace(q.Get(fmt.Sprintf("unit.%d", h.Number))), chosen: suggested(kind, h.Like)}
		if q.Has(c.Field) {
			c.chosen = q.Get(c.Field)
		} else if c.chosen != "time" && slices.ContainsFunc(f.Columns, func(o logColumn) bool { return o.chosen == c.chosen }) {
			c.chosen = "" // the first of its like is it
		}
		c.As = append(c.As, choice{"", "not read", c.chosen == ""})
		for _, one := range columnsAre {
			c.As = append(c.As, choice{one.is, one.is, c.chosen == one.is})
		}
		f.Columns = append(f.Columns, c)
	}
	if len(f.Columns) == 0 {
		f.Wrong = "this is no table of a logger; want rows of numbers parted by commas, semicolons or tabs"
		return f
	}
	f.Text = f.describe(kind)
	f.try(l, file)
	return f
}

// describe writes bench/NAME.toml.
func (f *logForm) describe(kind string) string {
	var b strings.Builder
	line := func(key, text string) { fmt.Fprintf(&b, "%s = %s\n", key, text) }
	line("kind", quoted(kind))
	for _, k := range f.Lines {
		switch {
		case k.Text == "":
		case k.Key == "date":
			line(k.Key, dateOr(k.Text))
		case k.Key == "shows" || k.Key == "serial":
			var all []string
			for _, one := range strings.Split(k.Text, ",") {
				all = append(all, quoted(strings.TrimSpace(one)))
			}
			line(k.Key, "["+strings.Join(all, ", ")+"]")
		default:
			line(k.Key, quoted(k.Text))
		}
	}
	for _, c := range f.Columns {
		if c.chosen == "" {
			continue
		}
		fmt.Fprintf(&b, "\n[column.c%d]\n", c.Number)
		line("is", quoted(c.chosen))
		if c.Text != "" {
			line("header", quoted(c.Text))
		} else {
			line("number", fmt.Sprint(c.Number))
		}
		if c.Unit != "" {
			line("unit", quoted(c.Unit))
		}
	}
	return b.String()
}

var day = regexp.MustCompile(`^\d{4}-\d\d-\d\d$`)

func dateOr(text string) string {
	if day.MatchString(text) {
		return text
	}
	return quoted(text) // which the folder then refuses, with what it wants
}

// quoted is a text as TOML has it.
func quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.ToValidUTF8(text, "?") {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String() + `"`
}

// try reads the folder as it would be with the run in it, and looks at the log. Nothing is written.
func (f *logForm) try(l *look, file droppedFile) {
	folder, err := product.Read(l.dir, product.With("bench/"+f.Name+".toml", []byte(f.Text)), product.With("bench/"+f.Name+".csv", file.data))
	var laid *product.Product
	if err == nil {
		laid, err = folder.Resolve("")
	}
	if err != nil {
		f.Wrong = err.Error()
		return
	}
	told, err := promise.RunPage(laid, f.Name)
	if err != nil {
		f.Wrong = err.Error()
		return
	}
	told.ID, told.Inputs, told.How = "told", nil, nil
	shown := shownPage{Page: told}
	for _, one := range told.Figures {
		shown.Figures = append(shown.Figures, shownFigure{Figure: one})
	}
	f.Told, f.Ready = &shown, true
}

// takeLog writes a run as it was shown: its log and its description, both or none.
func (d *Desk) takeLog(w http.ResponseWriter, r *http.Request, l *look, v view, file droppedFile, q url.Values, again func(int, string)) {
	f := l.logForm(file, q)
	if !f.Ready {
		again(http.StatusUnprocessableEntity, "")
		return
	}
	changes, err := product.AddRun(l.dir, f.Name, f.Text, file.data)
	var faults product.Errors
	switch {
	case errors.As(err, &faults):
		again(http.StatusUnprocessableEntity, faults.Error())
		return
	case err != nil:
		again(http.StatusUnprocessableEntity, err.Error())
		return
	}
	d.dropped.forget(file.id)
	d.evening.add(changes...)
	http.Redirect(w, r, view{variant: v.variant, page: "bench"}.address(), http.StatusSeeOther)
}
