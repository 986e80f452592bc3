package logfile

import (
	"bytes"
	"fmt"
	"slices"
	"time"

	"hindwatt/internal/quantity"
)

// form is how the stamps of a log are written.
type form int

const (
	byInterval form = iota // no stamps at all
	elapsed                // a number
	clockOnly
	dayAndClock
)

// dim is the dimension of a column.
func (c *Column) dim() quantity.Dimension {
	if c.Role == Value {
		return c.Dim
	}
	return quantity.Time
}

// A clock turns stamps into seconds since the first one.
type clock struct {
	ask     *Ask
	form    form
	unit    unit
	sign    byte
	order   string
	undated bool // all rows have one day, and which one is not known

	began    bool
	day0     int
	seconds0 float64
	days     int     // that a clock without a date has gone round
	seconds  float64 // of the last clock

	text []byte // of the last day that was worked out, and its number
	day  int
}

const halfADay = secondsOfDay / 2

// read returns the seconds since the first row.
//
//	stamp  the cell of time, or of the clock
//	date   the cell of its date, where that has a column of its own
func (c *clock) read(stamp, date []byte) (t float64, ok bool) {
	if c.form == elapsed {
		v, _, size := number(stamp, c.sign)
		if size == 0 || size < len(stamp) {
			return 0, false
		}
		v *= c.unit.scale
		if !c.began {
			c.began, c.seconds0 = true, v
		}
		return v - c.seconds0, true
	}
	day, seconds, ok := c.moment(stamp, date)
	if !ok {
		return 0, false
	}
	if !c.began {
		c.began, c.day0, c.seconds0 = true, day, seconds
	}
	if c.form == clockOnly {
		if seconds < c.seconds-halfADay { // past midnight
			c.days++
		}
		c.seconds = seconds
		day = c.day0 + c.days
	}
	return float64(day-c.day0)*secondsOfDay + (seconds - c.seconds0), true
}

// moment returns the day since 1970 and the seconds of a stamp. The day's text is worked out when it
// changes.
func (c *clock) moment(stamp, date []byte) (day int, seconds float64, ok bool) {
	if date != nil {
		m, ok := readMoment(stamp)
		if !ok || m.hasDay {
			return 0, 0, false
		}
		day, ok = c.dayOf(date)
		return day, m.seconds - m.zone, ok
	}
	if n := len(c.text); n > 0 && len(stamp) > n+1 && bytes.Equal(stamp[:n], c.text) && (stamp[n] == ' ' || stamp[n] == 'T') {
		rest := bytes.TrimLeft(stamp[n+1:], " ")
		seconds, rest, ok = readClock(rest)
		if !ok {
			return 0, 0, false
		}
		if len(rest) > 0 {
			zone, _, isZone := readZone(rest)
			return c.day, seconds - zone, isZone
		}
		return c.day, seconds, true
	}
	m, ok := readMoment(stamp)
	if !ok || m.hasDay != (c.form == dayAndClock) {
		return 0, 0, false
	}
	if m.hasDay {
		if day, ok = m.dayIn(c.order); !ok {
			return 0, 0, false
		}
		if n := bytes.IndexAny(stamp, " T"); n > 0 {
			c.text, c.day = append(c.text[:0], stamp[:n]...), day
			if rest, isDay := new(moment).readDay(c.text); !isDay || len(rest) > 0 {
				c.text = c.text[:0]
			}
		}
	}
	return day, m.seconds - m.zone, true
}

// dayOf works out a day in a cell of its own.
func (c *clock) dayOf(date []byte) (day int, ok bool) {
	if len(c.text) > 0 && bytes.Equal(date, c.text) {
		return c.day, true
	}
	m, ok := readMoment(date)
	if !ok || !m.hasDay {
		return 0, false
	}
	if day, ok = m.dayIn(c.order); ok {
		c.text, c.day = append(c.text[:0], date...), day
	}
	return day, ok
}

// start is the time of the first row; zero if the log does not say.
func (c *clock) start() time.Time {
	switch {
	case c.form == dayAndClock && !c.undated:
		return time.Unix(int64(c.day0)*secondsOfDay, 0).UTC().Add(time.Duration(c.seconds0 * float64(time.Second)))
	case c.form == clockOnly && !c.ask.Day.IsZero():
		return c.ask.Day.Add(time.Duration(c.seconds0 * float64(time.Second)))
	}
	return time.Time{}
}

// clockOf looks at the first row for how stamps are written, and at the ends of the log for the order of
// their days.
func (a *Ask) clockOf(s *shape, text []byte) (*clock, error) {
	c := &clock{ask: a, sign: s.decimal, order: a.Dates}
	timeAt, dateAt := a.stamps(s)
	if timeAt < 0 {
		if !(a.Interval > 0) {
			return nil, a.fault(0, "", "none of its columns is the time", `want a column with is = "time" in the run, or interval = "1 s"`)
		}
		return c, nil
	}
	first := cells(s.first.text, s.separator)
	stamp := []byte(first[timeAt])
	m, isMoment := readMoment(stamp)
	switch {
	case isMoment && (m.hasDay || dateAt >= 0):
		c.form = dayAndClock
		return c, a.order(c, s, text)
	case isMoment:
		c.form = clockOnly
		return c, nil
	}
	c.form = elapsed
	for i, col := range a.Columns {
		if col.Role == Time {
			var fault error
			c.unit, _, fault = a.unitFor(s, i)
			return c, fault
		}
	}
	return c, nil
}

