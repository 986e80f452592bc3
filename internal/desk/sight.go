package desk

import (
	"context"
	"fmt"
	"hash/fnv"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/product"
)

// sight sees the folder as it stands under each variant that somebody looks at.
type sight struct {
	stop context.Context
	seed uint64
	jobs sync.WaitGroup
	news news

	mutex sync.Mutex
	dir   string
	looks map[string]*look // by what they look at, the latest of each
	tried []string         // those of them that are trials, the latest last
	watch map[*look]int    // how many streams follow each
	given *given           // what a change has left
}

// given is a folder that was read before a change was written, as it stands since.
type given struct {
	stamp  string
	folder *product.Folder
}

// change lets a value be written, and keeps the folder that was read for it where nothing else has changed meanwhile: it is not read
// a second time.
func (s *sight) change(file string, write func(dir string) (product.Change, error)) (product.Change, error) {
	dir := s.folder()
	others := stampOf(dir, file)
	c, err := write(dir)
	if err != nil {
		return c, err
	}
	is := &given{stampOf(dir), c.Folder()}
	if is.folder != nil && c.Stands(dir) && stampOf(dir, file) == others && stampOf(dir) == is.stamp {
		s.mutex.Lock()
		s.given = is
		s.mutex.Unlock()
	}
	return c, nil
}

func newSight(stop context.Context, dir string, seed uint64) *sight {
	return &sight{stop: stop, dir: dir, seed: seed, looks: map[string]*look{}, watch: map[*look]int{}}
}

// wait returns when nothing is computed any more.
func (s *sight) wait() { s.jobs.Wait() }

// folder is where the product is.
func (s *sight) folder() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.dir
}

// move looks at another folder from now on.
func (s *sight) move(dir string) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, l := range s.looks {
		l.cancel()
	}
	s.dir, s.looks, s.tried, s.given = dir, map[string]*look{}, nil, nil
}

// look returns the folder as it stands now; what is not known of it yet is being computed.
func (s *sight) look(variant string) *look {
	return s.at(view{variant: variant})
}

// at returns the folder as it stands now with what is tried laid over it.
func (s *sight) at(v view) *look {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	stamp := stampOf(s.dir)
	if v.query == "" {
		return s.latest(view{variant: v.variant}, stamp, nil)
	}
	return s.latest(view{v.variant, trialPage, v.query}, stamp, s.latest(view{variant: v.variant}, stamp, nil))
}

// latest returns a look at the folder of a stamp; that of a trial is held against the folder as it is.
func (s *sight) latest(v view, stamp string, as *look) *look {
	key := v.address()
	last := s.looks[key]
	if last != nil && last.stamp == stamp && last.ctx.Err() == nil {
		return last
	}
	l := newLook(s, v, stamp, last)
	if s.given != nil && s.given.stamp == stamp && v.query == "" {
		l.folder = s.given.folder
	}
	if as != nil {
		l.before = as.known()
		s.trying(key)
	}
	s.looks[key] = l
	l.start()
	if last != nil {
		last.cancel()
		s.news.tell(event{kind: "over", look: last})
	}
	return l
}

// trying counts a trial in; beyond the most, the oldest is let go.
func (s *sight) trying(key string) {
	s.tried = append(slices.DeleteFunc(s.tried, func(k string) bool { return k == key }), key)
	if len(s.tried) > mostTrials {
		s.drop(s.tried[0])
	}
}

func (s *sight) drop(key string) {
	if l := s.looks[key]; l != nil {
		l.cancel()
		delete(s.looks, key)
	}
	s.tried = slices.DeleteFunc(s.tried, func(k string) bool { return k == key })
}

// follow counts a stream of a look, until it is left: a trial that nobody follows any more is not computed further.
func (s *sight) follow(l *look) (leave func()) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.watch[l]++
	return func() {
		s.mutex.Lock()
		defer s.mutex.Unlock()
		if s.watch[l]--; s.watch[l] > 0 {
			return
		}
		delete(s.watch, l)
		if key := l.view.address(); l.view.query != "" && s.looks[key] == l {
			s.drop(key)
		}
	}
}

// yield stops what is being computed of the folder as it stands: it is about to change, and what moves then is not to wait. Where it does
// not change after all, whoever looks next begins again with what was kept.
func (s *sight) yield() {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, l := range s.looks {
		if l.busy() {
			l.cancel()
		}
	}
}

// stampOf is another text whenever a file of the folder has been written, made or removed, but for those left out.
func stampOf(dir string, but ...string) string {
	sum := fnv.New128a()
	_ = filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		name := filepath.Base(path)
		switch {
		case err != nil:
			fmt.Fprintf(sum, "%s\x00%v\x00", path, err)
			return nil
		case path != dir && strings.HasPrefix(name, "."):
			if entry.IsDir() {
				return filepath.SkipDir
			}
			return nil
		case entry.IsDir():
			if path != dir && !read[name] {
				return filepath.SkipDir
			}
			return nil
		}
		if in, err := filepath.Rel(dir, path); err == nil && slices.Contains(but, filepath.ToSlash(in)) {
			return nil
		}
		info, err := os.Stat(path) // behind a link too
		if err == nil {
			fmt.Fprintf(sum, "%s\x00%d\x00%d\x00", path, info.Size(), info.ModTime().UnixNano())
		}
		return nil
	})
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// read are the folders that the product is read from.
var read = map[string]bool{"installations": true, "variants": true, "records": true, "bench": true, "decisions": true}

// stale reports whether a look is not the latest of its variant any more, or its folder has changed.
func (s *sight) stale(l *look) bool {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.looks[l.view.address()] != l || l.ctx.Err() != nil || stampOf(s.dir) != l.stamp
}
