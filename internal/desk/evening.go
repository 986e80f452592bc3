package desk

import (
	"fmt"
	"net/http"
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

// step is one change with its time.
type step struct {
	product.Change
	At time.Time
}

// add keeps a change; what had been taken back can then not be done again.
func (e *evening) add(c product.Change) {
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

func (s step) text() string { return s.Key + " in " + s.File }

// undo takes the last change back.
func (d *Desk) undo(w http.ResponseWriter, r *http.Request) {
	d.step(w, r, func(e *evening, dir string) error {
		at := len(e.changes) - e.undone - 1
		if at < 0 {
			return nil
		}
		err := product.Undo(dir, e.changes[at].Change)
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
		err := product.Redo(dir, e.changes[len(e.changes)-e.undone].Change)
		if err == nil {
			e.undone--
		}
		return err
	})
}

func (d *Desk) step(w http.ResponseWriter, r *http.Request, do func(*evening, string) error) {
	v := viewOf(r.Header.Get("Referer"))
	d.evening.mutex.Lock()
	err := do(&d.evening, d.sight.folder())
	d.evening.mutex.Unlock()
	if err != nil {
		d.render(w, r, v, &problem{status: http.StatusConflict, Text: err.Error()})
		return
	}
	http.Redirect(w, r, v.address(), http.StatusSeeOther)
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
	for i, c := range e.changes {
		l := line{c.At.Format("15:04:05"), c.File, c.Key, plain(c.Old), plain(c.New), i >= len(e.changes)-e.undone}
		all = append([]line{l}, all...)
	}
	return all
}

// plain is what was written, on one line.
func plain(b []byte) string { return strings.Join(strings.Fields(string(b)), " ") }
