package panel

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Curve is a panel at one irradiance and one cell temperature:
//
//	I = Photocurrent·(1 - Recombination/(BuiltIn - x)) - Saturation·(e^(x/Thermal) - 1) - x/Shunt,  x = V + I·Series
//
// Its methods hold for every curve that Check accepts.
type Curve struct {
	Photocurrent float64 // A; ≥ 0
	Saturation   float64 // A; > 0
	Thermal      float64 // n·Ns·k·T/q, V; > 0
	Series       float64 // Ω; ≥ 0
	Shunt        float64 // Ω; > 0, may be +Inf

	// Of amorphous silicon, of all cells in series together, V; 0 for others.
	Recombination float64 // the square of the i-layer's thickness over (μτ)eff
	BuiltIn       float64
}

// Beyond these a resistance is none; they keep products of parameters within a number.
const (
	leastSeries  = 1e-60 // Ω
	largestShunt = 1e30  // Ω
)

// Check returns the first parameter that is out of its range, or nil.
func (c Curve) Check() error {
	for _, b := range []struct {
		name     string
		value    float64
		dim      quantity.Dimension
		low, top float64
		want     string
	}{
		{"photocurrent", c.Photocurrent, quantity.Current, 0, 1e6, "0 or more"},
		{"saturation", c.Saturation, quantity.Current, 1e-200, 1e6, "a current above 0"},
		{"thermal", c.Thermal, quantity.Voltage, 1e-6, 1e6, "a voltage above 0"},
		{"series", c.Series, quantity.Resistance, 0, 1e9, "0 or more"},
		{"shunt", c.Shunt, quantity.Resistance, 1e-9, math.Inf(1), "a resistance above 0"},
		{"recombination", c.Recombination, quantity.Voltage, 0, 1e6, "0 or more"},
		{"built_in", c.BuiltIn, quantity.Voltage, 0, 1e6, "0 or more"},
	} {
		if !(b.value >= b.low && b.value <= b.top) {
			return fmt.Errorf("%s: %s is not possible; want %s", b.name, shown(b.value, b.dim), b.want)
		}
	}
	if c.Recombination > 0 && c.BuiltIn == 0 {
		return fmt.Errorf("built_in: missing; want it where there is recombination")
	}
	return nil
}

func shown(v float64, d quantity.Dimension) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not a number"
	}
	return quantity.Format(v, d, "", -4)
}

// Current returns the current out of the panel at a voltage across it, A; of any sign, as both are.
//
// Without recombination it is explicit by the Wright function; a current beyond the largest number is
// given as that.
func (c Curve) Current(v float64) float64 {
	if c.Series < leastSeries {
		return limit(c.Through(v))
	}
	if c.Recombination > 0 {
		x := c.junction(v)
		if float64(c.slope(x)*c.Series) > 1 {
			return limit((x - v) / c.Series)
		}
		return limit(c.Through(x))
	}
	// [Y2] x/a + K·e^(x/a) = B  =>  ω = B - x/a,  ω + log ω = B + log K
	g := 1 / c.Shunt
	divider := 1 + float64(c.Series*g)
	scale := float64(c.Thermal * divider)
	b := (v + float64(c.Series*(c.Photocurrent+c.Saturation))) / scale
	k := numeric.Log(float64(c.Series * (c.Saturation / scale)))
	w := omega(b + k)
	x := float64((b - w) * c.Thermal)
	switch { // the form in which no large numbers cancel
	case w > 1: // the series resistance bears the current
		return limit((float64((numeric.Log(w)-k)*c.Thermal) - v) / c.Series)
	case divider > 2:
		return limit((x - v) / c.Series)
	}
	return limit(c.Photocurrent + c.Saturation - float64(w*(scale/c.Series)) - float64(x*g))
}

// limit keeps a current or voltage finite.
func limit(v float64) float64 {
	if math.Abs(v) <= math.MaxFloat64 {
		return v
	}
	return math.Copysign(math.MaxFloat64, v)
}

// Through returns the current that the panel gives at a junction voltage x = V + I·Series, A; -Inf far beyond open circuit,
// where Current is finite.
func (c *Curve) Through(x float64) float64 {
	return float64(c.Photocurrent*(1-c.lost(x))) - float64(c.Saturation*(numeric.Exp(x/c.Thermal)-1)) - x/c.Shunt // [Y1]
}

// lost returns the share of the photocurrent that recombines in the i-layer.
func (c *Curve) lost(x float64) float64 {
	if c.Recombination == 0 {
		return 0
	}
	return c.Recombination / max(c.BuiltIn-x, float64(leastField*c.BuiltIn)) // [Y7]
}

// leastField is the part of the built-in voltage below which the field of the i-layer is not taken
// to fall: the formula has a pole there.
const leastField = 0.05

