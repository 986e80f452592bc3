package product

import (
	"context"
	"reflect"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product/tree"
)

// recordFile is one file of records while it is read.
type recordFile struct {
	kind          recordKind
	rows          *tree.Rows // nil if there is no such file
	whole, single tree.Faults
	all           reflect.Value // slice of the kind's rows
	blocks        []block
}

// block is some of a file's rows, which are decoded one after the other.
type block struct {
	from, until int // rows, until excluded
	good        int // of them, from the first on, that were kept
	faults      tree.Faults
	decoder     *rowDecoder
}

const blockRows = 8192

// together does n things at once, if there are cores for them.
func (r *folderReader) together(n int, do func(i int)) {
	_ = numeric.Parallel(context.Background(), n, func(i int) error {
		do(i)
		return nil
	})
}

func (r *folderReader) recordFile(kind recordKind) (f recordFile) {
	f.kind = kind
	s := *r.source
	s.faults = &f.whole
	if file := s.read(kind.file, maxRecords); file != nil {
		f.rows = tree.ReadCSV(file, &f.whole, &f.single)
	}
	return f
}

// cut parts the rows into blocks.
func (f *recordFile) cut(folder *Folder) {
	n := f.rows.Len()
	f.all = reflect.MakeSlice(reflect.SliceOf(f.kind.row), n, n)
	for from := 0; from < n; from += blockRows {
		f.blocks = append(f.blocks, block{from: from, until: min(from+blockRows, n), decoder: folder.rowDecoder(f.kind, f.rows)})
	}
}

// decode decodes the blocks of all files, on all cores, and joins them in their order.
func (r *folderReader) decode(files []*recordFile) {
	type job struct {
		file  *recordFile
		block *block
	}
	r.together(len(files), func(i int) { files[i].cut(r.folder) })
	var jobs []job
	for _, f := range files {
		for i := range f.blocks {
			jobs = append(jobs, job{f, &f.blocks[i]})
		}
	}
	r.together(len(jobs), func(i int) { jobs[i].block.decode(jobs[i].file) })
	for _, f := range files {
		f.join(&r.folder.Records)
	}
}

// decode decodes a block, and keeps its good rows side by side.
func (b *block) decode(f *recordFile) {
	for i := b.from; i < b.until && !b.faults.Full(f.kind.file); i++ {
		if b.decoder.decode(i, f.all.Index(b.from+b.good), &b.faults) {
			b.good++
		}
	}
}

// join puts the good rows of all blocks side by side, and gathers what is wrong with the others.
func (f *recordFile) join(into *Records) {
	good := 0
	for i := range f.blocks {
		b := &f.blocks[i]
		if good < b.from {
			reflect.Copy(f.all.Slice(good, f.all.Len()), f.all.Slice(b.from, b.from+b.good))
		}
		good += b.good
		for _, e := range b.faults.List {
			f.single.Add(e)
		}
	}
	reflect.ValueOf(f.kind.into(into)).Elem().Set(f.all.Slice(0, good))
}

// rowDecoder decodes the rows of one file, one at a time.
type rowDecoder struct {
	decoder
	folder *Folder
	kind   recordKind
	rows   *tree.Rows
	row    tree.Row
	keys   []cellKey     // in the schema's order
	blank  reflect.Value // a row without any cell, whose values know where they would stand
}

// cellKey is a column of the schema as one file has it.
type cellKey struct {
	*spec
	column int // of the file; -1 if it has none
	place  place
}

func (f *Folder) rowDecoder(kind recordKind, rows *tree.Rows) *rowDecoder {
	d := &rowDecoder{decoder: decoder{today: f.today, memory: &memory{columns: map[*spec]*recalled{}}}, folder: f, kind: kind, rows: rows, blank: reflect.New(kind.row).Elem()}
	file := rows.File
	d.blank.Addr().Interface().(based).base().Origin.at = &where{file: file}
	specs := planOf(kind.row).fields
	for i := range specs {
		s := &specs[i]
		d.blank.Field(s.index).Addr().Interface().(based).base().Origin.at = &where{file, s.key}
		key := cellKey{spec: s, column: -1, place: place{s, s.key, file.Name}}
		for column, cell := range rows.Header {
			if cell.Text == s.key {
				key.column = column
			}
		}
		d.keys = append(d.keys, key)
	}
	return d
}

// decode decodes row i into row; false if something is wrong with it. All that is wrong is
// reported at once.
func (d *rowDecoder) decode(i int, row reflect.Value, faults *tree.Faults) bool {
	before := len(faults.List)
	d.faults, d.names, d.money = faults, d.names[:0], d.money[:0]
	d.rows.Read(i, &d.row)
	row.Set(d.blank)
	n := &d.row.Table
	row.Addr().Interface().(based).base().stand(n)
	for k := range d.keys {
		key := &d.keys[k]
		if key.column < 0 || d.row.Cells[key.column] == nil {
			continue
		}
		cell := d.row.Cells[key.column]
		into := row.Field(key.index).Addr().Interface()
		into.(based).base().stand(cell)
		into.(value).decode(&d.decoder, cell, key.place)
	}
	wrong := keysIn(faults.List[before:])
	d.needed(d.kind, n)
	for _, name := range d.names {
		d.known(name, d.folder.base, nil)
	}
	d.currencies(d.folder.base)
	d.sense(n, row.Addr().Interface(), wrong)
	good := len(faults.List) == before
	d.memory.rowEnds(good)
	return good
}
