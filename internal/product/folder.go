package product

import (
	"fmt"
	"os"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"hindwatt/internal/product/tree"
)

const (
	productFile    = "product.toml"
	partsFile      = "parts.toml"
	promisesFile   = "promises.toml"
	productionFile = "production.toml"
	changesFile    = "changes.toml"
	metersFile     = "bench/meters.toml"
)

// The files that hold tables of names only.
type (
	partsDocument struct {
		Leaf
		Parts Map[Part] `key:"part"`
	}
	promisesDocument struct {
		Leaf
		Promises Map[Promise] `key:"promise"`
	}
	metersDocument struct {
		Leaf
		Meters Map[Meter] `key:"meter"`
	}
)

// A Folder is a product folder that was read and found without fault, but for single
// rows of its records.
type Folder struct {
	Dir       string
	Variants  []*Variant // by name
	Changes   []*Variant // single ones that changes.toml allows, in its order
	Decisions Map[Decision]
	Runs      Map[Run] // of the bench, by name
	Records   Records
	// RecordErrors are the rows that were left out of Records, and why.
	RecordErrors Errors
	kept         map[string]bool // kinds of record that have a file
	Warnings     []Warning

	today   time.Time         // UTC
	instead map[string][]byte // of the files on disk
	top     *tree.Node        // product, parts, promises, production, installations
	meters  *tree.Node
	base    *Product
	under   map[string]*Product // by variant

	joined sync.Once
	ledger *Ledger
}

// Today is the day on which the folder was read, in UTC, or the one that Read was told to take for it.
func (f *Folder) Today() time.Time { return f.today }

// RecordsUntil is the day up to which the records are complete: that of records_until, else today.
func (p *Product) RecordsUntil() time.Time {
	if p.Recorded.Set() {
		return p.Recorded.Day
	}
	return p.Folder.today
}

// A Warning is something that may have been meant otherwise, with its remedy.
type Warning struct{ Text, Remedy string }

// String returns "text; remedy".
func (w Warning) String() string { return w.Text + "; " + w.Remedy }

// Product is a product with one variant laid over it, decoded. It is shared: whoever
// gets one must not change it.
type Product struct {
	Main          // product.toml; its Revision, MadeFrom and FromSerial are those of the variant
	Parts         Map[Part]
	Promises      Map[Promise]
	Production    Production
	Installations Map[Installation]
	Meters        Map[Meter]

	Variant string // what was laid over it; "" for product.toml as it is
	Folder  *Folder
}

// Option changes how a folder is read.
type Option func(*source)

// With makes Read take data for the content of a file, whatever the disk holds; nil
// stands for no such file. A folder can so be tried before it is written.
func With(file string, data []byte) Option {
	return func(s *source) { s.laid[path.Clean(file)] = data }
}

// Today makes Read take a day for today, in UTC: records are not from after it.
func Today(day time.Time) Option {
	return func(s *source) { s.today = day.UTC().Truncate(24 * time.Hour) }
}

