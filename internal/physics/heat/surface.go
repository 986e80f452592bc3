package heat

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// A Face is one part of a surface.
type Face struct {
	Orientation Orientation
	Length      float64 // characteristic, m
	Area        float64 // m²
}

// A Surface is what a body shows to the air around it. The zero value gives no heat.
type Surface struct {
	Faces      []Face
	Pressure   float64 // of the air, Pa; 0 means SeaLevel
	Emissivity float64 // 0..1; 0 leaves radiation out
	Radiating  float64 // area that radiates, m²
	Mount      float64 // through what it is mounted on, W/K
	Gap        float64 // of the air before it, m: conduction over it is the least that passes; 0 means open
	Factor     float64 // on convection, for doubt; 0 means 1
	Absorbed   float64 // heat of the sun on it at 1 W/m², m²: absorptance × projected area
}

// Flow is the heat that a surface gives off, by way.
type Flow struct {
	Convection, Radiation, Mount float64 // W
}

// Total is the sum of the ways.
func (f Flow) Total() float64 { return f.Convection + f.Radiation + f.Mount }

// Flow returns the heat from a surface at ts to air and surroundings at ta, K.
func (s *Surface) Flow(ts, ta float64) Flow {
	q, _ := s.convection(ts, ta)
	r, _ := Radiation{Area: s.Radiating, Factor: s.Emissivity}.Heat(ts, ta)
	return Flow{q, r, s.Mount * (ts - ta)}
}

// Heat returns the heat from the surface to the air and its slope over ts, W and W/K.
func (s *Surface) Heat(ts, ta float64) (q, slope float64) {
	q, slope = s.convection(ts, ta)
	r, rs := Radiation{Area: s.Radiating, Factor: s.Emissivity}.Heat(ts, ta)
	return q + r + s.Mount*(ts-ta), slope + rs + s.Mount
}

// convection adds the faces; the slope has the growth of each Nusselt number and, to first order,
// that of the air's properties.
func (s *Surface) convection(ts, ta float64) (q, slope float64) {
	if len(s.Faces) == 0 {
		return 0, 0
	}
	film := (ts + ta) / 2
	air := AirAt(film, s.pressure())
	rise := math.Abs(ts - ta)
	sign := math.Copysign(1, ts-ta)
	drift := 0.0 // of the air's properties with ts: half of its change is the film's
	if film > coldestFilm && film < hottestFilm {
		drift = sign * rise / film
	}
	for i := range s.Faces {
		f := &s.Faces[i]
		ra := air.Rayleigh(Gravity, rise, f.Length)
		nu, n := nusselt(turned(f.Orientation, sign < 0), ra, air.Prandtl)
		h := nu * air.Conductivity / f.Length
		grow := h * (1 + n - drift*(2.2*n-0.4)) // Ra goes as film^-4.4, k as film^0.8
		if least := s.least(air); h < least {
			h, grow = least, least
		}
		q += h * f.Area
		slope += grow * f.Area
	}
	factor := s.factor()
	return factor * q * sign * rise, factor * slope
}

// least is the coefficient of conduction over the gap.
func (s *Surface) least(air Air) float64 {
	if s.Gap <= 0 {
		return 0
	}
	return air.Conductivity / s.Gap
}

func (s *Surface) pressure() float64 {
	if s.Pressure == 0 {
		return SeaLevel
	}
	return s.Pressure
}

func (s *Surface) factor() float64 {
	if s.Factor == 0 {
		return 1
	}
	return s.Factor
}

// ErrTooHot says that a surface would be above MaxTemperature.
var ErrTooHot = errors.New("no temperature below 3000 K carries the heat away; want less heat or more surface")

// MaxTemperature is the highest temperature looked at, K: no part exists there.
const MaxTemperature = 3000

// Temperature returns the temperature at which the surface gives off p and what the sun brings.
//
//	p     W, ≥ 0
//	ta    air and surroundings, K
//	sun   irradiance on its projected area, W/m²
//
// The error is ErrTooHot or names a p or ta that cannot be.
func (s *Surface) Temperature(p, ta, sun float64) (float64, error) {
	if err := CheckAmbient(ta); err != nil {
		return 0, err
	}
	in := p + sun*s.Absorbed
	if !(in >= 0 && in <= math.MaxFloat64) {
		return 0, fmt.Errorf("heat of %g W; want 0 or more", in)
	}
	excess := func(t float64) float64 { q, _ := s.Heat(t, ta); return q - in }
	if in == 0 {
		return ta, nil
	}
	if excess(MaxTemperature) < 0 {
		return 0, ErrTooHot
	}
	return numeric.FindRoot(excess, ta, MaxTemperature, 1e-10)
}

// Radiation is the exchange between two grey surfaces.
type Radiation struct {
	Area   float64 // m²
	Factor float64 // emissivity of a small body in large surroundings, or Between
}

// Heat returns σ·F·A·(Ts⁴ − Ta⁴) [H11] and its slope over ts.
func (r Radiation) Heat(ts, ta float64) (q, slope float64) {
	c := StefanBoltzmann * r.Factor * r.Area
	return c * (ts - ta) * (ts + ta) * (ts*ts + ta*ta), 4 * c * ts * ts * ts
}

// RadiationCoefficient returns ε·σ·(Ts + Ta)·(Ts² + Ta²) in W/(m²·K) [H12].
func RadiationCoefficient(emissivity, ts, ta float64) float64 {
	return emissivity * StefanBoltzmann * (ts + ta) * (ts*ts + ta*ta)
}

// Between returns the exchange factor of a convex body inside another surface, on the body's area [H13].
//
//	e1, e2  emissivities, > 0
//	ratio   area of the body over that around it, 0..1; 1 for parallel plates
//
// Source: Incropera, table 13.3; 0 if either emissivity is.
func Between(e1, e2, ratio float64) float64 {
	if e1 <= 0 || e2 <= 0 {
		return 0
	}
	return 1 / (1/e1 + ratio*(1/e2-1))
}

// Shielded returns the exchange factor of parallel plates with thin shields between them, each with the
// same emissivity on both sides [H14]. Source: Incropera eq. 13.28.
func Shielded(e1, e2 float64, shields ...float64) float64 {
	sum := 1 / Between(e1, e2, 1)
	for _, e := range shields {
		sum += 2/e - 1
	}
	return 1 / sum
}

// Coefficient returns the mean coefficient of convection over the faces, W/(m²·K).
func (s *Surface) Coefficient(ts, ta float64) float64 {
	area, sum := 0.0, 0.0
	air := AirAt((ts+ta)/2, s.pressure())
	for _, f := range s.Faces {
		h := max(Convect(f.Orientation, f.Length, ts, ta, air).Coefficient, s.least(air))
		area, sum = area+f.Area, sum+h*f.Area
	}
	if area == 0 {
		return 0
	}
	return s.factor() * sum / area
}
