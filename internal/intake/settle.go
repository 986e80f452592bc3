package intake

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// settle finds out from all cells how days, numbers and money are written, or asks for the options that say it.
func (c *converter) settle(rows []row) error {
	o := c.plan.Options
	if c.currency = o.Currency; c.currency == "" {
		c.currency = c.base.Currency.Text
	}
	if o.Dates != "" {
		c.orders = orderNames[o.Dates]
	}
	if o.Decimal != "" {
		c.decimal = map[string]sign{".": point, ",": comma}[o.Decimal]
	}
	days := evidence{s: c.plan.sheet, what: "the order of day and month", ask: "--dates dmy, mdy or ymd", said: o.Dates != "", left: uint8(c.orders)}
	numbers := evidence{s: c.plan.sheet, what: "whether a point or a comma is the decimal sign", ask: `--decimal "," or "."`, said: o.Decimal != "", left: uint8(c.decimal)}
	var asked []error
	for _, col := range c.plan.columns {
		if col.to == nil {
			continue
		}
		if err := c.unsaid(rows, col); err != nil {
			asked = append(asked, err)
		}
		if col.to.is == aDay {
			days.days(rows, col.index)
		} else if col.to.is >= aCount {
			numbers.numbers(rows, col)
		}
	}
	c.orders, c.decimal = order(days.left), sign(numbers.left)
	return errors.Join(append(asked, days.verdict(), numbers.verdict())...)
}

// unsaid asks for what every cell of a column lacks: the currency of a sign that stands for several, or the unit of a time.
func (c *converter) unsaid(rows []row, col column) error {
	if col.to.is != aMoney && col.to.is != aTime || col.to.is == aTime && col.unit != "" {
		return nil
	}
	for _, r := range rows {
		one := r.cell(col.index)
		if one.text == "" {
			continue
		}
		ask := ""
		if col.to.is == aMoney {
			ask = c.currencyAsked(one, col.unit)
		} else if number, may, err := readNumber(one.text, either); err == nil && may != 0 && number != "0" && (one.form == nil || !one.form.hours) {
			ask = fmt.Sprintf("has no unit; say --unit %s=h or --unit %s=min", col.to.name, col.to.name)
		}
		if ask != "" {
			return fmt.Errorf("%s: %s: %q %s", c.plan.sheet.place(r, col.index), col.to.name, short(one.text, 40), ask)
		}
	}
	return nil
}

func (c *converter) currencyAsked(one cell, unit string) string {
	if c.currency != "" && !strings.ContainsAny(one.text, "$¥") && (one.form == nil || one.form.currency == "") && unit == "" {
		return ""
	}
	text, currency, doubtful, err := readMoney(one.text)
	if err != nil || digitsIn(text) == 0 || c.plan.Options.Currency != "" {
		return ""
	}
	if currency == "" && !doubtful {
		currency, doubtful = shownCurrency(one, unit)
	}
	switch {
	case doubtful:
		return "has a sign that stands for several currencies; say which with --currency, such as --currency USD"
	case currency == "" && c.currency == "":
		return "has no currency; say which with --currency, such as --currency EUR"
	}
	return ""
}

// evidence is what the cells of a file tell of how it is written.
type evidence struct {
	s         *sheet
	what, ask string
	said      bool // by an option: nothing is to be found out
	seen      map[string]bool
	left      uint8  // ways of writing that fit all cells so far
	decided   string // the place of a cell that decided
	against   string // the place of a cell that contradicts it
	open      [8]doubt
}

// doubt is a cell that is not the same in all of the ways of a set.
type doubt struct {
	place, text string
	readings    func(left uint8) string
}

func (e *evidence) see(place func() string, may uint8) {
	switch {
	case e.left&may == 0:
		if e.against == "" {
			e.against = place()
		}
	case e.left&may != e.left:
		e.decided, e.left = place(), e.left&may
	}
}

// again reports whether a text was seen before: it tells nothing more.
func (e *evidence) again(text string) bool {
	if e.seen[text] {
		return true
	}
	if e.seen == nil {
		e.seen = map[string]bool{}
	}
	if len(e.seen) < mostReadings {
		e.seen[text] = true
	}
	return false
}

func (e *evidence) days(rows []row, column int) {
	for i := range rows {
		one := rows[i].cell(column)
		if one.text == "" || one.number || e.said || e.again(one.text) {
			continue
		}
		d, err := readDay(one.text, true)
		if err != nil || d.may == 0 {
			continue
		}
		place := func() string { return e.s.place(rows[i], column) }
		e.see(place, uint8(d.may))
		for _, pair := range []order{dmy | mdy, dmy | ymd, mdy | ymd} {
			if e.open[pair].text == "" && d.may&pair == pair && !d.settled(pair) {
				e.open[pair] = doubt{place(), one.text, d.readings}
			}
		}
	}
}

// readings says what a day is in each of some orders, with the options that say so.
func (d dayText) readings(left uint8) string {
	var all []string
	for _, name := range []string{"dmy", "mdy", "ymd"} {
		if t, ok := d.in(orderNames[name]); ok && order(left)&orderNames[name] != 0 {
			all = append(all, t.Format(time.DateOnly)+" with --dates "+name)
		}
	}
	return strings.Join(all, ", or ")
}

func (e *evidence) numbers(rows []row, col column) {
	for i := range rows {
		one := rows[i].cell(col.index)
		if one.text == "" || one.number || e.said || plainDigits(one.text) || e.again(one.text) {
			continue
		}
		text := numberIn(one.text, col.to.is)
		number, may, err := readNumber(text, either)
		if err != nil || may == 0 {
			continue
		}
		place := func() string { return e.s.place(rows[i], col.index) }
		e.see(place, uint8(may))
		if number == "" && e.open[either].text == "" {
			with, _, _ := readNumber(text, point)
			without, _, _ := readNumber(text, comma)
			e.open[either] = doubt{place(), one.text, func(uint8) string {
				return fmt.Sprintf(`%s with --decimal ".", or %s with --decimal ","`, with, without)
			}}
		}
	}
}

func (e *evidence) verdict() error {
	if e.against != "" {
		return fmt.Errorf("%s: contradicts %s in %s; say %s, and mend the cells that are written otherwise", e.against, e.decided, e.what, e.ask)
	}
	for set, d := range e.open {
		if d.text != "" && e.left&uint8(set) == uint8(set) {
			return fmt.Errorf("%s: %q is %s, and no cell of the file tells which", d.place, short(d.text, 40), d.readings(e.left))
		}
	}
	return nil
}

// numberIn returns what stands for the number in a cell, "" if nothing does.
func numberIn(text string, is int) string {
	switch is {
	case aMoney:
		text, _, _, _ = readMoney(text)
		return text
	case aCount:
		return strings.TrimSpace(countWords.ReplaceAllString(text, ""))
	}
	m := quantityText.FindStringSubmatch(text)
	if m == nil {
		return ""
	}
	return m[1]
}

func plainDigits(text string) bool { return strings.Trim(text, "0123456789") == "" }
