package heat

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

const (
	// Gravity is the standard acceleration of free fall, m/s² (CGPM 1901).
	Gravity = 9.80665
	// StefanBoltzmann is σ, W/(m²·K⁴) (CODATA 2018).
	StefanBoltzmann = 5.670374419e-8
	// SeaLevel is the standard pressure of air, Pa (ISO 2533).
	SeaLevel = 101325.0
	// Celsius0 is 0 °C in K.
	Celsius0 = 273.15
)

// MinAmbient and MaxAmbient bound the ambient that is accepted, K: -60..150 °C.
const (
	MinAmbient = Celsius0 - 60
	MaxAmbient = Celsius0 + 150
)

// Air has the properties of a gas at the temperature of the film around a body.
type Air struct {
	Conductivity float64 // W/(m·K)
	Viscosity    float64 // kinematic, m²/s
	Diffusivity  float64 // thermal, m²/s
	Prandtl      float64
	Expansion    float64 // 1/K
}

// Pressure returns the pressure of the standard atmosphere at an altitude, in Pa.
//
//	altitude  above the sea, m, -500..11000; beyond, the nearest end
//
// Source: ISO 2533 (US Standard Atmosphere 1976), troposphere.
func Pressure(altitude float64) float64 {
	const radius = 6356766
	z := min(max(altitude, -500), 11000)
	h := radius * z / (radius + z)                             // geopotential
	return SeaLevel * numeric.Pow(1-0.0065*h/288.15, 5.255876) // [H1]
}

// The range of the fits of AirAt, K.
const (
	coldestFilm = 200
	hottestFilm = 800
)

// AirAt returns the properties of dry air.
//
//	t         film temperature, K; fitted for 200..800, the nearest end is taken beyond
//	pressure  Pa, > 0
//
// Within 1 % of the tables of Incropera, app. A.4, for 250..500 K. Sources: viscosity and
// conductivity US Standard Atmosphere 1976, eq. 51 and 53; heat capacity Irvine and Liley, Steam and
// Gas Tables with Computer Equations, 1984 (from memory); density of an ideal gas.
func AirAt(t, pressure float64) Air {
	const gas = 287.053 // J/(kg·K)
	t = min(max(t, coldestFilm), hottestFilm)
	t32 := t * math.Sqrt(t)
	mu := 1.458e-6 * t32 / (t + 110.4)                                               // [H2]
	k := 2.64638e-3 * t32 / (t + 245.4*numeric.Exp(-27.631021115928547/t))           // [H3], 10^(-12/T)
	cp := 1034.09 + t*(-0.2848870+t*(0.7816818e-3+t*(-0.4970786e-6+t*0.1077024e-9))) // [H4]
	volume := gas * t / pressure                                                     // of 1 kg
	return Air{Conductivity: k, Viscosity: mu * volume, Diffusivity: k * volume / cp, Prandtl: mu * cp / k, Expansion: 1 / t}
}

// Rayleigh returns g·β·ΔT·L³/(ν·α) [H5].
func (a Air) Rayleigh(gravity, rise, length float64) float64 {
	return gravity * a.Expansion * rise * length * length * length / (a.Viscosity * a.Diffusivity)
}

// CheckAmbient returns an error for an ambient that nothing here is meant for.
func CheckAmbient(t float64) error {
	if t >= MinAmbient && t <= MaxAmbient {
		return nil
	}
	return fmt.Errorf("ambient of %.4g °C is out of range; want -60..150 °C", t-Celsius0)
}
