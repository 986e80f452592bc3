package product

import (
	"cmp"
	"slices"
)

// span is a row that stands for a day or a period, with what it has in common with the rows that
// would count the same.
type span struct {
	happening
	group  int
	serial bool
}

// period reports whether a row stands for more than one day.
func (s *span) period() bool { return s.until > s.from }

// alike is what rows that would count the same have in common.
type alike [4]string

// periods reports rows that cover others of the same kind, so that these would count twice.
func (b *breachFinder) periods(r *Records) {
	inPeriods(b, r.Made, func(m *Made) (happening, bool, alike) {
		return m.happens(), m.Serial.Set(), alike{m.Step.Text, m.Result.Text, m.Batch.Text, m.Revision.Text}
	})
	inPeriods(b, r.Sold, func(s *Sold) (happening, bool, alike) { return s.happens(), s.Serial.Set(), alike{s.Channel.Text} })
	inPeriods(b, r.Returned, func(x *Returned) (happening, bool, alike) {
		return x.happens(), x.Serial.Set(), alike{x.Reason.Text, x.Found.Text, x.Batch.Text, x.Revision.Text}
	})
	inPeriods(b, r.Spent, func(s *Spent) (happening, bool, alike) {
		return happens(&s.Leaf, &s.Date, &s.Until, &Text{}, &Quantity{}), false, alike{s.Kind.Text}
	})
	inPeriods(b, r.Hours, func(h *Hours) (happening, bool, alike) {
		return happens(&h.Leaf, &h.Date, &h.Until, &Text{}, &Quantity{}), false, alike{h.Kind.Text, h.Step.Text}
	})
}

func inPeriods[Row any](b *breachFinder, rows []Row, of func(*Row) (happening, bool, alike)) {
	groups := map[alike]int{}
	spans := make([]span, len(rows))
	found := false
	for i := range rows {
		h, serial, key := of(&rows[i])
		group, known := groups[key]
		if !known {
			group = len(groups)
			groups[key] = group
		}
		spans[i] = span{h, group, serial}
		found = found || spans[i].period()
	}
	if found { // which is not so where every row is one event
		b.covered(spans)
	}
}

// covered sorts rows so that whatever lies within a period stands behind it: then the earliest end
// behind it tells whether it covers anything.
func (b *breachFinder) covered(spans []span) {
	slices.SortFunc(spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.group, b.group), cmp.Compare(a.from, b.from), cmp.Compare(b.until, a.until), cmp.Compare(a.row.Origin.start, b.row.Origin.start))
	})
	var first *span // of those behind that are not of the same period, the one that ends first
	for i := len(spans) - 1; i >= 0; {
		s := &spans[i]
		begin := i
		for begin > 0 && spans[begin-1].group == s.group && spans[begin-1].from == s.from && spans[begin-1].until == s.until {
			begin--
		}
		if first != nil && first.group != s.group {
			first = nil
		}
		b.same(spans[begin : i+1])
		for j := begin; j <= i; j++ {
			if c := &spans[j]; first != nil && !c.serial && c.period() && first.until <= c.until {
				b.add(*c.row, *c.row, "covers "+first.row.Origin.String()+", which lies within it, so that this would count twice", "want one of them taken out, or the periods parted")
			}
		}
		if first == nil || s.until < first.until {
			first = s
		}
		i = begin - 1
	}
}

// same reports periods that are written twice, word for word.
func (b *breachFinder) same(spans []span) {
	if len(spans) < 2 || !spans[0].period() {
		return
	}
	seen := map[string]Origin{}
	for _, s := range spans {
		text := s.row.written()
		if before, ok := seen[text]; ok {
			b.add(*s.row, *s.row, "is written twice: "+before.String()+" says the same", "want one of them taken out")
			continue
		}
		seen[text] = s.row.Origin
	}
}
