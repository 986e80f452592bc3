package product

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/product/tree"
)

// Breaches are the contradictions between rows of the records, each with its place, at most 1000 a
// file: units sold that were not made, or came back unsold, days out of order, units made or sold
// twice, more sold than made, periods that count twice. The rows are kept all the same; which they
// are says Ledger.InDoubt.
func (f *Folder) Breaches() Errors {
	f.Ledger()
	return f.breaches
}

// breachFinder looks for contradictions in a ledger.
type breachFinder struct {
	*Ledger
	faults tree.Faults
}

func (f *Folder) contradictions(l *Ledger) Errors {
	b := &breachFinder{Ledger: l}
	l.InDoubt = map[Origin]bool{}
	for _, u := range l.Units {
		b.madeTwice(u)
		b.soldTwice(u)
		b.order(u)
		b.contradicted(u)
	}
	b.unknown()
	b.totals()
	b.periods(&f.Records)
	return b.faults.List.Sorted()
}

// add reports what is wrong at a cell and puts its row in doubt.
func (b *breachFinder) add(row, cell Leaf, problem, want string) {
	b.InDoubt[row.Origin] = true
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

const (
	madeFile     = "records/made.csv"
	soldFile     = "records/sold.csv"
	returnedFile = "records/returned.csv"
)

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

// happening is a number of units at a day or within a period.
type happening struct {
	from, until time.Time
	low, high   float64 // units
	row, cell   Leaf
}

func happens(row Leaf, date, until Date, serial Text, count Quantity) happening {
	h := happening{date.Day, lastDay(date, until), 1, 1, row, date.Leaf}
	if serial.Set() {
		h.cell = serial.Leaf
	} else if count.Set() {
		h.low, h.high, h.cell = count.Low, count.High, count.Leaf
	}
	return h
}

func (m *Made) happens() happening { return happens(m.Leaf, m.Date, m.Until, m.Serial, m.Count) }
func (s *Sold) happens() happening { return happens(s.Leaf, s.Date, s.Until, s.Serial, s.Count) }
func (r *Returned) happens() happening {
	return happens(r.Leaf, r.Date, r.Until, r.Serial, r.Count)
}

// unknown reports serials that are sold but not made, or come back but were not sold. Units made,
// or sold, without a serial may be those, as long as there are enough of them.
func (b *breachFinder) unknown() {
	var soldUnmade, backUnsold []happening
	var firstMade, firstSold time.Time
	for _, u := range b.Units {
		if made, ok := u.MadeOn(); ok && (firstMade.IsZero() || made.Before(firstMade)) {
			firstMade = made
		}
		if len(u.Sales) > 0 {
			if day := u.Sales[0].Sold.Date.Day; firstSold.IsZero() || day.Before(firstSold) {
				firstSold = day
			}
		}
		switch {
		case len(u.Sales) > 0 && len(u.Made) == 0:
			soldUnmade = append(soldUnmade, u.Sales[0].Sold.happens())
		case len(u.Sales) == 0 && len(u.Returned) > 0:
			backUnsold = append(backUnsold, u.Returned[0].happens())
		}
	}
	made, sold, returned := b.coarse()
	for _, s := range unaccounted(soldUnmade, made, sold, firstMade) {
		b.add(s.row, s.cell, "is sold, and no row of "+madeFile+" made it", "want the serial mended, or the row that made it")
	}
	for _, r := range unaccounted(backUnsold, sold, returned, firstSold) {
		b.add(r.row, r.cell, "came back, and no row of "+soldFile+" sold it", "want the serial mended, or the row that sold it")
	}
}

// coarse are the rows without a serial; of what was made, those of the step that most units passed.
func (b *breachFinder) coarse() (made, sold, returned []happening) {
	steps := map[string][]happening{}
	total, most, name := map[string]float64{}, 0.0, ""
	for _, m := range b.Made {
		if m.Result.Is("scrap") {
			continue
		}
		h, step := m.happens(), m.Step.Text
		steps[step] = append(steps[step], h)
		if total[step] += h.high; total[step] > most {
			most, name = total[step], step
		}
	}
	for _, s := range b.Sold {
		sold = append(sold, s.happens())
	}
	for _, r := range b.Returned {
		returned = append(returned, r.happens())
	}
	return steps[name], sold, returned
}

// unaccounted returns those of some units with serials that cannot be among the units without one.
//
//	from   what the units must have come from: rows without serials
//	spent  rows without serials that used them up
//	first  the day of the first row with a serial that they could have come from; before it no
//	       serials were kept, and the zero time says that none ever were
func unaccounted(units, from, spent []happening, first time.Time) (out []happening) {
	if first.IsZero() {
		return nil
	}
	sortByDay(units, func(h *happening) time.Time { return h.until })
	had, used := running{rows: from}, running{rows: spent}
	had.sort(func(h happening) (time.Time, float64) { return h.from, h.high })
	used.sort(func(h happening) (time.Time, float64) { return h.until, h.low })
	excused := 0.0
	for _, u := range units {
		switch {
		case u.until.Before(first):
		case had.by(u.until)-used.by(u.until)-excused >= 1:
			excused++
		default:
			out = append(out, u)
		}
	}
	return out
}

// running is a sum of units that grows with the days.
type running struct {
	rows []happening
	of   func(happening) (time.Time, float64)
	next int
	sum  float64
}

func (r *running) sort(of func(happening) (time.Time, float64)) {
	r.of, r.rows = of, slices.Clone(r.rows)
	sortByDay(r.rows, func(h *happening) time.Time { day, _ := of(*h); return day })
}

// sortByDay sorts rows by a day of each, and those of one day by where they stand: a stable sort
// would move rows of this size too often.
func sortByDay(rows []happening, day func(*happening) time.Time) {
	order := make([]int, len(rows))
	days := make([]time.Time, len(rows))
	for i := range rows {
		order[i], days[i] = i, day(&rows[i])
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(days[a].Compare(days[b]), cmp.Compare(a, b)) })
	sorted := make([]happening, len(rows))
	for i, from := range order {
		sorted[i] = rows[from]
	}
	copy(rows, sorted)
}

