package conductor

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Insulation is what a wire is covered with.
type Insulation struct {
	Name  string
	Limit float64 // largest temperature of the conductor in use, K
	Short float64 // largest at the end of a short circuit of up to 5 s, K
}

// Insulations, by IEC 60364-5-52 Table 52.1 and IEC 60364-4-43 Table 43A (silicone from IEC 60245-3 and
// IEC 60364-5-54): 70 and 160 °C, 90 and 250 °C, 180 and 350 °C.
var (
	PVC      = Insulation{"pvc", 70 + zeroCelsius, 160 + zeroCelsius}
	XLPE     = Insulation{"xlpe", 90 + zeroCelsius, 250 + zeroCelsius}
	Silicone = Insulation{"silicone", 180 + zeroCelsius, 350 + zeroCelsius}
)

// InsulationNamed returns an insulation by its name: pvc, xlpe, silicone.
func InsulationNamed(name string) (Insulation, error) {
	var known []string
	for _, in := range []Insulation{PVC, XLPE, Silicone} {
		if in.Name == name {
			return in, nil
		}
		known = append(known, in.Name)
	}
	return Insulation{}, fmt.Errorf("%q: no such insulation; want %s", name, strings.Join(known, ", "))
}

// Free is one insulated round wire, horizontal and alone in still air.
type Free struct {
	Area  float64 // of the copper, m²
	Class Class   // 0 is Class5

	// What follows may be 0 for a usual value.
	Outer        float64 // diameter over the insulation, m; 0: OuterDiameter(Area)
	Conductivity float64 // of the insulation, W/(m·K); 0: 0.17, about that of pvc (estimate)
	Emissivity   float64 // of its surface; 0: 0.9, that of plastics (estimate)
	Pressure     float64 // of the air, Pa; 0: 101325
}

// Warm is a wire in its steady state.
type Warm struct {
	Conductor, Surface float64 // K
	Loss               float64 // W of each metre
	Basis              Basis   // of the resistance
}

// OuterDiameter returns the usual diameter over the insulation of a single flexible wire, m: a bunch of strands that
// fills 3/4 of its circle (estimate), and the insulation thickness of IEC 60227-3 (from memory): 0.6 mm up
// to 1 mm², 0.7 mm up to 1.5, 0.8 mm up to 6, 1.0 mm up to 16, 1.2 mm up to 35, above 1.4 mm.
// Thin-walled wires of vehicles are slimmer.
func OuterDiameter(area float64) float64 {
	thick := 1.4e-3
	for _, row := range [...]struct{ area, thick float64 }{{35e-6, 1.2e-3}, {16e-6, 1e-3}, {6e-6, 0.8e-3}, {1.5e-6, 0.7e-3}, {1e-6, 0.6e-3}} {
		if area <= row.area*(1+1e-9) {
			thick = row.thick
		}
	}
	return bunch(area) + 2*thick
}

// bunch is the diameter of the bare strands.
func bunch(area float64) float64 { return math.Sqrt(4 * area / (math.Pi * 0.75)) }

func (w Free) usual() Free {
	if w.Class == 0 {
		w.Class = Class5
	}
	if w.Outer == 0 {
		w.Outer = OuterDiameter(w.Area)
	}
	if w.Conductivity == 0 {
		w.Conductivity = 0.17
	}
	if w.Emissivity == 0 {
		w.Emissivity = 0.9
	}
	if w.Pressure == 0 {
		w.Pressure = 101325
	}
	return w
}

func (w Free) check(ambient float64) error {
	air := aTemperature("ambient", ambient)
	air.low, air.top, air.want = 203.15, 473.15, "an ambient from -70 to 200 °C"
	if err := check(anArea(w.Area), air,
		bound{"conductivity", w.Conductivity, quantity.ThermalConductivity, 1e-3, 1e3, "0.001 to 1000 W/(m·K)"},
		bound{"emissivity", w.Emissivity, quantity.Ratio, 0, 1, "0 to 1"},
		bound{"pressure", w.Pressure, quantity.Pressure, 1e4, 2e5, "100 to 2000 hPa"}); err != nil {
		return err
	}
	d := aLength("outer", w.Outer)
	d.low, d.want = math.Sqrt(4*w.Area/math.Pi), "a diameter that holds the copper"
	return check(d)
}

