package product

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"

	"hindwatt/internal/product/tree"
)

// Change is an edit that was made. Undo takes it back.
type Change struct {
	File     string
	Key      string
	Start    int    // byte at which the file was changed
	Old, New []byte // what stood there before and after
	Created  bool   // there was no such file before
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
func Set(dir, file, key, text string) (Change, error) {
	text = strings.TrimSpace(text)
	sources := []string{tree.Quote(text)}
	if tree.IsValue(text) {
		sources = []string{text}
		if strings.IndexByte(`"'[{`, text[0]) < 0 {
			sources = append(sources, tree.Quote(text))
		}
	}
	return edit(dir, file, key, func(top *tree.Node, parts []string) (edits []tree.Edit, err error) {
		for _, source := range sources {
			e, err := top.Put(parts, source)
			if err != nil {
				return nil, err
			}
			edits = append(edits, e)
		}
		return edits, nil
	})
}

// Unset takes a key and its value out of a file, as Set puts it in. A comment behind
// the value stays.
func Unset(dir, file, key string) (Change, error) {
	return edit(dir, file, key, func(top *tree.Node, parts []string) ([]tree.Edit, error) {
		e, err := top.Drop(parts)
		return []tree.Edit{e}, err
	})
}

// edit makes the first of some edits with which the folder is without fault.
func edit(dir, file, key string, find func(*tree.Node, []string) ([]tree.Edit, error)) (Change, error) {
	file = path.Clean(filepath.ToSlash(file))
	if !editable(file) {
		return Change{}, Errors{{File: file, Problem: "is no file that values are set in", Want: "want one such as product.toml or variants/NAME.toml"}}
	}
	parts, err := tree.ParseKey(key)
	if err != nil {
		return Change{}, Errors{{File: file, Problem: err.Error()}}
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
	var faults tree.Faults
	top := tree.ReadTOML(f, &faults)
	if len(faults.List) > 0 {
		return Change{}, faults.List.Sorted()
	}
	edits, err := find(top, parts)
	if err != nil {
		return Change{}, Errors{{File: file, Key: key, Problem: err.Error()}}
	}
	return try(dir, root, f, key, created, edits)
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
	s := &source{root: root, faults: &tree.Faults{}}
	if f = s.read(file, maxTOML); f != nil {
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
	var first error
	for _, e := range edits {
		data := e.Apply(f)
		_, err := read(dir, root, With(f.Name, data))
		if err == nil {
			if err := replaceFile(root, f.Name, data); err != nil {
				return Change{}, unwritten(f.Name, err)
			}
			return Change{f.Name, key, e.Start, bytes.Clone(f.Data[e.Start:e.End]), []byte(e.New), created}, nil
		}
		if first == nil {
			first = err
		}
	}
	return Change{}, first
}

// Undo takes a change back: the file is byte for byte what it was before. It refuses,
// and writes nothing, if what the change wrote is no longer there.
func Undo(dir string, c Change) error {
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
	f, gone, err := present(root, path.Clean(c.File))
	if err != nil {
		return err
	}
	end := c.Start + len(c.New)
	if gone || !editable(f.Name) || c.Start < 0 || end > len(f.Data) || !bytes.Equal(f.Data[c.Start:end], c.New) {
		return Errors{{File: f.Name, Key: c.Key, Problem: "has been changed since", Want: fmt.Sprintf("want %s there", shorten(c.New))}}
	}
	data := tree.Edit{Span: tree.Span{Start: c.Start, End: end}, New: string(c.Old)}.Apply(f)
	if c.Created && len(data) == 0 {
		err = root.Remove(f.Name)
	} else {
		err = replaceFile(root, f.Name, data)
	}
	if err != nil {
		return unwritten(f.Name, err)
	}
	return nil
}

func shorten(b []byte) string {
	const most = 60
	runes := []rune(strings.TrimSpace(string(b)))
	if len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return string(runes)
}