// by returns the sum up to a day; the days asked for must not fall.
func (r *running) by(day time.Time) float64 {
	for ; r.next < len(r.rows); r.next++ {
		at, n := r.of(r.rows[r.next])
		if at.After(day) {
			break
		}
		r.sum += n
	}
	return r.sum
}

// totals reports the first day by which more was sold than made and come back, or more had come
// back than was sold, however the ranges are taken.
func (b *breachFinder) totals() {
	made, sold, returned := b.coarse()
	for _, u := range b.Units {
		if len(u.Made) > 0 {
			made = append(made, earliest(u.Made).happens())
		}
		for _, s := range u.Sales {
			sold = append(sold, s.Sold.happens())
			if len(s.Returned) > 0 { // it may come back again after a repair
				returned = append(returned, s.Returned[0].happens())
			}
		}
		if len(u.Returned) > 0 {
			returned = append(returned, u.Returned[0].happens())
		}
	}
	if len(made) > 0 {
		b.exceeds(sold, "are sold", append(slices.Clone(made), returned...), "made or had come back", madeFile)
	}
	if len(sold) > 0 {
		b.exceeds(returned, "have come back", sold, "sold", soldFile)
	}
}

func earliest(made []*Made) *Made {
	return slices.MinFunc(made, func(a, b *Made) int { return a.Date.Day.Compare(b.Date.Day) })
}