// Read reads the product folder dir and all its variants. Whatever is wrong is
// returned at once, as Errors in the order of files and lines; there is no Folder then.
// Single rows of records that are wrong do not fail it: see Folder.RecordErrors.
func Read(dir string, options ...Option) (*Folder, error) {
	root, err := openSource(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return read(dir, root, options...)
}

func read(dir string, root *os.Root, options ...Option) (*Folder, error) {
	s := &source{root: root, laid: map[string][]byte{}, faults: &tree.Faults{}}
	Today(time.Now())(s)
	for _, option := range options {
		option(s)
	}
	r := &folderReader{source: s, folder: &Folder{Dir: dir, under: map[string]*Product{}, today: s.today, instead: s.laid}}
	r.trees()
	r.variants()
	r.changes()
	broken := r.broken()
	r.decisions()
	r.runs()
	r.products(broken)
	r.pendingNames(broken)
	r.records()
	r.strayFiles()
	if len(s.faults.List) > 0 {
		return nil, s.faults.List.Sorted()
	}
	return r.folder, nil
}

// Keeps reports whether the folder has a file for a kind of record: without one nothing is known of
// it, while one without rows says that there was none.
func (f *Folder) Keeps(kind string) bool { return f.kept[kind] }

// folderReader reads one folder.
type folderReader struct {
	*source
	folder  *Folder
	pending []reference // names that are checked once the product is decoded
}

// trees reads the files that make up the product.
func (r *folderReader) trees() {
	top := tree.NewTable("", tree.NewFile(productFile, nil))
	for _, file := range []string{productFile, partsFile, promisesFile, productionFile} {
		name := strings.TrimSuffix(file, ".toml")
		top = top.With(name, r.tree(file).Named(name))
	}
	if len(r.faults.List) == 0 && len(top.Child("product").Children) == 0 && top.Child("product").File.Data == nil {
		r.faults.Add(&Error{File: productFile, Problem: "there is none", Want: "want at least this file in the folder"})
	}
	all := tree.NewTable("installations", tree.NewFile("installations", nil))
	for _, file := range r.list("installations", ".toml") {
		name := r.name(file, ".toml")
		all = all.With(name, r.tree(file).Named(name))
	}
	r.folder.top = top.With("installations", all)
	r.folder.meters = r.tree(metersFile)
}

// tree reads a file of TOML; an empty table if there is none.
func (r *folderReader) tree(file string) *tree.Node {
	f := r.read(file, maxTOML)
	if f == nil {
		return tree.NewTable("", tree.NewFile(file, nil))
	}
	return tree.ReadTOML(f, r.faults)
}

// name returns the name that a file gives to what is in it.
func (r *folderReader) name(file, ending string) string {
	name := strings.TrimSuffix(path.Base(file), ending)
	if !plainName(name) {
		r.faults.Add(&Error{File: file, Problem: fmt.Sprintf("%q is no name", name), Want: "want letters, digits and -"})
	}
	return name
}

// broken are the files whose text could not be read whole, so that a name that is
// missing may well be there.
func (r *folderReader) broken() map[string]bool {
	broken := map[string]bool{}
	for _, e := range r.faults.List {
		broken[e.File] = true
	}
	return broken
}

// products decodes the product as it is and under each variant.
func (r *folderReader) products(broken map[string]bool) {
	f := r.folder
	f.base = f.decode(f.top, r.faults, broken)
	r.weatherFiles(f.base)
	if len(broken) > 0 {
		return // what a variant changes may be where the text could not be read
	}
	all := slices.Concat(f.Variants, f.Changes)
	faults, under := make([]tree.Faults, len(all)), make([]*Product, len(all))
	r.together(len(all), func(i int) {
		if top, ok := f.laid(all[i].Name, &faults[i]); ok {
			under[i] = f.decode(top, &faults[i], broken)
		}
	})
	for i, v := range all {
		for _, e := range faults[i].List {
			r.faults.Add(e)
		}
		if p := under[i]; p != nil {
			p.Variant = v.Name
			p.Revision, p.MadeFrom, p.FromSerial = v.Revision, v.MadeFrom, v.FromSerial
			f.under[v.Name] = p
		}
	}
}

// pendingNames checks the names in decisions. Where the folder has none of their kind,
// a decision has outlived what it is about, which is no reason to stop.
func (r *folderReader) pendingNames(broken map[string]bool) {
	d := &decoder{faults: r.faults}
	for _, name := range r.pending {
		to, _, _ := strings.Cut(name.to, " ")
		names, file := r.folder.base.names(to)
		if len(names) > 0 || broken[file] || name.node.Text == "other" {
			d.known(name, r.folder.base, broken)
			continue
		}
		line, _ := name.node.File.Position(name.node.Span.Start)
		r.warn(fmt.Sprintf("%s:%d names the %s %q, and there is none in %s", name.node.File.Name, line, to, name.node.Text, file),
			"write it there, or take its name out")
	}
}

// decode turns trees into a product and checks what its parts say of each other.
func (f *Folder) decode(top *tree.Node, faults *tree.Faults, broken map[string]bool) *Product {
	d := &decoder{faults: faults, today: f.today}
	p := &Product{Folder: f}
	var parts partsDocument
	var promises promisesDocument
	var meters metersDocument
	for _, doc := range []struct {
		node *tree.Node
		into any
	}{
		{top.Child("product"), &p.Main}, {top.Child("parts"), &parts}, {top.Child("promises"), &promises},
		{top.Child("production"), &p.Production}, {f.meters, &meters},
	} {
		d.table(doc.node, reflect.ValueOf(doc.into).Elem(), place{file: doc.node.File.Name})
	}
	p.Parts, p.Promises, p.Meters = parts.Parts, promises.Promises, meters.Meters
	d.installations(top.Child("installations"), &p.Installations)
	d.check(p, broken)
	return p
}

func (d *decoder) installations(n *tree.Node, into *Map[Installation]) {
	into.mark(nil, "installations", "")
	into.items = map[string]*Installation{}
	for _, c := range n.Children {
		one := new(Installation)
		d.table(c, reflect.ValueOf(one).Elem(), place{file: c.File.Name})
		into.names, into.items[c.Key] = append(into.names, c.Key), one
	}
}

// weatherFiles checks that the files which installations name are there.
func (r *folderReader) weatherFiles(p *Product) {
	for _, i := range p.Installations.All() {
		if !i.Weather.Set() || i.Weather.Text == "" {
			continue
		}
		info, err := r.root.Stat(path.Clean(i.Weather.Text))
		if err == nil && info.Mode().IsRegular() {
			continue
		}
		r.faults.Add(i.Weather.Fault("there is no such file in the folder", "want its path from the folder's top"))
	}
}

// strayFiles warns of files that look as if they were meant to be read.
func (r *folderReader) strayFiles() {
	known := []string{productFile, partsFile, promisesFile, productionFile, changesFile}
	for _, file := range r.list(".", ".toml") {
		if near := tree.Nearest(file, known); !slices.Contains(known, file) && near != "" {
			r.warn(file+" is not read", "did you mean "+near)
		}
	}
	var kinds []string
	for _, kind := range recordKinds {
		kinds = append(kinds, kind.file)
	}
	for _, file := range r.list("records", ".csv") {
		if !slices.Contains(kinds, file) {
			r.warn(file+" is not read", "want "+listed(kinds))
		}
	}
}

func (r *folderReader) warn(text, remedy string) {
	r.folder.Warnings = append(r.folder.Warnings, Warning{text, remedy})
}
