package desk

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// computing stands in a promise's verdict while there is none yet.
const computing = "computing"

// look is the folder as it stood once under one variant, with what has been computed of it so far.
type look struct {
	sight   *sight
	dir     string
	variant string
	stamp   string
	before  map[string]page.Promise // by name, from the last look that was finished
	ctx     context.Context
	cancel  context.CancelFunc

	// Set before anybody sees the look.
	absent bool  // there is no product in the folder
	faults error // what is wrong in it
	folder *product.Folder
	laid   *product.Product

	judged chan struct{} // closed when every promise is

	mutex    sync.Mutex
	promises []page.Promise // in the file's order
	site     page.Site      // without promises and pages
	failed   error          // why nothing could be judged
	answers  map[string]*answer
}

// answer is one question's page, computed when somebody asks for it.
type answer struct {
	done  chan struct{}
	pages []page.Page
	err   error
}

func newLook(s *sight, variant, stamp string, last *look) *look {
	l := &look{sight: s, dir: s.dir, variant: variant, stamp: stamp, judged: make(chan struct{}), answers: map[string]*answer{}}
	l.ctx, l.cancel = context.WithCancel(s.stop)
	if last != nil {
		l.before = last.known()
	}
	return l
}

// known returns the promises as they were last known in full: its own, or those from before where
// it was never finished.
func (l *look) known() map[string]page.Promise {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	out := map[string]page.Promise{}
	for name, p := range l.before {
		out[name] = p
	}
	for _, p := range l.promises {
		if p.Verdict != computing {
			out[p.Name] = p
		}
	}
	return out
}

// start reads the folder and begins to judge.
func (l *look) start() {
	if _, err := os.Stat(filepath.Join(l.dir, "product.toml")); errors.Is(err, os.ErrNotExist) {
		l.absent = true
		close(l.judged)
		return
	}
	if l.folder, l.faults = product.Read(l.dir); l.faults == nil {
		l.laid, l.faults = l.folder.Resolve(l.variant)
	}
	if l.faults != nil {
		close(l.judged)
		return
	}
	for _, name := range l.laid.Promises.Names() {
		p := page.Promise{Name: name, Label: l.laid.Promises.Get(name).Label.Text, Safety: l.laid.Promises.Get(name).Safety.On}
		if was, ok := l.before[name]; ok {
			p = was
		}
		if p.Label == "" {
			p.Label = name
		}
		p.Verdict = computing
		l.promises = append(l.promises, p)
	}
	l.site.Product = l.laid.Name.Text
	l.sight.jobs.Go(l.judge)
}

func (l *look) options() promise.Options {
	return promise.Options{Seed: l.sight.seed, Kept: kept.Open(l.dir)}
}

// judge judges every promise, and tells of each as soon as it is.
func (l *look) judge() {
	defer close(l.judged)
	options := l.options()
	options.VerdictsOnly = true
	options.Seen = func(j promise.Judged) {
		one := &promise.Report{Promises: []promise.Judged{j}}
		l.see(one.Site().Promises[0])
		l.sight.news.tell(event{kind: "promise", look: l, name: j.Name})
	}
	report, err := promise.Check(l.ctx, l.laid, options)
	if l.ctx.Err() != nil {
		return
	}
	l.mutex.Lock()
	if l.failed = err; err == nil {
		l.site = report.Site()
		l.promises, l.site.Promises = l.site.Promises, nil
	}
	l.mutex.Unlock()
	l.sight.news.tell(event{kind: "judged", look: l})
}

// see takes a promise's verdict in.
func (l *look) see(p page.Promise) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	for i := range l.promises {
		if l.promises[i].Name == p.Name {
			l.promises[i] = p
		}
	}
}

// finished reports whether every promise is judged.
func (l *look) finished() bool {
	select {
	case <-l.judged:
		return true
	default:
		return false
	}
}

// answer returns the page of a study, which is computed when it is asked for the first time.
func (l *look) answer(study string) *answer {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if a := l.answers[study]; a != nil {
		return a
	}
	a := &answer{done: make(chan struct{})}
	l.answers[study] = a
	l.sight.jobs.Go(func() {
		said, err := promise.Study(l.ctx, l.laid, study, l.options())
		if a.err = err; err == nil {
			a.pages = said.Pages
		}
		close(a.done)
		l.sight.news.tell(event{kind: "answer", look: l, name: study})
	})
	return a
}

// ready reports whether an answer is there.
func (a *answer) ready() bool {
	select {
	case <-a.done:
		return true
	default:
		return false
	}
}
