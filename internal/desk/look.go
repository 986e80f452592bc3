package desk

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// computing stands in a promise's verdict while there is none yet.
const computing = "computing"

// look is the folder as it stood once under one variant, or as it would be, with what has been computed of it so far.
type look struct {
	sight   *sight
	dir     string
	view    view // the variant, and what is tried
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

	sifted   chan struct{} // closed when all that was known before is found
	sketched chan struct{} // closed when every promise is judged, if only coarsely
	judged   chan struct{} // closed when every promise is, in full
	beside   chan struct{} // holds something while the product is laid beside what it could be

	mutex    sync.Mutex
	promises []page.Promise    // in the file's order
	coarse   map[string]string // what is to follow of those that are judged coarsely
	site     page.Site         // without promises and pages
	failed   error             // why nothing could be judged
	answers  map[string]*answer
}

// answer is one question's page, computed when somebody asks for it.
type answer struct {
	done  chan struct{}
	pages []page.Page
	err   error

	far  string    // how far it has got
	told time.Time // when that was last told
}

func newLook(s *sight, v view, stamp string, last *look) *look {
	l := &look{sight: s, dir: s.dir, view: v, variant: v.variant, stamp: stamp, coarse: map[string]string{}, answers: map[string]*answer{}, beside: make(chan struct{}, 1),
		sifted: make(chan struct{}), sketched: make(chan struct{}), judged: make(chan struct{})}
	l.ctx, l.cancel = context.WithCancel(s.stop)
	switch {
	case last == nil:
	case last.stamp == stamp: // the same again
		l.before = last.before
	default:
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
		l.over()
		return
	}
	if l.folder == nil {
		tried := l.view.trial().changed(valuesOf{dir: l.dir, known: map[string][]product.Value{}})
		l.folder, l.faults = product.Try(l.dir, tried...)
	}
	if l.faults == nil {
		l.laid, l.faults = l.folder.Resolve(l.variant)
	}
	if l.faults != nil {
		l.over()
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

// over says that no more comes to be known.
func (l *look) over() {
	shut(l.sifted)
	shut(l.sketched)
	close(l.judged)
}

// shut closes a channel that only the goroutine that judges closes, unless it is closed.
func shut(c chan struct{}) {
	if !closed(c) {
		close(c)
	}
}

func closed(c <-chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}

func (l *look) options() promise.Options {
	return promise.Options{Seed: l.sight.seed, Kept: kept.Open(l.dir)}
}

// judge judges every promise, and tells of each as soon as something is known of it.
func (l *look) judge() {
	defer l.over()
	options := l.options()
	options.VerdictsOnly, options.Sketch = true, true
	options.Sifted = func(int) { shut(l.sifted) }
	options.Seen = func(j promise.Judged) {
		one := &promise.Report{Promises: []promise.Judged{j}}
		l.see(one.Site().Promises[0], j.Coarse)
		l.sight.news.tell(event{kind: "promise", look: l, name: j.Name})
		runtime.Gosched() // to who sends it: all cores compute
	}
	report, err := promise.Check(l.ctx, l.laid, options)
	if l.ctx.Err() != nil {
		return
	}
	l.mutex.Lock()
	if l.failed = err; err == nil {
		l.site = report.Site()
		l.promises, l.site.Promises = l.site.Promises, nil
		clear(l.coarse)
	}
	l.mutex.Unlock()
	l.sight.news.tell(event{kind: "judged", look: l})
}

// see takes in what is known of a promise. A coarse judgement shows where its marks stand, and has no verdict yet.
func (l *look) see(p page.Promise, coarse string) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	delete(l.coarse, p.Name)
	if coarse != "" {
		l.coarse[p.Name] = coarse
		p.Verdict, p.StandsOn, p.Why, p.Disagree = computing, "", nil, nil
	}
	some := true
	for i := range l.promises {
		if l.promises[i].Name == p.Name {
			l.promises[i] = p
		}
		some = some && (l.promises[i].Verdict != computing || l.coarse[l.promises[i].Name] != "")
	}
	if some && !closed(l.sketched) {
		close(l.sketched)
	}
}

// finished reports whether every promise is judged.
func (l *look) finished() bool {
	return closed(l.judged)
}

// busy reports whether something of it is being computed.
func (l *look) busy() bool {
	if !l.finished() {
		return true
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	for _, a := range l.answers {
		if !a.ready() {
			return true
		}
	}
	return false
}

// answer returns the pages of a question, which are computed when they are asked for the first time.
func (l *look) answer(name string) *answer {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if a := l.answers[name]; a != nil {
		return a
	}
	a := &answer{done: make(chan struct{})}
	l.answers[name] = a
	l.sight.jobs.Go(func() {
		select { // what moves goes before
		case <-l.sketched:
		case <-l.ctx.Done():
		}
		ctx := numeric.WithProgress(l.ctx, func(what string, done, of int) { l.tell(a, name, what, done, of) })
		a.pages, a.err = questionOf(name).answer(ctx, l)
		close(a.done)
		l.sight.news.tell(event{kind: "answer", look: l, name: name})
	})
	return a
}

// tell says how far an answer has got, not oftener than one reads.
func (l *look) tell(a *answer, name, what string, done, of int) {
	l.mutex.Lock()
	late := time.Since(a.told) < glance
	if !late {
		a.far, a.told = fmt.Sprintf("%s, %d of %d", what, done, of), time.Now()
	}
	far := a.far
	l.mutex.Unlock()
	if !late {
		l.sight.news.tell(event{kind: "progress", look: l, name: name, text: far})
	}
}

// ready reports whether an answer is there.
func (a *answer) ready() bool { return closed(a.done) }
