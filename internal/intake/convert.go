package intake

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// converter turns cells into what is recorded.
type converter struct {
	plan     *Plan
	folder   *product.Folder
	base     *product.Product
	decimal  sign  // that numbers may be written with
	orders   order // that days may be written in
	short    bool  // a year had two digits
	taken    int   // columns that are taken
	escaped  int   // texts that a spreadsheet would take for a formula
	periods  int   // rows that name a month, a quarter or a year
	computed int   // formulas without a value
	assumed  int   // amounts without a currency
	signs    int   // amounts with a sign that stands for several
	currency string
	readings map[written]reading
}

// row converts one row; what is wrong goes to the plan.
func (c *converter) row(r row) item {
	it := item{row: r, fields: make([]product.Field, 0, c.taken), from: make([]int, 0, c.taken)}
	for i := range c.plan.columns {
		col := &c.plan.columns[i]
		if col.to == nil {
			continue
		}
		one, err := c.found(r, col)
		if one.text == "" && err == nil {
			continue
		}
		before := len(it.fields)
		if err == nil {
			err = c.cell(&it, one, col)
		}
		if err != nil {
			c.plan.fault(&it, i, &product.Error{Key: col.to.name, Value: one.text, Problem: err.Error()})
			it.fields = it.fields[:before]
		}
		for len(it.from) < len(it.fields) {
			it.from = append(it.from, i)
		}
	}
	c.period(&it)
	return it
}

// period takes the end of a period from its name, where no column gives an end.
func (c *converter) period(it *item) {
	if it.until == "" || slices.ContainsFunc(it.fields, func(f product.Field) bool { return f.Column == "until" }) {
		return
	}
	it.fields, it.from = append(it.fields, product.Field{Column: "until", Text: it.until}), append(it.from, -1)
	c.periods++
}

// found returns a cell with its value: computed if need be, and nothing where a merged cell may not be filled.
func (c *converter) found(r row, col *column) (cell, error) {
	one := r.cell(col.index)
	fills := col.to.is == aDay || col.to.is == aName || col.to.is == aText && !slices.Contains([]string{"serial", "note", "name"}, col.to.name)
	switch {
	case one.filled && !fills:
		return cell{}, nil
	case one.fault != "":
		return one, errors.New(one.fault + "; want a value")
	case one.sum:
		c.computed++
		text, err := c.plan.sheet.book.compute(c.plan.sheet.name, col.index, r.number)
		if err != nil {
			return one, err
		}
		one.text = tidy(text)
		if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
			one.text, one.number = plainNumber(v), true
		}
	}
	return one, nil
}

// written is a cell as it is looked up, and reading what became of it: days, prices and names repeat all through a table.
type written struct {
	column int
	text   string
	number bool
	form   *format
}

type reading struct {
	text, until    string
	err            error
	assumed, signs int
}

const mostReadings = 1 << 14

// cell converts one cell into a field of its row.
func (c *converter) cell(it *item, one cell, col *column) error {
	key := written{col.index, one.text, one.number, one.form}
	r, there := c.readings[key]
	if there {
		c.assumed, c.signs = c.assumed+r.assumed, c.signs+r.signs
	} else {
		before := *c
		r.text, r.until, r.err = c.convert(one, col)
		r.assumed, r.signs = c.assumed-before.assumed, c.signs-before.signs
		if col.to.is != aText && len(c.readings) < mostReadings {
			c.readings[key] = r
		}
	}
	if r.until != "" {
		it.until = r.until
	}
	it.fields = append(it.fields, product.Field{Column: col.to.name, Text: r.text})
	return r.err
}

// convert returns the text of a cell as it is recorded; of a period its first day as text, and its last.
func (c *converter) convert(one cell, col *column) (text, until string, err error) {
	name := col.to.name
	switch col.to.is {
	case aDay:
		return c.day(one, name)
	case aCount:
		text, err = c.count(one)
	case aMoney:
		text, err = c.money(one, col.unit)
	case aTime:
		text, err = c.time(one, col.unit)
	case aQuantity, aRatio:
		text, err = c.quantity(one, col.unit)
	case aWord:
		text = wordOf(name, one.text)
	case aName:
		text = c.name(name, one)
	default:
		text = c.safe(textOf(one))
	}
	return text, "", err
}

