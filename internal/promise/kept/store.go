package kept

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"sync"
	"time"
)

// Dir is the name of the folder, within that of the product, in which results are kept.
const Dir = ".kept"

const (
	mostBytes = 64 << 20
	mostEntry = mostBytes / 4
	tornAfter = time.Hour // a draft so old belongs to a program that has ended
	usedAfter = time.Hour // an entry's time of use is noted no finer
	ending    = ".result"
	drafts    = "draft-"
)

// A Store keeps the results of one product folder. A nil Store keeps nothing, and none may be told apart by what they give. It may be
// used by several goroutines.
type Store struct {
	dir string

	mutex sync.Mutex
	tally map[string]Tally
}

// A Tally is how often results of a study were found, and how often they were computed.
type Tally struct{ Found, Computed int }

// Open returns the store of a product folder. Nothing is read or written before there is something to keep.
func Open(folder string) *Store {
	return &Store{dir: filepath.Join(folder, Dir), tally: map[string]Tally{}}
}

// Tally returns the counts of each study since the store was opened.
func (s *Store) Tally() map[string]Tally {
	out := map[string]Tally{}
	if s == nil {
		return out
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for name, t := range s.tally {
		out[name] = t
	}
	return out
}

// Result returns what compute returns, from the store if that has it.
//
//	study    its name, under which it is counted
//	rests    all that the result rests on; every field in it counts, exported or not
//	compute  is called where the store has nothing; what it returns with an error is not kept
//
// What is kept has exported fields only, or cannot be kept. A value with a NaN in it is not kept.
func Result[T any](s *Store, study string, rests any, compute func() (T, error)) (T, error) {
	key := ""
	if s != nil {
		key = Key(study, rests)
	}
	var value T
	if key != "" && s.load(key, reflect.ValueOf(&value).Elem()) {
		s.count(study, Tally{Found: 1})
		return value, nil
	}
	value, err := compute()
	s.count(study, Tally{Computed: 1})
	if err == nil && key != "" {
		s.save(key, reflect.ValueOf(&value).Elem())
	}
	return value, err
}

// Find returns what Result would find, and whether there is anything; it computes nothing.
func Find[T any](s *Store, study string, rests any) (value T, ok bool) {
	if s == nil {
		return value, false
	}
	key := Key(study, rests)
	ok = key != "" && s.load(key, reflect.ValueOf(&value).Elem())
	if ok {
		s.count(study, Tally{Found: 1})
	}
	return value, ok
}

// Key returns the hash of this program, a study's name and what its result rests on; "" if either has no content to be told by.
func Key(study string, rests any) string {
	id, err := program()
	if err != nil {
		return ""
	}
	w := writer{key: true}
	w.text(id)
	w.text(study)
	if w.anything(reflect.ValueOf(&rests).Elem(), 0) != nil {
		return ""
	}
	sum := sha256.Sum256(w.buf.Bytes())
	return hex.EncodeToString(sum[:])
}

func (s *Store) count(study string, t Tally) {
	if s == nil {
		return
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	was := s.tally[study]
	s.tally[study] = Tally{was.Found + t.Found, was.Computed + t.Computed}
}

// load fills v from an entry, if there is one that is whole.
func (s *Store) load(key string, v reflect.Value) bool {
	path := filepath.Join(s.dir, key+ending)
	data, err := os.ReadFile(path)
	if err != nil || len(data) < sha256.Size {
		return false
	}
	sum := sha256.Sum256(data[sha256.Size:])
	if !bytes.Equal(sum[:], data[:sha256.Size]) {
		return false
	}
	r := reader{rest: data[sha256.Size:]}
	if r.value(v) != nil || len(r.rest) != 0 {
		v.SetZero()
		return false
	}
	if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > usedAfter {
		os.Chtimes(path, time.Time{}, time.Now())
	}
	return true
}

// save keeps a value. What cannot be written is computed again another time.
func (s *Store) save(key string, v reflect.Value) {
	w := writer{}
	w.buf.Write(make([]byte, sha256.Size))
	if w.value(v, 0) != nil || w.buf.Len() > mostEntry {
		return
	}
	data := w.buf.Bytes()
	sum := sha256.Sum256(data[sha256.Size:])
	copy(data, sum[:])
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.begin() != nil || s.replace(key+ending, data) != nil {
		return
	}
	s.trim()
}

// told is what the folder says of itself.
var told = []struct{ file, text string }{
	{"README.txt", "Results that hindwatt has computed from the files beside this folder.\nThis folder may be deleted at any time: what is needed is computed again.\n"},
	{".gitignore", "*\n"},
}

// begin makes the folder, with what it says of itself.
func (s *Store) begin() error {
	if err := os.Mkdir(s.dir, 0o755); err != nil && !os.IsExist(err) {
		return err
	}
	for _, t := range told {
		if _, err := os.Stat(filepath.Join(s.dir, t.file)); err != nil {
			if err := s.replace(t.file, []byte(t.text)); err != nil {
				return err
			}
		}
	}
	return nil
}

// replace writes a file whole: a draft of its own name, then renamed.
func (s *Store) replace(name string, data []byte) error {
	draft, err := os.CreateTemp(s.dir, drafts)
	if err != nil {
		return err
	}
	_, err = draft.Write(data)
	draft.Chmod(0o644) // as other files of the folder are
	if closed := draft.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(draft.Name(), filepath.Join(s.dir, name))
	}
	if err != nil {
		os.Remove(draft.Name())
	}
	return err
}

// trim removes drafts that nobody will finish, and the entries not used for longest where all take too much.
func (s *Store) trim() {
	list, err := os.ReadDir(s.dir)
	if err != nil {
		return
	}
	var entries []fs.FileInfo
	total := int64(0)
	for _, e := range list {
		info, err := e.Info()
		if err != nil {
			continue
		}
		switch name := e.Name(); {
		case filepath.Ext(name) == ending:
			entries, total = append(entries, info), total+info.Size()
		case len(name) > len(drafts) && name[:len(drafts)] == drafts && time.Since(info.ModTime()) > tornAfter:
			os.Remove(filepath.Join(s.dir, name))
		}
	}
	slices.SortFunc(entries, func(a, b fs.FileInfo) int { return a.ModTime().Compare(b.ModTime()) })
	for _, e := range entries {
		if total <= mostBytes {
			return
		}
		if os.Remove(filepath.Join(s.dir, e.Name())) == nil {
			total -= e.Size()
		}
	}
}
