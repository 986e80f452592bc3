package intake

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"hindwatt/internal/quantity"
)

// sign is a set of decimal signs that a number may be written with.
type sign uint8

const (
	point sign = 1 << iota
	comma
	either = point | comma
)

var groupSpace = regexp.MustCompile(`(\d)[ '’](\d{3})\b`)

// digitsText is a number's text: digits with points and commas between them.
var digitsText = regexp.MustCompile(`^([+-]?)(\d[\d.,]*|[.,]\d+)$`)

// readNumber reads "1.234,50", "1,234.5", "12", "1 234,5" as a decimal number with a point.
//
//	with  the decimal sign, or either where it is not known yet
//
// may are the decimal signs with which the text is a number; where both are and the number would not be the same, text is "".
func readNumber(text string, with sign) (number string, may sign, err error) {
	for groupSpace.MatchString(text) {
		text = groupSpace.ReplaceAllString(text, "$1$2")
	}
	text = strings.Replace(text, "−", "-", 1)
	m := digitsText.FindStringSubmatch(text)
	if m == nil {
		return "", 0, errors.New("is no number")
	}
	asPoint, okPoint := undecorated(m[2], ".", ",")
	asComma, okComma := undecorated(m[2], ",", ".")
	if okPoint {
		may |= point
	}
	if okComma {
		may |= comma
	}
	minus := strings.TrimPrefix(m[1], "+")
	switch left := may & with; {
	case may == 0:
		return "", 0, errors.New("is no number: its groups are not of three digits")
	case left == 0:
		return "", may, errors.New("is no number with the decimal sign of the rest")
	case left == point, left == either && asPoint == asComma:
		return minus + asPoint, may, nil
	case left == comma:
		return minus + asComma, may, nil
	}
	return "", may, nil
}

// undecorated takes the group marks out of digits; false if they do not part groups of three, or if the decimal mark stands twice.
func undecorated(digits, decimal, group string) (string, bool) {
	whole, fraction, cut := strings.Cut(digits, decimal)
	if strings.ContainsAny(fraction, ".,") || cut && fraction == "" {
		return "", false
	}
	groups := strings.Split(whole, group)
	for i, g := range groups {
		if len(groups) > 1 && (i == 0 && (len(g) > 3 || g == "" || g[0] == '0') || i > 0 && len(g) != 3) {
			return "", false
		}
	}
	whole = strings.Join(groups, "")
	if whole == "" {
		whole = "0"
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return whole, true
}

// sums are the currencies that a sign stands for; "" where there are several.
var sums = map[string]string{"€": "EUR", "£": "GBP", "US$": "USD", "A$": "AUD", "C$": "CAD", "NZ$": "NZD", "$": "", "¥": ""}

var (
	moneyWord = regexp.MustCompile(`^([A-Z]{0,2}[$€£¥]|[A-Za-z]{3})[ ]*|[ ]*([A-Z]{0,2}[$€£¥]|[A-Za-z]{3})$`)
	moneyDash = regexp.MustCompile(`[.,][-–—]{1,2}$`)
)

// readMoney reads an amount: its number's text and its currency as a code, "" if none stands there, and whether a sign stands for several.
func readMoney(text string) (number, currency string, doubtful bool, err error) {
	negative := false
	text = strings.Replace(text, "−", "-", 1)
	strip := func() {
		text = strings.TrimSpace(text)
		if strings.HasPrefix(text, "(") && strings.HasSuffix(text, ")") {
			negative, text = !negative, strings.TrimSpace(text[1:len(text)-1])
		}
		if strings.HasPrefix(text, "-") && len(text) > 1 {
			negative, text = !negative, strings.TrimSpace(text[1:])
		}
	}
	strip()
	if m := moneyWord.FindStringSubmatchIndex(text); m != nil {
		word := strings.TrimSpace(text[m[0]:m[1]])
		text = text[:m[0]] + text[m[1]:]
		code, known := sums[word]
		if !known {
			code = strings.ToUpper(word)
			if !currencyWord(code) {
				return "", "", false, fmt.Errorf("%q is no currency; want a code of ISO 4217 such as EUR", word)
			}
		}
		currency, doubtful = code, known && code == ""
	}
	strip()
	text = moneyDash.ReplaceAllString(text, "")
	if rest, ok := strings.CutSuffix(text, "-"); ok {
		negative, text = !negative, strings.TrimSpace(rest)
	}
	if negative {
		text = "-" + text
	}
	return text, currency, doubtful, nil
}

// clockText is 1:30 or 1:30:00, hours and minutes.
var clockText = regexp.MustCompile(`^(\d{1,4}):([0-5]\d)(?::([0-5]\d))?$`)

// spanText is 1 h 30 min, 1h30, 2 hours.
var spanText = regexp.MustCompile(`(?i)^(\d+) ?(?:h|hours?|hrs?)\.? ?(\d{1,2})(?: ?(?:m|min|mins|minutes?))?\.?$`)

// quantityText is a number with its unit.
var quantityText = regexp.MustCompile(`^([+\-−]?[\d.,'’ ]*\d)[ ]*([^\d\s.,'’].*)?$`)

// readTime reads a time that is no plain number with a unit, as minutes or seconds; ok is false if it is none.
func readTime(text string) (written string, ok bool) {
	if m := clockText.FindStringSubmatch(text); m != nil {
		minutes := atoi(m[1])*60 + atoi(m[2])
		if s := atoi(m[3]); s > 0 {
			return fmt.Sprintf("%d s", minutes*60+s), true
		}
		return fmt.Sprintf("%d min", minutes), true
	}
	if m := spanText.FindStringSubmatch(text); m != nil && atoi(m[2]) < 60 {
		return fmt.Sprintf("%d min", atoi(m[1])*60+atoi(m[2])), true
	}
	return "", false
}

func atoi(s string) (n int) {
	for _, r := range s {
		n = n*10 + int(r-'0')
	}
	return n
}

// countWords may stand behind a count.
var countWords = regexp.MustCompile(`(?i) ?(pcs?|pieces?|units?|x|×|off|ea|each|nos?|st|stk)\.?$`)

// isQuantity reports whether a text is a quantity of the folder as it stands.
func isQuantity(text string) bool {
	_, err := quantity.Parse(text)
	return err == nil
}
