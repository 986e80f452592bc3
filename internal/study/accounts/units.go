package accounts

import (
	"fmt"
	"slices"
)

// A begun is units that were begun; sold: only their sale tells of them.
type begun struct {
	Row
	count [3]float64
	form  form
	sold  bool
}

// begin gathers the units that were begun: those of made.csv, and those that were sold beyond what it has by the end of the year of
// their sale.
func (b *book) begin() {
	for _, m := range b.in.Made {
		count, f := b.count(m.Count, "units made")
		b.begun = append(b.begun, begun{m.Row, count, f, false})
	}
	made, sold := b.byDay()
	have, k, all := 0.0, 0, 0.0
	for _, i := range sold {
		s := &b.in.Sold[i]
		for ; k < len(made) && b.in.Made[made[k]].Date.Year() <= s.last().Year(); k++ {
			if !b.in.Made[made[k]].Scrap {
				have += b.begun[made[k]].count[1]
			}
		}
		count, f := b.count(s.Count, "units sold")
		all += count[1]
		if count[1] <= have+1e-9 {
			have -= count[1]
			continue
		}
		if have > 0 {
			for end := range count {
				count[end] = max(0, count[end]-have)
			}
			have, f = 0, b.groups.between(count, "units sold")
		}
		b.unmade += count[1]
		b.begun = append(b.begun, begun{s.Row, count, f, true})
	}
	if len(made) > 0 && b.unmade > 0 {
		b.warn(fmt.Sprintf("%.0f of the %.0f units sold are not in made.csv by the end of the year of their sale: they count as made too", b.unmade, all),
			"write the missing units into made.csv; one row a year will do", "records/made.csv")
	}
}

// byDay are the rows of making by their first, and those of sales by their last day.
func (b *book) byDay() (made, sold []int) {
	for i := range b.in.Made {
		made = append(made, i)
	}
	slices.SortStableFunc(made, func(i, j int) int { return b.in.Made[i].Date.Compare(b.in.Made[j].Date) })
	for i := range b.in.Sold {
		sold = append(sold, i)
	}
	if len(made) > 0 {
		slices.SortStableFunc(sold, func(i, j int) int { return b.in.Sold[i].last().Compare(b.in.Sold[j].last()) })
	}
	return made, sold
}

// number is how many units were begun, at the low end, the best value and the high end.
func (b *book) number() (n [3]float64) {
	for _, u := range b.begun {
		for i, c := range u.count {
			n[i] += c
		}
	}
	return n
}

// tooLittle is the part of what the list of parts, or the steps, would need below which what is recorded cannot be all
// (common practice, no source).
const tooLittle = 0.5
