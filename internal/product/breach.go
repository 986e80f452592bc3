package product

import (
	"fmt"
	"sync"
	"time"

	"hindwatt/internal/product/tree"
)

const (
	madeFile     = "records/made.csv"
	soldFile     = "records/sold.csv"
	returnedFile = "records/returned.csv"
)

// Breaches are the contradictions between rows of the records, each with its place, at most 1000 a
// file: units sold that were not made, or came back unsold, days out of order, units made or sold
// twice, more sold than made, periods that count twice. The rows are kept all the same; which they
// are says Ledger.InDoubt.
func (f *Folder) Breaches() Errors {
	d := f.Ledger().InDoubt
	d.find()
	return d.breaches
}

// Doubts are the rows that contradict others, of made, sold, returned, spent and hours. They are
// looked for when somebody asks.
type Doubts struct {
	once     sync.Once
	ledger   *Ledger
	records  *Records
	rows     map[Origin]bool
	breaches Errors
}

// Has reports whether a row is one of them; rows of a nil Doubts never are.
func (d *Doubts) Has(row Leaf) bool {
	if d == nil {
		return false
	}
	d.find()
	return d.rows[row.Origin]
}

func (d *Doubts) find() {
	d.once.Do(func() {
		b := &breachFinder{Ledger: d.ledger, rows: map[Origin]bool{}}
		for _, u := range b.Units {
			b.madeTwice(u)
			b.soldTwice(u)
			b.order(u)
			b.contradicted(u)
		}
		b.unknown()
		b.totals()
		b.periods(d.records)
		d.rows, d.breaches = b.rows, b.faults.List.Sorted()
	})
}

// breachFinder looks for contradictions in a ledger.
type breachFinder struct {
	*Ledger
	rows   map[Origin]bool // that are in doubt
	faults tree.Faults
}

// add reports what is wrong at a cell and puts its row in doubt.
func (b *breachFinder) add(row, cell Leaf, problem, want string) {
	b.rows[row.Origin] = true
	if b.faults.Full(cell.Origin.File()) {
		return
	}
	b.faults.Add(cell.Fault(problem, want))
}

func (b *breachFinder) madeTwice(u *Unit) {
	for i, m := range u.Made {
		for _, before := range u.Made[:min(i, 50)] { // a unit passes fewer steps than that
			if m.Step.Text == before.Step.Text && m.Result.Text == before.Result.Text {
				b.add(m.Leaf, m.Serial.Leaf, "is made twice: "+before.Origin.String()+" has it with the same step and result", "want each serial once, or rework told from pass")
				break
			}
		}
	}
}

func (b *breachFinder) soldTwice(u *Unit) {
	for i := 1; i < len(u.Sales); i++ {
		before, s := u.Sales[i-1], u.Sales[i].Sold
		if len(before.Returned) == 0 {
			b.add(s.Leaf, s.Serial.Leaf, "is sold twice: "+before.Sold.Origin.String()+" sold it on "+before.Sold.Date.Text+", and it has not come back since",
				"want each serial once, or the return in "+returnedFile)
		}
	}
}

// order reports days of one unit that are out of order.
func (b *breachFinder) order(u *Unit) {
	made, known := u.MadeOn()
	for _, s := range u.Sales {
		if known && lastDay(s.Sold.Date, s.Sold.Until).Before(made) {
			b.add(s.Sold.Leaf, s.Sold.Date.Leaf, fmt.Sprintf("is before the unit was made (%s)", u.Made[0].Origin), "want "+made.Format(time.DateOnly)+" or later")
		}
	}
	var last *Returned
	for _, r := range u.AllReturned() {
		end := lastDay(r.Date, r.Until)
		switch {
		case len(u.Sales) > 0 && end.Before(u.Sales[0].Sold.Date.Day):
			first := u.Sales[0].Sold
			b.add(r.Leaf, r.Date.Leaf, fmt.Sprintf("is before the unit was sold (%s)", first.Origin), "want "+first.Date.Text+" or later")
		case known && end.Before(made):
			b.add(r.Leaf, r.Date.Leaf, fmt.Sprintf("is before the unit was made (%s)", u.Made[0].Origin), "want "+made.Format(time.DateOnly)+" or later")
		case last != nil && last.Date.Day.Equal(r.Date.Day):
			b.add(r.Leaf, r.Serial.Leaf, "came back twice on one day: "+last.Origin.String()+" has it too", "want each return once")
		}
		last = r
	}
}

// lastDay is the last day of a row's period.
func lastDay(date, until Date) time.Time {
	if until.Set() {
		return until.Day
	}
	return date.Day
}

// contradicted reports returns that give a unit another batch or revision than its making did.
func (b *breachFinder) contradicted(u *Unit) {
	returned := u.AllReturned()
	if len(returned) == 0 {
		return
	}
	for _, m := range u.Made {
		for _, r := range returned {
			b.differs(r, r.Batch.Leaf, m.Batch.Leaf, "batch")
			b.differs(r, r.Revision.Leaf, m.Revision.Leaf, "revision")
		}
	}
}

func (b *breachFinder) differs(r *Returned, said, made Leaf, what string) {
	if said.Set() && made.Set() && said.Text != made.Text {
		b.add(r.Leaf, said, "is not the unit's "+what+" of "+made.Origin.String(), "want "+made.Text+", or the one there mended")
	}
}
