package starter

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Write starts a product folder at dir from the answers.
//
// All or nothing: it is written aside and then moved. Where dir does not exist yet, its parent has
// to; where it does, it has to be an empty folder. Any other dir, and an answer that can't be used
// (an *AnswerError for each), is an error, and nothing is touched.
func Write(dir string, a Answers) (Report, error) {
	return write(dir, a, today())
}

func write(dir string, a Answers, today time.Time) (Report, error) {
	g, err := read(a, today)
	if err != nil {
		return Report{}, err
	}
	there, err := room(dir)
	if err != nil {
		return Report{}, err
	}
	if g.name == "" {
		g.name = nameOf(dir)
	}
	files, err := render(g)
	if err != nil {
		return Report{}, err
	}
	if err := place(dir, there, files); err != nil {
		return Report{}, err
	}
	return report(dir, g, files), nil
}

// file is one file of the folder.
type file struct {
	path string // slash-separated, in the folder
	text []byte
}

// room tells whether dir is there, and refuses what can't become a product folder.
func room(dir string) (there bool, err error) {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(dir); err == nil {
			return false, fmt.Errorf("%s: a link to nothing; want a new or an empty folder", dir)
		}
		if info, err := os.Stat(filepath.Dir(dir)); err != nil || !info.IsDir() {
			return false, fmt.Errorf("%s: there is no folder %s to put it in; make that first", dir, filepath.Dir(dir))
		}
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if !info.IsDir() {
		return false, fmt.Errorf("%s: a file; want a new or an empty folder", dir)
	}
	entries, err := os.ReadDir(dir)
	if err == nil && len(entries) > 0 {
		err = fmt.Errorf("%s: not empty: it holds %s; want a new or an empty folder", dir, entries[0].Name())
	}
	return true, err
}

// nameOf makes the folder's name the product's, if it can be one.
func nameOf(dir string) string {
	if full, err := filepath.Abs(dir); err == nil {
		var r reader
		if name := r.name(filepath.Base(full)); name != "" {
			return name
		}
	}
	return "unnamed"
}

// place writes the files aside and moves them to dir.
//
// A dir that is there may be somebody's working folder or a disk of its own, so it is filled and
// not replaced: product.toml, which makes it a product folder, comes last.
func place(dir string, there bool, files []file) (err error) {
	beside := filepath.Dir(dir)
	if there {
		beside = dir
	}
	aside, err := os.MkdirTemp(beside, ".hindwatt-new-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(aside)) }()
	folder := filepath.Join(aside, "folder")
	if err := writeAll(folder, files); err != nil {
		return err
	}
	if !there {
		return os.Rename(folder, dir)
	}
	return fill(dir, folder)
}

func writeAll(folder string, files []file) error {
	if err := os.Mkdir(folder, 0o777); err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(folder, filepath.FromSlash(f.path))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return err
		}
		if err := writeFile(path, f.text); err != nil {
			return err
		}
	}
	return nil
}

func writeFile(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return errors.Join(err, f.Sync(), f.Close())
}

// fill moves what is in folder to dir, product.toml last, and moves it back if one can't be moved.
func fill(dir, folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var names []string
	for _, e := range entries {
		if e.Name() != productFile {
			names = append(names, e.Name())
		}
	}
	for i, name := range append(names, productFile) {
		to := filepath.Join(dir, name)
		if _, err = os.Lstat(to); err == nil {
			err = fmt.Errorf("%s: somebody else just put it there", to)
		} else if errors.Is(err, fs.ErrNotExist) {
			err = os.Rename(filepath.Join(folder, name), to)
		}
		if err != nil {
			for _, moved := range names[:min(i, len(names))] {
				err = errors.Join(err, os.Rename(filepath.Join(dir, moved), filepath.Join(folder, moved)))
			}
			return err
		}
	}
	return nil
}

const productFile = "product.toml"
