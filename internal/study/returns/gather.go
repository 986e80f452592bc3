package returns

import (
	"math"
	"slices"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/search"
	"hindwatt/internal/statistics/survival"
)

// An Interval is a best value between two limits; Open says that there is no upper limit.
type Interval struct {
	Best, Low, High float64
	Open            bool
}

// A Group is what is known of some of the units: a revision, a batch, a channel, or all.
type Group struct {
	Name          string
	Sold          Count
	Back          Count // first returns
	Fault         Count // of them with a fault found
	NoFault       Count // of them without
	Exposure      Count // unit-seconds under watch
	InTime        Count // first returns while returns were seen
	Share, Faulty Interval
	PerSecond     Interval
	Basis         string  // the weakest of its rows
	First, Last   Day     // of sales
	P             float64 // of its ages against the others', by log-rank, adjusted after Holm; -1: not compared
	Exact         bool    // P is by an exact test of rates instead
	units         []*Unit
}

func rank(basis string) int {
	return slices.Index([]string{"booked", "counted", "", "remembered"}, basis)
}

func (g *Group) basis(b string) {
	if g.Sold.High == 0 && g.Back.High == 0 || rank(b) > rank(g.Basis) {
		g.Basis = b
	}
}

func (g *Group) sold(from, until Day) {
	if g.Sold.High == 0 {
		g.First, g.Last = from, until
	}
	g.First, g.Last = min(g.First, from), max(g.Last, until)
}

// when says which of the days that are possible is taken.
type when int8

const (
	middle when = iota // halfway: the best value
	early              // the youngest that a unit can have been
	late               // the oldest
)

// sold is the day of sale [B1].
func (u *Unit) sold(w when) float64 {
	first, last := float64(u.Sold), float64(max(u.Sold, u.SoldUntil))
	return [...]float64{(first + last) / 2, last, first}[w]
}

// vague reports whether its age is known between limits only.
func (u *Unit) vague() bool {
	return u.SoldUntil > u.Sold || u.Back != nil && u.Back.Until > u.Back.Day
}

// age is that at which a unit came back; on the day of its sale it is half a day old [B1].
func (u *Unit) age(w when) float64 {
	first, last := float64(u.Back.Day), float64(u.Back.Until)
	back := [...]float64{(first + max(first, last)) / 2, first, max(first, last)}[w]
	return max(back-u.sold(w), 0.5) * daySeconds
}

// span is how long returns of what was sold on a day are seen, s [B1].
func (in *Input) span(sold float64) float64 {
	return min(max(float64(in.Today)-sold, 0)*daySeconds, in.accepted())
}

func (g *Group) add(in *Input, u *Unit) {
	g.basis(u.Basis)
	g.sold(u.Sold, max(u.Sold, u.SoldUntil))
	g.Sold = g.Sold.plus(Exactly(1))
	g.units = append(g.units, u)
	watched := in.span(u.sold(middle))
	if u.Back != nil {
		g.basis(u.Back.Basis)
		g.back(u.Back, Exactly(1))
		if age := u.age(middle); age <= in.accepted() {
			g.InTime = g.InTime.plus(Exactly(1))
			watched = age
		}
	}
	g.Exposure = g.Exposure.plus(Exactly(watched))
}

func (g *Group) back(r *Return, n Count) {
	g.Back = g.Back.plus(n)
	switch r.Found {
	case Fault:
		g.Fault = g.Fault.plus(n)
	case NoFault:
		g.NoFault = g.NoFault.plus(n)
	}
}

// addSale counts a period of sales: each unit is watched from some day within it [B2].
func (g *Group) addSale(in *Input, s *Sale) {
	g.basis(s.Basis)
	g.sold(s.From, s.Until)
	g.Sold = g.Sold.plus(s.Count)
	long, short := in.span(float64(s.From)), in.span(float64(min(s.Until, in.Today)))
	g.Exposure = g.Exposure.plus(Count{s.Count.Low * short, s.Count.Best * (long + short) / 2, s.Count.High * long})
}

// addReturn counts a row of returns without a unit. What these were watched for after they came back is left in the exposure.
func (g *Group) addReturn(r *Return) {
	g.basis(r.Basis)
	g.back(r, r.Count)
	g.InTime = g.InTime.plus(r.Count)
}

