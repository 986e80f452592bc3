package product

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"hindwatt/internal/product/logfile"
	"hindwatt/internal/product/tree"
)

// Change is an edit that was made. Undo takes it back.
type Change struct {
	File     string
	Key      string
	Start    int    // byte at which the file was changed
	Old, New []byte // what stood there before and after
	Created  bool   // there was no such file before

	before, after [sha256.Size]byte // of the whole file

	folder *Folder // as it was read with the change
}

// Folder returns the folder as it was read with the change before that was written, and lets go of it; nil the second time.
func (c *Change) Folder() *Folder {
	f := c.folder
	c.folder = nil
	return f
}

// Stands reports whether the file is as the change has left it.
func (c *Change) Stands(dir string) bool {
	root, err := openSource(dir)
	if err != nil {
		return false
	}
	defer root.Close()
	_, limit := keptFile(c.File)
	f, _, err := presentAt(root, c.File, limit)
	return err == nil && sha256.Sum256(f.Data) == c.after
}

// Set gives a key of a file its value, checks the whole folder with it, and writes the
// file; if anything is wrong, it is returned as Errors and nothing is written.
//
//	file  from the folder: "product.toml", "variants/wide.toml"
//	key   dotted, as in Leaf.Key: "sense.top", "part.sb20.current", `set."product.sense.top"`
//	text  the value as TOML (`"27.3 V"`, `10`, `["a", "b"]`, `{ at = "27.3 V" }`); anything
//	      that is not TOML, or no value of the right kind, is taken as text without its quotes: 27.3 V
//
// Only the value's bytes are replaced: comments, order and blanks stay. A key that is
// not there comes at the end of its table, and a table that is not there at the end of
// the file.
func Set(dir, file, key, text string) (Change, error) { return edit(dir, file, key, put(text)) }

// A finder finds the edits that may do what is wanted, the likeliest first.
type finder func(top *tree.Node, parts []string) ([]tree.Edit, error)

func put(text string) finder {
	text = strings.TrimSpace(text)
	sources := []string{tree.Quote(text)}
	if tree.IsValue(text) {
		sources = []string{text}
		if strings.IndexByte(`"'[{`, text[0]) < 0 {
			sources = append(sources, tree.Quote(text))
		}
	}
	return func(top *tree.Node, parts []string) (edits []tree.Edit, err error) {
		for _, source := range sources {
			e, err := top.Put(parts, source)
			if err != nil {
				return nil, err
			}
			edits = append(edits, e)
		}
		return edits, nil
	}
}

// Unset takes a key and its value out of a file, as Set puts it in. A comment behind
// the value stays.
func Unset(dir, file, key string) (Change, error) { return edit(dir, file, key, drop) }

func drop(top *tree.Node, parts []string) ([]tree.Edit, error) {
	e, err := top.Drop(parts)
	return []tree.Edit{e}, err
}

// edit makes the first of some edits with which the folder is without fault.
func edit(dir, file, key string, of finder) (Change, error) {
	file = path.Clean(filepath.ToSlash(file))
	if !editable(file) {
		return Change{}, unset(file)
	}
	root, err := openSource(dir)
	if err != nil {
		return Change{}, err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return Change{}, err
	}
	defer unlock()
	f, created, err := present(root, file)
	if err != nil {
		return Change{}, err
	}
	edits, err := find(f, key, of)
	if err != nil {
		return Change{}, err
	}
	return try(dir, root, f, key, created, edits)
}

// find finds the edits of a file; the error is Errors or a *Moved.
func find(f *tree.File, key string, of finder) ([]tree.Edit, error) {
	parts, err := tree.ParseKey(key)
	if err != nil {
		return nil, Errors{{File: f.Name, Problem: err.Error()}}
	}
	var faults tree.Faults
	top := tree.ReadTOML(f, &faults)
	if len(faults.List) > 0 {
		return nil, faults.List.Sorted()
	}
	edits, err := of(top, parts)
	var moved *Moved
	if err != nil && !errors.As(err, &moved) {
		err = Errors{{File: f.Name, Key: key, Problem: err.Error()}}
	}
	return edits, err
}

func unset(file string) Errors {
	return Errors{{File: file, Problem: "is no file that values are set in", Want: "want one such as product.toml or variants/NAME.toml"}}
}

// editable reports whether a file is one of those that Read takes values from.
func editable(file string) bool {
	switch file {
	case productFile, partsFile, promisesFile, productionFile, metersFile:
		return true
	}
	folder := path.Dir(file)
	return (folder == "installations" || folder == "variants" || folder == "bench") && path.Ext(file) == ".toml" && !strings.HasPrefix(path.Base(file), ".")
}

