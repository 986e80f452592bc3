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
	decimals int // the last of them stands for 10^-decimals
}

// Limits of a number's text. 10^±maxExponent is beyond every float64 in every unit.
const (
	maxExponent   = 400
	maxWordDigits = 18 // as many always fit an int64
	plainDigits   = 15 // numbers of up to so many digits are told apart by float64
	fullDigits    = 20 // so many, with those before the first that is not 0, tell all float64 apart
)

// scanNumber reads [+-]digits[.digits][e[+-]digits] from the start of s. size is 0
// if there is none; outsized is true if the exponent is beyond maxExponent.
func scanNumber(s string) (x number, size int, outsized bool) {
	first := 0
	if s != "" && (s[0] == '-' || s[0] == '+') {
		first = 1
	}
	m := scanMantissa(s, first)
	if m.end == first {
		return number{}, 0, false
	}
	exponent, end := scanExponent(s, m.end)
	switch {
	case exponent > maxExponent || exponent < -maxExponent:
		return number{}, end, true
	case m.used == 0:
		return number{value: exact{n: 0, d: 1}}, end, false
	}
	x = number{digits: m.used - m.zeros, decimals: m.decimals - exponent - m.zeros}
	if m.used > maxWordDigits {
		x.value = exact{r: ratio(strings.TrimPrefix(s[:m.end], "+"))}.mul(powerOfTen(exponent))
		return x, end, false
	}
	for range m.zeros {
		m.word /= 10
	}
	if s[0] == '-' {
		m.word = -m.word
	}
	x.value = exact{n: m.word, d: 1}.mul(powerOfTen(-x.decimals))
	return x, end, false
}

// mantissa is what stands before an exponent.
type mantissa struct {
	word     int64 // the digits without the point, the first maxWordDigits of them
	used     int   // digits from the first that is not 0
	zeros    int   // zeros at the end
	decimals int   // digits after the point
	end      int   // bytes
}

func scanMantissa(s string, from int) mantissa {
	m := mantissa{end: from}
	for point := false; m.end < len(s); m.end++ {
		c := s[m.end]
		if c == '.' && !point && m.end > from && m.end+1 < len(s) && isDigit(s[m.end+1]) {
			point = true
			continue
		}
		if !isDigit(c) {
			break
		}
		if point {
			m.decimals++
		}
		if m.used > 0 || c != '0' {
			m.used++
		}
		m.zeros++
		if c != '0' {
			m.zeros = 0
		}
		if m.used <= maxWordDigits {
			m.word = 10*m.word + int64(c-'0')
		}
	}
	return m
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
// every suitable one lies; ok is false if none of up to most digits suits.
func shortest(near float64, most int, suits func(exact) bool, bounds func() (low, high *big.Rat)) (x exact, text string, ok bool) {
	var buffer [32]byte
	for digits := range plainDigits {
		written := strconv.AppendFloat(buffer[:0], near, 'e', digits, 64)
		read, size, _ := scanNumber(string(written))
		if size == len(written) && suits(read.value) {
			return read.value, plain(read), true
		}
	}
	low, high := bounds()
	return shortestBetween(low, high, most, suits)
}

// shortestBetween goes from coarse to fine powers of ten until a multiple of one
// lies between low and high and suits.
func shortestBetween(low, high *big.Rat, most int, suits func(exact) bool) (x exact, text string, ok bool) {
	middle := new(big.Rat).Add(low, high)
	middle.Quo(middle, big.NewRat(2, 1))
	if low.Cmp(high) > 0 {
		return exact{}, "", false
	}
	for k, finest := coarsest(middle), coarsest(middle)-most; k > finest; k-- {
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

// coarsest returns k with 10^k from |r| up to 20 times as much.
func coarsest(r *big.Rat) int {
	bits := r.Num().BitLen() - r.Denom().BitLen() + 1 // |r| < 2^bits
	return int(math.Ceil(float64(bits) * math.Log10(2)))
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
