package heat

import (
	"math"

	"hindwatt/internal/numeric"
)

// An Orientation says how a face stands in the air; for horizontal plates, where its outside looks.
type Orientation int

// The orientations with a correlation of their own.
const (
	Vertical           Orientation = iota // length: its height
	FacingUp                              // length: area over perimeter
	FacingDown                            // length: area over perimeter
	HorizontalCylinder                    // length: its diameter
)

// A Film is the free convection of one face.
type Film struct {
	Rayleigh    float64
	Nusselt     float64
	Coefficient float64 // W/(m²·K)
	Inside      bool    // Rayleigh stands in the range for which the correlation was found
}

// Convect returns the free convection of a face in still air of another temperature.
//
//	o         how it stands; a cold face behaves as a hot one that looks the other way
//	length    characteristic length of its orientation, m; > 0
//	ts, ta    face and air, K
//	air       at the mean of both
//
// Equal temperatures give what is left at Ra = 0, without fault; the heat is 0 then.
func Convect(o Orientation, length, ts, ta float64, air Air) Film {
	ra := air.Rayleigh(Gravity, math.Abs(ts-ta), length)
	o = turned(o, ts < ta)
	nu, _ := nusselt(o, ra, air.Prandtl)
	lo, hi := validRayleigh(o)
	return Film{Rayleigh: ra, Nusselt: nu, Coefficient: nu * air.Conductivity / length, Inside: ra >= lo && ra <= hi}
}

// turned exchanges up and down for a face that is colder than the air.
func turned(o Orientation, cold bool) Orientation {
	switch {
	case cold && o == FacingUp:
		return FacingDown
	case cold && o == FacingDown:
		return FacingUp
	}
	return o
}

func validRayleigh(o Orientation) (lo, hi float64) {
	switch o {
	case Vertical:
		return 0.1, 1e12
	case FacingUp:
		return 1e4, 1e11
	case FacingDown:
		return 1e5, 1e10
	}
	return 1e-5, 1e12
}

// nusselt returns Nu and its exponent d ln Nu / d ln Ra.
func nusselt(o Orientation, ra, pr float64) (nu, n float64) {
	switch o {
	case Vertical:
		return plateNusselt(ra, pr)
	case FacingUp:
		return upNusselt(ra)
	case FacingDown:
		return 0.27 * math.Sqrt(math.Sqrt(ra)), 0.25 // [H10]
	}
	return cylinderNusselt(ra, pr)
}

// VerticalPlate returns the mean Nusselt number of a vertical plate by its height: the laminar form
// of Churchill and Chu up to Ra = 1e9, their form for all Ra from 1.5e9, a straight line between the two
// so that heat grows steadily with temperature.
//
// Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; Incropera eq. 9.26, 9.27.
func VerticalPlate(ra, pr float64) float64 { nu, _ := plateNusselt(ra, pr); return nu }

// VerticalPlateAll is the form for all Ra of Churchill and Chu, without the laminar one.
func VerticalPlateAll(ra, pr float64) float64 { nu, _ := plateAll(ra, pr); return nu }

// CylinderNusselt returns the mean Nusselt number of a level cylinder by its diameter, for 1e-5 < Ra < 1e12.
//
// Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; Incropera eq. 9.34.
func CylinderNusselt(ra, pr float64) float64 { nu, _ := cylinderNusselt(ra, pr); return nu }

// PlateUp returns the Nusselt number of a hot plate that looks up, by area over perimeter.
//
// Source: Lloyd and Moran, J. Heat Transfer 96 (1974) 443; Incropera eq. 9.30, 9.31.
func PlateUp(ra float64) float64 { nu, _ := upNusselt(ra); return nu }

// PlateDown returns the Nusselt number of a hot plate that looks down, by area over perimeter.
//
// Source: McAdams, Heat Transmission, 1954; Incropera, 6th ed., eq. 9.32. Later editions have 0.52 Ra^(1/5).
func PlateDown(ra float64) float64 { nu, _ := nusselt(FacingDown, ra, 1); return nu }

func plateNusselt(ra, pr float64) (nu, n float64) {
	return joined(ra, 1e9, 1.5e9, pr, plateLaminar, plateAll)
}

func plateLaminar(ra, pr float64) (nu, n float64) {
	power := 0.670 * math.Sqrt(math.Sqrt(ra)) / power(1+sixteenths9(0.492/pr), 4.0/9) // [H6]
	nu = 0.68 + power
	return nu, 0.25 * power / nu
}

func plateAll(ra, pr float64) (nu, n float64) {
	root := 0.387 * power(ra, 1.0/6) / power(1+sixteenths9(0.492/pr), 8.0/27) // [H7]
	return squared(0.825, root)
}

func cylinderNusselt(ra, pr float64) (nu, n float64) {
	root := 0.387 * power(ra, 1.0/6) / power(1+sixteenths9(0.559/pr), 8.0/27) // [H8]
	return squared(0.60, root)
}

func upNusselt(ra float64) (nu, n float64) {
	return joined(ra, 1e7, 1.5e7, 1, // [H9]
		func(ra, _ float64) (float64, float64) { return 0.54 * math.Sqrt(math.Sqrt(ra)), 0.25 },
		func(ra, _ float64) (float64, float64) { return 0.15 * power(ra, 1.0/3), 1.0 / 3 })
}

// squared returns (c+root)² where root goes with Ra^(1/6).
func squared(c, root float64) (nu, n float64) {
	return (c + root) * (c + root), root / (3 * (c + root))
}

// joined passes from one correlation to the next on a straight line between two Ra.
func joined(ra, from, to, pr float64, low, high func(ra, pr float64) (float64, float64)) (nu, n float64) {
	switch {
	case ra <= from:
		return low(ra, pr)
	case ra >= to:
		return high(ra, pr)
	}
	a, _ := low(from, pr)
	b, _ := high(to, pr)
	slope := (b - a) / (to - from)
	nu = a + slope*(ra-from)
	return nu, slope * ra / nu
}

// sixteenths9 returns x^(9/16).
func sixteenths9(x float64) float64 {
	root := math.Sqrt(x)
	return root * math.Sqrt(math.Sqrt(math.Sqrt(root)))
}

// power returns x^y for x ≥ 0 and y > 0, within some units of the last place, quicker than numeric.Pow.
func power(x, y float64) float64 {
	if x <= 0 {
		return 0
	}
	return numeric.Exp(y * numeric.Log(x))
}

// String says what it is, for messages.
func (o Orientation) String() string {
	return [...]string{"vertical plate", "plate that looks up", "plate that looks down", "level cylinder"}[o]
}
