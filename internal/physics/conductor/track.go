package conductor

import (
	"fmt"
	"strings"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Layer is where a track lies on its board.
type Layer int

const (
	Outer Layer = iota
	Inner
)

// LayerNamed returns a layer by its name: outer, inner.
func LayerNamed(name string) (Layer, error) {
	switch name {
	case "outer":
		return Outer, nil
	case "inner":
		return Inner, nil
	}
	return 0, fmt.Errorf("%q: no such layer; want outer, inner", name)
}

const (
	mil = 25.4e-6 // m

	// Ounce is the thickness of copper foil of one ounce per square foot, m.
	Ounce = 1.378 * mil
)

// TrackResistance returns the resistance of a printed track of annealed copper.
//
//	width, copper  of its cross-section, m; > 0
//	length         m; ≥ 0
//	temperature    K; from -200 °C to the melting point
//
// The result is in Ω. Plated copper has a few percent more, and an etched edge takes width away:
// give the width as measured.
func TrackResistance(width, copper, length, temperature float64) (float64, error) {
	l := aLength("length", length)
	l.low, l.want = 0, "a length of 0 or more"
	if err := check(aLength("width", width), aLength("copper", copper), l, aTemperature("temperature", temperature)); err != nil {
		return 0, err
	}
	return Copper.Resistivity20 * length / (width * copper) * CopperFactor(temperature), nil // [W7]
}

// Exponents of the fit to the charts of IPC-2221, current in A, rise in K, area in mil².
const (
	riseExponent = 0.44
	areaExponent = 0.725
)

func (l Layer) factor() float64 {
	if l == Inner {
		return 0.024
	}
	return 0.048
}

// TrackCurrent returns the current that warms a long track by a rise.
//
//	area  of its cross-section, m²; > 0
//	rise  K; > 0
//
// The result is in A; TrackDoubt says where the fit holds.
// Source: IPC-2221, 6.2, charts, by the formula usually fitted to them.
func (l Layer) TrackCurrent(area, rise float64) (float64, error) {
	if err := check(anArea(area), aRise(rise)); err != nil {
		return 0, err
	}
	return l.factor() * numeric.Pow(rise, riseExponent) * numeric.Pow(area/(mil*mil), areaExponent), nil // [W8]
}

// TrackArea returns the cross-section that a current warms by a rise, m²; see TrackCurrent.
func (l Layer) TrackArea(current, rise float64) (float64, error) {
	if err := check(aCurrent(current), aRise(rise)); err != nil {
		return 0, err
	}
	return numeric.Pow(current/(l.factor()*numeric.Pow(rise, riseExponent)), 1/areaExponent) * (mil * mil), nil // [W8]
}

// TrackRise returns by how much a current warms a track, K; see TrackCurrent.
func (l Layer) TrackRise(current, area float64) (float64, error) {
	if err := check(aCurrent(current), anArea(area)); err != nil {
		return 0, err
	}
	return numeric.Pow(current/(l.factor()*numeric.Pow(area/(mil*mil), areaExponent)), 1/riseExponent), nil // [W8]
}

// TrackDoubt says why the fit should not be relied on, or "" within its range: 35 A, 10 to 100 K,
// 400 mil (10.16 mm).
//
//	current  A
//	rise     K
//	width    m
func TrackDoubt(current, rise, width float64) string {
	var out []string
	if !(current <= 35) {
		out = append(out, "35 A")
	}
	if !(rise >= 10 && rise <= 100) {
		out = append(out, "10 to 100 K")
	}
	if !(width <= 400*mil) {
		out = append(out, "10.16 mm of width")
	}
	if len(out) == 0 {
		return ""
	}
	return "outside of what the charts were fitted for (" + strings.Join(out, ", ") + "): measure the rise"
}

func aRise(v float64) bound {
	return bound{"rise", v, quantity.TemperatureDifference, tiny, 1060, "a rise above 0 K and below the melting of copper"}
}
