package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

// eval computes a formula whose names have the given values.
func eval(t *testing.T, text string, values map[string]float64) float64 {
	t.Helper()
	f, err := Parse(text)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	x := make([]float64, len(f.Names()))
	for i, name := range f.Names() {
		x[i] = values[name]
	}
	y, err := f.Program().Eval(x)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return y
}

// The values are worked out by hand from the usual rules of writing.
func TestEval(t *testing.T) {
	values := map[string]float64{"a": 2, "b": 3, "R1": 10, "α_0": 0.5, "e": 7}
	for _, c := range []struct {
		text string
		want float64
	}{
		{"1+2*3", 7}, {"(1+2)*3", 9}, {"8-3-2", 3}, {"8/4/2", 1}, {"8-(3-2)", 7},
		{"2^3^2", 512}, {"(2^3)^2", 64}, {"-2^2", -4}, {"(-2)^2", 4}, {"2^-1", 0.5}, {"2**3", 8}, {"-a^2", -4},
		{"a²+b³", 31}, {"a²·b", 12}, {"2^b²", 512}, {"+a--b", 5}, {"a - -b", 5}, {"a×b÷4", 1.5}, {"a−b", -1},
		{"1.5e1 + .5 + 2. + 1E-1", 17.6}, {"2*e", 14}, {"a*b + R1/α_0", 26},
		{"min(a, b)", 2}, {"max(1, b, a)", 3}, {"pow(a, b)", 8}, {"abs(a - b)", 1}, {"sqrt(a*a)", 2},
		{"min(3, 2, 1) + max(1, 2, 3)", 4}, {"log10(1000)", 3}, {"2*pi", 2 * math.Pi}, {"a^0.5", math.Sqrt2}, {"a^-2", 0.25},
		{"sin(pi/6)", 0.5}, {"cos(0)", 1}, {"tan(pi/4)", 1}, {"asin(1)", math.Pi / 2}, {"acos(1)", 0}, {"atan(1)", math.Pi / 4},
		{"exp(1)", math.E}, {"log(exp(2))", 2}, {"ln(exp(2))", 2},
	} {
		if got := eval(t, c.text, values); math.Abs(got-c.want) > 4e-16*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%s = %v, want %v", c.text, got, c.want)
		}
	}
}

func TestNamesInOrderOfFirstUse(t *testing.T) {
	f, err := Parse("vref*(1 + r1/r2) - vref + pi + min(x, r1)")
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{"vref", "r1", "r2", "x"}; !slices.Equal(f.Names(), want) {
		t.Errorf("names %v, want %v", f.Names(), want)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		width  int
		say    string
	}{
		{"", 1, 1, `the formula ends too early; want a number, a name, a function or (`},
		{"a +", 4, 1, `the formula ends too early; want a number, a name, a function or (`},
		{"a + * b", 5, 1, `"*" is not expected here; want a number, a name, a function or (`},
		{"2x", 2, 1, `"x" is not expected here; want an operator before it, or nothing`},
		{"µ 2", 3, 1, `"2" is not expected here; want an operator before it, or nothing`},
		{"(a + b", 1, 1, `this ( is never closed; want a )`},
		{"a + b)", 6, 1, `")" is not expected here; want an operator before it, or nothing`},
		{"(a b)", 4, 1, `"b" is not expected here; want an operator or )`},
		{"(a, b)", 1, 1, `a list of values where one is wanted; want a function's name before the (`},
		{"sqrt", 1, 4, `"sqrt" is a function; want its arguments in parentheses after it`},
		{"sqrt(1, 2)", 1, 4, `sqrt has 2 arguments; want one`},
		{"pow(1)", 1, 3, `pow has 1 arguments; want two`},
		{"min(1)", 1, 3, `min has 1 arguments; want 2 to 50`},
		{"lg(a)", 1, 2, `"lg" is no known function; want one of abs, acos, asin, atan, cos, exp, ln, log, log10, max, min, pow, sin, sqrt, tan, or * before the (`},
		{"P = U*I", 3, 1, `"=" has no meaning in a formula; want names, numbers, + - * / ^, parentheses and functions`},
		{"1e999", 1, 5, `"1e999" is no number; want a number such as 1.5e-3`},
		{".", 1, 1, `"." is no number; want a number such as 1.5e-3`},
		{"1.2.3", 4, 2, `".3" is not expected here; want an operator before it, or nothing`},
		{strings.Repeat("(", 200), 101, 1, `the formula is nested too deeply; at most 100 levels are accepted`},
		{strings.Repeat("-", 200) + "1", 101, 1, `the formula is nested too deeply; at most 100 levels are accepted`},
		{strings.Repeat("a", 5000), 1, 1, `the formula is too long; at most 4000 characters are accepted`},
	} {
		_, err := Parse(c.text)
		var fault *Error
		if !errors.As(err, &fault) {
			t.Errorf("%.40s: error %v, want an *Error", c.text, err)
			continue
		}
		if fault.Column != c.column || fault.Width != c.width || fault.Error() != c.say {
			t.Errorf("%.40s:\n got %d+%d %s\nwant %d+%d %s", c.text, fault.Column, fault.Width, fault, c.column, c.width, c.say)
		}
	}
}