// present returns a file as it stands, empty if there is none.
func present(root *os.Root, file string) (f *tree.File, created bool, err error) {
	return presentAt(root, file, maxTOML)
}

// presentAt is present of a file that may have another size.
func presentAt(root *os.Root, file string, limit int64) (f *tree.File, created bool, err error) {
	s := &source{root: root, faults: &tree.Faults{}}
	if f = s.read(file, limit); f != nil {
		return f, false, nil
	}
	if len(s.faults.List) > 0 {
		return nil, false, s.faults.List
	}
	return tree.NewFile(file, nil), true, nil
}

// try writes the first edit that leaves the folder without fault. If none does, the
// errors of the first are returned.
func try(dir string, root *os.Root, f *tree.File, key string, created bool, edits []tree.Edit) (Change, error) {
	folder, e, data, err := firstRead(dir, root, f, edits)
	if err != nil {
		return Change{}, err
	}
	if err := replaceFile(root, f.Name, data); err != nil {
		return Change{}, unwritten(f.Name, err)
	}
	return Change{
		File: f.Name, Key: key, Start: e.Start, Old: bytes.Clone(f.Data[e.Start:e.End]), New: []byte(e.New), Created: created,
		before: sha256.Sum256(f.Data), after: sha256.Sum256(data), folder: folder,
	}, nil
}

// firstRead reads the folder with the first edit of a file that leaves it without fault, and
// returns that edit and the file's new content.
func firstRead(dir string, root *os.Root, f *tree.File, edits []tree.Edit, options ...Option) (folder *Folder, e tree.Edit, data []byte, err error) {
	var first error
	for _, e := range edits {
		data := e.Apply(f)
		folder, err := read(dir, root, append(slices.Clone(options), With(f.Name, data))...)
		if err == nil {
			return folder, e, data, nil
		}
		if first == nil {
			first = err
		}
	}
	return nil, e, nil, first
}

// Undo takes a change back: the file is byte for byte what it was before. It refuses,
// and writes nothing, if what the change wrote is no longer there, or if the folder would be at
// fault without it.
func Undo(dir string, c Change) error {
	return swap(dir, c, c.Old, c.New, c.after, c.Created, false)
}

// Redo makes a change again that was taken back, under the same conditions.
func Redo(dir string, c Change) error {
	return swap(dir, c, c.New, c.Old, c.before, false, c.Created)
}

// swap puts bytes of a change in the place of those that are there.
//
//	sum     of the file in which they are to stand; zero if it is not known
//	remove  the file if nothing is left in it
//	create  it if it is not there
func swap(dir string, c Change, put, there []byte, sum [sha256.Size]byte, remove, create bool) error {
	root, err := openSource(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return err
	}
	defer unlock()
	kept, limit := keptFile(path.Clean(c.File))
	f, gone, err := presentAt(root, path.Clean(c.File), limit)
	if err != nil {
		return err
	}
	end := c.Start + len(there)
	changed := sum != [sha256.Size]byte{} && sha256.Sum256(f.Data) != sum && len(there) == 0
	if changed || gone != create || !kept || c.Start < 0 || end > len(f.Data) || !bytes.Equal(f.Data[c.Start:end], there) {
		return Errors{{File: f.Name, Key: c.Key, Problem: "has been changed since", Want: fmt.Sprintf("want %s there", orNone(string(there)))}}
	}
	data := tree.Edit{Span: tree.Span{Start: c.Start, End: end}, New: string(put)}.Apply(f)
	options := []Option{With(f.Name, data)}
	if !editable(f.Name) {
		options = append(options, func(s *source) { s.noRows = true })
	}
	if remove = remove && len(data) == 0; remove {
		options[0] = With(f.Name, nil)
	}
	if _, err = read(dir, root, options...); err == nil {
		if remove {
			err = root.Remove(f.Name)
		} else {
			err = replaceFile(root, f.Name, data)
		}
	}
	var faults Errors
	if err != nil && !errors.As(err, &faults) {
		return unwritten(f.Name, err)
	}
	return err
}

// keptFile reports whether a file is one that changes are taken back in, and how large it may be.
func keptFile(file string) (kept bool, limit int64) {
	record := slices.ContainsFunc(recordKinds, func(k recordKind) bool { return k.file == file })
	switch {
	case record:
		return true, maxRecords
	case path.Dir(file) == "bench" && path.Ext(file) == ".csv" && plainName(strings.TrimSuffix(path.Base(file), ".csv")):
		return true, logfile.MaxBytes
	}
	return editable(file), maxTOML
}

func shorten(b []byte) string {
	const most = 60
	runes := []rune(strings.TrimSpace(string(b)))
	if len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return string(runes)
}
