package product

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/product/tree"
)

// The largest files that are read. 32 MB of records are some half a million rows.
const (
	maxTOML    = 16 << 20
	maxRecords = 32 << 20
	maxEntries = 2000 // files of one folder
)

// source gives the files of a folder, and nothing outside it: a symbolic link that
// leads out is refused by os.Root.
type source struct {
	root   *os.Root
	today  time.Time
	laid   map[string][]byte // contents that stand for those on disk
	noRows bool              // records are not read row by row
	faults *tree.Faults
}

// openSource opens a folder.
func openSource(dir string) (*os.Root, error) {
	const want = "want the folder that holds " + productFile
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, Errors{{File: dir, Problem: "there is no such folder", Want: want}}
	case err != nil:
		return nil, Errors{{File: dir, Problem: reason(err), Want: want}}
	case !info.IsDir():
		return nil, Errors{{File: dir, Problem: "is no folder", Want: want}}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, Errors{{File: dir, Problem: reason(err), Want: want}}
	}
	return root, nil
}

// reason says in words why a file could not be read or written.
func reason(err error) string {
	text := err.Error()
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "may not be read"
	case strings.Contains(text, "escapes"):
		return "leads out of the folder"
	case strings.Contains(text, "too many"):
		return "its symbolic links lead in a circle"
	}
	var at *fs.PathError
	if errors.As(err, &at) {
		return "cannot be read: " + at.Err.Error()
	}
	return "cannot be read: " + text
}

// read returns a file; nil if there is none or it cannot be read, which is a fault.
func (s *source) read(name string, limit int64) *tree.File {
	if data := s.bytes(name, limit); data != nil {
		return tree.NewFile(name, data)
	}
	return nil
}

// bytes returns the content of a file as read does.
func (s *source) bytes(name string, limit int64) []byte {
	if data, ok := s.laid[name]; ok {
		if int64(len(data)) > limit {
			s.faults.Add(tooLarge(name, int64(len(data)), limit))
			return nil
		}
		return data
	}
	info, err := s.root.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := s.root.Lstat(name); err == nil {
			s.faults.Add(&Error{File: name, Problem: "is a symbolic link that leads nowhere", Want: "want a file"})
		}
		return nil
	}
	switch {
	case err != nil:
		s.faults.Add(&Error{File: name, Problem: reason(err), Want: "want a file within the folder"})
	case !info.Mode().IsRegular():
		s.faults.Add(&Error{File: name, Problem: "is no plain file", Want: "want a file"})
	case info.Size() > limit:
		s.faults.Add(tooLarge(name, info.Size(), limit))
	default:
		data, err := s.content(name, limit)
		if err != nil {
			s.faults.Add(&Error{File: name, Problem: reason(err), Want: "want a file that may be read"})
			return nil
		}
		return data
	}
	return nil
}

func tooLarge(name string, size, limit int64) *Error {
	return &Error{File: name, Problem: fmt.Sprintf("is %d MB", (size+1<<20-1)>>20), Want: fmt.Sprintf("at most %d MB are read", limit>>20)}
}

func (s *source) content(name string, limit int64) ([]byte, error) {
	f, err := s.root.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var data bytes.Buffer
	if info, err := f.Stat(); err == nil {
		data.Grow(int(min(max(info.Size(), 0), limit)) + bytes.MinRead)
	}
	_, err = data.ReadFrom(io.LimitReader(f, limit+1))
	if err == nil && int64(data.Len()) > limit {
		err = errors.New("it grows while it is read")
	}
	return data.Bytes(), err
}

// list returns the files of a folder with an ending, by name; hidden ones are left out.
func (s *source) list(dir, ending string) (names []string) {
	seen := map[string]bool{}
	for _, name := range append(s.onDisk(dir), s.inLaid(dir)...) {
		if strings.HasSuffix(name, ending) && !strings.HasPrefix(name, ".") && !seen[name] {
			seen[name] = true
			names = append(names, path.Join(dir, name))
		}
	}
	slices.Sort(names)
	return names
}

func (s *source) onDisk(dir string) (names []string) {
	f, err := s.root.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		s.faults.Add(&Error{File: dir, Problem: reason(err), Want: "want a folder within the folder"})
		return nil
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.IsDir() {
		s.faults.Add(&Error{File: dir, Problem: "is no folder", Want: "want a folder"})
		return nil
	}
	names, err = f.Readdirnames(maxEntries + 1)
	if err != nil && err != io.EOF {
		s.faults.Add(&Error{File: dir, Problem: reason(err), Want: "want a folder that may be read"})
	}
	if len(names) > maxEntries {
		s.faults.Add(&Error{File: dir, Problem: "holds too many files", Want: fmt.Sprintf("at most %d are read", maxEntries)})
		return nil
	}
	return names
}

func (s *source) inLaid(dir string) (names []string) {
	for name, data := range s.laid {
		if data != nil && path.Dir(name) == path.Clean(dir) {
			names = append(names, path.Base(name))
		}
	}
	return names
}
