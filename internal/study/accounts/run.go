package accounts

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics"
)

// A Figure is a best value with its 95 % interval; money in the currency, times in s.
type Figure struct {
	Best, Low, High   float64
	OpenLow, OpenHigh bool
	None              string // why there is none
}

// A Line is one kind of money, booked at both ends and the best value.
type Line struct {
	Kind                 string
	In                   bool
	Calculated, Recorded bool // from production.toml, from the records; both where in part
	Low, Best, High      money.Amount
}

// A Month is what came in and went out in a month, exactly.
type Month struct {
	First   time.Time
	In, Out money.Amount
	Hours   float64 // s, design included
	Design  float64 // s
	Moved   bool    // something was sold
	Sold    float64 // units, by the best values
}

// Worked is the time of one kind of work, s.
type Worked struct {
	Group                string
	Low, Best, High      float64
	Calculated, Recorded bool
}

// Year is what came in and went out in a year, exactly; or in some years, so that fewer than five sales do not stand alone.
type Year struct {
	Year, Until int // first and last
	In, Out     money.Amount
	Sold        float64
	Hours       float64 // s, design included
	Design      float64 // s
	Paid        Figure  // an hour, design left out
}

// Result is what the accounts say.
type Result struct {
	Input    Input
	Currency string
	Lines    []Line  // money in first, then out, the largest first
	Months   []Month // without gaps
	Years    []Year
	Worked   []Worked

	CameIn, WentOut, Net  Figure
	Hours                 Figure
	HourPaid, HourPaidBut Figure // HourPaidBut: without design
	RateOfReturn, Turned  Figure
	SetAside              Figure
	BackYet, FaultsYet    Figure // units that may still come back while accepted, and those of them with a fault
	Stock                 Figure // units made and neither scrapped nor sold
	Calculated            Figure // hour paid with parts and minutes from production.toml
	Apart                 Figure // HourPaid less Calculated, what they share cancelled
	Budget                statistics.Budget
	Basis                 string // the weakest
	Units                 float64
	Cumulative            []Point

	Warnings []page.Note
	Lacks    []page.Lack
	book     *book
	model    *model
}

// A Point is the money that had gathered at the end of a month.
type Point struct {
	At             time.Time // the month's last day
	Mid, Low, High float64
}

const samples, curveSamples = 20000, 2000

// Run makes the accounts. An interrupted ctx is an error.
func Run(ctx context.Context, in Input) (*Result, error) {
	b := &book{in: &in, currency: in.currency(), units: map[saleKey]unitSale{}}
	b.begin()
	if b.currency != "" {
		b.sales()
		b.returns()
		b.spending()
		b.listParts()
	}
	if len(in.Sold) == 0 {
		b.lack("records/sold.csv", "date, count, price", "what came in; one row a year will do")
	}
	b.hours()
	r := &Result{Input: in, Currency: b.currency, book: b, Basis: in.weakest()}
	r.lines()
	r.months()
	r.years()
	if err := r.figures(ctx); err != nil {
		return nil, err
	}
	r.owed()
	r.doubt()
	r.Warnings, r.Lacks = b.warnings, b.lacks
	return r, nil
}

func (in *Input) currency() string {
	if in.Currency != "" {
		return in.Currency
	}
	for _, s := range in.Sold {
		if s.Price != nil {
			return s.Price.Currency
		}
	}
	if in.Price != nil {
		return in.Price.Currency
	}
	for _, s := range in.Spent {
		return s.Amount.Currency
	}
	return ""
}

func (in *Input) weakest() string {
	rank := []string{"", "booked", "counted", "remembered"}
	worst := 0
	see := func(r Row) { worst = max(worst, slices.Index(rank, r.Basis)) }
	for _, s := range in.Sold {
		see(s.Row)
	}
	for _, s := range in.Spent {
		see(s.Row)
	}
	for _, s := range in.Returned {
		see(s.Row)
	}
	for _, s := range in.Hours {
		see(s.Row)
	}
	return rank[worst]
}

