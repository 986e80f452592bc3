package product

import (
	"fmt"
	"os"
	"path"
	"path/filepath"

	"hindwatt/internal/product/tree"
)

// A Value is one value of a file as it is written there: what Set and Replace can change.
type Value struct {
	File, Key string // as Set takes them
	Line      int
	Source    string // in TOML: `"27.3 V"`
	Text      string // without the quotes of a text; the source of anything else
}

// Values returns the values of a file in its order: of what stands in { … } the whole, then each
// part. A file that is not there has none; one that is no TOML gives Errors.
func Values(dir, file string) ([]Value, error) {
	root, err := openSource(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	file = path.Clean(filepath.ToSlash(file))
	if !editable(file) {
		return nil, unset(file)
	}
	f, _, err := present(root, file)
	if err != nil {
		return nil, err
	}
	var faults tree.Faults
	top := tree.ReadTOML(f, &faults)
	if len(faults.List) > 0 {
		return nil, faults.List.Sorted()
	}
	return valuesOf(nil, top, ""), nil
}

func valuesOf(all []Value, n *tree.Node, key string) []Value {
	for _, c := range n.Children {
		at := join(key, tree.KeyPart(c.Key))
		source := string(c.File.Data[c.Span.Start:c.Span.End])
		if c.Kind != tree.Table || source[0] == '{' {
			text := source
			if c.Kind == tree.String {
				text = c.Text
			}
			all = append(all, Value{c.File.Name, at, c.File.LineAt(c.Span.Start), source, text})
		}
		if c.Kind == tree.Table {
			all = valuesOf(all, c, at)
		}
	}
	return all
}

// Moved says that a value is not the one that was seen.
type Moved struct {
	File, Key string
	Was, Is   string // in TOML; "" where there is none
}

// Error names both values.
func (m *Moved) Error() string {
	return fmt.Sprintf("%s: %s: has been changed elsewhere: was %s, is %s", m.File, m.Key, orNone(m.Was), orNone(m.Is))
}

func orNone(source string) string {
	if source == "" {
		return "not set"
	}
	return shorten([]byte(source))
}

// Replace is Set, or Unset for an empty text, where the value is still the one that was seen; where
// it is not, nothing is written and the error is a *Moved.
//
//	was  Value.Source, "" if there was none
func Replace(dir, file, key, was, text string) (Change, error) {
	find := put(text)
	if text == "" {
		find = drop
	}
	return edit(dir, file, key, func(top *tree.Node, parts []string) ([]tree.Edit, error) {
		is := ""
		if n := top.At(parts); n != nil {
			is = string(n.File.Data[n.Span.Start:n.Span.End])
		}
		if is != was {
			return nil, &Moved{path.Clean(filepath.ToSlash(file)), key, was, is}
		}
		return find(top, parts)
	})
}

// A Setting is a value to be given to a key, as Set does it.
type Setting struct{ File, Key, Text string }

// Try reads the folder, once, as it would be with some values set; nothing is written.
// The errors are those of Set.
func Try(dir string, settings ...Setting) (*Folder, error) {
	root, err := openSource(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	if len(settings) == 0 {
		return read(dir, root)
	}
	if folder, err := tryAll(dir, root, settings); err == nil {
		return folder, nil
	}
	return tryEach(dir, root, settings)
}

// tryAll reads the folder once, with the likeliest edit of each setting.
func tryAll(dir string, root *os.Root, settings []Setting) (*Folder, error) {
	content := map[string]*tree.File{}
	for _, s := range settings {
		f, edits, err := s.edits(root, content)
		if err != nil {
			return nil, err
		}
		content[f.Name] = tree.NewFile(f.Name, edits[0].Apply(f))
	}
	var laid []Option
	for name, f := range content {
		laid = append(laid, With(name, f.Data))
	}
	return read(dir, root, laid...)
}

// tryEach reads the folder with one setting after the other, as if each were written, to find which edit of each is without fault.
func tryEach(dir string, root *os.Root, settings []Setting) (folder *Folder, err error) {
	var laid []Option
	content := map[string]*tree.File{}
	for _, s := range settings {
		f, edits, err := s.edits(root, content)
		if err != nil {
			return nil, err
		}
		var data []byte
		if folder, _, data, err = firstRead(dir, root, f, edits, laid...); err != nil {
			return nil, err
		}
		content[f.Name] = tree.NewFile(f.Name, data)
		laid = append(laid, With(f.Name, data))
	}
	return folder, nil
}

// edits are those that may set the value, in the file as it is or as it was laid.
func (s Setting) edits(root *os.Root, laid map[string]*tree.File) (f *tree.File, edits []tree.Edit, err error) {
	file := path.Clean(filepath.ToSlash(s.File))
	f, ok := laid[file]
	if !ok {
		if !editable(file) {
			return nil, nil, unset(file)
		}
		if f, _, err = present(root, file); err != nil {
			return nil, nil, err
		}
	}
	edits, err = find(f, s.Key, put(s.Text))
	return f, edits, err
}
