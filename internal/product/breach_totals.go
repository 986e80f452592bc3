package product

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// happening is a number of units at a day or within a period.
type happening struct {
	from, until int     // days since 1970
	low, high   float64 // units
	row, cell   *Leaf
}

func happens(row *Leaf, date, until *Date, serial *Text, count *Quantity) happening {
	from := dayOf(date.Day)
	h := happening{from, from, 1, 1, row, &date.Leaf}
	if until.Set() {
		h.until = dayOf(until.Day)
	}
	if serial.Set() {
		h.cell = &serial.Leaf
	} else if count.Set() {
		h.low, h.high, h.cell = count.Low, count.High, &count.Leaf
	}
	return h
}

const secondsOfDay = 24 * 60 * 60

// dayOf counts the days since 1970, from which on records may be.
func dayOf(day time.Time) int { return int(max(day.Unix(), 0) / secondsOfDay) }

func (m *Made) happens() happening { return happens(&m.Leaf, &m.Date, &m.Until, &m.Serial, &m.Count) }
func (s *Sold) happens() happening { return happens(&s.Leaf, &s.Date, &s.Until, &s.Serial, &s.Count) }
func (r *Returned) happens() happening {
	return happens(&r.Leaf, &r.Date, &r.Until, &r.Serial, &r.Count)
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

// tally counts units by days since 1970.
type tally struct {
	units []float64
	first []happening // of each day; its row is nil if there is none
}

// most counts units at the first day on which they may have been there, as many as may be;
// least at the last day, as few as may be.
func (t *tally) most(h happening)  { t.add(h.from, h.high, h) }
func (t *tally) least(h happening) { t.add(h.until, h.low, h) }

func (t *tally) add(day int, n float64, h happening) {
	if more := day + 1 - len(t.units); more > 0 {
		t.units = append(t.units, make([]float64, more)...)
		t.first = append(t.first, make([]happening, more)...)
	}
	t.units[day] += n
	if t.first[day].row == nil {
		t.first[day] = h
	}
}

// sums are the units up to each day.
func (t *tally) sums() sums {
	all := make(sums, len(t.units))
	sum := 0.0
	for day, n := range t.units {
		sum += n
		all[day] = sum
	}
	return all
}

type sums []float64

func (s sums) by(day int) float64 {
	if len(s) == 0 {
		return 0
	}
	return s[min(day, len(s)-1)]
}

// unknown reports serials that are sold but not made, or come back but were not sold. Units made,
// or sold, without a serial may be those, as long as there are enough of them.
func (b *breachFinder) unknown() {
	const never = -1
	var soldUnmade, backUnsold []happening
	firstMade, firstSold := never, never
	for _, u := range b.Units {
		if made, ok := u.MadeOn(); ok && (firstMade == never || dayOf(made) < firstMade) {
			firstMade = dayOf(made)
		}
		if len(u.Sales) > 0 {
			if day := dayOf(u.Sales[0].Sold.Date.Day); firstSold == never || day < firstSold {
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
	if firstMade != never {
		for _, s := range unaccounted(soldUnmade, made, sold, firstMade) {
			b.add(*s.row, *s.cell, "is sold, and no row of "+madeFile+" made it", "want the serial mended, or the row that made it")
		}
	}
	if firstSold != never {
		for _, r := range unaccounted(backUnsold, sold, returned, firstSold) {
			b.add(*r.row, *r.cell, "came back, and no row of "+soldFile+" sold it", "want the serial mended, or the row that sold it")
		}
	}
}

// unaccounted returns those of some units with serials that cannot be among the units without one.
//
//	from   what the units must have come from: rows without serials
//	spent  rows without serials that used them up
//	first  the day of the first row with a serial that they could have come from; before it no
//	       serials were kept
func unaccounted(units, from, spent []happening, first int) (out []happening) {
	slices.SortStableFunc(units, func(a, b happening) int { return cmp.Compare(a.until, b.until) })
	var there, gone tally
	for _, h := range from {
		there.most(h)
	}
	for _, h := range spent {
		gone.least(h)
	}
	had, used, excused := there.sums(), gone.sums(), 0.0
	for _, u := range units {
		switch {
		case u.until < first:
		case had.by(u.until)-used.by(u.until)-excused >= 1:
			excused++
		default:
			out = append(out, u)
		}
	}
	return out
}

// totals reports the first day by which more was sold than made and come back, or more had come
// back than was sold, however the ranges are taken.
func (b *breachFinder) totals() {
	var made, sold, unsold, returned tally // what there was to sell and was sold; what could come back and did
	comes := func(h happening) { made.most(h); returned.least(h) }
	goes := func(h happening) { sold.least(h); unsold.most(h) }
	rows, sales, returns := b.coarse()
	anyMade := len(rows) > 0
	for _, h := range rows {
		made.most(h)
	}
	for _, h := range sales {
		goes(h)
	}
	for _, h := range returns {
		comes(h)
	}
	for _, u := range b.Units {
		if len(u.Made) > 0 {
			anyMade = true
			made.most(earliest(u.Made).happens())
		}
		for _, s := range u.Sales {
			goes(s.Sold.happens())
			if len(s.Returned) > 0 { // it may come back again after a repair
				comes(s.Returned[0].happens())
			}
		}
		if len(u.Returned) > 0 {
			comes(u.Returned[0].happens())
		}
	}
	if anyMade {
		b.exceeds(&sold, "are sold", made.sums(), "made or had come back", madeFile)
	}
	if len(sold.units) > 0 {
		b.exceeds(&returned, "have come back", unsold.sums(), "sold", soldFile)
	}
}

func earliest(made []*Made) *Made {
	return slices.MinFunc(made, func(a, b *Made) int { return a.Date.Day.Compare(b.Date.Day) })
}

func (b *breachFinder) exceeds(used *tally, usedWord string, had sums, hadWord, file string) {
	for day, least := range used.sums() {
		h, most := used.first[day], had.by(day)
		if h.row == nil || least <= most+1e-9*most { // the sums of many ranges are rounded
			continue
		}
		by := time.Unix(int64(day)*secondsOfDay, 0).UTC().Format(time.DateOnly)
		b.add(*h.row, *h.cell, fmt.Sprintf("with it %.6g %s by %s, and %.6g were %s by then", least, usedWord, by, most, hadWord),
			"want the rows that "+file+" lacks, or the counts mended")
		return
	}
}
