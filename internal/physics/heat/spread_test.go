package heat

import (
	"math"
	"testing"
)

// Values of Abramowitz and Stegun, table 9.8, from memory; 2e-7 is what the polynomials promise.
func TestBesselFunctions(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"I0(1)", besselI0(1), 1.266065878}, {"I1(1)", besselI1(1), 0.565159104}, {"K0(1)", besselK0(1), 0.421024438}, {"K1(1)", besselK1(1), 0.601907230},
		{"I0(5)", besselI0(5), 27.23987182}, {"I1(5)", besselI1(5), 24.33564214}, {"K0(5)", besselK0(5), 0.003691098}, {"K1(5)", besselK1(5), 0.004044613},
	} {
		near(t, c.name, c.got, c.want, 2e-6*c.want)
	}
	for _, x := range []float64{0.01, 0.5, 1.9, 2.1, 3.7, 3.8, 10} { // Wronskian: I0·K1 + I1·K0 = 1/x
		near(t, "Wronskian", (besselI0(x)*besselK1(x)+besselI1(x)*besselK0(x))*x, 1, 1e-6)
	}
}

// radial solves the sheet in rings, by elimination of a tridiagonal system: independent of the Bessel functions.
func radial(sheet, h, source, board float64) float64 {
	const rings = 4000
	a, b := math.Sqrt(source/math.Pi), math.Sqrt(board/math.Pi)
	dr := b / rings
	diag, rhs, upper := make([]float64, rings), make([]float64, rings), make([]float64, rings)
	for i := range rings {
		in, out := float64(i)*dr, float64(i+1)*dr
		area := math.Pi * (out*out - in*in)
		heated := math.Pi * max(0, math.Min(out, a)*math.Min(out, a)-math.Min(in, a)*math.Min(in, a))
		diag[i], rhs[i] = h*area, heated/source
		if i > 0 {
			diag[i] += 2 * math.Pi * in * sheet / dr
		}
		if i < rings-1 {
			upper[i] = -2 * math.Pi * out * sheet / dr
			diag[i] -= upper[i]
		}
	}
	for i := 1; i < rings; i++ {
		f := upper[i-1] / diag[i-1]
		diag[i], rhs[i] = diag[i]-f*upper[i-1], rhs[i]-f*rhs[i-1]
	}
	mean, theta := 0.0, 0.0
	for i := rings - 1; i >= 0; i-- {
		theta = (rhs[i] - upper[i]*theta) / diag[i]
		in, out := float64(i)*dr, float64(i+1)*dr
		mean += theta * math.Pi * max(0, math.Min(out, a)*math.Min(out, a)-math.Min(in, a)*math.Min(in, a)) / source
	}
	return mean - 1/(h*board)
}

func TestSpreadingMeetsRings(t *testing.T) {
	for _, c := range [][4]float64{{9e-3, 20, 100e-6, 25e-4}, {9e-3, 20, 25e-6, 6e-4}, {20e-3, 10, 100e-6, 100e-4}, {0.5e-3, 20, 100e-6, 40e-4}} {
		got, want := SpreadingResistance(c[0], c[1], c[2], c[3]), radial(c[0], c[1], c[2], c[3])
		near(t, "spreading", got, want, 2e-3*want)
	}
	if r := SpreadingResistance(9e-3, 20, 1e-3, 1e-3); r != 0 {
		t.Errorf("a part as large as its board: %v", r)
	}
	near(t, "length of 35 µm, all copper", SpreadingLength(390*35e-6, 20), 26e-3, 0.5e-3) // MODELS F4
}

func TestLeadsAreFins(t *testing.T) {
	l := Lead{Area: 2.5e-6, Diameter: 3.6e-3, Length: 50}
	long := l.Conductance(300, SeaLevel)
	ts := 300.0 + LeadRise
	h := Convect(HorizontalCylinder, 3.6e-3, ts, 300, AirAt((ts+300)/2, SeaLevel)).Coefficient + RadiationCoefficient(0.9, ts, 300)
	near(t, "endless", long, math.Sqrt(h*math.Pi*3.6e-3*CopperConductivity*2.5e-6), 1e-12)
	l.Length = 1e-3
	near(t, "short", l.Conductance(300, SeaLevel), h*math.Pi*3.6e-3*1e-3, 1e-7)
	if g := (Lead{}).Conductance(300, SeaLevel); g != 0 {
		t.Errorf("no lead: %v", g)
	}
}
