package heat

import (
	"math"
	"testing"
)

var orientations = []Orientation{Vertical, FacingUp, FacingDown, HorizontalCylinder}

// Heat given off must grow steadily with the difference, through every change of law, and be 0 at none.
func TestConvectionGrows(t *testing.T) {
	for _, o := range orientations {
		for _, length := range []float64{0.002, 0.02, 0.2, 2} {
			s := Surface{Faces: []Face{{o, length, 1}}}
			if q, slope := s.Heat(300, 300); q != 0 || !(slope >= 0) {
				t.Errorf("%s %g m, no difference: %v W, slope %v", o, length, q, slope)
			}
			last := 0.0
			for rise := 1e-9; rise < 300; rise *= 1.05 {
				q, slope := s.Heat(300+rise, 300)
				if !(q > last) || !(slope > 0) {
					t.Fatalf("%s %g m, %g K: %v W after %v W, slope %v", o, length, rise, q, last, slope)
				}
				last = q
			}
		}
	}
}

// The slope is what Newton's method goes by: it must be that of the heat.
func TestSlopeIsThatOfTheHeat(t *testing.T) {
	for _, o := range orientations {
		for _, c := range [][2]float64{{350, 300}, {301, 300}, {300, 340}, {420, 310}} {
			s := Surface{Faces: []Face{{o, 0.05, 0.01}}, Emissivity: 0.9, Radiating: 0.01, Mount: 0.1}
			const step = 1e-3
			a, _ := s.Heat(c[0]-step, c[1])
			b, _ := s.Heat(c[0]+step, c[1])
			_, slope := s.Heat(c[0], c[1])
			if want := (b - a) / (2 * step); math.Abs(slope/want-1) > 0.01 {
				t.Errorf("%s at %v: slope %v, want %v", o, c, slope, want)
			}
		}
	}
}

func TestColdFaceLooksTheOtherWay(t *testing.T) {
	air := AirAt(300, SeaLevel)
	up, down := Convect(FacingUp, 0.1, 310, 290, air), Convect(FacingDown, 0.1, 290, 310, air)
	if up != down || up.Coefficient <= Convect(FacingDown, 0.1, 310, 290, air).Coefficient {
		t.Errorf("hot up %+v, cold down %+v", up, down)
	}
}

func TestRangeIsFlagged(t *testing.T) {
	air := AirAt(310, SeaLevel)
	for _, c := range []struct {
		o      Orientation
		length float64
		inside bool
	}{{Vertical, 0.1, true}, {FacingUp, 0.1, true}, {FacingUp, 0.003, false}, {FacingDown, 0.1, true}, {FacingDown, 0.005, false}, {HorizontalCylinder, 0.001, true}} {
		if got := Convect(c.o, c.length, 320, 300, air); got.Inside != c.inside {
			t.Errorf("%s of %g m: %+v", c.o, c.length, got)
		}
	}
}

// The simplified laws of handbooks for air near room temperature (McAdams; Holman, Heat Transfer, table 7-2, from memory)
// are the same ones with rounded properties: within 20 % for laminar flow, by the same length.
func TestSimplifiedLaws(t *testing.T) {
	const rise, ta = 30.0, 300.0
	air := AirAt(ta+rise/2, SeaLevel)
	for _, c := range []struct {
		o              Orientation
		length, factor float64
	}{{Vertical, 0.1, 1.42}, {HorizontalCylinder, 0.05, 1.32}, {FacingUp, 0.05, 1.32}, {FacingDown, 0.05, 0.59}} {
		want := c.factor * math.Pow(rise/c.length, 0.25)
		if got := Convect(c.o, c.length, ta+rise, ta, air).Coefficient; math.Abs(got/want-1) > 0.2 {
			t.Errorf("%s: %.2f W/(m²·K), simplified %.2f", c.o, got, want)
		}
	}
}

// In laminar flow h goes with the root of the pressure, since Ra goes with its square (MODELS F2).
func TestThinAirCoolsLess(t *testing.T) {
	s := Surface{Faces: []Face{{FacingUp, 0.03, 1}}}
	sea, _ := s.Heat(330, 300)
	s.Pressure = SeaLevel / 2
	high, _ := s.Heat(330, 300)
	if math.Abs(high/sea-math.Sqrt(0.5)) > 1e-9 {
		t.Errorf("half the pressure leaves %v of the heat", high/sea)
	}
}

func TestSurfaceTemperatureInvertsHeat(t *testing.T) {
	s := Body{Size: [3]float64{0.1, 0.068, 0.04}}.Surface(0.9, 0.95, SeaLevel)
	for _, p := range []float64{0, 1e-6, 0.5, 3, 50} {
		ts, err := s.Temperature(p, 313.15, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Flow(ts, 313.15).Total(); math.Abs(got-p) > 1e-9*(1+p) {
			t.Errorf("%g W gives %v K, which gives off %v W", p, ts, got)
		}
	}
	if _, err := s.Temperature(1e9, 313.15, 0); err != ErrTooHot {
		t.Errorf("1 GW: %v", err)
	}
	for _, c := range [][2]float64{{-1, 300}, {math.NaN(), 300}, {1, 0}, {1, math.Inf(1)}, {1, 1000}} {
		if _, err := s.Temperature(c[0], c[1], 0); err == nil {
			t.Errorf("%v: no error", c)
		}
	}
}

// Computed independently (MODELS F6): a black case of 100 × 68 × 40 mm in full sun and 40 °C air, no loss inside: some 20 K.
func TestSunOnABlackCase(t *testing.T) {
	s := Body{Size: [3]float64{0.1, 0.068, 0.04}}.Surface(0.9, 0.95, SeaLevel)
	ts, err := s.Temperature(0, 313.15, 1000)
	if rise := ts - 313.15; err != nil || rise < 17 || rise > 22 {
		t.Errorf("%v K above the air, %v", rise, err)
	}
}