// names of the dimension tests
var dims = map[string]quantity.Dimension{
	"v": quantity.Voltage, "i": quantity.Current, "r": quantity.Resistance, "t": quantity.Time, "n": quantity.Ratio,
	"T": quantity.TemperaturePoint, "T0": quantity.TemperaturePoint, "dT": quantity.TemperatureDifference,
	"tc": quantity.PerKelvin, "phi": quantity.Angle, "area": quantity.Area, "lsb": quantity.Step, "p": quantity.Power,
}

func dimension(text string) (quantity.Dimension, []string, error) {
	f, err := Parse(text)
	if err != nil {
		return quantity.Dimension{}, nil, err
	}
	list := make([]quantity.Dimension, len(f.Names()))
	for i, name := range f.Names() {
		list[i] = dims[name]
	}
	return f.Dimension(list)
}

func TestDimension(t *testing.T) {
	for _, c := range []struct {
		text     string
		want     quantity.Dimension
		warnings int
	}{
		{"v/i", quantity.Resistance, 0}, {"i^2*r", quantity.Power, 0}, {"v*(1 + r/r)", quantity.Voltage, 0},
		{"sqrt(p*r)", quantity.Voltage, 0}, {"(p*r)^0.5", quantity.Voltage, 0}, {"(p*r)^(1/2)", quantity.Voltage, 0},
		{"area^1.5", quantity.Volume, 0}, {"area^(3/2)", quantity.Volume, 0}, {"v^0", quantity.Ratio, 0}, {"1/t", quantity.Frequency, 0},
		{"t^-1", quantity.Frequency, 0}, {"n^n", quantity.Ratio, 0}, {"pow(v, 2)/r", quantity.Power, 0},
		{"T - T0", quantity.TemperatureDifference, 0}, {"T + dT", quantity.TemperaturePoint, 0}, {"dT + T", quantity.TemperaturePoint, 0},
		{"T - dT", quantity.TemperaturePoint, 0}, {"T0 + (T - T0)/2", quantity.TemperaturePoint, 0},
		{"r*(1 + tc*(T - T0))", quantity.Resistance, 0}, {"min(T, T0)", quantity.TemperaturePoint, 0},
		{"v*T", quantity.Voltage.Mul(quantity.TemperatureDifference), 1}, {"T^2", quantity.TemperatureDifference.Pow(2), 1},
		{"T/T0", quantity.Ratio, 2}, {"exp(T/T0)", quantity.Ratio, 2}, {"abs(dT)", quantity.TemperatureDifference, 0},
		{"sin(phi)", quantity.Ratio, 0}, {"cos(n)", quantity.Ratio, 0}, {"atan(v/v)", quantity.Angle, 0}, {"-v", quantity.Voltage, 0},
		{"max(v, v, v)", quantity.Voltage, 0}, {"v/lsb", quantity.Voltage.Div(quantity.Step), 0}, {"log(v/v)", quantity.Ratio, 0},
	} {
		got, warnings, err := dimension(c.text)
		if err != nil || got != c.want || len(warnings) != c.warnings {
			t.Errorf("%s: %v %v %v, want %v and %d warnings", c.text, got, warnings, err, c.want, c.warnings)
		}
	}
}

func TestDimensionRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		say    string
	}{
		{"v + i", 3, `"+" has a voltage and a current; want both of one dimension`},
		{"v + 1", 3, `"+" has a voltage and a plain number; want both of one dimension`},
		{"v*i - r", 5, `"-" has a power and a resistance; want both of one dimension`},
		{"min(v, r)", 1, `"min" has a voltage and a resistance; want both of one dimension`},
		{"lsb + n", 5, `"+" has a number of converter steps and a plain number; want both of one dimension`},
		{"exp(v)", 5, `exp of a voltage; want a plain number: divide by a value of the same dimension`},
		{"n*log(i*r)", 8, `log of a voltage; want a plain number: divide by a value of the same dimension`},
		{"sin(v)", 5, `sin of a voltage; want an angle, or a plain number in radians`},
		{"v^n", 3, `the exponent of a voltage is not constant; want a number such as 2 or 1/2`},
		{"n^v", 3, `the exponent is a voltage; want a plain number`},
		{"2^phi", 3, `the exponent is an angle; want a plain number`},
		{"v^0.3", 2, `voltage to the power of 0.3 has no whole powers of its units; want a power such as 2 or 1/2`},
		{"sqrt(v)", 1, `sqrt of a voltage has no whole powers of its units; want an even power, such as an area`},
		{"T + T0", 3, `two temperatures on a scale cannot be added; want differences, as in a + (b - a)/2 for their mean`},
		{"dT - T", 4, `a temperature on a scale cannot be taken from a difference; want it in front of the -`},
		{"-T", 1, `a temperature on a scale has no negative; want a difference of temperatures`},
		{"max(T, dT)", 1, `"max" has a temperature and a temperature difference; want both of one kind`},
		{"v^90", 2, `the powers of the units grow too high; want powers up to 100`},
		{"v^30*v^30", 5, `the powers of the units grow too high; want powers up to 100`},
	} {
		_, _, err := dimension(c.text)
		var fault *Error
		if !errors.As(err, &fault) || fault.Column != c.column || fault.Error() != c.say {
			t.Errorf("%s:\n got %v\nwant column %d, %s", c.text, fault, c.column, c.say)
		}
	}
}