// lines adds up each kind exactly.
func (r *Result) lines() {
	at := map[string]int{}
	for _, e := range r.book.entries {
		i, known := at[e.kind]
		if !known {
			i = len(r.Lines)
			at[e.kind] = i
			r.Lines = append(r.Lines, Line{Kind: e.kind, In: e.in})
		}
		l := &r.Lines[i]
		l.Calculated, l.Recorded = l.Calculated || e.calculated, l.Recorded || !e.calculated
		l.Low, l.Best, l.High = l.Low.Plus(e.amounts[0]), l.Best.Plus(e.amounts[1]), l.High.Plus(e.amounts[2])
	}
	slices.SortStableFunc(r.Lines, func(a, b Line) int {
		if a.In != b.In {
			if a.In {
				return -1
			}
			return 1
		}
		return b.Best.Cmp(a.Best)
	})
	r.worked()
}

// worked adds up the time of each kind of work, the most first.
func (r *Result) worked() {
	for _, w := range r.book.works {
		i := slices.IndexFunc(r.Worked, func(o Worked) bool { return o.Group == w.group })
		if i < 0 {
			i = len(r.Worked)
			r.Worked = append(r.Worked, Worked{Group: w.group})
		}
		o := &r.Worked[i]
		o.Low, o.Best, o.High = o.Low+w.ends[0], o.Best+w.ends[1], o.High+w.ends[2]
		o.Calculated, o.Recorded = o.Calculated || w.calculated, o.Recorded || !w.calculated
	}
	slices.SortStableFunc(r.Worked, func(a, b Worked) int { return cmp.Compare(b.Best, a.Best) })
}

// span makes the months from the first to the last day that a row names.
func (r *Result) span() {
	var first, last time.Time
	see := func(row Row) {
		if row.Date.IsZero() {
			return
		}
		if first.IsZero() || row.Date.Before(first) {
			first = row.Date
		}
		if row.last().After(last) {
			last = row.last()
		}
	}
	for _, e := range r.book.entries {
		see(e.row)
	}
	for _, w := range r.book.works {
		see(w.row)
	}
	for m := monthOf(first); !first.IsZero() && !m.After(last); m = m.AddDate(0, 1, 0) {
		r.Months = append(r.Months, Month{First: m})
	}
}

// months spreads every row over its months by days, the parts adding up exactly [A6].
func (r *Result) months() {
	if r.span(); len(r.Months) == 0 {
		return
	}
	for _, e := range r.book.entries {
		from, days := r.days(e.row)
		parts := []money.Amount{e.amounts[1]}
		if len(days) > 1 {
			parts = parts[0].Spread(days)
		}
		for k, part := range parts {
			m := &r.Months[from+k]
			if e.in {
				m.In, m.Moved = m.In.Plus(part), true
			} else {
				m.Out = m.Out.Plus(part)
			}
		}
	}
	for _, s := range r.Input.Sold {
		if from, days := r.days(s.Row); from >= 0 && from+len(days) <= len(r.Months) {
			for k, d := range days {
				r.Months[from+k].Sold += number(s.Count) * float64(d) / float64(total(days))
			}
		}
	}
	for _, w := range r.book.works {
		from, days := r.days(w.row)
		for k, d := range days {
			part := w.ends[1] * float64(d) / float64(total(days))
			r.Months[from+k].Hours += part
			if w.group == "design" {
				r.Months[from+k].Design += part
			}
		}
	}
}

func monthOf(t time.Time) time.Time { return time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC) }

// days is a row's first month and how many of its days fall into each month from there on.
func (r *Result) days(row Row) (from int, days []int) {
	if row.Date.IsZero() {
		return 0, []int{1}
	}
	start := r.Months[0].First
	from = (row.Date.Year()-start.Year())*12 + int(row.Date.Month()) - int(start.Month())
	for at := row.Date; !at.After(row.last()); {
		next := monthOf(at).AddDate(0, 1, 0)
		end := next.AddDate(0, 0, -1)
		if end.After(row.last()) {
			end = row.last()
		}
		days = append(days, int(math.Round(end.Sub(at).Hours()/24))+1)
		at = next
	}
	return from, days
}

func total(n []int) (sum int) {
	for _, v := range n {
		sum += v
	}
	return sum
}