func (c *converter) day(one cell, name string) (first, last string, err error) {
	var d dayText
	if one.number {
		d, err = serialDay(one, c.plan.sheet.epoch)
	} else {
		d, err = readDay(one.text, true)
	}
	if err != nil {
		return "", "", err
	}
	day, err := d.day(c.orders)
	if err != nil {
		return "", "", err
	}
	c.short = c.short || d.short
	first = day.Format(time.DateOnly)
	switch {
	case d.until.IsZero():
		return first, "", nil
	case name == "until":
		return d.until.Format(time.DateOnly), "", nil
	}
	return first, d.until.Format(time.DateOnly), nil
}

// number reads a number as the file writes them.
func (c *converter) number(one cell, text string) (string, error) {
	if one.number {
		return text, nil
	}
	number, _, err := readNumber(text, c.decimal)
	if err == nil && number == "" {
		err = errors.New("can be read in two ways; say --decimal")
	}
	return number, err
}

func (c *converter) count(one cell) (string, error) {
	text := one.text
	if !plainDigits(text) {
		text = numberIn(text, aCount)
	}
	number, err := c.number(one, text)
	if err == nil {
		return number, nil
	}
	if _, err := quantity.ParseAs(text, quantity.Ratio); err == nil {
		return text, nil // a range
	}
	return "", fmt.Errorf("%w; want a count such as 12, or 10..15", err)
}

func (c *converter) money(one cell, unit string) (string, error) {
	const want = "; want an amount such as 12.50 EUR"
	text, currency, doubtful, err := readMoney(one.text)
	if err != nil {
		if isQuantity(one.text) {
			return one.text, nil
		}
		return "", err
	}
	number, err := c.number(one, text)
	if err != nil {
		if isQuantity(one.text) {
			return one.text, nil // a range of amounts
		}
		return "", fmt.Errorf("%w%s", err, want)
	}
	if currency == "" && !doubtful {
		currency, doubtful = shownCurrency(one, unit)
	}
	switch {
	case doubtful:
		currency = c.plan.Options.Currency
		c.signs++
	case currency == "":
		currency = c.currency
		c.assumed++
	}
	if currency == "" { // settle asked already
		return "", errors.New("has no currency that is known; say which with --currency, such as --currency EUR")
	}
	return atLeastCents(number) + " " + currency, nil
}

// shownCurrency is the currency that a spreadsheet shows with a number, or that the header names; doubtful where it is a sign of several.
func shownCurrency(one cell, unit string) (currency string, doubtful bool) {
	if one.form != nil && one.form.currency != "" {
		unit = one.form.currency
	}
	if unit == "" || !currencyWord(unit) {
		return "", false
	}
	_, currency, doubtful, _ = readMoney("1 " + unit)
	return currency, doubtful
}

// atLeastCents fills 34.5 to 34.50.
func atLeastCents(number string) string {
	if _, fraction, ok := strings.Cut(number, "."); ok && len(fraction) == 1 {
		return number + "0"
	}
	return number
}

func (c *converter) time(one cell, unit string) (string, error) {
	if one.number && one.form != nil && one.form.hours {
		v, err := strconv.ParseFloat(one.text, 64)
		if err != nil {
			return "", errors.New("is no time")
		}
		return strconv.FormatFloat(math.Round(v*1440*60)/60, 'g', 9, 64) + " min", nil // 18.17.4.1: a time is a part of a day
	}
	if text, ok := readTime(one.text); ok {
		return text, nil
	}
	if !slices.Contains([]string{"min", "h", "d", "s"}, unit) {
		unit = ""
	}
	text, err := c.quantity(one, unit)
	if err == nil && unit == "" && !strings.ContainsAny(text, " .") && strings.Trim(text, "0123456789") == "" {
		err = errors.New("has no unit")
	}
	if err == nil {
		_, err = quantity.ParseAs(text, quantity.Time)
	}
	if err != nil {
		return "", errors.New("is no time with its unit; want 35 min, 1:30 or 1.5 h, or the unit in the header")
	}
	return text, nil
}

func (c *converter) quantity(one cell, unit string) (string, error) {
	if one.number && one.form != nil && one.form.percent {
		v, _ := strconv.ParseFloat(one.text, 64)
		return plainNumber(v*100) + " %", nil
	}
	m := quantityText.FindStringSubmatch(one.text)
	if m == nil {
		if isQuantity(one.text) {
			return one.text, nil
		}
		return "", errors.New("is no quantity; want one such as 27.34 V")
	}
	number, err := c.number(one, m[1])
	if err != nil {
		if isQuantity(one.text) {
			return one.text, nil
		}
		return "", err
	}
	own := strings.TrimSpace(m[2])
	if u := timeWords[folded(own)]; u != "" {
		own = u
	}
	if own == "" {
		own = unit
	}
	return strings.TrimSpace(number + " " + own), nil
}
