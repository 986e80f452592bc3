package intake

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/product/tree"
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
	escaped  int   // texts that a spreadsheet would take for a formula
	periods  int
	assumed  int // amounts without a currency
	currency string
}

// settle finds out from all cells how days and numbers are written, or asks.
func (c *converter) settle(rows []row) error {
	o, s := c.plan.Options, c.plan.sheet
	if c.currency = o.Currency; c.currency == "" {
		c.currency = c.base.Currency.Text
	}
	if o.Dates != "" {
		c.orders = orderNames[o.Dates]
	}
	if o.Decimal != "" {
		c.decimal = map[string]sign{".": point, ",": comma}[o.Decimal]
	}
	day := evidence{s: s, what: "the order of day and month", ask: "say it with --dates dmy, mdy or ymd"}
	number := evidence{s: s, what: "whether a point or a comma is the decimal sign", ask: `say it with --decimal "," or "."`}
	for _, r := range rows {
		for _, col := range c.plan.columns {
			one := r.cell(col.index)
			if col.to == nil || one.text == "" || one.number {
				continue
			}
			switch col.to.is {
			case aDay:
				if d, err := readDay(one.text, true); err == nil && d.may != 0 && o.Dates == "" {
					day.see(r, col.index, uint8(c.orders), uint8(d.may), !d.settled(anyOrder))
					c.orders &= d.may
				}
			case aCount, aMoney, aTime, aQuantity, aRatio:
				text, may := c.digits(one.text, col.to.is)
				if may != 0 && o.Decimal == "" {
					number.see(r, col.index, uint8(c.decimal), uint8(may), text == "")
					c.decimal &= may
				}
			}
		}
	}
	settled := true
	if o.Dates == "" && day.against == "" && day.open != nil {
		d, _ := readDay(day.open.cell(day.column).text, true)
		settled = d.settled(c.orders)
	}
	return errors.Join(day.verdict(settled), number.verdict(c.decimal != either))
}

// evidence is what the cells of a file tell of how it is written.
type evidence struct {
	s         *sheet
	what, ask string
	decided   string // the place of a cell that decided
	against   string // the place of a cell that contradicts it
	open      *row   // a row with a cell that can be read in two ways
	column    int
}

func (e *evidence) see(r row, column int, left, may uint8, open bool) {
	switch {
	case left&may == 0 && e.against == "":
		e.against = e.s.place(r, column)
	case left&may != left:
		e.decided = e.s.place(r, column)
	}
	if open && e.open == nil {
		e.open, e.column = &r, column
	}
}

func (e *evidence) verdict(settled bool) error {
	switch {
	case e.against != "":
		return fmt.Errorf("%s: contradicts %s in %s; %s, and mend the cells that are written otherwise", e.against, e.decided, e.what, e.ask)
	case e.open != nil && !settled:
		return fmt.Errorf("%s: %q can be read in two ways, and no cell of the file tells %s; %s", e.s.place(*e.open, e.column), short(e.open.cell(e.column).text, 40), e.what, e.ask)
	}
	return nil
}

// digits returns the number in a cell and the decimal signs that it may be written with, 0 if it has none.
func (c *converter) digits(text string, is int) (number string, may sign) {
	switch is {
	case aMoney:
		text, _, _, _ = readMoney(text)
	case aCount:
		text = countWords.ReplaceAllString(text, "")
	default:
		m := quantityText.FindStringSubmatch(text)
		if m == nil {
			return "", 0
		}
		text = m[1]
	}
	number, may, err := readNumber(text, either)
	if err != nil {
		return "", 0
	}
	return number, may
}

// row converts one row; what is wrong goes to the plan.
func (c *converter) row(r row) item {
	it := item{row: r}
	for _, col := range c.plan.columns {
		if col.to == nil {
			continue
		}
		one, err := c.found(r, col)
		if one.text == "" && err == nil {
			continue
		}
		var fields []product.Field
		if err == nil {
			fields, err = c.cell(one, col)
		}
		if err != nil {
			c.plan.fault(&it, &product.Error{Key: col.to.name, Value: one.text, Problem: err.Error()})
			continue
		}
		it.fields = append(it.fields, fields...)
	}
	if until := slices.IndexFunc(it.fields, func(f product.Field) bool { return f.Column == "until" }); until >= 0 {
		it.fields = slices.DeleteFunc(it.fields, func(f product.Field) bool { return f.Column == "until by period" })
	}
	for i := range it.fields {
		if it.fields[i].Column == "until by period" {
			it.fields[i].Column = "until"
			c.periods++
		}
	}
	return it
}

