package logfile

import (
	"math"
	"strconv"
)

// exact are the powers of ten that a float64 holds without rounding.
var exact = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

const (
	exactInt  = 1 << 53
	mostDigit = 18 // digits that a uint64 holds for certain
	mostPower = 400
)

// number reads the number that b begins with: its value, the power of ten of its last digit, and how
// many bytes it has; 0 if there is none. The value is that of strconv.ParseFloat: where the digits fit
// a float64 and the power is small, one multiplication or division of two exact numbers rounds once
// (Clinger, How to read floating point numbers accurately, PLDI 1990).
func number(b []byte, decimal byte) (v float64, last, size int) {
	i := 0
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		i++
	}
	negative := i > 0 && b[0] == '-'
	mantissa, digits, point := uint64(0), 0, -1
	for ; i < len(b); i++ {
		c := b[i]
		if c-'0' <= 9 {
			mantissa = 10*mantissa + uint64(c-'0')
			digits++
			continue
		}
		if c != decimal || point >= 0 {
			break
		}
		point = digits
	}
	if digits == 0 {
		return 0, 0, 0
	}
	if point >= 0 {
		last = point - digits
	}
	if power, n := exponent(b[i:]); n > 0 {
		i, last = i+n, last+power
	}
	if digits > mostDigit || mantissa >= exactInt || last < -22 || last > 22 {
		return slow(b[:i], decimal), last, i
	}
	v = float64(mantissa)
	if last < 0 {
		v /= exact[-last]
	} else {
		v *= exact[last]
	}
	if negative {
		v = -v
	}
	return v, last, i
}

// exponent reads "E+01"; n is 0 if there is none.
func exponent(b []byte) (power, n int) {
	if len(b) < 2 || b[0] != 'e' && b[0] != 'E' {
		return 0, 0
	}
	i, negative := 1, b[1] == '-'
	if b[1] == '-' || b[1] == '+' {
		i++
	}
	first := i
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		power = min(10*power+int(b[i]-'0'), mostPower)
	}
	if i == first {
		return 0, 0
	}
	if negative {
		power = -power
	}
	return power, i
}

// slow is strconv.ParseFloat of a number with any decimal sign; beyond all float64 it is the largest.
func slow(b []byte, decimal byte) float64 {
	text := make([]byte, len(b))
	for i, c := range b {
		if c == decimal {
			c = '.'
		}
		text[i] = c
	}
	v, _ := strconv.ParseFloat(string(text), 64)
	return min(max(v, -math.MaxFloat64), math.MaxFloat64)
}
