package desk

import (
	"context"
	"fmt"
	"hash/fnv"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// sight sees the folder as it stands under each variant that somebody looks at.
type sight struct {
	stop context.Context
	seed uint64
	jobs sync.WaitGroup
	news news

	mutex sync.Mutex
	dir   string
	looks map[string]*look // by variant, the latest of each
}

func newSight(stop context.Context, dir string, seed uint64) *sight {
	return &sight{stop: stop, dir: dir, seed: seed, looks: map[string]*look{}}
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
	s.dir, s.looks = dir, map[string]*look{}
}

// look returns the folder as it stands now; what is not known of it yet is being computed.
func (s *sight) look(variant string) *look {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	stamp := stampOf(s.dir)
	last := s.looks[variant]
	if last != nil && last.stamp == stamp && last.ctx.Err() == nil {
		return last
	}
	l := newLook(s, variant, stamp, last)
	s.looks[variant] = l
	l.start()
	if last != nil {
		last.cancel()
		s.news.tell(event{kind: "over", look: last})
	}
	return l
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

// stampOf is another text whenever a file of the folder has been written, made or removed.
func stampOf(dir string) string {
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
	return s.looks[l.variant] != l || l.ctx.Err() != nil || stampOf(s.dir) != l.stamp
}
