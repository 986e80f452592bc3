package desk

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"hindwatt/internal/product"
)

// evening is what was changed since the desk was opened, and how far it was taken back.
type evening struct {
	mutex   sync.Mutex
	changes []step
	undone  int // how many of the last are taken back
}

// step is what was changed at once, with its time.
type step struct {
	Changes []product.Change // one at least
	At      time.Time
}

// add keeps what was changed at once; what had been taken back can then not be done again.
func (e *evening) add(c ...product.Change) {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	e.changes = append(e.changes[:len(e.changes)-e.undone], step{c, time.Now()})
	e.undone = 0
}

// said is what would be taken back, what would be done again, and how many changes stand.
func (e *evening) said() (undo, redo, changes string) {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	stand := len(e.changes) - e.undone
	if stand > 0 {
		undo = e.changes[stand-1].text()
	}
	if e.undone > 0 {
		redo = e.changes[stand].text()
	}
	switch {
	case len(e.changes) == 0:
	case stand == 1:
		changes = "1 change"
	default:
		changes = fmt.Sprintf("%d changes", stand)
	}
	return undo, redo, changes
}

func (s step) text() string {
	first := s.Changes[0]
	text := first.Key + " in " + first.File
	if n := len(s.Changes) - 1; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

// undo takes all of a step back, or nothing of it.
func (s step) undo(dir string) error {
	for i, c := range slices.Backward(s.Changes) {
		if err := product.Undo(dir, c); err != nil {
			for _, done := range s.Changes[i+1:] {
				err = errors.Join(err, product.Redo(dir, done))
			}
			return err
		}
	}
	return nil
}

// redo makes all of a step again, or nothing of it.
func (s step) redo(dir string) error {
	for i, c := range s.Changes {
		if err := product.Redo(dir, c); err != nil {
			for _, done := range slices.Backward(s.Changes[:i]) {
				err = errors.Join(err, product.Undo(dir, done))
			}
			return err
		}
	}
	return nil
}

// undo takes the last change back.
func (d *Desk) undo(w http.ResponseWriter, r *http.Request) {
	d.step(w, r, func(e *evening, dir string) error {
		at := len(e.changes) - e.undone - 1
		if at < 0 {
			return nil
		}
		err := e.changes[at].undo(dir)
		if err == nil {
			e.undone++
		}
		return err
	})
}

// redo makes the change that was taken back last again.
func (d *Desk) redo(w http.ResponseWriter, r *http.Request) {
	d.step(w, r, func(e *evening, dir string) error {
		if e.undone == 0 {
			return nil
		}
		err := e.changes[len(e.changes)-e.undone].redo(dir)
		if err == nil {
			e.undone--
		}
		return err
	})
}

func (d *Desk) step(w http.ResponseWriter, r *http.Request, do func(*evening, string) error) {
	v := viewOf(r.Header.Get("Referer"))
	d.sight.yield()
	d.evening.mutex.Lock()
	err := do(&d.evening, d.sight.folder())
	d.evening.mutex.Unlock()
	if err != nil {
		d.render(w, r, v, &problem{status: http.StatusConflict, Text: err.Error()})
		return
	}
	http.Redirect(w, r, back(r), http.StatusSeeOther)
}

// line is one change as the list shows it.
type line struct {
	At, File, Key, Old, New string
	Undone                  bool
}

// list is every change of the evening, the latest first.
func (e *evening) list() (all []line) {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	for i, s := range slices.Backward(e.changes) {
		for _, c := range slices.Backward(s.Changes) {
			all = append(all, line{s.At.Format("15:04:05"), c.File, c.Key, plain(c.Old), plain(c.New), i >= len(e.changes)-e.undone})
		}
	}
	return all
}

const mostPlain = 200 // bytes of what was written that the list shows

// plain is what was written, on one line, its end left out where it is long.
func plain(b []byte) string {
	end := ""
	if len(b) > mostPlain {
		b, end = b[:mostPlain], " …"
	}
	return strings.Join(strings.Fields(strings.ToValidUTF8(string(b), "")), " ") + end
}
