package starter

import (
	"strings"
	"time"
)

// day is how dates stand in the files.
const day = "2006-01-02"

const wantDate = "want a year, a month or a day such as 2021, 2021-05 or 2021-05-31"

// today returns the current day on the maker's calendar, as a date without a zone.
func today() time.Time {
	y, m, d := time.Now().Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// period reads when the product was sold. A year or month stands for all of it, cut at today;
// "2021..2023" as its beginning stands for both ends, unless the end is given too. Without an
// end it is still being sold.
func (r *reader) period(g *given, a Answers, today time.Time) {
	from := r.days("sold-from", a.SoldFrom, today)
	until := r.days("sold-until", a.SoldUntil, today)
	g.from, g.until, g.today = from.first, until.last, today
	if from.ranged && g.until.IsZero() {
		g.until = from.last
	}
	if !g.from.IsZero() && strings.TrimSpace(a.SoldUntil) == "" && g.until.IsZero() || g.until.After(today) {
		g.until, g.untilNow = today, true
	}
	switch {
	case g.from.After(today):
		r.refuse("sold-from", a.SoldFrom, "lies ahead; want the day of the first sale, at the latest today")
	case !g.from.IsZero() && !g.until.IsZero() && g.until.Before(g.from):
		r.refuse("sold-until", a.SoldUntil, "lies before the first sale, "+g.from.Format(day)+"; want a later day")
	}
}

// span is the first and the last day of what was typed.
type span struct {
	first, last time.Time
	ranged      bool
}

func (r *reader) days(flag, answer string, today time.Time) span {
	text := trimAbout(answer)
	if strings.TrimSpace(answer) == "" {
		return span{}
	}
	begin, end, ranged := strings.Cut(text, "..")
	if !ranged {
		end = begin
	}
	first, _, ok := calendar(begin, today)
	_, last, ok2 := calendar(end, today)
	switch {
	case !ok || !ok2:
		r.refuse(flag, answer, "not a date; "+wantDate)
	case last.Before(first):
		r.refuse(flag, answer, "ends before it begins; "+wantDate)
	default:
		return span{first, last, ranged}
	}
	return span{}
}

// calendar returns the first and last day of a year, a month, a day, or "today".
func calendar(text string, today time.Time) (first, last time.Time, ok bool) {
	text = strings.TrimSpace(text)
	if lower := strings.ToLower(text); lower == "today" || lower == "now" {
		return today, today, true
	}
	for _, form := range []struct {
		layout              string
		years, months, days int
	}{{"2006", 1, 0, 0}, {"2006-01", 0, 1, 0}, {day, 0, 0, 1}} {
		first, err := time.Parse(form.layout, text)
		if err == nil && first.Year() >= earliest {
			return first, first.AddDate(form.years, form.months, form.days-1), true
		}
	}
	return time.Time{}, time.Time{}, false
}

// earliest is the first year that a sale is believed in: no solar charge controller was sold before.
const earliest = 1950
