package product

import (
	"slices"
	"time"
)

// A Ledger is what the records tell of units: rows with a serial joined to units, and
// the rows without one as they are. All rows point into Folder.Records.
type Ledger struct {
	Units    []*Unit // in the order in which their serials first appear: made, sold, returned
	Made     []*Made // rows without a serial
	Sold     []*Sold
	Returned []*Returned

	// InDoubt has the rows that contradict others. It is that of the whole folder, whichever units
	// a ledger has.
	InDoubt *Doubts
}

// Doubted counts the rows of the ledger that contradict others, and all of its rows.
func (l *Ledger) Doubted() (doubted, rows int) {
	count := func(row Leaf) {
		rows++
		if l.InDoubt.Has(row) {
			doubted++
		}
	}
	for _, m := range l.Made {
		count(m.Leaf)
	}
	for _, s := range l.Sold {
		count(s.Leaf)
	}
	for _, r := range l.Returned {
		count(r.Leaf)
	}
	for _, u := range l.Units {
		for _, m := range u.Made {
			count(m.Leaf)
		}
		for _, s := range u.Sales {
			count(s.Sold.Leaf)
		}
		for _, r := range u.AllReturned() {
			count(r.Leaf)
		}
	}
	return doubted, rows
}

// A Unit is one unit with a serial.
type Unit struct {
	Serial   string
	Batch    string // "" if no row tells
	Revision string // name of it; "" if nothing tells
	Made     []*Made
	Sales    []Sale      // in the order of days; a unit may be sold again after it came back
	Returned []*Returned // that follow no sale of it
}

// A Sale is one sale of a unit, and how often it came back from it.
type Sale struct {
	Sold     *Sold
	Returned []*Returned // in the order of days
}

// MadeOn is the day on which the unit was first made; ok is false if no row tells.
func (u *Unit) MadeOn() (day time.Time, ok bool) {
	for _, m := range u.Made {
		if day.IsZero() || m.Date.Day.Before(day) {
			day = m.Date.Day
		}
	}
	return day, !day.IsZero()
}

// AllReturned are all returns of the unit: those that follow no sale of it, and then sale by sale.
func (u *Unit) AllReturned() []*Returned {
	all := u.Returned
	for _, s := range u.Sales {
		if len(s.Returned) > 0 {
			all = append(all[:len(all):len(all)], s.Returned...)
		}
	}
	return all
}

// Ledger joins the records. It is computed once; whoever gets it must not change it.
func (f *Folder) Ledger() *Ledger {
	f.joined.Do(func() {
		f.ledger = f.join()
		f.ledger.InDoubt = &Doubts{ledger: f.ledger, records: &f.Records}
	})
	return f.ledger
}

func (f *Folder) join() *Ledger {
	l := &Ledger{}
	r := &f.Records
	units := make(map[string]*Unit, max(len(r.Made), len(r.Sold)))
	var fresh []Unit
	unit := func(serial string) *Unit {
		u := units[serial]
		if u == nil {
			if len(fresh) == 0 {
				fresh = make([]Unit, unitsAtOnce)
			}
			u, fresh = &fresh[0], fresh[1:]
			u.Serial = serial
			units[serial] = u
			l.Units = append(l.Units, u)
		}
		return u
	}
	made, sales := make([]*Made, 0, len(r.Made)), make([]Sale, 0, len(r.Sold))
	for i := range r.Made {
		m := &r.Made[i]
		if !m.Serial.Set() {
			l.Made = append(l.Made, m)
			continue
		}
		u := unit(m.Serial.Text)
		made, u.Made = added(made, u.Made, m)
	}
	for i := range r.Sold {
		s := &r.Sold[i]
		if !s.Serial.Set() {
			l.Sold = append(l.Sold, s)
			continue
		}
		u := unit(s.Serial.Text)
		sales, u.Sales = added(sales, u.Sales, Sale{Sold: s})
	}
	var returned []*Returned
	for i := range r.Returned {
		row := &r.Returned[i]
		if !row.Serial.Set() {
			l.Returned = append(l.Returned, row)
			continue
		}
		unit(row.Serial.Text)
		returned = append(returned, row)
	}
	for _, u := range l.Units {
		slices.SortStableFunc(u.Sales, func(a, b Sale) int { return a.Sold.Date.Day.Compare(b.Sold.Date.Day) })
	}
	slices.SortStableFunc(returned, func(a, b *Returned) int { return a.Date.Day.Compare(b.Date.Day) })
	for _, r := range returned {
		units[r.Serial.Text].comesBack(r)
	}
	revision := f.revisionFinder()
	for _, u := range l.Units {
		u.place(revision)
	}
	return l
}

const unitsAtOnce = 1024 // that are allocated together

// added appends to a list; the first of a list is put into all, which has room, since most lists
// have one.
func added[T any](all, list []T, one T) (grown, more []T) {
	if len(list) > 0 || len(all) == cap(all) {
		return all, append(list, one)
	}
	all = append(all, one)
	return all, all[len(all)-1 : len(all) : len(all)]
}

// comesBack puts a return to the last sale before it; on the day of a sale, to the one before if
// that one still waits for it, for a unit may be sold again on the day on which it came back.
func (u *Unit) comesBack(r *Returned) {
	for i := len(u.Sales) - 1; i >= 0; i-- {
		if i > 0 && r.Date.Day.Equal(u.Sales[i].Sold.Date.Day) && len(u.Sales[i-1].Returned) == 0 {
			continue
		}
		if !r.Date.Day.Before(u.Sales[i].Sold.Date.Day) {
			u.Sales[i].Returned = append(u.Sales[i].Returned, r)
			return
		}
	}
	u.Returned = append(u.Returned, r)
}

// place finds out the unit's batch and revision: as a row gives them, or by its serial, or by the
// day on which it was made.
func (u *Unit) place(revision func(made time.Time, serial string) string) {
	for _, m := range u.Made {
		first(&u.Batch, m.Batch.Text)
		first(&u.Revision, m.Revision.Text)
	}
	for _, r := range u.AllReturned() {
		first(&u.Batch, r.Batch.Text)
		first(&u.Revision, r.Revision.Text)
	}
	made, _ := u.MadeOn()
	first(&u.Revision, revision(made, u.Serial))
}

// first gives s a text if it has none.
func first(s *string, text string) {
	if *s == "" {
		*s = text
	}
}

// revisionFinder is Revision for many units.
func (f *Folder) revisionFinder() func(made time.Time, serial string) string {
	all := f.Revisions()
	return func(made time.Time, serial string) string {
		r, _ := revisionAmong(all, made, serial)
		return r.Name
	}
}
