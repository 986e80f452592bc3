package intake

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// order is a set of orders in which day, month and year may be written.
type order uint8

const (
	dmy order = 1 << iota
	mdy
	ymd
	anyOrder = dmy | mdy | ymd
)

var orderNames = map[string]order{"dmy": dmy, "mdy": mdy, "ymd": ymd}

// dayText is a day as written: three numbers whose order may not be known, or a day or a period that is.
type dayText struct {
	from, until time.Time // where the order does not matter
	numbers     [3]int
	may         order // orders in which the numbers are a day; 0: from is the day
	short       bool  // the year has two digits
}

var (
	isoDay      = regexp.MustCompile(`^(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})\.?$`)
	packedDay   = regexp.MustCompile(`^(19[789]\d|20\d\d)(\d\d)(\d\d)$`)
	threeDay    = regexp.MustCompile(`^(\d{1,2})[-/. ]+(\d{1,2})[-/. ]+(\d{4}|\d{2})\.?$`)
	dayMonth    = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th)?[-/. ]*([A-Za-z]{3,9})[-/., ]*(\d{4}|\d{2})$`)
	monthDay    = regexp.MustCompile(`^([A-Za-z]{3,9})[. ]*(\d{1,2})(?:st|nd|rd|th)?[., ]+(\d{4}|\d{2})$`)
	yearText    = regexp.MustCompile(`^(19[789]\d|20\d\d)$`)
	yearMonth   = regexp.MustCompile(`^(\d{4})[-/](\d{1,2})$`)
	monthYear   = regexp.MustCompile(`^(\d{1,2})[-/](\d{4})$`)
	namedMonth  = regexp.MustCompile(`^([A-Za-z]{3,9})[-/., ]*(\d{4})$`)
	quarterText = regexp.MustCompile(`(?i)^(?:q([1-4])[-/ ]*(\d{4})|(\d{4})[-/ ]*q([1-4]))$`)
	clockTail   = regexp.MustCompile(`(?i)[T, ]+\d{1,2}:\d\d(:\d\d([.,]\d+)?)?( ?[ap]m)?( ?(Z|UTC|GMT|[A-Z]{3,4}|[+-]\d\d:?\d\d))?$`)
	weekday     = regexp.MustCompile(`(?i)^(mon|tues?|wed(nes)?|thu(rs)?|fri|sat(ur)?|sun)(day)?[., ]+`)
)

var errNoDay = errors.New("is no date; want one such as 2024-05-31")

// readDay reads a day, with or without a time behind it, or a period: a year, a quarter, a month. plain leaves the periods out.
func readDay(text string, periods bool) (dayText, error) {
	text = strings.TrimSpace(weekday.ReplaceAllString(clockTail.ReplaceAllString(text, ""), ""))
	if m := isoDay.FindStringSubmatch(text); m != nil {
		return fixed(atoi(m[1]), atoi(m[2]), atoi(m[3]))
	}
	if m := packedDay.FindStringSubmatch(text); m != nil {
		return fixed(atoi(m[1]), atoi(m[2]), atoi(m[3]))
	}
	if m := threeDay.FindStringSubmatch(text); m != nil {
		return open([3]int{atoi(m[1]), atoi(m[2]), atoi(m[3])}, len(m[3]) == 2)
	}
	if m := dayMonth.FindStringSubmatch(text); m != nil {
		return named(m[3], m[2], atoi(m[1]))
	}
	if m := monthDay.FindStringSubmatch(text); m != nil {
		return named(m[3], m[1], atoi(m[2]))
	}
	if periods {
		return readPeriod(text)
	}
	return dayText{}, errNoDay
}

func readPeriod(text string) (dayText, error) {
	year, month, months := 0, 1, 12
	if m := yearText.FindStringSubmatch(text); m != nil {
		year = atoi(m[1])
	} else if m := yearMonth.FindStringSubmatch(text); m != nil {
		year, month, months = atoi(m[1]), atoi(m[2]), 1
	} else if m := monthYear.FindStringSubmatch(text); m != nil {
		year, month, months = atoi(m[2]), atoi(m[1]), 1
	} else if m := quarterText.FindStringSubmatch(text); m != nil {
		year, month, months = atoi(m[2]+m[3]), 3*atoi(m[1]+m[4])-2, 3
	} else if m := namedMonth.FindStringSubmatch(text); m != nil {
		year, month, months = atoi(m[2]), monthOf(m[1]), 1
	}
	first, err := fixed(year, month, 1)
	first.until = first.from.AddDate(0, months, -1)
	return first, err
}

// fixed is the day of a year, a month and a day that are known.
func fixed(year, month, day int) (dayText, error) {
	t, ok := dayOf(year, month, day)
	if !ok {
		return dayText{}, errNoDay
	}
	return dayText{from: t}, nil
}

func dayOf(year, month, day int) (time.Time, bool) {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	return t, year >= 1900 && year < 2200 && month >= 1 && month <= 12 && t.Day() == day && day > 0
}

func named(year, month string, day int) (dayText, error) {
	y := atoi(year)
	if len(year) == 2 {
		y += 2000
	}
	d, err := fixed(y, monthOf(month), day)
	d.short = len(year) == 2
	return d, err
}

// monthOf returns the month of an English name or its beginning, 0 if it is none.
func monthOf(name string) int {
	for m := time.January; m <= time.December; m++ {
		if full := strings.ToLower(m.String()); strings.HasPrefix(full, strings.ToLower(name)) || strings.ToLower(name) == "sept" && m == time.September {
			return int(m)
		}
	}
	return 0
}

func open(numbers [3]int, short bool) (dayText, error) {
	d := dayText{numbers: numbers, short: short}
	for _, o := range []order{dmy, mdy, ymd} {
		if _, ok := d.in(o); ok {
			d.may |= o
		}
	}
	if d.may == 0 {
		return d, errNoDay
	}
	return d, nil
}

// in returns the day in one order. Two digits of a year are 20yy.
func (d dayText) in(o order) (time.Time, bool) {
	n := d.numbers
	year := n[2]
	if d.short {
		year += 2000
	}
	switch o {
	case dmy:
		return dayOf(year, n[1], n[0])
	case mdy:
		return dayOf(year, n[0], n[1])
	}
	if !d.short {
		return time.Time{}, false
	}
	return dayOf(2000+n[0], n[1], n[2])
}

// settled reports whether all of some orders give the same day.
func (d dayText) settled(orders order) bool {
	var first time.Time
	for _, o := range []order{dmy, mdy, ymd} {
		if t, ok := d.in(o); ok && d.may&orders&o != 0 {
			if !first.IsZero() && !t.Equal(first) {
				return false
			}
			first = t
		}
	}
	return true
}

// day returns the day with the orders that are left.
func (d dayText) day(orders order) (time.Time, error) {
	if d.may == 0 {
		return d.from, nil
	}
	for _, o := range []order{dmy, mdy, ymd} {
		if t, ok := d.in(o); ok && orders&o != 0 {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("is no date in the order of the rest; want one such as 2024-05-31")
}

// serialDay reads a spreadsheet's number of a day (ECMA-376, part 1, 18.17.4.1): days since the end of 1899 or the start of 1904. The
// 29 February 1900, which the 1900 system counts and no calendar has, lies before every day that is taken. A whole number from 1970 to
// 2100 that is not shown as a date is a year.
func serialDay(c cell, epoch int) (dayText, error) {
	v, err := strconv.ParseFloat(c.text, 64)
	if err != nil {
		return dayText{}, errNoDay
	}
	if (c.form == nil || !c.form.day) && (yearText.MatchString(c.text) || packedDay.MatchString(c.text)) {
		return readDay(c.text, true)
	}
	zero := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if epoch == 1904 {
		zero = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	if v < 61 || v > 110000 {
		return dayText{}, errNoDay
	}
	return dayText{from: zero.AddDate(0, 0, int(v))}, nil
}