// found returns a cell with its value: computed if need be, and nothing where a merged cell may not be filled.
func (c *converter) found(r row, col column) (cell, error) {
	one := r.cell(col.index)
	fills := col.to.is == aDay || col.to.is == aName || col.to.is == aText && !slices.Contains([]string{"serial", "note", "name"}, col.to.name)
	switch {
	case one.filled && !fills:
		return cell{}, nil
	case one.fault != "":
		return one, errors.New(one.fault + "; want a value")
	case one.sum:
		text, err := c.plan.sheet.book.compute(c.plan.sheet.name, letters(col.index)+strconv.Itoa(r.number))
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

func (c *converter) cell(one cell, col column) ([]product.Field, error) {
	name := col.to.name
	text, err := "", error(nil)
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
	return []product.Field{{Column: name, Text: text}}, err
}

func (c *converter) day(one cell, name string) ([]product.Field, error) {
	d, err := dayText{}, error(nil)
	if one.number {
		d, err = serialDay(one, c.plan.sheet.epoch)
	} else {
		d, err = readDay(one.text, true)
	}
	if err != nil {
		return nil, err
	}
	day, err := d.day(c.orders)
	if err != nil {
		return nil, err
	}
	c.short = c.short || d.short
	const iso = "2006-01-02"
	switch {
	case d.until.IsZero():
		return []product.Field{{Column: name, Text: day.Format(iso)}}, nil
	case name == "until":
		return []product.Field{{Column: name, Text: d.until.Format(iso)}}, nil
	}
	return []product.Field{{Column: name, Text: day.Format(iso)}, {Column: "until by period", Text: d.until.Format(iso)}}, nil
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
	number, err := c.number(one, strings.TrimSpace(countWords.ReplaceAllString(one.text, "")))
	if err != nil && isQuantity(one.text) {
		return one.text, nil // a range
	}
	if err != nil {
		return "", fmt.Errorf("%w; want a count such as 12", err)
	}
	return number, nil
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
	for _, said := range []string{formCurrency(one), unit} {
		if currency == "" && !doubtful && said != "" && currencyWord(said) {
			if _, currency, doubtful, err = readMoney("1 " + said); err != nil {
				return "", err
			}
		}
	}
	switch {
	case doubtful && c.plan.Options.Currency == "":
		return "", errors.New("its sign stands for several currencies; say which with --currency, such as --currency USD")
	case currency == "" && c.currency == "":
		return "", errors.New("has no currency; say which with --currency, such as --currency EUR")
	case currency == "":
		currency = c.currency
		c.assumed++
	}
	return atLeastCents(number) + " " + currency, nil
}

func formCurrency(one cell) string {
	if one.form == nil {
		return ""
	}
	return one.form.currency
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

// wordsFor are other words for those of the records: common practice, no source.
var wordsFor = map[string]map[string]string{
	"result": {"passed": "pass", "ok": "pass", "good": "pass", "reworked": "rework", "repaired": "rework", "scrapped": "scrap"},
	"found":  {"faultfound": "fault", "defect": "fault", "nofaultfound": "no fault", "nff": "no fault", "nofault": "no fault"},
	"basis":  {},
}

func wordOf(column, text string) string {
	if word := wordsFor[column][folded(text)]; word != "" {
		return word
	}
	return strings.ToLower(text)
}

// name returns the folder's own spelling of a name, if case, blanks and the like are all that differ.
func (c *converter) name(column string, one cell) string {
	text := textOf(one)
	var known []string
	switch column {
	case "channel":
		known = c.base.Production.Channels.Names()
	case "step":
		known = c.base.Production.Steps.Names()
	case "part":
		known = c.base.Parts.Names()
	case "meter":
		known = c.base.Meters.Names()
	case "revision":
		for _, r := range c.folder.Revisions() {
			known = append(known, r.Name)
		}
	}
	for _, k := range known {
		if folded(k) == folded(text) {
			return k
		}
	}
	return text
}

// textOf returns a cell as it is shown: a number that is filled with zeros keeps them.
func textOf(one cell) string {
	if one.number && one.form != nil && len(one.text) < one.form.zeros && !strings.ContainsAny(one.text, ".-") {
		return strings.Repeat("0", one.form.zeros-len(one.text)) + one.text
	}
	return one.text
}

// safe puts an apostrophe before a text that a spreadsheet would take for a formula when it opens the records.
func (c *converter) safe(text string) string {
	if text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
		c.escaped++
		return "'" + text
	}
	return text
}

// said are the notes on how cells were read.
func (c *converter) said() (notes []noted) {
	if c.short {
		notes = append(notes, noted{"years of two digits are taken for 20yy", "", ""})
	}
	if c.assumed > 0 {
		notes = append(notes, noted{fmt.Sprintf("%s without a currency taken for %s", plural(c.assumed, "amount"), c.currency), "say another with --currency", ""})
	}
	if c.periods > 0 {
		notes = append(notes, noted{plural(c.periods, "row") + " that name a month, a quarter or a year are recorded as a period, date to until", "", ""})
	}
	if c.escaped > 0 {
		notes = append(notes, noted{plural(c.escaped, "text") + " that begin like a formula get an apostrophe before them, so that no spreadsheet computes them", "", ""})
	}
	return notes
}

// signature is what two rows that are equal share: the cells of some columns, quantities by what they mean.
func signature(row []product.Field, columns []string) string {
	var b strings.Builder
	for _, c := range columns {
		for _, f := range row {
			if f.Column == c && f.Text != "" {
				b.WriteString(meaning(f.Text))
			}
		}
		b.WriteByte(0)
	}
	return b.String()
}

func meaning(text string) string {
	if digitsIn(text) == 0 || !strings.ContainsAny(text, " .") {
		return text
	}
	q, err := quantity.Parse(text)
	if err != nil {
		return text
	}
	return fmt.Sprintf("%v %v %v %v %s", q.Low, q.Value, q.High, q.Dim, q.Currency)
}

// slug makes a name of a text.
func slug(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return folded(string(r)) == "" || r == '%' || r == '#' }), "-")
}