func TestEvalNamesTheOperationWithoutValue(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		say    string
	}{
		{"1 + log(a)", 5, "log has no finite value at -2"},
		{"sqrt(a) + log(a)", 1, "sqrt has no finite value at -2"},
		{"3/(a + 2)", 2, "/ has no finite value of 3 and 0"},
		{"a^0.5", 2, "^ has no finite value of -2 and 0.5"},
		{"exp(-400*a)", 1, "exp has no finite value at 800"},
		{"asin(a)", 1, "asin has no finite value at -2"},
		{"a + 1/0", 6, "/ has no finite value of 1 and 0"},
	} {
		f, err := Parse(c.text)
		if err != nil {
			t.Fatal(err)
		}
		y, err := f.Program().Eval([]float64{-2})
		var fault *Error
		if !errors.As(err, &fault) || y != 0 || fault.Column != c.column || fault.Problem != c.say {
			t.Errorf("%s: %v %v, want column %d, %s", c.text, y, err, c.column, c.say)
		}
	}
}

func TestProgramDeepAndParallel(t *testing.T) {
	text := strings.Repeat("(a*(1-", 40) + "a" + strings.Repeat("))", 40)
	f, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	p := f.Program()
	want, done := f.root.at([]float64{0.3}), make(chan float64)
	for range 8 {
		go func() {
			y, _ := p.Eval([]float64{0.3})
			done <- y
		}()
	}
	for range 8 {
		if got := <-done; got != want {
			t.Errorf("got %v, want %v", got, want)
		}
	}
}

func TestIsName(t *testing.T) {
	for s, want := range map[string]bool{"R1": true, "α_2": true, "": false, "1a": false, "_a": false, "sqrt": false, "pi": false, "a.b": false, "a b": false} {
		if IsName(s) != want {
			t.Errorf("IsName(%q) = %v", s, !want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"vref*(1 + r1/r2)", "-2^-2²", "min(a,b,max(1,2))", "a**b", "sqrt(((", "1e", "π·x", "1/(1/0)", "µ−α÷2", "pow(a,-3)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		formula, err := Parse(text)
		if err != nil {
			var fault *Error
			if !errors.As(err, &fault) || fault.Column < 1 || fault.Width < 1 || fault.Problem == "" {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		x, d := make([]float64, len(formula.names)), make([]quantity.Dimension, len(formula.names))
		for i := range x {
			x[i] = 0.7 + float64(i)
			if i%2 == 1 {
				d[i] = quantity.Voltage
			}
		}
		if _, _, err := formula.Dimension(d); err != nil {
			var fault *Error
			if !errors.As(err, &fault) {
				t.Fatal(err)
			}
		}
		y, err := formula.Program().Eval(x)
		if math.IsNaN(y) || math.IsInf(y, 0) {
			t.Fatalf("%q gives %v", text, y)
		}
		// the program and the tree are two ways to the same value (squares are exact in both)
		if tree := formula.root.at(x); err == nil && y != tree {
			t.Fatalf("%q: program %v, tree %v", text, y, tree)
		}
	})
}

func BenchmarkEval(b *testing.B) {
	f, _ := Parse("vref*(1 + r1/r2)*(1 + g) + (o + inl)*lsb + q")
	p := f.Program()
	x := make([]float64, len(f.Names()))
	for i := range x {
		x[i] = 1 + float64(i)
	}
	for b.Loop() {
		if _, err := p.Eval(x); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleFormula_Dimension() {
	f, _ := Parse("u^2/r")
	d, _, _ := f.Dimension([]quantity.Dimension{quantity.Voltage, quantity.Resistance})
	fmt.Println(d.Name(), "in", d.Unit())
	// Output: power in W
}
