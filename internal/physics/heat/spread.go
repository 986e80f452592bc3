package heat

import (
	"math"

	"hindwatt/internal/numeric"
)

// CopperCoverage is the share of one side of a board that is joined copper around a part. Estimate.
const CopperCoverage = 0.6

// SheetConductance returns k·t of a board along its plane, W/K: copper of a thickness on CopperCoverage of it, and laminate [H23].
func SheetConductance(copper float64) float64 {
	return CopperCoverage*CopperConductivity*copper + LaminateConductivity*LaminateThickness
}

// SpreadingLength returns √(k·t/h), m: copper further from a part hardly helps [H24].
func SpreadingLength(sheet, h float64) float64 { return math.Sqrt(sheet / h) }

// SpreadingResistance returns by how many K/W the part's place on a board is hotter than the mean of the board.
//
//	sheet   k·t along the plane, W/K
//	h       from both sides together to what is around, W/(m²·K); > 0
//	source  area of the part, m²
//	board   area of the board, m²
//
// The board is a round sheet of even temperature through its thickness, the part a round spot in its middle that gives its heat
// evenly: a fin with Bessel functions, no heat at the rim; the mean over the spot. 0 if the part covers the board.
// Source: annular fin, Incropera sec. 3.6.4, with a heated spot.
func SpreadingResistance(sheet, h, source, board float64) float64 {
	if source >= board {
		return 0
	}
	a, b := math.Sqrt(source/math.Pi), math.Sqrt(board/math.Pi)
	m := 1 / SpreadingLength(sheet, h)
	i1b, k1b := besselI1(m*b), besselK1(m*b)
	// Outside the spot θ = A·(I0(mr)·K1(mb) + K0(mr)·I1(mb)), inside θ = q/h + C·I0(mr), equal with their slopes at a.
	outer := besselI0(m*a)*k1b + besselK0(m*a)*i1b
	slope := besselI1(m*a)*k1b - besselK1(m*a)*i1b
	q := 1 / source
	c := q / h * slope / (outer*besselI1(m*a) - besselI0(m*a)*slope)
	mean := q/h + c*2*besselI1(m*a)/(m*a) // [H25]
	return max(0, mean-1/(h*board))
}

// The modified Bessel functions: Abramowitz and Stegun, 9.8.1 to 9.8.8, within 2e-7 (relative
// to the leading factor).

func besselI0(x float64) float64 {
	if x <= 3.75 {
		y := x * x / (3.75 * 3.75)
		return 1 + y*(3.5156229+y*(3.0899424+y*(1.2067492+y*(0.2659732+y*(0.0360768+y*0.0045813)))))
	}
	y := 3.75 / x
	return numeric.Exp(min(x, 700)) / math.Sqrt(x) * (0.39894228 + y*(0.01328592+y*(0.00225319+y*(-0.00157565+y*(0.00916281+
		y*(-0.02057706+y*(0.02635537+y*(-0.01647633+y*0.00392377))))))))
}

func besselI1(x float64) float64 {
	if x <= 3.75 {
		y := x * x / (3.75 * 3.75)
		return x * (0.5 + y*(0.87890594+y*(0.51498869+y*(0.15084934+y*(0.02658733+y*(0.00301532+y*0.00032411))))))
	}
	y := 3.75 / x
	return numeric.Exp(min(x, 700)) / math.Sqrt(x) * (0.39894228 + y*(-0.03988024+y*(-0.00362018+y*(0.00163801+y*(-0.01031555+
		y*(0.02282967+y*(-0.02895312+y*(0.01787654-y*0.00420059))))))))
}

func besselK0(x float64) float64 {
	if x <= 2 {
		y := x * x / 4
		return -numeric.Log(x/2)*besselI0(x) - 0.57721566 + y*(0.42278420+y*(0.23069756+y*(0.03488590+y*(0.00262698+y*(0.00010750+y*0.00000740)))))
	}
	y := 2 / x
	return numeric.Exp(-x) / math.Sqrt(x) * (1.25331414 + y*(-0.07832358+y*(0.02189568+y*(-0.01062446+y*(0.00587872+y*(-0.00251540+y*0.00053208))))))
}

func besselK1(x float64) float64 {
	if x <= 2 {
		y := x * x / 4
		return numeric.Log(x/2)*besselI1(x) + (1+y*(0.15443144+y*(-0.67278579+y*(-0.18156897+y*(-0.01919402+y*(-0.00110404-y*0.00004686))))))/x
	}
	y := 2 / x
	return numeric.Exp(-x) / math.Sqrt(x) * (1.25331414 + y*(0.23498619+y*(-0.03655620+y*(0.01504268+y*(-0.00780353+y*(0.00325614-y*0.00068245))))))
}

// A Lead is a wire that leads heat out of an enclosure into the air around it.
type Lead struct {
	Area     float64 // of its copper, m²
	Diameter float64 // outside, m; 0 means that of bare copper of that area
	Length   float64 // m
}

// Conductance returns what a lead carries away for each kelvin at its root, √(h·P·k·A)·tanh(m·L) [H26], W/K.
//
//	ambient   K, at which h is taken, with LeadRise above it
//	pressure  of the air, Pa
//
// h is that of a level cylinder and of radiation at an emissivity of 0.9; the insulation's own resistance and the
// heat that the current makes in the wire are left out. Source: Incropera eq. 3.76 (fin without heat at its tip).
func (l Lead) Conductance(ambient, pressure float64) float64 {
	if l.Area <= 0 || l.Length <= 0 {
		return 0
	}
	d := max(l.Diameter, math.Sqrt(4*l.Area/math.Pi))
	ts := ambient + LeadRise
	h := Convect(HorizontalCylinder, d, ts, ambient, AirAt((ts+ambient)/2, pressure)).Coefficient +
		RadiationCoefficient(0.9, ts, ambient)
	side, ka := h*math.Pi*d, CopperConductivity*l.Area
	return math.Sqrt(side*ka) * tanh(math.Sqrt(side/ka)*l.Length)
}

// LeadRise is the rise at which the surface of a lead is taken, K. Estimate; h changes by some 15 % from 10 to 40 K.
const LeadRise = 20

func tanh(x float64) float64 {
	if x > 20 {
		return 1
	}
	e := numeric.Exp(2 * x)
	return (e - 1) / (e + 1)
}