// cooling returns the heat that a metre of the surface gives off at a temperature, W/m.
func (w Free) cooling(surface, ambient float64) float64 {
	const sigma = 5.670374e-8 // W/(m²·K⁴), CODATA 2018
	if surface <= ambient {
		return 0
	}
	h := cylinder(surface, ambient, w.Outer, w.Pressure)
	radiation := w.Emissivity * sigma * (surface*surface + ambient*ambient) * (surface + ambient)
	return math.Pi * w.Outer * (h + radiation) * (surface - ambient) // [W9]
}

// cylinder returns the coefficient of free convection of a horizontal cylinder, W/(m²·K).
// Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975), p. 1049: Ra to 10^12.
func cylinder(surface, ambient, diameter, pressure float64) float64 {
	const g, cp, gas = 9.80665, 1006.0, 287.05 // m/s², J/(kg·K), J/(kg·K)
	film := (surface + ambient) / 2
	root := film / 273 * math.Sqrt(film/273)
	viscosity := 1.716e-5 * root * (273 + 111) / (film + 111) // Sutherland; constants of White, Viscous Fluid Flow, from memory
	conductivity := 0.0241 * root * (273 + 194) / (film + 194)
	density := pressure / (gas * film)
	prandtl := viscosity * cp / conductivity
	kinematic := viscosity / density
	rayleigh := g / film * (surface - ambient) * diameter * diameter * diameter / (kinematic * kinematic) * prandtl
	shape := numeric.Pow(1+numeric.Pow(0.559/prandtl, 9.0/16), -8.0/27)
	nusselt := 0.60 + 0.387*numeric.Pow(rayleigh, 1.0/6)*shape // [W10]
	return nusselt * nusselt * conductivity / diameter
}

// inside returns the thermal resistance of a metre of insulation, K·m/W.
func (w Free) inside() float64 {
	core := min(bunch(w.Area), w.Outer)
	return numeric.Log(w.Outer/core) / (2 * math.Pi * w.Conductivity) // [W11]
}

// Ampacity returns the current that holds the conductor at a temperature.
//
//	limit    of the conductor, K, such as PVC.Limit; above the ambient
//	ambient  K; -70 to 200 °C
//
// The result is in A. It holds for one wire alone in still air: touching its return wire it carries
// about a tenth less, in a bundle 0.7 of it (common practice).
func (w Free) Ampacity(limit, ambient float64) (float64, Basis, error) {
	w = w.usual()
	if err := w.check(ambient); err != nil {
		return 0, 0, err
	}
	if err := check(aTemperature("limit", limit)); err != nil {
		return 0, 0, err
	}
	if !(limit > ambient) {
		return 0, 0, fmt.Errorf("ambient: %.4g °C is not below the limit of the wire, %.4g °C; want a cooler place or another insulation",
			ambient-zeroCelsius, limit-zeroCelsius)
	}
	ohms, basis, err := Resistance(w.Area, 1, w.Class, limit)
	if err != nil {
		return 0, 0, err
	}
	inside := w.inside()
	surface, err := numeric.FindRoot(func(s float64) float64 { return s + w.cooling(s, ambient)*inside - limit }, ambient, limit, 1e-9)
	return math.Sqrt(w.cooling(surface, ambient) / ohms), basis, err // [W12]
}

// Steady returns the temperatures of the wire at a current.
//
//	current  A; ≥ 0
//	ambient  K; -70 to 200 °C
//
// The error is ErrNoSteadyState where copper would melt before.
func (w Free) Steady(current, ambient float64) (Warm, error) {
	w = w.usual()
	c := aCurrent(current)
	c.low, c.want = 0, "a current of 0 or more"
	if err := check(c); err != nil {
		return Warm{}, err
	}
	if err := w.check(ambient); err != nil {
		return Warm{}, err
	}
	cold, basis, err := Resistance(w.Area, 1, w.Class, 20+zeroCelsius)
	if err != nil {
		return Warm{}, err
	}
	inside := w.inside()
	loss := func(t float64) float64 { return current * current * cold * CopperFactor(t) }
	surplus := func(t float64) float64 { // [W12]
		p := loss(t)
		return p - w.cooling(t-p*inside, ambient)
	}
	if surplus(CopperMelting) >= 0 {
		return Warm{}, ErrNoSteadyState
	}
	t, err := numeric.FindRoot(surplus, ambient, CopperMelting, 1e-9)
	p := loss(t)
	return Warm{Conductor: t, Surface: t - p*inside, Loss: p, Basis: basis}, err
}
