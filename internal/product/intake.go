package product

import (
	"os"
	"reflect"

	"hindwatt/internal/product/tree"
)

// Judge checks rows as Record would, and writes nothing.
//
//	rows  as for Record; a row without a needed column is a fault
//
// faults[i] is what is wrong with rows[i], nil if nothing is. Its errors name keys, not places. broken are the contradictions that the
// rows bring into the records, each with the row's position; those that stand in rows written before have -1.
func (f *Folder) Judge(kind string, rows [][]Field) (faults []Errors, broken []Breach, err error) {
	k := kindOf(kind)
	if k == nil {
		return nil, nil, Errors{{Value: kind, Problem: "there is no such kind of record", Want: nearOr(kind, RecordKinds())}}
	}
	faults = make([]Errors, len(rows))
	a, err := newAppender(*k, tree.NewFile(k.file, nil))
	if err != nil {
		return nil, nil, err
	}
	var good [][]Field
	var from []int
	for i, row := range rows {
		if _, faults[i] = columnsOf(k, [][]Field{row}); faults[i] == nil {
			good, from = append(good, row), append(from, i)
		}
	}
	var whole tree.Faults
	read := tree.ReadCSV(tree.NewFile(k.file, a.with(good)), &whole, &whole)
	if len(whole.List) > 0 || read.Len() != len(good) {
		return nil, nil, Errors{{File: k.file, Problem: "a row would not be read back", Want: "want no line breaks in its cells"}}
	}
	d := f.rowDecoder(*k, read)
	for i := range read.Len() {
		var own tree.Faults
		d.decode(i, reflect.New(k.row).Elem(), &own)
		for _, e := range own.List {
			e.File, e.Line, e.Column, e.Excerpt = "", 0, 0, ""
		}
		faults[from[i]] = own.List
	}
	sound := true
	for _, e := range faults {
		sound = sound && len(e) == 0
	}
	if sound {
		broken, err = f.broughtIn(*k, good)
	}
	return faults, broken, err
}

// A Breach is a contradiction that rows would bring into the records.
type Breach struct {
	Row   int // position among the rows; -1 for a row that is written already
	First int // line that the first of the rows would have
	*Error
}

// broughtIn reads the folder with the rows in it, and returns the breaches that it did not have before.
func (f *Folder) broughtIn(k recordKind, rows [][]Field) (broken []Breach, err error) {
	root, err := os.OpenRoot(f.Dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	present, _, err := present(root, k.file)
	if err != nil {
		return nil, err
	}
	a, err := newAppender(k, present)
	if err != nil {
		return nil, err
	}
	tried, err := read(f.Dir, root, With(k.file, a.with(rows)), Today(f.today))
	if err != nil {
		return nil, err
	}
	before := map[string]bool{}
	for _, e := range f.Breaches() {
		before[e.Error()] = true
	}
	for _, e := range tried.Breaches() {
		if before[e.Error()] {
			continue
		}
		row := -1
		if e.File == k.file && e.Line >= a.line && e.Line < a.line+len(rows) {
			row = e.Line - a.line
		}
		broken = append(broken, Breach{row, a.line, e})
	}
	return broken, nil
}

// RecordChosen is Record of the rows that choose returns for the folder as it stands while nobody else can record. Where choose returns
// none, nothing is written, and Line is 0.
func RecordChosen(dir, kind string, choose func(*Folder) [][]Field) (Recorded, error) {
	k := kindOf(kind)
	if k == nil {
		return Recorded{}, Errors{{Value: kind, Problem: "there is no such kind of record", Want: nearOr(kind, RecordKinds())}}
	}
	root, err := openSource(dir)
	if err != nil {
		return Recorded{}, err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return Recorded{}, err
	}
	defer unlock()
	folder, err := read(dir, root)
	if err != nil {
		return Recorded{}, err
	}
	rows := choose(folder)
	if len(rows) == 0 {
		return Recorded{Change: Change{File: k.file}}, nil
	}
	present, missing, err := presentAt(root, k.file, maxRecords)
	if err != nil {
		return Recorded{}, err
	}
	rows, faults := columnsOf(k, rows)
	return folder.append(root, *k, present, missing, rows, faults)
}

// Texts returns the rows of a kind as they are written, without those that are wrong; empty cells are left out.
func (f *Folder) Texts(kind string) (rows [][]Field) {
	k := kindOf(kind)
	if k == nil {
		return nil
	}
	all := reflect.ValueOf(k.into(&f.Records)).Elem()
	specs := planOf(k.row).fields
	for i := range all.Len() {
		var row []Field
		for _, s := range specs {
			leaf := all.Index(i).Field(s.index).Addr().Interface().(based).base()
			if leaf.Set() {
				row = append(row, Field{s.key, leaf.Text})
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// AppendTables writes tables of TOML at the end of a file, checks the whole folder with them, and writes nothing if anything is wrong.
func AppendTables(dir, file, text string) (Change, error) {
	return edit(dir, file, "bom", func(top *tree.Node, _ []string) ([]tree.Edit, error) {
		data := top.File.Data
		if len(data) > 0 && data[len(data)-1] != '\n' {
			text = "\n" + text
		}
		return []tree.Edit{{Span: tree.Span{Start: len(data), End: len(data)}, New: text}}, nil
	})
}
