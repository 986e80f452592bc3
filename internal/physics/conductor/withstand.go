package conductor

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/numeric"
)

// Material is a metal of conductors.
type Material struct {
	Name          string
	Beta          float64 // K: reciprocal of the temperature coefficient of resistance at 0 °C
	HeatCapacity  float64 // J/(K·m³) at 20 °C
	Resistivity20 float64 // Ω·m at 20 °C
	Melting       float64 // K
}

// CopperMelting is the melting point of copper that the fusing formula uses, K: 1083 °C.
const CopperMelting = 1083 + zeroCelsius

// Constants of IEC 60949 Table 1 (also IEC 60364-5-54 Table A.54.1); melting points from handbooks.
var (
	Copper    = Material{"copper", 234.5, 3.45e6, 1.7241e-8, CopperMelting}
	Aluminium = Material{"aluminium", 228, 2.5e6, 2.8264e-8, 660 + zeroCelsius}
	Steel     = Material{"steel", 202, 3.8e6, 1.38e-7, 1500 + zeroCelsius}
	Lead      = Material{"lead", 230, 1.45e6, 2.14e-7, 327 + zeroCelsius}
)

var materials = []Material{Copper, Aluminium, Steel, Lead}

// MaterialNamed returns a metal by its name: copper, aluminium, steel, lead.
func MaterialNamed(name string) (Material, error) {
	var known []string
	for _, m := range materials {
		if m.Name == name {
			return m, nil
		}
		known = append(known, m.Name)
	}
	return Material{}, fmt.Errorf("%q: no such material; want %s", name, strings.Join(known, ", "))
}

// Longest is the longest heating that counts as adiabatic, s (IEC 60364-4-43, 434.5.2).
const Longest = 5.0

// K returns the factor of adiabatic heating between two temperatures.
//
//	from, to  K; from < to, both between -200 °C and the melting point
//
// The result is in A·s^½/m²: a conductor of area S that carries I for t from the first
// to the second has I²t = k²S². Source: IEC 60949 eq. for adiabatic heating; IEC 60364-5-54 Annex A.
func (m Material) K(from, to float64) (k float64, err error) {
	for _, b := range []bound{aTemperature("from", from), aTemperature("to", to)} {
		b.top, b.want = m.Melting, fmt.Sprintf("a temperature from -200 °C to the melting point of %s, %.0f °C", m.Name, m.Melting-zeroCelsius)
		if err := check(b); err != nil {
			return 0, err
		}
	}
	if !(from < to) {
		return 0, fmt.Errorf("to: %.4g °C is not above %.4g °C; want the end above the beginning", to-zeroCelsius, from-zeroCelsius)
	}
	i, f := from-zeroCelsius, to-zeroCelsius
	return math.Sqrt(m.HeatCapacity * (m.Beta + 20) / m.Resistivity20 * numeric.Log((m.Beta+f)/(m.Beta+i))), nil // [W4]
}

// Integral returns the ∫I²dt that heats a conductor of an area from one temperature to another, A²s.
func (m Material) Integral(area, from, to float64) (float64, error) {
	if err := check(anArea(area)); err != nil {
		return 0, err
	}
	k, err := m.K(from, to)
	return k * k * area * area, err // [W5]
}

// Time returns how long a current takes to heat a conductor from one temperature to another, s.
//
//	area     m²; > 0
//	current  A; > 0
//
// The error is ErrNotAdiabatic for more than 5 s.
func (m Material) Time(area, current, from, to float64) (float64, error) {
	if err := check(aCurrent(current)); err != nil {
		return 0, err
	}
	integral, err := m.Integral(area, from, to)
	if err != nil {
		return 0, err
	}
	t := integral / current / current // [W5]
	if t > Longest {
		return 0, ErrNotAdiabatic
	}
	return t, nil
}

// Area returns the least cross-section that a current heats no further within a time, m².
// The error is ErrNotAdiabatic for more than 5 s.
func (m Material) Area(current, time, from, to float64) (float64, error) {
	if err := check(aCurrent(current), aTime(time)); err != nil {
		return 0, err
	}
	k, err := m.K(from, to)
	if err == nil && time > Longest {
		err = ErrNotAdiabatic
	}
	if err != nil {
		return 0, err
	}
	return current * math.Sqrt(time) / k, nil // [W5]
}

// circularMil is the area of a circle of a thousandth of an inch in diameter, m².
const circularMil = math.Pi / 4 * mil * mil

// fusing returns I²t/A² of copper until it melts, A²·s/m⁴.
func fusing(ambient float64) float64 {
	ta := ambient - zeroCelsius
	perMil := numeric.Log(1+(1083-ta)/(234+ta)) / math.Ln10 / 33 // [W6]
	return perMil / (circularMil * circularMil)
}

// FusingCurrent returns the current that melts a copper conductor in a time.
//
//	area     m²; > 0
//	time     s; > 0
//	ambient  K; the temperature at the start
//
// The result is in A; the error is ErrNotAdiabatic for more than 5 s. Source: Onderdonk's equation as in
// Stauffacher, General Electric Review 31 (1928); some copies have 234 − Ta by mistake.
func FusingCurrent(area, time, ambient float64) (float64, error) {
	if err := check(anArea(area), aTime(time), aTemperature("ambient", ambient)); err != nil {
		return 0, err
	}
	if time > Longest {
		return 0, ErrNotAdiabatic
	}
	return area * math.Sqrt(fusing(ambient)/time), nil
}

// FusingTime returns how long a current takes to melt a copper conductor, s; see FusingCurrent.
func FusingTime(area, current, ambient float64) (float64, error) {
	if err := check(anArea(area), aCurrent(current), aTemperature("ambient", ambient)); err != nil {
		return 0, err
	}
	t := fusing(ambient) * (area / current) * (area / current)
	if t > Longest {
		return 0, ErrNotAdiabatic
	}
	return t, nil
}

// SteadyFusing returns the current that melts a round copper wire in still air in the end, however long it takes.
//
//	area     m²; > 0
//
// The result is in A, some tenths to either side by mounting and length. Source: Preece, Proceedings of the Royal Society 36 (1884),
// 80 A for 1 mm, from memory.
func SteadyFusing(area float64) (float64, error) {
	if err := check(anArea(area)); err != nil {
		return 0, err
	}
	diameter := math.Sqrt(4 * area / math.Pi)
	return preece * diameter * math.Sqrt(diameter), nil // [W16]
}

const preece = 80 / 1e-3 / 0.03162277660168379 // A/m^1.5: 80 A for a diameter of 1 mm
