package intake

import (
	"regexp"
	"strconv"
	"strings"
)

// format is how a spreadsheet shows a number, as far as it says what the number is.
type format struct {
	day      bool   // a date
	hours    bool   // a time: the number counts days
	currency string // a sign or a code; ""
	zeros    int    // a whole number is filled to so many digits: 0007
	percent  bool
}

// quoted are the letters of a format that are shown as they are.
var quoted = regexp.MustCompile(`"([^"]*)"|\\(.)|_.|\*.`)

// bracket is a part such as [$€-407], [h] or [Red].
var bracket = regexp.MustCompile(`\[([^\]]*)\]`)

// formatOf reads a number format: the built-in ones by their number (18.8.30), others by their code (18.8.31).
func formatOf(id, code string) *format {
	if code == "" {
		n, _ := strconv.Atoi(id)
		return &format{
			day: n >= 14 && n <= 17 || n == 22 || n >= 27 && n <= 36 || n >= 50 && n <= 58, hours: n >= 18 && n <= 21 || n >= 45 && n <= 47,
			percent: n == 9 || n == 10,
		}
	}
	f := &format{}
	if code != "0" && strings.Trim(code, "0") == "" {
		f.zeros = len(code)
	}
	literal := ""
	for _, m := range quoted.FindAllStringSubmatch(code, -1) {
		literal += m[1] + m[2] + " "
	}
	bare := quoted.ReplaceAllString(code, "")
	for _, m := range bracket.FindAllStringSubmatch(bare, -1) {
		if sign, ok := strings.CutPrefix(m[1], "$"); ok {
			sign, _, _ = strings.Cut(sign, "-")
			literal += sign + " "
		}
		f.hours = f.hours || strings.Trim(strings.ToLower(m[1]), "h") == "" && m[1] != ""
	}
	bare = strings.ToLower(bracket.ReplaceAllString(bare, ""))
	bare, _, _ = strings.Cut(bare, ";")
	if bare != "general" {
		f.day = strings.ContainsAny(bare, "yd")
		f.hours = f.hours || !f.day && strings.ContainsAny(bare, "hs")
	}
	f.percent = strings.Contains(bare, "%")
	for _, word := range append(strings.Fields(literal), currencySigns(bare)...) {
		if currencyWord(word) {
			f.currency = word
		}
	}
	return f
}

// currencySigns returns the signs that stand bare in a format.
func currencySigns(code string) (signs []string) {
	for _, r := range code {
		if strings.ContainsRune("$€£¥", r) {
			signs = append(signs, string(r))
		}
	}
	return signs
}
