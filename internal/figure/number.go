package figure

import (
	"math"
	"strconv"
	"strings"
)

// number writes v with a fixed number of decimals, thousands apart from 10,000 on, and never -0.
// From 10¹² on, and below 10⁻⁹, it writes four digits and an exponent of ten. v must be finite.
func number(v float64, decimals int) string {
	if a := math.Abs(v); a >= 1e12 || a > 0 && a < 1e-9 {
		digits, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', 3, 64), "e")
		power, _ := strconv.Atoi(exponent)
		return strings.TrimSuffix(strings.TrimRight(digits, "0"), ".") + "e" + strconv.Itoa(power)
	}
	s := strconv.FormatFloat(v, 'f', min(max(decimals, 0), 12), 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return group(s)
}

// short writes v with the decimals it needs, at most nine digits: 0.2, not 0.200 nor 0.20000000000000001.
func short(v float64) string { return significant(v, 9) }

func significant(v float64, digits int) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	_, fraction, _ := strings.Cut(strconv.FormatFloat(rounded, 'f', -1, 64), ".")
	return number(rounded, len(fraction))
}

// signed writes v as short does, with a plus where it is above 0.
func signed(v float64) string {
	if v > 0 {
		return "+" + short(v)
	}
	return short(v)
}

// group puts commas into the whole part of a plain decimal number of five digits or more.
func group(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	whole, rest, point := strings.Cut(s, ".")
	if len(whole) >= 5 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "," + whole[i:]
		}
	}
	if point {
		rest = "." + rest
	}
	return sign + whole + rest
}

// withUnit joins a number and its unit.
func withUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// minus turns each hyphen that begins a number into a minus sign, for drawings.
func minus(s string) string {
	r := []rune(s)
	for i, c := range r {
		digit := i+1 < len(r) && r[i+1] >= '0' && r[i+1] <= '9'
		begins := i == 0 || strings.ContainsRune(" (±.,;", r[i-1])
		if c == '-' && digit && begins {
			r[i] = '−'
		}
	}
	return string(r)
}

// step returns the largest of 1, 2 and 5 times a power of ten that is at most v, as a factor and an exponent. v > 0.
func step(v float64) (factor, exponent int) {
	exponent = int(math.Floor(math.Log10(v)))
	f := v * math.Pow10(-exponent)
	const near = 1 - 1e-9 // forgives the rounding of what v was computed from
	switch {
	case f >= 10*near:
		return 1, exponent + 1
	case f >= 5*near:
		return 5, exponent
	case f >= 2*near:
		return 2, exponent
	}
	return 1, exponent
}

// multiple returns k·factor·10^exponent, correctly rounded for the exponents that occur, so that no error adds up along an axis.
func multiple(k float64, factor, exponent int) float64 {
	if exponent < 0 {
		return k*float64(factor)/math.Pow10(-exponent) + 0
	}
	return k*float64(factor)*math.Pow10(exponent) + 0
}
