package intake

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/product"
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
				why = product.Personal(one.text, numbered)
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

func digitsIn(text string) (n int) {
	for i := 0; i < len(text); i++ {
		if text[i] >= '0' && text[i] <= '9' {
			n++
		}
	}
	return n
}
