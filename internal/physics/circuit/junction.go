package circuit

import (
	"math"

	"hindwatt/internal/numeric"
)

// junction is the curved part of a branch, without its series resistance:
//
//	i(u) = −photo + is·(exp((u−vf)/va) − exp(−vf/va)) − ir·(exp((−u−vr)/vb) − exp(−vr/vb)) + g·u − leakage(−u) + load(u)
//
// It never falls with u.
type junction struct {
	is, va, vf  float64 // forward
	ir, vb, vr  float64 // reverse
	g           float64
	leak, leak0 float64 // leak·((δ−u)^power − leak0)
	power       float64
	photo       float64
	draw, fade  float64
	rs          float64
	turned      bool // it points from b to a

	is0, ir0     float64 // is·exp(−vf/va), ir·exp(−vr/vb)
	pva, pvb     float64 // 1/va, 1/vb
	critF, critR float64 // beyond, steps are limited
	slope0       float64 // of the leakage at 0
	plain        bool    // an exponential and a conductance only
}

// ready computes what follows from the values.
func (j *junction) ready() {
	if j.is > 0 {
		j.pva = 1 / j.va
		j.is0 = j.is * numeric.Exp(-j.vf*j.pva)
		j.critF = max(0, j.va*numeric.Log(j.va/(math.Sqrt2*j.is)))
	}
	if j.ir > 0 {
		j.pvb = 1 / j.vb
		j.ir0 = j.ir * numeric.Exp(-j.vr*j.pvb)
		j.critR = max(0, j.vb*numeric.Log(j.vb/(math.Sqrt2*j.ir)))
	}
	if j.leak > 0 {
		j.slope0 = j.leak * j.power * j.leak0 / thermal
	}
	j.plain = j.ir == 0 && j.leak == 0 && j.draw == 0 && j.is > 0
}

// steepest is the exponent from which on the exponential goes on as a straight line: no circuit carries e^400
// times a saturation current, and nothing overflows.
const steepest = 400

// at returns current and slope at junction voltage u.
func (j *junction) at(u float64) (i, g float64) {
	if j.plain {
		e, de := rise((u - j.vf) * j.pva)
		e *= j.is
		return e - j.is0 + float64(j.g*u) - j.photo, float64(j.is*de)*j.pva + j.g
	}
	i, g = float64(j.g*u)-j.photo, j.g
	if j.is > 0 {
		e, de := rise((u - j.vf) * j.pva)
		i += float64(j.is*e) - j.is0
		g += float64(j.is*de) * j.pva
	}
	if j.ir > 0 {
		e, de := rise((-u - j.vr) * j.pvb)
		i -= float64(j.ir*e) - j.ir0
		g += float64(j.ir*de) * j.pvb
	}
	if j.leak > 0 {
		if u < 0 {
			w := numeric.Pow(thermal-u, j.power)
			i -= j.leak * (w - j.leak0) // [C2]
			g += j.leak * j.power * w / (thermal - u)
		} else {
			i += float64(j.slope0 * u)
			g += j.slope0
		}
	}
	if j.draw > 0 && u > 0 {
		if x := u / j.fade; x < 1 {
			i += float64(j.draw*float64(x*x)) * (3 - float64(2*x)) // [C5]
			g += float64(6*j.draw*x) * (1 - x) / j.fade
		} else {
			i += j.draw
		}
	}
	return i, g
}

// rise returns e^x and its slope, a straight line beyond steepest.
func rise(x float64) (y, slope float64) {
	if x > steepest {
		y = numeric.Exp(steepest)
		return y + float64(y*(x-steepest)), y
	}
	y = numeric.Exp(x)
	return y, y
}

// limited returns the junction voltage to go to from old when the linear step leads to u.
func (j *junction) limited(u, old float64) float64 {
	if j.is > 0 {
		if x := u - j.vf; x > j.critF {
			u = j.vf + limit(x, old-j.vf, j.va, j.critF)
		}
	}
	if j.ir > 0 {
		if x := -u - j.vr; x > j.critR {
			u = -j.vr - limit(x, -old-j.vr, j.vb, j.critR)
		}
	}
	return u
}

// limit bounds a step up an exponential of scale a: beyond crit the step is taken in the current instead of
// the voltage, since the current is what the step's line foretells (Nagel, SPICE2, 1975, section 4.3).
func limit(x, old, a, crit float64) float64 {
	if math.Abs(x-old) <= 2*a {
		return x
	}
	if old < crit {
		return crit
	}
	if up := (x - old) / a; up > 0 {
		return old + a*numeric.Log(1+up)
	}
	return x
}
