// Package demo holds an invented product, Osier 24, as a product folder: a charge
// controller for river-gauging posts with its parts, promises, production,
// installations, revisions, records and decisions. It is the example that the program
// shows what it can do on, and what its own tests read.
//
// Nothing in it comes from a real product, person or place. The records are written by
// the program in generate, with one seed; the other files by hand.
package demo

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

const folder = "osier-24"

//go:embed osier-24
var files embed.FS

// FS is the product folder, read only: product.toml is at its root.
var FS = func() fs.FS {
	sub, err := fs.Sub(files, folder)
	if err != nil {
		panic(err) // the name above is wrong
	}
	return sub
}()

// marker is the file that is written first and that a folder is known by.
const marker = "README.md"

// Write puts the product folder into dir, which is made if it is missing. Each file
// appears whole or not at all, with mode 0644.
//
// A folder with something in it is refused, unless it is this example from before: then
// what is missing is written, and every file that is there is left as it is, changed or
// not (Changed lists those). Nothing is written through a symbolic link that leads out
// of dir.
func Write(dir string) error {
	if err := refuse(dir); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("write the example: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return fmt.Errorf("write the example: %w", err)
	}
	defer root.Close()
	names, err := names()
	if err != nil {
		return err
	}
	for _, name := range names {
		if err := writeMissing(root, name); err != nil {
			return fmt.Errorf("write the example: %s: %w", filepath.Join(dir, name), err)
		}
	}
	return nil
}

// Changed lists the files of the example that dir has with other bytes, in order of
// name with / between folders. A file that is missing is not one of them.
func Changed(dir string) ([]string, error) {
	names, err := names()
	if err != nil {
		return nil, err
	}
	var changed []string
	for _, name := range names {
		is, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		was, err := fs.ReadFile(FS, name)
		if err != nil {
			return nil, err
		}
		if !bytes.Equal(is, was) {
			changed = append(changed, name)
		}
	}
	return changed, nil
}

// refuse says why dir may not be written into.
func refuse(dir string) error {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return fmt.Errorf("%s is a file; want a folder that is missing or empty", dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) == 0 {
		return err
	}
	first, err := fs.ReadFile(FS, marker)
	if err != nil {
		return err
	}
	title, _, _ := bytes.Cut(first, []byte("\n"))
	is, err := os.ReadFile(filepath.Join(dir, marker))
	if err != nil || !bytes.HasPrefix(is, title) {
		return fmt.Errorf("%s is not empty and not an example written before; want a folder that is missing or empty", dir)
	}
	return nil
}

// names lists the files of the example, the marker first.
func names() ([]string, error) {
	list := []string{marker}
	err := fs.WalkDir(FS, ".", func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() && name != marker {
			list = append(list, name)
		}
		return err
	})
	return list, err
}

// writeMissing writes one file beside its place and moves it there, unless something is there.
func writeMissing(root *os.Root, name string) error {
	local := filepath.FromSlash(name)
	if _, err := root.Lstat(local); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	data, err := fs.ReadFile(FS, name)
	if err != nil {
		return err
	}
	if err := root.MkdirAll(filepath.FromSlash(path.Dir(name)), 0o755); err != nil {
		return err
	}
	part := filepath.Join(filepath.Dir(local), "."+filepath.Base(local)+".part")
	if err := writeWhole(root, part, data); err != nil {
		return err
	}
	return root.Rename(part, local)
}

// writeWhole writes over a part that a stopped run may have left.
func writeWhole(root *os.Root, name string, data []byte) error {
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644) // whatever the umask is
	}
	return errors.Join(err, f.Close())
}