// slope returns -dI/dx at a junction voltage, 1/Ω.
func (c *Curve) slope(x float64) float64 {
	s := float64(c.Saturation/c.Thermal*numeric.Exp(x/c.Thermal)) + 1/c.Shunt
	if c.Recombination > 0 && c.BuiltIn-x > leastField*c.BuiltIn {
		field := c.BuiltIn - x
		s += c.Photocurrent * c.Recombination / (field * field)
	}
	return s
}

// Conductance returns -dI/dV at a voltage, 1/Ω; > 0 except for an ideal panel in the dark reversed.
func (c Curve) Conductance(v float64) float64 {
	x := v + float64(c.Series*c.Current(v))
	if c.Series < leastSeries {
		return limit(c.slope(x))
	}
	return 1 / (c.Series + 1/c.slope(x))
}

// junction returns the junction voltage of a curve with recombination at a voltage across it.
func (c Curve) junction(v float64) float64 {
	f := func(x float64) float64 { return x - v - float64(c.Series*c.Through(x)) }
	plain := c
	plain.Recombination = 0
	return c.below(v+float64(c.Series*plain.Current(v)), f)
}

// below finds the zero of f, rising with the junction voltage, at or below the solution without
// recombination, which only lowers the junction voltage.
func (c Curve) below(plain float64, f func(x float64) float64) float64 {
	const widest = 1e30 // times the thermal voltage
	margin := 1e-9 * (c.Thermal + math.Abs(plain))
	hi, width := plain+margin, c.Thermal
	for f(hi-width) > 0 && width < widest*c.Thermal {
		width *= 4
	}
	x, err := numeric.FindRoot(f, hi-width, hi, 0)
	if err != nil {
		return plain
	}
	return x
}

// Voltage returns the voltage across the panel at a current out of it, V; ok is false where no voltage
// drives that current: beyond the photocurrent of a curve with an infinite shunt.
func (c Curve) Voltage(i float64) (v float64, ok bool) {
	x, ok := c.junctionAt(i)
	return limit(x - float64(i*c.Series)), ok
}

// junctionAt returns the junction voltage at a current.
func (c Curve) junctionAt(i float64) (x float64, ok bool) {
	if c.Recombination > 0 {
		plain := c
		plain.Recombination = 0
		if x, ok = plain.junctionAt(i); !ok {
			return x, false
		}
		return c.below(x, func(x float64) float64 { return i - c.Through(x) }), true
	}
	rest := c.Photocurrent + c.Saturation - i
	if c.Shunt > largestShunt {
		if !(rest > 0) {
			return -math.MaxFloat64, false
		}
		return float64(c.Thermal * numeric.Log(rest/c.Saturation)), true // [Y3] without shunt
	}
	// [Y3] x/a + K·e^(x/a) = B  =>  ω + log ω = B + log K
	b := float64(rest * (c.Shunt / c.Thermal))
	k := numeric.Log(float64(c.Saturation * (c.Shunt / c.Thermal)))
	w := omega(b + k)
	if w > 1 {
		return float64(c.Thermal * (numeric.Log(w) - k)), true
	}
	return float64(c.Thermal * (b - w)), true
}

// ShortCircuit returns the current of the panel with its leads together, A.
func (c Curve) ShortCircuit() float64 { return c.Current(0) }

// OpenCircuit returns the voltage of the panel with nothing on its leads, V; 0 in the dark.
func (c Curve) OpenCircuit() float64 {
	if c.Photocurrent == 0 {
		return 0
	}
	v, _ := c.Voltage(0)
	return max(0, v)
}

// MaximumPower returns voltage, current and power where the power is largest; 0 in the dark.
func (c Curve) MaximumPower() (v, i, p float64) {
	open := c.OpenCircuit()
	if open == 0 {
		return 0, 0, 0
	}
	x, err := numeric.FindRoot(func(x float64) float64 {
		i, s := c.Through(x), c.slope(x)
		return i + float64(s*(float64(2*i*c.Series)-x)) // [Y4] dP/dx = I'·V + I·(1 - I'·Series), V = x - I·Series
	}, 0, open, 0)
	if err != nil {
		return 0, 0, 0
	}
	i = c.Through(x)
	v = x - float64(i*c.Series)
	return v, i, v * i
}

// Array returns the curve of so many alike panels in series, and so many such strings in parallel.
func (c Curve) Array(series, parallel int) Curve {
	s, p := float64(series), float64(parallel)
	c.Photocurrent, c.Saturation = c.Photocurrent*p, c.Saturation*p
	c.Thermal, c.Recombination, c.BuiltIn = c.Thermal*s, c.Recombination*s, c.BuiltIn*s
	c.Series, c.Shunt = c.Series*s/p, c.Shunt*s/p
	return c
}
