package formula

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// Dimension checks the formula and returns the dimension of its value.
//
//	dims  the dimension of each name, in the order of Names
//
// warnings says which temperatures on a scale count in kelvin. An *Error says where
// dimensions do not fit.
func (f *Formula) Dimension(dims []quantity.Dimension) (dim quantity.Dimension, warnings []string, err error) {
	c := checker{dims: dims}
	dim, fault := c.of(f.root)
	if fault != nil {
		return quantity.Dimension{}, nil, fault
	}
	return dim, c.warnings, nil
}

type checker struct {
	dims     []quantity.Dimension
	warnings []string
}

func (c *checker) of(n *node) (quantity.Dimension, *Error) {
	switch n.op {
	case opNumber:
		return quantity.Ratio, nil
	case opName:
		return c.dims[n.name], nil
	}
	args := make([]quantity.Dimension, len(n.args))
	for i, arg := range n.args {
		var err *Error
		if args[i], err = c.of(arg); err != nil {
			return quantity.Dimension{}, err
		}
	}
	switch n.op {
	case opAdd, opSub, opMin, opMax:
		return c.alike(n, args)
	case opMul, opDiv:
		return c.product(n, args)
	case opPow:
		return c.power(n, args)
	}
	return c.function(n, args[0])
}

// alike checks a sum, difference, min or max.
func (c *checker) alike(n *node, args []quantity.Dimension) (quantity.Dimension, *Error) {
	first, points := args[0], 0
	for _, d := range args {
		if bare(d) != bare(first) {
			return first, n.fault(fmt.Sprintf("%q has %s and %s", n.label, an(first), an(d)), "want both of one dimension")
		}
		if d.Point {
			points++
		}
	}
	switch {
	case points == 0 || points == len(args) && (n.op == opMin || n.op == opMax):
		return first, nil
	case n.op == opMin || n.op == opMax:
		return first, n.fault(fmt.Sprintf("%q has a temperature and a temperature difference", n.label), "want both of one kind")
	case points == 1 && (n.op == opAdd || first.Point):
		return quantity.TemperaturePoint, nil
	case points == 2 && n.op == opSub:
		return quantity.TemperatureDifference, nil
	case points == 2:
		return first, n.fault("two temperatures on a scale cannot be added", "want differences, as in a + (b - a)/2 for their mean")
	}
	return first, n.fault("a temperature on a scale cannot be taken from a difference", "want it in front of the -")
}

// product multiplies or divides.
func (c *checker) product(n *node, args []quantity.Dimension) (quantity.Dimension, *Error) {
	a, b := c.kelvin(n.args[0], args[0]), c.kelvin(n.args[1], args[1])
	combine, back := quantity.Dimension.Mul, quantity.Dimension.Div
	if n.op == opDiv {
		combine, back = back, combine
	}
	d := combine(a, b)
	if back(d, b) != a {
		return d, n.tooHigh()
	}
	return d, nil
}

// power checks x^y: of a plain number any, of a quantity with a unit a constant y that
// leaves whole powers of the units.
func (c *checker) power(n *node, args []quantity.Dimension) (quantity.Dimension, *Error) {
	base, exponent := c.kelvin(n.args[0], args[0]), args[1]
	if exponent != quantity.Ratio {
		return base, n.args[1].fault("the exponent is "+an(exponent), "want a plain number")
	}
	if base == quantity.Ratio {
		return base, nil
	}
	y := n.args[1].value
	if !n.args[1].fixed {
		return base, n.args[1].fault("the exponent of "+an(base)+" is not constant", "want a number such as 2 or 1/2")
	}
	for root := 1; root <= 12; root++ {
		whole := math.Round(y * float64(root))
		if math.Abs(y*float64(root)-whole) > 1e-12 || math.Abs(whole) > 100 {
			continue
		}
		raised := base.Pow(int(whole))
		if whole != 0 {
			if again, ok := raised.Root(int(math.Abs(whole))); !ok || again != base.Pow(int(whole/math.Abs(whole))) {
				return base, n.tooHigh()
			}
		}
		if d, ok := raised.Root(root); ok {
			return d, nil
		}
	}
	return base, n.fault(fmt.Sprintf("%s to the power of %g has no whole powers of its units", base.Name(), y), "want a power such as 2 or 1/2")
}

// function checks a sign or a function of one argument.
func (c *checker) function(n *node, arg quantity.Dimension) (quantity.Dimension, *Error) {
	switch n.op {
	case opNeg:
		if arg.Point {
			return arg, n.fault("a temperature on a scale has no negative", "want a difference of temperatures")
		}
		return arg, nil
	case opAbs:
		return c.kelvin(n.args[0], arg), nil
	case opSqrt:
		d, ok := c.kelvin(n.args[0], arg).Root(2)
		if !ok {
			return arg, n.fault("sqrt of "+an(arg)+" has no whole powers of its units", "want an even power, such as an area")
		}
		return d, nil
	case opSin, opCos, opTan:
		if arg != quantity.Ratio && arg != quantity.Angle {
			return arg, n.args[0].fault(n.label+" of "+an(arg), "want an angle, or a plain number in radians")
		}
		return quantity.Ratio, nil
	}
	if arg != quantity.Ratio {
		return arg, n.args[0].fault(n.label+" of "+an(arg), "want a plain number: divide by a value of the same dimension")
	}
	if n.op == opAsin || n.op == opAcos || n.op == opAtan {
		return quantity.Angle, nil
	}
	return quantity.Ratio, nil
}

// kelvin takes a temperature on a scale as one from absolute zero, and warns.
func (c *checker) kelvin(n *node, d quantity.Dimension) quantity.Dimension {
	if d.Point {
		c.warnings = append(c.warnings, fmt.Sprintf("column %d: the temperature %s counts in kelvin from absolute zero here; "+
			"for a rise, subtract a temperature from it", n.start+1, n.label))
	}
	return bare(d)
}

// bare returns d without regard to whether a temperature is one on a scale.
func bare(d quantity.Dimension) quantity.Dimension {
	d.Point = false
	return d
}

func (n *node) fault(problem, want string) *Error { return &Error{n.start + 1, n.width, problem, want} }

func (n *node) tooHigh() *Error {
	return n.fault("the powers of the units grow too high", "want powers up to 100")
}

func an(d quantity.Dimension) string {
	if d == quantity.Ratio {
		return "a plain number"
	}
	name := d.Name()
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}
