package logfile

import (
	"bytes"
	"strings"
	"time"
)

const secondsOfDay = 86400

// A moment is a stamp as read: the three numbers of its day, and seconds since midnight in UTC or in
// the log's own time.
type moment struct {
	day     [3]int
	named   bool // its month is a word: day[1] is the month, the day stands first
	short   bool // its last number has two digits, to which 2000 was added
	dotted  bool // 31.05.2024, which is written with the day first wherever it is (common practice)
	hasDay  bool
	seconds float64
	zone    float64 // s, that the clock is ahead of UTC
	zoned   bool
}

// readMoment reads "2024-05-31T10:00:00.25Z", "31.05.2024 10:00", "5/31/24 1:00:00 PM", "10:00:00" and
// the like. ok is false if the text is nothing of that kind.
func readMoment(b []byte) (m moment, ok bool) {
	rest := b
	if after, isDay := m.readDay(b); isDay {
		m.hasDay = true
		rest = bytes.TrimLeft(after, " ,T_")
		if len(rest) == 0 {
			return m, true
		}
		if len(after) == len(rest) {
			return m, false
		}
	}
	m.seconds, rest, ok = readClock(rest)
	if !ok {
		return m, false
	}
	if len(rest) > 0 {
		m.zone, m.zoned, ok = readZone(rest)
	}
	return m, ok
}

// digits reads a whole number of at most ten digits.
func digits(b []byte) (n, size int) {
	for size < len(b) && size < 10 && b[size]-'0' <= 9 {
		n = 10*n + int(b[size]-'0')
		size++
	}
	return n, size
}

const months = "janfebmaraprmayjunjulaugsepoctnovdec"

// readDay reads three numbers, the second of which may be a month in letters.
func (m *moment) readDay(b []byte) (rest []byte, ok bool) {
	size := 0
	if m.day[0], size = digits(b); size == 0 || size >= len(b) {
		return
	}
	yearFirst := size == 4
	separator := b[size]
	if separator != '-' && separator != '/' && separator != '.' && separator != ' ' {
		return
	}
	m.dotted = separator == '.'
	b = b[size+1:]
	if m.day[1], size = digits(b); size == 0 {
		if len(b) < 3 {
			return
		}
		at := strings.Index(months, strings.ToLower(string(b[:3])))
		if at < 0 || at%3 != 0 {
			return
		}
		m.day[1], m.named, size = at/3+1, !yearFirst, 3
	} else if separator == ' ' {
		return
	}
	if size >= len(b) || b[size] != separator {
		return
	}
	b = b[size+1:]
	if m.day[2], size = digits(b); size == 0 || yearFirst && size > 2 {
		return
	}
	if m.short = size == 2 && !yearFirst; m.short {
		m.day[2] += 2000
	}
	return b[size:], true
}

// dayIn returns the days since 1970 of the three numbers in an order.
func (m *moment) dayIn(order string) (days int, ok bool) {
	y, month, d := m.day[2], m.day[1], m.day[0]
	switch {
	case m.day[0] > 99:
		y, d = m.day[0], m.day[2]
	case m.named:
	case order == "mdy":
		month, d = m.day[0], m.day[1]
	case order == "ymd" && m.short:
		y, d = 2000+m.day[0], m.day[2]%100
	case order == "ymd":
		return 0, false
	}
	t := time.Date(y, time.Month(month), d, 0, 0, 0, 0, time.UTC)
	return int(t.Unix() / secondsOfDay), y >= 1970 && y < 2200 && month >= 1 && month <= 12 && t.Day() == d
}

// readClock reads "10:00", "10:00:00.5", "1:00:00,5 PM"; more than 24 hours are a time elapsed.
func readClock(b []byte) (seconds float64, rest []byte, ok bool) {
	hours, size := digits(b)
	if size == 0 || size >= len(b) || b[size] != ':' {
		return 0, nil, false
	}
	b = b[size+1:]
	minutes, size := digits(b)
	if size != 2 || minutes > 59 {
		return 0, nil, false
	}
	b = b[size:]
	if len(b) > 2 && b[0] == ':' {
		whole, size := digits(b[1:])
		if size != 2 || whole > 60 {
			return 0, nil, false
		}
		seconds = float64(whole)
		b = b[1+size:]
		if len(b) > 1 && (b[0] == '.' || b[0] == ',' || b[0] == ':') {
			part, size := digits(b[1:])
			if size == 0 {
				return 0, nil, false
			}
			seconds += float64(part) / exact[size]
			b = b[1+size:]
		}
	}
	hours, b, ok = halfDay(hours, bytes.TrimLeft(b, " "))
	return float64(hours*3600+minutes*60) + seconds, b, ok
}

// halfDay reads AM or PM.
func halfDay(hours int, b []byte) (h int, rest []byte, ok bool) {
	if len(b) < 2 || b[1]|0x20 != 'm' || b[0]|0x20 != 'a' && b[0]|0x20 != 'p' {
		return hours, b, true
	}
	if hours < 1 || hours > 12 {
		return 0, nil, false
	}
	hours %= 12
	if b[0]|0x20 == 'p' {
		hours += 12
	}
	return hours, bytes.TrimLeft(b[2:], " "), true
}

// readZone reads Z, UTC, +02:00 or +0200.
func readZone(b []byte) (ahead float64, zoned, ok bool) {
	switch text := string(b); text {
	case "Z", "z", "UTC", "GMT":
		return 0, true, true
	}
	sign := 1.0
	switch b[0] {
	case '-':
		sign = -1
	case '+':
	default:
		return 0, false, false
	}
	hours, size := digits(b[1:])
	rest, minutes := b[1+size:], 0
	switch {
	case size == 4 && len(rest) == 0:
		hours, minutes = hours/100, hours%100
	case size == 2 && len(rest) == 0:
	case size == 2 && len(rest) == 3 && rest[0] == ':':
		if minutes, size = digits(rest[1:]); size != 2 {
			return 0, false, false
		}
	default:
		return 0, false, false
	}
	return sign * float64(hours*3600+minutes*60), true, hours <= 14 && minutes < 60
}
