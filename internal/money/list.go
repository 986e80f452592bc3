package money

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"hindwatt/internal/quantity"
)

// MaxItems is how many values a list may have: fifty years of months.
const MaxItems = 600

// maxDigits is how many digits float64 keeps of any decimal number.
const maxDigits = 15

// maxFrom is the largest quantity of a price break.
const maxFrom = 1_000_000_000

// ParseAmounts reads sums of money separated by commas: "3 EUR, 2.50 EUR", or plain
// numbers: "-100, 39, 59". All are in one currency, or all are without. The error is a
// *quantity.Error whose column counts in s.
func ParseAmounts(s string) ([]Amount, error) {
	currency := sameCurrency()
	return list(s, func(item string) (Amount, error) {
		a, err := parseAmount(item)
		if err != nil {
			return Amount{}, err
		}
		return a, currency(a, item)
	})
}

// ParseShares reads numbers from 0 to 1 separated by commas: "0.95, 98 %"; see ParseAmounts.
func ParseShares(s string) ([]float64, error) {
	return list(s, func(item string) (float64, error) {
		const want = "want a number from 0 to 1 such as 0.95 or 95 %"
		q, err := quantity.ParseAs(item, quantity.Ratio)
		switch {
		case err != nil:
			return 0, because(err, want)
		case q.Spread != quantity.Exact || q.Drift != 0:
			return 0, fault(item, "takes no tolerance", want)
		case !(q.Value >= 0 && q.Value <= 1):
			return 0, fault(item, "not a possible share", want)
		}
		return q.Value, nil
	})
}

// A Break is a price that holds from a quantity on.
type Break struct {
	From  int    // pieces, at least 1
	Price Amount // of one piece, not negative
}

// ParseBreaks reads a price list, "1:0.52, 10:0.41, 100:0.23" or "1: 0.52 EUR, 10: 0.41 EUR", the
// quantities ascending; see ParseAmounts.
func ParseBreaks(s string) ([]Break, error) {
	currency, last := sameCurrency(), 0
	return list(s, func(item string) (Break, error) {
		left, right, found := strings.Cut(item, ":")
		if !found {
			return Break{}, fault(item, "no : between quantity and price", "want a break such as 10:0.41")
		}
		from, err := strconv.Atoi(strings.TrimSpace(left))
		switch {
		case err != nil || from < 1 || from > maxFrom:
			return Break{}, fault(strings.TrimSpace(left), "not a possible quantity", fmt.Sprint("want a whole number from 1 to ", maxFrom))
		case from <= last:
			return Break{}, fault(strings.TrimSpace(left), "not above the quantity before it", "want ascending quantities")
		}
		last = from
		price, err := parseAmount(strings.TrimSpace(right))
		if err == nil && price.Sign() < 0 {
			err = fault(right, "a negative price", "want 0 or more")
		}
		if err == nil {
			err = currency(price, right)
		}
		if err != nil {
			before := strings.TrimSuffix(item, strings.TrimLeft(right, " \t"))
			return Break{}, moved(err, utf8.RuneCountInString(before))
		}
		return Break{from, price}, nil
	})
}

// parseAmount reads a sum of money or a plain number, without tolerance.
func parseAmount(s string) (Amount, error) {
	const want = "want a sum of money such as 34 EUR, or a plain number"
	q, err := quantity.ParseAs(s, quantity.Ratio)
	if err != nil {
		q, err = quantity.ParseAs(s, quantity.Money)
	}
	switch {
	case err != nil:
		return Amount{}, because(err, want)
	case q.Dim == quantity.Ratio && q.Unit != "":
		return Amount{}, fault(s, "not a sum of money", want)
	case q.Spread != quantity.Exact || q.Drift != 0:
		return Amount{}, fault(s, "takes no tolerance", want)
	case digits(q.Value) > maxDigits:
		return Amount{}, fault(s, "too many digits", fmt.Sprintf("want at most %d", maxDigits))
	}
	return New(q.Value, q.Currency)
}

// digits counts the fewest digits that v is read back from.
func digits(v float64) int {
	mantissa, _, _ := strings.Cut(strconv.FormatFloat(math.Abs(v), 'e', -1, 64), "e")
	return len(strings.Replace(mantissa, ".", "", 1))
}

// sameCurrency returns a function that refuses an amount in another currency than the first.
func sameCurrency() func(a Amount, text string) error {
	first, seen := "", false
	return func(a Amount, text string) error {
		if !seen {
			first, seen = a.currency, true
		}
		switch {
		case a.currency == first:
			return nil
		case first == "":
			return fault(text, "a currency, after a plain number", "want a currency in all or in none")
		case a.currency == "":
			return fault(text, "no currency, after "+first, "want "+first+" in each")
		}
		return fault(text, "a second currency beside "+first, "want one currency")
	}
}

// list reads items separated by commas; an error is moved to the column that it has in s.
func list[T any](s string, read func(item string) (T, error)) ([]T, error) {
	var values []T
	column := 0 // characters before the item
	for item := range strings.SplitSeq(s, ",") {
		text := strings.TrimSpace(item)
		lead := utf8.RuneCountInString(item) - utf8.RuneCountInString(strings.TrimLeft(item, " \t\r\n"))
		if text == "" {
			return nil, &quantity.Error{Column: column + 1, Width: 1, Problem: "an empty place in the list", Want: "want values with a comma between them"}
		}
		if len(values) == MaxItems {
			return nil, moved(fault(text, "too many values", fmt.Sprint("want at most ", MaxItems)), column+lead)
		}
		value, err := read(text)
		if err != nil {
			return nil, moved(err, column+lead)
		}
		values = append(values, value)
		column += utf8.RuneCountInString(item) + 1
	}
	return values, nil
}

// fault is an error of a whole item.
func fault(item, problem, want string) error {
	return &quantity.Error{Column: 1, Width: max(1, utf8.RuneCountInString(strings.TrimSpace(item))), Problem: problem, Want: want}
}

// because replaces what an error of quantity wants.
func because(err error, want string) error {
	if e, ok := err.(*quantity.Error); ok {
		return &quantity.Error{Column: e.Column, Width: e.Width, Problem: e.Problem, Want: want}
	}
	return err
}

// moved shifts an error to the right by so many characters.
func moved(err error, by int) error {
	if e, ok := err.(*quantity.Error); ok {
		return &quantity.Error{Column: e.Column + by, Width: e.Width, Problem: e.Problem, Want: e.Want}
	}
	return err
}