func (b *breachFinder) exceeds(used []happening, usedWord string, from []happening, fromWord, file string) {
	had, gone := running{rows: from}, running{rows: used}
	had.sort(func(h happening) (time.Time, float64) { return h.from, h.high })
	gone.sort(func(h happening) (time.Time, float64) { return h.until, h.low })
	for _, h := range gone.rows {
		most, least := had.by(h.until), gone.by(h.until)
		if least > most+1e-9*most { // the sums of many ranges are rounded
			b.add(h.row, h.cell, fmt.Sprintf("with it %.6g %s by %s, and %.6g were %s by then", least, usedWord, h.until.Format(time.DateOnly), most, fromWord),
				"want the rows that "+file+" lacks, or the counts mended")
			return
		}
	}
}

// span is a row that stands for a period, with what it has in common with the rows that would
// count the same.
type span struct {
	happening
	key    string
	serial bool
}

// periods reports rows that cover others of the same kind, so that these would count twice.
func (b *breachFinder) periods(r *Records) {
	var spans []span
	for i := range r.Made {
		m := &r.Made[i]
		spans = append(spans, spanOf(m.happens(), m.Serial, "made", m.Step.Text, m.Result.Text, m.Batch.Text, m.Revision.Text))
	}
	b.covered(spans)
	spans = spans[:0]
	for i := range r.Sold {
		s := &r.Sold[i]
		spans = append(spans, spanOf(s.happens(), s.Serial, "sold", s.Channel.Text))
	}
	b.covered(spans)
	spans = spans[:0]
	for i := range r.Returned {
		x := &r.Returned[i]
		spans = append(spans, spanOf(x.happens(), x.Serial, "returned", x.Reason.Text, x.Found.Text, x.Batch.Text, x.Revision.Text))
	}
	b.covered(spans)
	spans = spans[:0]
	for i := range r.Spent {
		s := &r.Spent[i]
		spans = append(spans, spanOf(happens(s.Leaf, s.Date, s.Until, Text{}, Quantity{}), Text{}, "spent", s.Kind.Text))
	}
	for i := range r.Hours {
		h := &r.Hours[i]
		spans = append(spans, spanOf(happens(h.Leaf, h.Date, h.Until, Text{}, Quantity{}), Text{}, "hours", h.Kind.Text, h.Step.Text))
	}
	b.covered(spans)
}

func spanOf(h happening, serial Text, key ...string) span {
	return span{happening: h, key: strings.Join(key, "\x00"), serial: serial.Set()}
}

// covered sorts rows so that whatever lies within a period stands behind it: then the earliest end
// behind it tells whether it covers anything.
func (b *breachFinder) covered(spans []span) {
	if !slices.ContainsFunc(spans, func(s span) bool { return s.until.After(s.from) }) {
		return // which is so where every row is one event
	}
	slices.SortStableFunc(spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.key, b.key), a.from.Compare(b.from), b.until.Compare(a.until))
	})
	var first *span // of those behind that are not of the same period, the one that ends first
	for i := len(spans) - 1; i >= 0; {
		s := &spans[i]
		begin := i
		for begin > 0 && spans[begin-1].key == s.key && spans[begin-1].from.Equal(s.from) && spans[begin-1].until.Equal(s.until) {
			begin--
		}
		if first != nil && first.key != s.key {
			first = nil
		}
		b.same(spans[begin : i+1])
		for j := begin; j <= i; j++ {
			if c := &spans[j]; first != nil && !c.serial && c.until.After(c.from) && !first.until.After(c.until) {
				b.add(c.row, c.row, "covers "+first.row.Origin.String()+", which lies within it, so that this would count twice", "want one of them taken out, or the periods parted")
			}
		}
		if first == nil || s.until.Before(first.until) {
			first = s
		}
		i = begin - 1
	}
}

// same reports periods that are written twice, word for word.
func (b *breachFinder) same(spans []span) {
	if len(spans) < 2 || !spans[0].until.After(spans[0].from) {
		return
	}
	seen := map[string]Origin{}
	for _, s := range spans {
		text := s.row.written()
		if before, ok := seen[text]; ok {
			b.add(s.row, s.row, "is written twice: "+before.String()+" says the same", "want one of them taken out")
			continue
		}
		seen[text] = s.row.Origin
	}
}