// stamps are the places of time and of its date; -1 where there is none.
func (a *Ask) stamps(s *shape) (timeAt, dateAt int) {
	timeAt, dateAt = -1, -1
	for i, c := range a.Columns {
		switch c.Role {
		case Time:
			timeAt = s.index[i]
		case DayOnly:
			dateAt = s.index[i]
		}
	}
	if timeAt < 0 {
		timeAt, dateAt = dateAt, -1 // a date that has its clock with it
	}
	return timeAt, dateAt
}

// order settles in which order day, month and year stand: the one in which all days at both ends of the
// log can be read; of several, the one that gives the day of the run, or in which time does not fall.
func (a *Ask) order(c *clock, s *shape, text []byte) error {
	if c.order != "" {
		return nil
	}
	days := a.days(s, text)
	if len(days) == 0 || days[0].day[0] > 99 || days[0].named {
		c.order = "ymd"
		return nil
	}
	left := slices.DeleteFunc([]string{"dmy", "mdy", "ymd"}, func(order string) bool {
		return slices.ContainsFunc(days, func(m moment) bool { return !m.reads(order) })
	})
	if len(left) > 1 {
		left = slices.DeleteFunc(left, func(order string) bool { return !a.likely(days, order) })
	}
	alike := !slices.ContainsFunc(days, func(m moment) bool { return m.day != days[0].day })
	switch {
	case len(left) == 1:
		c.order = left[0]
	case len(left) > 1 && alike: // time is known, the day is not
		c.order, c.undated = left[0], true
	default:
		_, dateAt := a.stamps(s)
		if dateAt < 0 {
			dateAt, _ = a.stamps(s)
		}
		return a.fault(s.first.number, cells(s.first.text, s.separator)[dateAt], "day, month and year may stand in more than one order", `want dates = "dmy", "mdy" or "ymd" in the run`)
	}
	return nil
}

// days are those at both ends of the log that can be read in one order at least.
func (a *Ask) days(s *shape, text []byte) (days []moment) {
	timeAt, dateAt := a.stamps(s)
	if dateAt < 0 {
		dateAt = timeAt
	}
	const tail = 1 << 15
	ends, next, _ := lines(text, s.first.at, s.first.number, mostSample)
	if from := max(next, len(text)-tail); from < len(text) {
		more, _, _ := lines(text, from, 0, len(text))
		ends = append(ends, more[min(1, len(more)):]...) // the first may be a part of a line
	}
	for _, l := range ends {
		row := cells(l.text, s.separator)
		if dateAt >= len(row) {
			continue
		}
		m, ok := readMoment([]byte(row[dateAt]))
		if ok && m.hasDay && (m.reads("dmy") || m.reads("mdy") || m.reads("ymd")) {
			days = append(days, m)
		}
	}
	return days
}

// reads reports whether the numbers are a day in an order.
func (m *moment) reads(order string) bool {
	_, ok := m.dayIn(order)
	return ok && (!m.dotted || order == "dmy")
}

// likely reports whether days in an order begin with that of the run, or, where it does not tell, never fall and
// span no more than some months.
func (a *Ask) likely(days []moment, order string) bool {
	const longest = 400
	first, _ := days[0].dayIn(order)
	if !a.Day.IsZero() {
		return int64(first) == a.Day.Unix()/secondsOfDay
	}
	before := first
	for _, m := range days {
		day, _ := m.dayIn(order)
		if day < before || day > first+longest {
			return false
		}
		before = day
	}
	return true
}

// unitFor finds the unit of a wanted column: as the run says, in the heading, in the row of units, or
// behind the number of the first row. In the last case each cell says it for itself.
func (a *Ask) unitFor(s *shape, i int) (u unit, inCells bool, err error) {
	c := a.Columns[i]
	what := fmt.Sprintf("of %s", c.Name)
	wrong := func(line int, text string) error {
		return a.fault(line, text, "is the unit "+what+", which is to be a "+c.dim().Name(), "want a column of that kind, or its unit in the run")
	}
	if c.Unit != "" {
		u, ok, _ := unitOf(c.Unit, c.dim())
		if !ok {
			return u, false, wrong(0, c.Unit)
		}
		return u, false, nil
	}
	if at := s.index[i]; s.heading != nil && at < len(s.heading) {
		_, text, u, ok, another := unitInHeading(s.heading[at], c.dim())
		if ok {
			return u, false, nil
		}
		if another {
			return u, false, wrong(s.first.number, text)
		}
	}
	if at := s.index[i]; s.units != nil && at < len(s.units) {
		if u, ok, another := unitOf(s.units[at], c.dim()); ok {
			return u, false, nil
		} else if another {
			return u, false, wrong(s.first.number, s.units[at])
		}
	}
	for _, l := range s.rows() {
		row := cells(l.text, s.separator)
		if s.index[i] >= len(row) {
			continue
		}
		cell := []byte(row[s.index[i]])
		if _, _, size := number(cell, s.decimal); size > 0 && size < len(cell) {
			if u, ok, _ := unitOf(string(cell[size:]), c.dim()); ok {
				return u, c.Role == Value, nil
			}
		}
	}
	return unit{}, false, a.fault(s.first.number, "", "nothing tells the unit "+what, fmt.Sprintf("want unit = %q, or what it is, in [column.%s] of the run", c.dim().Unit(), c.Name))
}
