package product

import (
	"reflect"
	"strconv"
	"strings"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// recordKind is one of the files under records.
type recordKind struct {
	name string // as `record` calls it
	file string
	row  reflect.Type
	into func(*Records) any // pointer to the slice of its rows
}

var recordKinds = []recordKind{
	{"made", "records/made.csv", reflect.TypeFor[Made](), func(r *Records) any { return &r.Made }},
	{"sold", "records/sold.csv", reflect.TypeFor[Sold](), func(r *Records) any { return &r.Sold }},
	{"returned", "records/returned.csv", reflect.TypeFor[Returned](), func(r *Records) any { return &r.Returned }},
	{"spent", "records/spent.csv", reflect.TypeFor[Spent](), func(r *Records) any { return &r.Spent }},
	{"hours", "records/hours.csv", reflect.TypeFor[Hours](), func(r *Records) any { return &r.Hours }},
	{"reading", "records/readings.csv", reflect.TypeFor[Reading](), func(r *Records) any { return &r.Readings }},
}

// RecordKinds returns the kinds that Record accepts, in the order of docs/folder.md.
func RecordKinds() (names []string) {
	for _, k := range recordKinds {
		names = append(names, k.name)
	}
	return names
}

// Columns returns the columns of a kind of record in order, and which are needed.
func Columns(kind string) (names []string, needed map[string]bool) {
	k := kindOf(kind)
	if k == nil {
		return nil, nil
	}
	needed = map[string]bool{}
	for _, s := range planOf(k.row).fields {
		names = append(names, s.key)
		needed[s.key] = s.needed != ""
	}
	return names, needed
}

// Column is one column of a kind of record.
type Column struct {
	Name   string
	Needed bool
	What   string   // "count", "time", "sum of money", "past day"; "" for a text
	Words  []string // one of these, if there are any
	Of     string   // what it names: "revision", "step", "channel", "meter"; "" for nothing
}

// RecordColumns returns the columns of a kind of record in order; nil if there is no such kind.
func RecordColumns(kind string) (all []Column) {
	k := kindOf(kind)
	if k == nil {
		return nil
	}
	for _, s := range planOf(k.row).fields {
		all = append(all, Column{s.key, s.needed != "", s.is, s.words, s.to})
	}
	return all
}

// NamesOf returns the names that the product has of "revision", "step", "channel", "meter" and the like; none of "".
func (p *Product) NamesOf(of string) []string {
	if of == "" {
		return nil
	}
	names, _ := p.names(of)
	return names
}

// FileOf returns the file of a kind of record; "" if there is no such kind.
func FileOf(kind string) string {
	if k := kindOf(kind); k != nil {
		return k.file
	}
	return ""
}

func kindOf(name string) *recordKind {
	for i := range recordKinds {
		if recordKinds[i].name == name {
			return &recordKinds[i]
		}
	}
	return nil
}

// records reads all rows. What is wrong with one keeps that one out; a file that
// cannot be read whole is a fault of the folder, for verdicts without it would be
// better than they ought to be. Rows are not looked at if the product is at fault.
func (r *folderReader) records() {
	var single Errors
	sound := len(r.faults.List) == 0
	if before := len(r.faults.List); len(r.list("records", ".csv")) == 0 && len(r.faults.List) > before {
		return // the folder itself cannot be read
	}
	files := make([]recordFile, len(recordKinds))
	r.together(len(files), func(i int) {
		files[i] = r.recordFile(recordKinds[i])
	})
	var good []*recordFile
	r.folder.kept = map[string]bool{}
	for i := range files {
		f := &files[i]
		r.folder.kept[f.kind.name] = f.rows != nil
		for _, e := range f.whole.List {
			r.faults.Add(e)
		}
		if f.rows != nil && r.header(f.kind, f.rows) && sound && !r.noRows {
			good = append(good, f)
		}
	}
	r.decode(good)
	for i := range files {
		f := &files[i]
		if f.single.Full(f.kind.file) {
			r.faults.Add(&Error{File: f.kind.file, Problem: "too many of its rows are wrong, such as line " + strconv.Itoa(f.single.List[len(f.single.List)-1].Line), Want: "want " + listed(keysOf(f.kind.row)) + " in the columns of the header"})
		}
		single = append(single, f.single.List...)
	}
	r.folder.RecordErrors = single.Sorted()
}

// header checks the names of the columns; false if rows cannot be read by it.
func (r *folderReader) header(kind recordKind, rows *tree.Rows) bool {
	if rows.Header == nil {
		return false
	}
	known := keysOf(kind.row)
	have := map[string]bool{}
	for _, cell := range rows.Header {
		have[cell.Text] = true
		if contains(known, cell.Text) {
			continue
		}
		want := "want " + listed(known)
		if near := tree.Nearest(cell.Text, known); near != "" {
			want = "did you mean " + near
		}
		r.faults.Add(cell.Fault("", "unknown column", want))
	}
	whole := true
	for _, s := range planOf(kind.row).fields {
		if s.needed != "" && !have[s.key] {
			r.faults.Add(rows.Header[0].File.Fault(rows.Header[0].Span, "", "", "there is no column "+s.key, "want it in the header"))
			whole = false
		}
	}
	return whole
}

// keysIn returns the keys that errors are about.
func keysIn(faults Errors) map[string]bool {
	if len(faults) == 0 {
		return nil // which is so for nearly every row
	}
	keys := map[string]bool{}
	for _, e := range faults {
		keys[e.Key] = true
	}
	return keys
}

// needed reports the columns that a row lacks, with an example of each.
func (d *decoder) needed(kind recordKind, n *tree.Node) {
	var missing, examples []string
	for _, s := range planOf(kind.row).fields {
		if s.needed == "" || n.Child(s.key) != nil {
			continue
		}
		example := s.needed
		if strings.Contains(example, " ") {
			example = `"` + example + `"`
		}
		missing, examples = append(missing, s.key), append(examples, s.key+"="+example)
	}
	if len(missing) == 0 {
		return
	}
	problem := "is missing"
	if len(missing) > 1 {
		problem = "are missing"
	}
	d.faults.Add(n.File.Fault(tree.Span{Start: n.Span.Start, End: n.Span.Start}, strings.Join(missing, ", "), "", problem, "want such as "+strings.Join(examples, " ")))
}

// period is what all kinds of rows have in common.
type period struct {
	date, until Date
	count       Quantity
	serial      Text
}

func periodOf(row any) period {
	switch r := row.(type) {
	case *Made:
		return period{r.Date, r.Until, r.Count, r.Serial}
	case *Sold:
		return period{r.Date, r.Until, r.Count, r.Serial}
	case *Returned:
		return period{r.Date, r.Until, r.Count, r.Serial}
	case *Spent:
		return period{date: r.Date, until: r.Until}
	case *Hours:
		return period{date: r.Date, until: r.Until, count: r.Count}
	}
	return period{}
}

// sense checks what the cells of a row say of each other, but for those that are wrong
// in themselves.
func (d *decoder) sense(n *tree.Node, row any, wrong map[string]bool) {
	p := periodOf(row)
	if p.until.Set() && !wrong["date"] && !wrong["until"] && p.until.Day.Before(p.date.Day) {
		d.faults.Add(n.Child("until").Fault("until", "is before date", "want "+p.date.Text+" or later"))
	}
	if p.serial.Set() && p.count.Set() && !wrong["count"] && (p.count.Low != 1 || p.count.High != 1) {
		d.faults.Add(n.Child("count").Fault("count", "a serial stands for one unit", "want 1, or no serial"))
	}
	if r, ok := row.(*Reading); ok && r.Value.Set() && !wrong["value"] {
		d.reading(n, r)
	}
}

// reading checks that a trial has an end, and anything else a quantity.
func (d *decoder) reading(n *tree.Node, r *Reading) {
	value := n.Child("value")
	switch trial := r.What.Text == "fault.end"; {
	case trial && r.Value.End == "":
		d.faults.Add(value.Fault("value", "is no end", "want "+listed(EndWords)))
	case trial && !r.Mistake.Set():
		d.faults.Add(n.Fault("mistake", "is missing", `want such as mistake="panel reversed"`))
	case trial && !r.State.Set():
		d.faults.Add(n.Fault("state", "is missing", `want such as state="full sun, charging"`))
	case !trial && r.Value.End != "":
		d.faults.Add(value.Fault("value", "is an end, and only a trial has one", "want a quantity such as 27.3 V"))
	case strings.HasPrefix(r.What.Text, "setpoint.") && r.Value.Dim != quantity.Voltage:
		d.faults.Add(value.Fault("value", "is "+article(r.Value.Dim.Name()), "want a voltage such as 27.3 V"))
	}
}
