package accounts

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// How long before its day a unit may have been worked at, or its parts bought, and how long after it that may be written down
// (common practice, no source).
const (
	workedBefore = 90 * 24 * time.Hour
	soldAfter    = 365 * 24 * time.Hour // from making to selling, where only sales tell of a unit
	boughtBefore = 365 * 24 * time.Hour
	writtenAfter = 30 * 24 * time.Hour
)

// fillUp enters the time of the steps for the units that no hours of making are recorded for.
func (b *book) fillUp() {
	part, missing, all := b.untimed()
	if missing < 0.05*all {
		return
	}
	said := fmt.Sprintf("hours of making are recorded for %.0f of %.0f units", all-missing, all)
	if b.byStep(part) {
		b.warn(said+": the minutes of the steps are taken for the others", "write down the hours of the others, or about what they took", "records/hours.csv")
		return
	}
	b.warn(said+", and the steps do not tell of the others: the hour's pay is too high", "write minutes into every [step.NAME], or the hours into hours.csv", "records/hours.csv")
}

// untimed is the part of each row's units without hours of making, and how many that are, of all: by the counts where every row of
// making has one, else by the days.
func (b *book) untimed() (part func(Row) float64, missing, all float64) {
	b.eachUnit(func(_ Row, count [3]float64, _ form) { all += count[1] })
	if timed, ok := b.timed(); ok {
		share := max(0, 1-timed/max(all, 1))
		return func(Row) float64 { return share }, share * all, all
	}
	before := workedBefore
	if len(b.in.Made) == 0 {
		before += soldAfter
	}
	var worked []Row
	for _, h := range b.in.Hours {
		if slices.Contains(making, h.Group) {
			worked = append(worked, h.Row)
		}
	}
	part = uncovered(worked, before)
	b.eachUnit(func(row Row, count [3]float64, _ form) { missing += part(row) * count[1] })
	return part, missing, all
}

// timed is how many units the counts of the hours of making stand for: those of the kind, and of the step, that have the most.
func (b *book) timed() (n float64, ok bool) {
	whole, atStep := map[string]float64{}, map[string]float64{}
	for _, h := range b.in.Hours {
		switch {
		case !slices.Contains(making, h.Group):
		case h.Count == nil:
			return 0, false
		case h.Step == "":
			whole[h.Group] += h.Count.Value
		default:
			atStep[h.Step] += h.Count.Value
		}
	}
	return most(whole) + most(atStep), true
}

func most(of map[string]float64) (n float64) {
	for _, v := range of {
		n = max(n, v)
	}
	return n
}

// uncovered tells the part of a row's days, month by month, that none of the others lies around or before.
func uncovered(others []Row, before time.Duration) func(Row) float64 {
	bare := func(from, until time.Time) bool {
		return !slices.ContainsFunc(others, func(o Row) bool {
			return !o.Date.After(until.Add(writtenAfter)) && !o.last().Before(from.Add(-before))
		})
	}
	seen := map[[2]time.Time]float64{}
	return func(row Row) float64 {
		key := [2]time.Time{row.Date, row.last()}
		part, known := seen[key]
		if known {
			return part
		}
		days, missing := 0.0, 0.0
		for at := row.Date; !at.After(row.last()); {
			next := monthOf(at).AddDate(0, 1, 0)
			if end := row.last().AddDate(0, 0, 1); next.After(end) {
				next = end
			}
			length := next.Sub(at).Hours() / 24
			if days += length; bare(at, next.AddDate(0, 0, -1)) {
				missing += length
			}
			at = next
		}
		seen[key] = missing / max(days, 1)
		return seen[key]
	}
}

// missParts warns of units that were begun when no parts had been bought for long.
func (b *book) missParts() {
	var bought []Row
	for _, s := range b.in.Spent {
		if s.Group == "parts" {
			bought = append(bought, s.Row)
		}
	}
	before := boughtBefore
	if len(b.in.Made) == 0 {
		before += soldAfter
	}
	missing, all, part := 0.0, 0.0, uncovered(bought, before)
	b.eachUnit(func(row Row, count [3]float64, _ form) { missing, all = missing+part(row)*count[1], all+count[1] })
	if len(bought) > 0 && math.Round(missing) > 0 {
		b.warn(fmt.Sprintf("no parts are recorded for the time of %.0f of %.0f units: what theirs cost is not counted", missing, all),
			"write what was paid into spent.csv with kind parts", "records/spent.csv")
	}
}
