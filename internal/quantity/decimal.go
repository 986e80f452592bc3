package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// number is a decimal number as it stands in a text.
type number struct {
	value    exact
	digits   int // significant digits, zeros at the end not counted
	decimals int // power of ten of the last of them, negated
}

// Limits of a number's text. 10^±maxExponent is beyond every float64 in every unit.
const (
	maxExponent   = 400
	maxWordDigits = 18 // as many always fit an int64
	plainDigits   = 15 // numbers of up to so many digits are told apart by float64
)

// scanNumber reads [+-]digits[.digits][e[+-]digits] from the start of s. size is 0
// if there is none; outsized is true if the exponent is beyond maxExponent.
func scanNumber(s string) (x number, size int, outsized bool) {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	first := i
	var word int64
	used, zeros, decimals := 0, 0, 0 // used: digits from the first that is not 0
	point := false
	for ; i < len(s); i++ {
		c := s[i]
		if c == '.' && !point && i > first && i+1 < len(s) && isDigit(s[i+1]) {
			point = true
			continue
		}
		if !isDigit(c) {
			break
		}
		if point {
			decimals++
		}
		if used > 0 || c != '0' {
			used++
		}
		if c == '0' {
			zeros++
		} else {
			zeros = 0
		}
		if used <= maxWordDigits {
			word = 10*word + int64(c-'0')
		}
	}
	if i == first {
		return number{}, 0, false
	}
	mantissa := s[:i]
	exponent, i := scanExponent(s, i)
	if exponent > maxExponent || exponent < -maxExponent {
		return number{}, i, true
	}
	if used == 0 {
		return number{value: exact{n: 0, d: 1}}, i, false
	}
	x = number{digits: used - zeros, decimals: decimals - exponent - zeros}
	if used > maxWordDigits {
		x.value = exact{r: ratio(strings.TrimPrefix(mantissa, "+"))}.mul(powerOfTen(exponent))
		return x, i, false
	}
	for range zeros {
		word /= 10
	}
	if s[0] == '-' {
		word = -word
	}
	x.value = exact{n: word, d: 1}.mul(powerOfTen(-x.decimals))
	return x, i, false
}

// scanExponent reads an exponent at s[i:], if there is one, and returns where it ends.
func scanExponent(s string, i int) (exponent, end int) {
	j := i + 1
	if i >= len(s) || (s[i] != 'e' && s[i] != 'E') {
		return 0, i
	}
	if j < len(s) && (s[j] == '-' || s[j] == '+') {
		j++
	}
	first := j
	for ; j < len(s) && isDigit(s[j]); j++ {
		exponent = min(10*exponent+int(s[j]-'0'), maxExponent+1)
	}
	if j == first {
		return 0, i
	}
	if s[i+1] == '-' {
		exponent = -exponent
	}
	return exponent, j
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// ratio reads a plain decimal number that is known to be one.
func ratio(decimal string) *big.Rat {
	r, _ := new(big.Rat).SetString(decimal)
	return r
}

// shortest returns the decimal number with the fewest digits that suits, with its
// text. near is a float64 close to it, and bounds returns the numbers between which
// every suitable one lies; ok is false if none suits.
func shortest(near float64, suits func(exact) bool, bounds func() (low, high *big.Rat)) (x exact, text string, ok bool) {
	var buffer [32]byte
	for digits := range plainDigits {
		written := strconv.AppendFloat(buffer[:0], near, 'e', digits, 64)
		read, size, _ := scanNumber(string(written))
		if size == len(written) && suits(read.value) {
			return read.value, plain(read), true
		}
	}
	low, high := bounds()
	return shortestBetween(low, high, suits)
}

// shortestBetween goes from coarse to fine powers of ten until a multiple of one
// lies between low and high and suits.
func shortestBetween(low, high *big.Rat, suits func(exact) bool) (x exact, text string, ok bool) {
	const finest = -2 * maxExponent
	middle := new(big.Rat).Add(low, high)
	middle.Quo(middle, big.NewRat(2, 1))
	for k := coarsest(middle); k >= finest && low.Cmp(high) <= 0; k-- {
		step := powerOfTen(k).rat()
		multiple := nearestInteger(new(big.Rat).Quo(middle, step))
		candidate := new(big.Rat).Mul(new(big.Rat).SetInt(multiple), step)
		if candidate.Cmp(low) >= 0 && candidate.Cmp(high) <= 0 && suits(exact{r: candidate}) {
			read, _, _ := scanNumber(multiple.String() + "e" + strconv.Itoa(k))
			return read.value, plain(read), true
		}
	}
	return exact{}, "", false
}

// coarsest returns a power of ten above |r|.
func coarsest(r *big.Rat) int {
	f, _ := r.Float64()
	if f == 0 || math.IsInf(f, 0) {
		return maxExponent
	}
	return int(math.Log10(math.Abs(f))) + 2
}

func nearestInteger(r *big.Rat) *big.Int {
	twice := new(big.Int).Mul(r.Num(), big.NewInt(2))
	twice.Add(twice, r.Denom())
	return twice.Div(twice, new(big.Int).Mul(r.Denom(), big.NewInt(2)))
}

// plain writes a number without an exponent where that is no longer than needed.
func plain(x number) string {
	mantissa := x.value.abs().mul(powerOfTen(x.decimals)).rat().Num().String()
	sign := ""
	if x.value.sign() < 0 {
		sign = "-"
	}
	const smallest, largest = -6, 14 // powers of ten of the first digit
	switch lead := len(mantissa) - 1 - x.decimals; {
	case x.value.sign() == 0:
		return "0"
	case lead < smallest || lead > largest:
		if len(mantissa) > 1 {
			mantissa = mantissa[:1] + "." + mantissa[1:]
		}
		return sign + mantissa + "e" + strconv.Itoa(lead)
	case lead < 0:
		return sign + "0." + strings.Repeat("0", -lead-1) + mantissa
	case x.decimals <= 0:
		return sign + mantissa + strings.Repeat("0", -x.decimals)
	default:
		return sign + mantissa[:lead+1] + "." + mantissa[lead+1:]
	}
}
