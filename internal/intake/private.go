package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// privateWords are words of headers that stand over what is personal. The list is ours: common practice, no source.
var privateWords = map[string]bool{}

func init() {
	for _, w := range strings.Fields(`customer customers client clients buyer buyers purchaser recipient recipients consignee firstname lastname surname forename fullname
		username user nickname person contact address addresses addr street road city town village zip zipcode postcode postal plz
		email mail phone telephone tel mobile cell fax iban bic birthday birthdate message messages feedback review ip company organisation organization
		employee worker attention attn salutation vat taxid`) {
		privateWords[w] = true
	}
}

// thingWords before "name" make it the name of a thing.
var thingWords = strings.Fields("product item part file channel sheet step kind batch article component model shop store unit")

// privateHeader reports whether a header looks as if names, addresses or messages stood below it.
func privateHeader(header, kind string) bool {
	list := parted(header)
	for i, w := range list {
		switch {
		case w == "name" || w == "names":
			if (kind != "bom" || i > 0) && (i == 0 || !slices.Contains(thingWords, list[i-1])) {
				return true
			}
		case w == "state" && len(list) == 1, w == "mail" && slices.Contains(list, "e"):
			return true
		case privateWords[w]:
			return true
		}
	}
	return (strings.HasPrefix(folded(header), "shipto") || strings.HasPrefix(folded(header), "billto")) && header != ""
}

// Texts that look personal: mail addresses, telephone numbers, the postcode with its place, streets, letters.
var (
	mailText   = regexp.MustCompile(`[\pL\d._%+-]+@[\pL\d-]+(\.[\pL\d-]+)+`)
	phoneText  = regexp.MustCompile(`(^|[^\d\w.,-])(\+|00|\(0|0)[\d][\d ()/.-]{6,}\d($|[^\d\w])`)
	placeText  = regexp.MustCompile(`\b\d{5}(-\d{4})? \p{Lu}\p{Ll}+|\b[A-Z]{1,2}\d[A-Z\d]? \d[A-Z]{2}\b|, [A-Z]{2} \d{5}\b|\b\d{4} [A-Z]{2} \p{Lu}\p{Ll}+`)
	streetText = regexp.MustCompile(`(?i)\b\d+[a-z]? [\pL ]+ (street|st\.|road|rd\.|avenue|ave\.|lane|drive)\b|\b\pL*(stra(ß|ss)e|str\.|weg|gasse|platz) \d+|\brue [\pL ]+\d*`)
	letterText = regexp.MustCompile(`(?i)^(dear|hello|hi|hey)\b[ ,!]|\b(kind|best|warm) regards\b|\byours (sincerely|faithfully)\b|\bthank you\b|\b(mr|mrs|ms|dr)\.? \p{Lu}`)
)

const longText = 160 // characters; what is longer was written to somebody

// personal says what a text looks like, "" if it is harmless. A number of a spreadsheet is.
func personal(text string, numbered bool) string {
	if len(text) < 5 {
		return ""
	}
	switch {
	case strings.Contains(text, "@") && mailText.MatchString(text):
		return "a mail address"
	case !numbered && digitsIn(text) >= 7 && phoneText.MatchString(text) && !dateLike(text):
		return "a telephone number"
	case numbered:
		return ""
	case len(text) > longText && len([]rune(text)) > longText:
		return "a message"
	case mayMatch(text, letterHints) && letterText.MatchString(text):
		return "a message"
	case digitsIn(text) > 0 && (digitsIn(text) > 1 && capital(text) && placeText.MatchString(text) || mayMatch(text, streetHints) && streetText.MatchString(text)):
		return "an address"
	}
	return ""
}

// One of these stands in whatever letterText, and streetText, match: they are looked for first, which is far faster.
var (
	letterHints = strings.Fields("dear hello hi hey regards yours thank mr ms dr")
	streetHints = strings.Fields("street st. road rd. ave lane drive stra str. weg gasse platz rue")
)

func mayMatch(text string, hints []string) bool {
	text = strings.ToLower(text)
	return slices.ContainsFunc(hints, func(h string) bool { return strings.Contains(text, h) })
}

// capital reports whether a text may have a capital letter.
func capital(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] >= 'A' && text[i] <= 'Z' || text[i] >= utf8.RuneSelf {
			return true
		}
	}
	return false
}

func digitsIn(text string) (n int) {
	for i := 0; i < len(text); i++ {
		if text[i] >= '0' && text[i] <= '9' {
			n++
		}
	}
	return n
}

func dateLike(text string) bool {
	_, err := readDay(text, false)
	return err == nil
}

// suspicion is a column that may be personal, and why.
type suspicion struct {
	header string
	why    string
}

// suspect looks at the header and the cells of every column that is not dropped. Columns whose cells must be days, numbers or words of a
// list cannot hold what is personal, or they will not be taken.
func suspect(s *sheet, columns []column, rows []row, kind string) (found []suspicion) {
	for _, c := range columns {
		if c.drop {
			continue
		}
		name := c.called()
		if !c.sure && privateHeader(c.header, kind) {
			found = append(found, suspicion{name, "its header looks like names, addresses or messages"})
			continue
		}
		if c.to != nil && c.to.is != aText && c.to.is != aName {
			continue
		}
		numbered := c.to != nil && (c.to.name == "serial" || c.to.name == "batch")
		for _, r := range rows {
			one := r.cell(c.index)
			why := ""
			if !one.number {
				why = personal(one.text, numbered)
			}
			if why != "" && (!c.sure || why == "a mail address") {
				found = append(found, suspicion{name, fmt.Sprintf("%s looks like %s", s.place(r, c.index), why)})
				break
			}
		}
	}
	return found
}

// refusal is the error for columns that look personal, with the options that drop them.
func refusal(s *sheet, found []suspicion) error {
	lines := []string{fmt.Sprintf("%s: %s may hold what is personal, which is never taken:", s.called(), plural(len(found), "column"))}
	options := ""
	for _, f := range found {
		lines = append(lines, fmt.Sprintf("  %q: %s", f.header, f.why))
		options += fmt.Sprintf(" --without %q", f.header)
	}
	lines = append(lines, agree(len(found), "drop it with", "drop them with")+options, "if you looked through a column and it is harmless, --harmless and its header keep it")
	return fmt.Errorf("%s", strings.Join(lines, "\n"))
}
