package accounts

import (
	"fmt"
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

// fillUp enters the time of the steps for the units that no hours of making are recorded for. Where what is recorded is less than half
// of what the steps need for all, a row without a count stands for the units of its own months only, and what is entered may be
// anything from nothing to all that the steps need.
func (b *book) fillUp() {
	n, got := b.number(), b.recordedMaking()
	if n[1] == 0 {
		return
	}
	_, at, ok := b.unitMinutes()
	need := at[1] * n[1]
	short := ok && got[1] < tooLittle*need
	part, missing, counted := b.untimed(short)
	if short && !counted && got[1]+at[1]*missing < tooLittle*need {
		share := 1 - got[1]/need
		part, missing = func(begun) float64 { return share }, share*n[1]
	}
	said := fmt.Sprintf("hours of making are recorded for %.0f of %.0f units", n[1]-missing, n[1])
	remedy := "write down the hours of the others, or about what they took"
	switch {
	case short && missing >= 0.05*n[1]:
		b.filled = true
		b.byStepAtMost([3]float64{0, at[1] * missing, max(at[1]*missing, at[2]*n[2]-got[0])}, part)
		b.warn(fmt.Sprintf("%s, %s in all, and the steps need %s: they are taken for the others, or anything from nothing to all that they need", said, hoursText(got[1]), hoursText(need)),
			remedy+", with a count in every row", "records/hours.csv")
	case short:
		b.warn(fmt.Sprintf("%s of making are recorded for all units, and the steps need %s", hoursText(got[1]), hoursText(need)), "check hours.csv, and the minutes of the steps", "records/hours.csv")
	case missing < 0.05*n[1]:
	case b.byStep(part):
		b.warn(said+": the minutes of the steps are taken for the others", remedy, "records/hours.csv")
	default:
		b.warn(said+", and the steps do not tell of the others: the hour's pay is too high", "write minutes into every [step.NAME], or the hours into hours.csv", "records/hours.csv")
	}
}

// recordedMaking is the time of making that is recorded, s.
func (b *book) recordedMaking() (at [3]float64) {
	for _, w := range b.works {
		if slices.Contains(making, w.group) && w.kind != kindBack && !w.calculated {
			for i, t := range w.ends {
				at[i] += t
			}
		}
	}
	return at
}

// untimed is the part of each row's units without hours of making, and how many that are: by the counts where every row of making has
// one, else by the days; strictly, a row stands for the units of its months only.
func (b *book) untimed(strictly bool) (part func(begun) float64, missing float64, counted bool) {
	all := b.number()[1]
	if timed, ok := b.timed(); ok {
		share := max(0, 1-timed/max(all, 1))
		return func(begun) float64 { return share }, share * all, true
	}
	var worked []Row
	for _, h := range b.in.Hours {
		if slices.Contains(making, h.Group) {
			worked = append(worked, h.Row)
		}
	}
	if part = b.uncovered(worked, workedBefore); strictly {
		within := uncovered(worked, 0, 0)
		part = func(u begun) float64 { return within(u.Row) }
	}
	for _, u := range b.begun {
		missing += part(u) * u.count[1]
	}
	return part, missing, false
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

// uncovered tells the part of a row's units that none of the others lies around or before; longer before where only sales tell of them.
func (b *book) uncovered(others []Row, before time.Duration) func(begun) float64 {
	made, sold := uncovered(others, before, writtenAfter), uncovered(others, before+soldAfter, writtenAfter)
	return func(u begun) float64 {
		if u.sold {
			return sold(u.Row)
		}
		return made(u.Row)
	}
}

// uncovered tells the part of a row's days, month by month, that none of the others lies in the month of, before or after it.
func uncovered(others []Row, before, after time.Duration) func(Row) float64 {
	months := map[time.Time]bool{}
	bare := func(month time.Time) bool {
		is, known := months[month]
		if !known {
			end := month.AddDate(0, 1, -1).Add(after)
			is = !slices.ContainsFunc(others, func(o Row) bool { return !o.Date.After(end) && !o.last().Before(month.Add(-before)) })
			months[month] = is
		}
		return is
	}
	return func(row Row) float64 {
		days, missing := 0.0, 0.0
		for at := row.Date; !at.After(row.last()); {
			month := monthOf(at)
			next := month.AddDate(0, 1, 0)
			if end := row.last().AddDate(0, 0, 1); next.After(end) {
				next = end
			}
			length := next.Sub(at).Hours() / 24
			if days += length; bare(month) {
				missing += length
			}
			at = next
		}
		return missing / max(days, 1)
	}
}
