package panel

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// measured returns a curve's readings with noise.
func measured(c Curve, n int, noise float64, s *numeric.Stream) []Reading {
	var list []Reading
	for k := range n {
		v := 1.05 * c.OpenCircuit() * (float64(k)/float64(n-1) - 0.02)
		list = append(list, Reading{v, c.Current(v) + noise*s.Norm()})
	}
	return list
}

// Readings without noise give the curve back, of cells and of modules.
func TestFitFindsTheCurve(t *testing.T) {
	s := numeric.NewStream(3)
	p := example()
	for _, c := range []Curve{p.At(1000, 298), p.At(300, 330), p.At(1000, 298).Array(2, 5), {Photocurrent: 0.76, Saturation: 3e-7, Thermal: 0.039, Series: 0.036, Shunt: 53},
		{Photocurrent: 8, Saturation: 1e-9, Thermal: 1.6, Series: 0.3, Shunt: 2000}} {
		f, err := FitCurve(measured(c, 40, 0, &s))
		if err != nil {
			t.Fatal(err)
		}
		for _, pair := range [][2]float64{{f.Photocurrent, c.Photocurrent}, {f.Saturation, c.Saturation}, {f.Thermal, c.Thermal}, {f.Series, c.Series}, {f.Shunt, c.Shunt}} {
			if math.Abs(pair[0]/pair[1]-1) > 1e-6 {
				t.Errorf("%+v: found %v, want %v", c, pair[0], pair[1])
			}
		}
		if f.RMSE > 1e-10*c.Photocurrent || f.AtBound {
			t.Errorf("%+v: RMSE %v", c, f.RMSE)
		}
	}
}

// The standard errors are those of the scatter: over 300 noisy curves the differences over their standard errors have
// a standard deviation of 1 (of Student's t with 35 degrees of freedom: 1.03).
func TestFitStandardErrors(t *testing.T) {
	s := numeric.NewStream(4)
	p := example()
	c := p.At(1000, 298)
	const runs = 300
	var sum, shuntSum float64
	for range runs {
		f, err := FitCurve(measured(c, 40, 0.002, &s))
		if err != nil {
			t.Fatal(err)
		}
		z := (f.Series - c.Series) / f.SeriesSE
		sum += z * z
		y := (c.Shunt/f.Shunt - 1) / (f.ShuntRelSE * c.Shunt / f.Shunt)
		shuntSum += y * y
	}
	for name, v := range map[string]float64{"series": sum, "shunt": shuntSum} {
		if sd := math.Sqrt(v / runs); sd < 0.88 || sd > 1.18 { // 3.6 standard deviations of the estimate
			t.Errorf("%s: differences are %v standard errors", name, sd)
		}
	}
}

func TestFitRefuses(t *testing.T) {
	line := make([]Reading, 10)
	for k := range line {
		line[k] = Reading{float64(k), 3}
	}
	for say, list := range map[string][]Reading{
		"2 readings; want 8 or more for five parameters": {{0, 1}, {1, 0}},
		ErrNoCurve.Error(): line,
		"reading 1: NaN V, 1 A is not possible; want readings of a panel": append([]Reading{{math.NaN(), 1}}, line...),
	} {
		if _, err := FitCurve(list); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
}

// Readings with little noise but a curve that no shunt is seen in end at the bound, finite.
func TestFitAtTheBound(t *testing.T) {
	c := Curve{Photocurrent: 1, Saturation: 1e-9, Thermal: 1, Series: 0.5, Shunt: math.Inf(1)}
	s := numeric.NewStream(6)
	for range 20 {
		f, err := FitCurve(measured(c, 25, 0.003, &s))
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{f.Photocurrent, f.Saturation, f.Thermal, f.Series, f.RMSE, f.SeriesSE, f.ShuntRelSE} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%+v", f)
			}
		}
		if f.RMSE > 0.0045 {
			t.Errorf("RMSE %v of a noise of 0.003", f.RMSE)
		}
	}
}
