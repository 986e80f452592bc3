package formula

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// op is an operation of a formula.
type op uint8

const (
	opNumber op = iota
	opName
	opAdd
	opSub
	opMul
	opDiv
	opMin // the binary operations are opAdd to opPow
	opMax
	opPow
	opNeg
	opAbs
	opSqrt
	opExp
	opLog
	opLog10
	opSin
	opCos
	opTan
	opAsin
	opAcos
	opAtan
	opSquare // x·x, which a program uses for x^2
)

// function is an operation that is written with its arguments in parentheses.
type function struct {
	op          op
	least, most int // arguments
}

func (f function) wants() string {
	switch {
	case f.least == 1:
		return "one"
	case f.most == 2:
		return "two"
	}
	return fmt.Sprintf("%d to %d", f.least, f.most)
}

var functions = map[string]function{
	"sqrt": {opSqrt, 1, 1}, "exp": {opExp, 1, 1}, "log": {opLog, 1, 1}, "ln": {opLog, 1, 1}, "log10": {opLog10, 1, 1},
	"sin": {opSin, 1, 1}, "cos": {opCos, 1, 1}, "tan": {opTan, 1, 1},
	"asin": {opAsin, 1, 1}, "acos": {opAcos, 1, 1}, "atan": {opAtan, 1, 1},
	"abs": {opAbs, 1, 1}, "min": {opMin, 2, 50}, "max": {opMax, 2, 50}, "pow": {opPow, 2, 2},
}

// of1 computes an operation of one argument.
func of1(o op, x float64) float64 {
	switch o {
	case opNeg:
		return -x
	case opAbs:
		return math.Abs(x)
	case opSqrt:
		return math.Sqrt(x)
	case opExp:
		return numeric.Exp(x)
	case opLog:
		return numeric.Log(x)
	case opLog10:
		return math.Log10(x)
	case opSin:
		return numeric.Sin(x)
	case opCos:
		return numeric.Cos(x)
	case opTan:
		return math.Tan(x)
	case opAsin:
		return math.Asin(x)
	case opAcos:
		return math.Acos(x)
	case opAtan:
		return math.Atan(x)
	case opSquare:
		return x * x
	}
	panic("formula: no operation of one argument")
}

// of2 computes an operation of two arguments.
func of2(o op, x, y float64) float64 {
	switch o {
	case opAdd:
		return x + y
	case opSub:
		return x - y
	case opMul:
		return x * y
	case opDiv:
		return x / y
	case opMin:
		return min(x, y)
	case opMax:
		return max(x, y)
	case opPow:
		if y == math.Trunc(y) && math.Abs(y) <= 64 {
			return wholePower(x, int(y))
		}
		return numeric.Pow(x, y)
	}
	panic("formula: no operation of two arguments")
}

// wholePower multiplies x with itself.
func wholePower(x float64, n int) float64 {
	if n < 0 {
		return 1 / wholePower(x, -n)
	}
	r := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			r *= x
		}
		x *= x
	}
	return r
}
