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
	topF, topR   float64 // exponents from which on the curves are straight
	plain        bool    // an exponential and a conductance only
}

// ready computes what follows from the values.
func (j *junction) ready() {
	if j.is > 0 {
		j.pva = 1 / j.va
		j.is0 = j.is * numeric.Exp(-j.vf*j.pva)
		j.topF = numeric.Log(straightFrom / j.is)
		j.critF = max(0, j.va*numeric.Log(j.va/(math.Sqrt2*j.is)))
	}
	if j.ir > 0 {
		j.pvb = 1 / j.vb
		j.ir0 = j.ir * numeric.Exp(-j.vr*j.pvb)
		j.topR = numeric.Log(straightFrom / j.ir)
		j.critR = max(0, j.vb*numeric.Log(j.vb/(math.Sqrt2*j.ir)))
	}
	if j.leak > 0 {
		j.slope0 = j.leak * j.power * j.leak0 / thermal
	}
	j.plain = j.ir == 0 && j.leak == 0 && j.draw == 0 && j.is > 0
}

// straightFrom is the current in A from which on an exponential goes on as its tangent: no junction lives to
// carry more, and an ideal source laid across one overflows nothing.
const straightFrom = 1e6

// at returns current and slope at junction voltage u.
func (j *junction) at(u float64) (i, g float64) {
	i, g = float64(j.g*u)-j.photo, j.g
	if j.is > 0 {
		e, de := rise(u*j.pva, j.vf*j.pva, j.topF, j.is, j.is0)
		i += e // [C1], [C4]
		g += float64(de * j.pva)
	}
	if j.plain {
		return i, g
	}
	if j.ir > 0 {
		e, de := rise(-u*j.pvb, j.vr*j.pvb, j.topR, j.ir, j.ir0)
		i -= e // [C3]
		g += float64(de * j.pvb)
	}
	if j.leak > 0 {
		e, de := j.leakage(u)
		i += e
		g += de
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

// straight reports whether u lies on a tangent instead of an exponential.
func (j *junction) straight(u float64) bool {
	return j.is > 0 && (u-j.vf)*j.pva > j.topF || j.ir > 0 && (-u-j.vr)*j.pvb > j.topR
}

// near is up to where differences of almost equal numbers are taken as series.
const near = 1e-3

// rise returns is·(e^(x−from) − e^−from) and is·e^(x−from), along the tangent beyond top; is0 = is·e^−from.
func rise(x, from, top, is, is0 float64) (y, slope float64) {
	if math.Abs(x) < near {
		y = is0 * (x + float64(x*x)*(0.5+float64(x*(1.0/6+float64(x*(1.0/24+float64(x*(1.0/120))))))))
		return y, is0 + y
	}
	if x-from > top {
		slope = is * numeric.Exp(top)
		return slope + float64(slope*(x-from-top)) - is0, slope
	}
	slope = is * numeric.Exp(x-from)
	return slope - is0, slope
}

// leakage returns [C2] at u, and its slope.
func (j *junction) leakage(u float64) (i, g float64) {
	if u >= 0 {
		return float64(j.slope0 * u), j.slope0
	}
	t, m := -u/thermal, j.power
	if t < near {
		i = -j.leak * j.leak0 * m * t * (1 + float64(float64((m-1)*t)*(0.5+float64((m-2)*t*(1.0/6)))))
		return i, j.slope0 * (1 + float64((m-1)*t))
	}
	w := numeric.Pow(thermal-u, m)
	return -j.leak * (w - j.leak0), j.leak * m * w / (thermal - u)
}

// limited returns the junction voltage to go to from old when the linear step leads to u.
func (j *junction) limited(u, old float64) float64 {
	if j.is > 0 {
		if x := u - j.vf; x > j.critF {
			u = j.vf + limit(x, old-j.vf, j.va, j.critF, j.topF)
		}
	}
	if j.ir > 0 {
		if x := -u - j.vr; x > j.critR {
			u = -j.vr - limit(x, -old-j.vr, j.vb, j.critR, j.topR)
		}
	}
	// The current of a load is steepest at half its fade: from there Newton's steps fall short on both sides.
	if half := j.fade / 2; half > 0 && (u > half) != (old > half) && u != half && old != half {
		u = half
	}
	return u
}

// limit bounds a step up an exponential of scale a: beyond crit the step is taken in the current instead of
// the voltage, since the current is what the step's line foretells (Nagel, memorandum ERL-M520, 1975, section 4.3).
func limit(x, old, a, crit, top float64) float64 {
	if math.Abs(x-old) <= 2*a || old > a*top {
		return x
	}
	if old < crit-a {
		return crit
	}
	if up := (x - old) / a; up > 0 {
		return old + a*numeric.Log(1+up)
	}
	return x
}