// finish computes the shares [B3] and the rate [B4].
func (g *Group) finish(confidence float64) (err error) {
	if g.Share, err = shareOf(g.Back, g.Sold, confidence); err != nil {
		return err
	}
	most := g.Fault
	most.High += max(0, g.Back.High-g.Fault.High-g.NoFault.High) // not looked at: they may have one
	if g.Faulty, err = shareOf(most, g.Sold, confidence); err != nil {
		return err
	}
	if g.Sold.High > 0 && g.Sold.High == g.Sold.Low && g.Fault.exact() {
		g.Faulty.Best = g.Fault.Best / g.Sold.Best
	}
	g.PerSecond, err = rateOf(g.InTime, g.Exposure, confidence)
	return err
}

// shareOf is the share that came back: between the lower limit of the fewest of the most, and the upper of the most of the fewest [B3].
func shareOf(back, sold Count, confidence float64) (Interval, error) {
	whole := func(v float64) int { return int(math.Round(v)) }
	most, fewest := whole(math.Ceil(sold.High)), whole(math.Floor(sold.Low))
	out := Interval{High: 1}
	if most < 1 {
		return out, nil
	}
	low, _, err := statistics.BinomialLimits(min(whole(math.Floor(back.Low)), most), most, confidence)
	if err != nil {
		return out, err
	}
	out.Low = low
	if fewest >= 1 {
		if _, out.High, err = statistics.BinomialLimits(min(whole(math.Ceil(back.High)), fewest), fewest, confidence); err != nil {
			return out, err
		}
	}
	if sold.Best > 0 {
		out.Best = min(1, back.Best/sold.Best)
	}
	return out, nil
}

// rateOf is the number of returns per unit and second [B4].
func rateOf(back, exposure Count, confidence float64) (Interval, error) {
	if !(exposure.High > 0) {
		return Interval{Open: true}, nil
	}
	low, _, err := statistics.PoissonLimits(int(math.Floor(back.Low)), exposure.High, confidence)
	if err != nil {
		return Interval{}, err
	}
	out := Interval{Best: back.Best / exposure.Best, Low: low}
	if !(exposure.Low > 0) {
		out.Open = true
		return out, nil
	}
	_, out.High, err = statistics.PoissonLimits(int(math.Ceil(back.High)), exposure.Low, confidence)
	return out, err
}

// kept reports whether a return counts.
type kept func(*Return) bool

func anyReturn(*Return) bool      { return true }
func withFault(r *Return) bool    { return r.Found == Fault }
func perhapsFault(r *Return) bool { return r.Found != NoFault }

// life is what is known of a unit's age when it came back. Returns after the age to which they are accepted may go unseen, so a
// unit is watched no longer; one that came back for what does not count is watched no longer either [B1].
func (in *Input) life(u *Unit, counts kept, w when) survival.Life {
	switch {
	case u.Back == nil || u.age(w) > in.accepted():
		return survival.Good(in.span(u.sold(w)))
	case counts(u.Back):
		return survival.Failed(u.age(w))
	}
	return survival.Good(u.age(w))
}

// between is what is known of it with nothing taken for granted.
func (in *Input) between(u *Unit, counts kept) survival.Life {
	l := in.life(u, counts, middle)
	if l.To == l.From && u.vague() {
		l.From, l.To = u.age(early), min(u.age(late), in.accepted())
	}
	return l
}

// lives are those of units, equal ones together, by age.
func (in *Input) lives(units []*Unit, counts kept, w when) []survival.Life {
	return gathered(units, func(u *Unit) survival.Life { return in.life(u, counts, w) })
}

func gathered(units []*Unit, life func(*Unit) survival.Life) []survival.Life {
	all := make([]survival.Life, 0, len(units))
	for _, u := range units {
		if l := life(u); l.From > 0 {
			all = append(all, l)
		}
	}
	slices.SortFunc(all, byAge)
	out := all[:0]
	for _, l := range all {
		if n := len(out); n > 0 && byAge(out[n-1], l) == 0 {
			out[n-1].Count++
			continue
		}
		out = append(out, l)
	}
	return out
}

func byAge(a, b survival.Life) int {
	switch {
	case a.From < b.From || a.From == b.From && a.To < b.To:
		return -1
	case a.From > b.From || a.To > b.To:
		return 1
	}
	return 0
}

// searched are the lives of a batch with their reasons, equal ones that still are out together.
func (in *Input) searched(units []*Unit) []search.Unit {
	good := []*Unit{}
	var out []search.Unit
	for _, u := range units {
		if l := in.life(u, anyReturn, middle); l.To == l.From && l.From > 0 {
			out = append(out, search.Unit{Life: l, Reason: u.Back.Reason})
		} else {
			good = append(good, u)
		}
	}
	for _, l := range in.lives(good, anyReturn, middle) {
		out = append(out, search.Unit{Life: l})
	}
	return out
}
