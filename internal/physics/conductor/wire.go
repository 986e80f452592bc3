package conductor

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Class is how a copper conductor is stranded, by IEC 60228.
type Class int

const (
	Class2       Class = 2  // stranded, for fixed wiring, plain copper
	Class5       Class = 5  // flexible, plain copper
	Class5Tinned Class = 55 // flexible, tinned copper
)

// Basis is how a resistance was got from the standard's table.
type Basis int

const (
	Printed Basis = iota // the area is in the table: the standard's largest resistance
	Between              // between two areas of the table: interpolated
	Below                // thinner than the thinnest of the table: its resistance × area is kept
	Thicker              // thicker than the thickest: the same
)

// String says it in words that go into a note, "" where the area is in the table.
func (b Basis) String() string {
	return [...]string{"",
		"the area stands between two of IEC 60228, so the resistance is interpolated: give an area of the standard for its own value",
		"the area is below the least of IEC 60228's table used here (0.5 mm²), whose resistance × area is kept: thin strands may have more, so measure it",
		"the area is above the largest of IEC 60228's table used here (120 mm²), whose resistance × area is kept",
	}[b]
}

// printed has the largest resistance at 20 °C in Ω/km (equal to mΩ/m) by area in mm²: IEC 60228:2004, Tables 2 and 3.
var printed = [...]struct{ area, class2, class5, tinned float64 }{
	{0.5, 36.0, 39.0, 40.1}, {0.75, 24.5, 26.0, 26.7}, {1, 18.1, 19.5, 20.0}, {1.5, 12.1, 13.3, 13.7},
	{2.5, 7.41, 7.98, 8.21}, {4, 4.61, 4.95, 5.09}, {6, 3.08, 3.30, 3.39}, {10, 1.83, 1.91, 1.95},
	{16, 1.15, 1.21, 1.24}, {25, 0.727, 0.780, 0.795}, {35, 0.524, 0.554, 0.565}, {50, 0.387, 0.386, 0.393},
	{70, 0.268, 0.272, 0.277}, {95, 0.193, 0.206, 0.210}, {120, 0.153, 0.161, 0.164},
}

// Per20 returns the largest resistance that IEC 60228 allows a conductor of a metre at 20 °C.
//
//	area  nominal cross-section, m²; > 0
//
// The result is in Ω/m. Between two areas of the table log resistance is taken linear in log area; beyond its
// ends resistance × area is kept; basis says which.
func (c Class) Per20(area float64) (perMetre float64, basis Basis, err error) {
	if err := check(anArea(area)); err != nil {
		return 0, 0, err
	}
	if c != Class2 && c != Class5 && c != Class5Tinned {
		return 0, 0, fmt.Errorf("class %d: not known; want 2 or 5", int(c))
	}
	const perMM2, perKm = 1e6, 1e-3
	mm2 := area * perMM2
	last := len(printed) - 1
	for i, row := range printed {
		switch {
		case math.Abs(mm2-row.area) <= 1e-9*row.area:
			return c.row(i) * perKm, Printed, nil
		case mm2 < row.area && i == 0:
			return c.row(0) * perKm * (row.area / mm2), Below, nil
		case mm2 < row.area:
			before := printed[i-1]
			share := numeric.Log(mm2/before.area) / numeric.Log(row.area/before.area)
			return c.row(i-1) * perKm * numeric.Pow(c.row(i)/c.row(i-1), share), Between, nil // [W1]
		}
	}
	return c.row(last) * perKm * (printed[last].area / mm2), Thicker, nil
}

// row returns the printed resistance of a class, Ω/km.
func (c Class) row(i int) float64 {
	switch c {
	case Class2:
		return printed[i].class2
	case Class5Tinned:
		return printed[i].tinned
	}
	return printed[i].class5
}

// copperTempco is the temperature coefficient of resistance of annealed copper at 20 °C, 1/K (IEC 60028).
const copperTempco = 0.00393

// CopperFactor returns the resistance of copper at a temperature over that at 20 °C.
//
//	temperature  K, above -200 °C and below the melting point
//
// Source: IEC 60028 and IEC 60228:2004, α20 = 0.00393 1/K. The latter's Annex B also writes it
// (234.5 + T)/254.5 with T in °C, which is the same to its digits (3e-5 apart at 70 °C).
func CopperFactor(temperature float64) float64 {
	return 1 + float64(copperTempco*(temperature-zeroCelsius-20)) // [W2]
}

// TableFactor returns what a resistance measured at a temperature is multiplied by for 20 °C, by the
// simplified law from which the table of IEC 60228:2004 Annex B is printed; it differs from the
// exact one by 0.3 % at 70 °C.
func TableFactor(temperature float64) float64 {
	return 1 / (1 + 0.004*(temperature-zeroCelsius-20)) // [W3]
}

// Resistance returns the largest resistance of a standard copper conductor.
//
//	area         nominal cross-section, m²; > 0
//	length       of the conductor; of a go and return wire the sum of both, m; ≥ 0
//	temperature  of the copper, K; from -200 °C to its melting point
//
// The result is in Ω. A conductor may have less: the standard bounds the resistance, not the area.
func Resistance(area, length float64, class Class, temperature float64) (ohms float64, basis Basis, err error) {
	l := aLength("length", length)
	l.low, l.want = 0, "a length of 0 or more"
	if err := check(l, aTemperature("temperature", temperature)); err != nil {
		return 0, 0, err
	}
	perMetre, basis, err := class.Per20(area)
	return perMetre * length * CopperFactor(temperature), basis, err
}
