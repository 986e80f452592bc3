package returns

import (
	"math"
	"slices"
)

// What may be taken for one unit and still leave the ages worth a curve (judgement, no source).
const (
	loosePart = 0.2     // of the returns, or of the units sold, that nothing but their day tells of
	mostUnits = 2000000 // that are told apart
)

// placing gives units to what has none: to each sale without a serial, and to each return. Which unit came back
// is not known then, but that it is one of its batch, or of all, bounds its age [B10].
type placing struct {
	r      *Result
	in     *Input
	units  []Unit
	order  []int            // of the units, by their day of sale
	batch  map[string][]int // likewise, of each batch
	stand  map[int]Unit     // in the place of a unit, but counted in no batch and no channel
	placed map[*Return]bool // rows that now have a unit
	sales  []*Sale          // that have none
	back   int              // returns that have one
	loose  int              // of them those that name neither serial nor batch
	named  int              // of them those that name a batch
}

func (r *Result) place() *placing {
	in := &r.Input
	p := &placing{r: r, in: in, units: slices.Clone(in.Units), stand: map[int]Unit{}, placed: map[*Return]bool{}}
	p.back = joined(in.Units)
	p.sold()
	p.sort()
	var loose []*Return
	rows := 0.0
	for _, back := range in.Returns {
		if rows += back.Count.Best; back.Joined {
			continue
		}
		if back.Batch == "" || !p.put(back, p.batch[back.Batch], func(*Unit) bool { return true }, false) {
			loose = append(loose, back)
		}
	}
	if n := sum(loose); len(p.sales) == 0 && p.back > 0 && n <= max(1, loosePart*rows) {
		for _, back := range loose {
			_ = p.put(back, p.order, func(u *Unit) bool { return u.Own == back.Own && u.Batch == "" }, true) ||
				p.put(back, p.order, func(u *Unit) bool { return u.Own == back.Own }, true) || p.put(back, p.order, func(*Unit) bool { return true }, true)
		}
	}
	return p
}

func sum(rows []*Return) (n float64) {
	for _, r := range rows {
		n += r.Count.High
	}
	return n
}

// sold makes units of sales without serials, where their number is known and their day, or all but a few have theirs.
func (p *placing) sold() {
	whole, coarse, all := true, 0.0, float64(len(p.units))
	for i := range p.in.Sales {
		s := &p.in.Sales[i]
		all += s.Count.High
		if s.From < s.Until {
			coarse += s.Count.High
		}
		whole = whole && s.Count.exact() && s.Count.Best == math.Trunc(s.Count.Best)
	}
	if whole && all <= mostUnits && coarse <= loosePart*all {
		for i := range p.in.Sales {
			p.sell(&p.in.Sales[i])
		}
		return
	}
	for i := range p.in.Sales {
		p.sales = append(p.sales, &p.in.Sales[i])
	}
}

func (p *placing) sell(s *Sale) {
	u := Unit{Revision: s.Revision, Channel: s.Channel, Own: s.Own, Sold: s.From, SoldUntil: min(s.Until, p.in.Today), Basis: s.Basis}
	for range int(s.Count.Best) {
		p.units = append(p.units, u)
	}
}

func (p *placing) sort() {
	p.order, p.batch = make([]int, len(p.units)), map[string][]int{}
	for i := range p.units {
		p.order[i] = i
	}
	if p.back == len(p.in.Returns) {
		return // nothing is to be placed
	}
	slices.SortStableFunc(p.order, func(a, b int) int { return int(p.units[a].Sold) - int(p.units[b].Sold) })
	for _, i := range p.order {
		p.batch[p.units[i].Batch] = append(p.batch[p.units[i].Batch], i)
	}
}

// put gives a row of returns units of some, in the order of their sale, for which a condition holds: those in the middle of its sales. It reports whether there were enough.
func (p *placing) put(back *Return, among []int, of func(*Unit) bool, stand bool) bool {
	if p.placed[back] {
		return true
	}
	n := int(back.Count.Best)
	if !back.Count.exact() || float64(n) != back.Count.Best {
		return false
	}
	var pool []int
	first, last := Day(math.MaxInt32), Day(math.MinInt32)
	for _, i := range among {
		u := &p.units[i]
		if _, taken := p.stand[i]; taken || u.Back != nil || u.Sold > back.Until || !of(u) {
			continue
		}
		pool = append(pool, i)
		first, last = min(first, u.Sold), max(last, u.Sold, u.SoldUntil)
	}
	if len(pool) < n {
		return false
	}
	for _, i := range pool[(len(pool)-n)/2:][:n] {
		u := p.units[i]
		u.Back, u.Sold, u.SoldUntil = back, first, min(last, back.Until)
		if stand {
			u.Batch, u.Channel = "", ""
			p.stand[i] = u
		} else {
			p.units[i] = u
		}
	}
	p.placed[back] = true
	p.back += n
	if stand {
		p.loose += n
	} else {
		p.named += n
	}
	return true
}
