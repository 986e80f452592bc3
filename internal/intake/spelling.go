package intake

import (
	"fmt"
	"strings"
)

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
	say := func(n int, one, many, remedy string) {
		if n > 0 {
			notes = append(notes, noted{agree(n, one, fmt.Sprintf(many, n)), remedy, ""})
		}
	}
	if c.short {
		notes = append(notes, noted{"years of two digits are taken for 20yy", "", ""})
	}
	say(c.assumed, "1 amount without a currency is taken for "+c.currency, "%d amounts without a currency are taken for "+c.currency, "say another with --currency")
	say(c.signs, "1 sign of several currencies is taken for "+c.plan.Options.Currency, "%d signs of several currencies are taken for "+c.plan.Options.Currency, "")
	say(c.periods, "1 row that names a month, a quarter or a year is recorded as a period, date to until",
		"%d rows that name a month, a quarter or a year are recorded as periods, date to until", "")
	say(c.escaped, "1 text that begins like a formula gets an apostrophe before it, so that no spreadsheet computes it",
		"%d texts that begin like a formula get an apostrophe before them, so that no spreadsheet computes them", "")
	say(c.computed, "1 formula was saved without its value, and was computed here", "%d formulas were saved without their values, and were computed here", agree(c.computed, "compare it with the workbook", "compare them with the workbook"))
	return notes
}