// bom writes the rows as tables of production.toml.
func (p *Plan) bom(base *product.Product) error {
	var b strings.Builder
	seen := map[string]bool{}
	for i := range p.items {
		it := &p.items[i]
		get := map[string]string{}
		for _, f := range it.fields {
			if f.Column != "prices" {
				get[f.Column] = f.Text
			}
		}
		name := slug(get["name"])
		wrong := func(key, problem string) { p.fault(it, &product.Error{Key: key, Value: get["name"], Problem: problem}) }
		switch {
		case name == "":
			wrong("name", "is no name; want letters, digits and -")
		case seen[name]:
			wrong("name", "stands twice; want each line once")
		}
		seen[name] = true
		prices := p.prices(it, wrong)
		if it.bad {
			continue
		}
		if get["part"] == "" && base.Parts.Get(name) != nil {
			get["part"] = name
		}
		if line := base.Production.BOM.Get(name); line != nil {
			if it.there = sameLine(line, get, prices); !it.there {
				wrong("name", "is in production.toml already, with other values; want it changed there")
			}
			continue
		}
		fmt.Fprintf(&b, "\n[bom.%s]\n", tree.KeyPart(name))
		for _, key := range []string{"part", "what"} {
			if get[key] != "" {
				fmt.Fprintf(&b, "%s = %s\n", key, tree.Quote(get[key]))
			}
		}
		if get["each"] != "" {
			fmt.Fprintf(&b, "each = %s\n", bare(get["each"]))
		}
		if prices != "" {
			fmt.Fprintf(&b, "prices = %s\n", tree.Quote(prices))
		}
		for _, key := range []string{"minimum_order", "pack"} {
			if get[key] != "" {
				fmt.Fprintf(&b, "%s = %s\n", key, bare(get[key]))
			}
		}
		if get["attrition"] != "" {
			fmt.Fprintf(&b, "attrition = %s\n", bare(get["attrition"]))
		}
	}
	p.text = b.String()
	return nil
}

// bare writes a number as a number, anything else in quotes.
func bare(text string) string {
	if strings.Trim(text, "0123456789.") == "" && tree.IsValue(text) {
		return text
	}
	return tree.Quote(text)
}

// prices joins the prices of a row: one, or one for each number of pieces.
func (p *Plan) prices(it *item, wrong func(key, problem string)) string {
	type at struct {
		from int
		text string
	}
	var all []at
	n := 0
	for _, c := range p.columns {
		if c.to == nil || c.to.name != "prices" || it.row.cell(c.index).text == "" {
			continue
		}
		k := 0
		for _, f := range it.fields {
			if f.Column != "prices" {
				continue
			}
			if k == n {
				all = append(all, at{max(c.from, 1), f.Text})
			}
			k++
		}
		n++
	}
	slices.SortStableFunc(all, func(a, b at) int { return a.from - b.from })
	var parts []string
	for i, a := range all {
		if i > 0 && all[i-1].from == a.from {
			wrong("prices", "two prices for the same number of pieces; want each once")
			return ""
		}
		parts = append(parts, fmt.Sprintf("%d:%s", a.from, a.text))
	}
	return strings.Join(parts, ", ")
}

// sameLine reports whether a line of the folder says what a row says.
func sameLine(line *product.BOMLine, get map[string]string, prices string) bool {
	for key, text := range map[string]string{
		"part": line.Part.Text, "what": line.What.Text, "each": line.Each.Text, "minimum_order": line.MinimumOrder.Leaf.Text,
		"pack": line.Pack.Leaf.Text, "attrition": line.Attrition.Text,
	} {
		if get[key] != "" && meaning(get[key]) != meaning(text) {
			return false
		}
	}
	return prices == "" || prices == line.Prices.Leaf.Text
}
