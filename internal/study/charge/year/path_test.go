package year

import (
	"math"
	"testing"
)

// schottky is the path of a diode with a resistance in closed form: n·V_T·log(1 + I/Is) + I·R.
func schottky(current, temperature float64) (float64, error) {
	r := temperature / 298.15
	is := 2e-5 * r * r * math.Exp(8007*(1/298.15-1/temperature))
	return 1.05*8.617333e-5*temperature*math.Log1p(current/is) + 0.13*current, nil
}

func steps(from, to float64, n int) []float64 {
	var t []float64
	for i := range n + 1 {
		t = append(t, from+(to-from)*float64(i)/float64(n))
	}
	return t
}

func TestPath(t *testing.T) {
	p, err := NewPath(schottky, 6, steps(253.15, 353.15, 20))
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("error %.3g V, of small currents %.3g V", p.Error, p.Small)
	// 10 mV of setpoint are worth 1.6 % of water: a hundredth of that is nothing.
	if !(p.Error < 1e-4) || !(p.Small < 0.03) {
		t.Errorf("error %g V, of small currents %g V", p.Error, p.Small)
	}
	worst, before := 0.0, 0.0
	for i := 0.006; i < 6; i *= 1.003 {
		got, slope := p.At(i, 301)
		want, _ := schottky(i, 301)
		worst = max(worst, math.Abs(got-want))
		next, _ := p.At(i*(1+1e-6), 301)
		if d := (next - got) / (i * 1e-6); math.Abs(d-slope) > 1e-4*slope {
			t.Fatalf("slope at %g A: %g, by difference %g", i, slope, d)
		}
		if got < before {
			t.Fatalf("falls at %g A", i)
		}
		before = got
	}
	if !(worst <= 1.5*p.Error) {
		t.Errorf("off by %g V, %g V stated", worst, p.Error)
	}
	if v, slope := p.At(12, 301); v < 1.6 || slope < 0.13 {
		t.Errorf("beyond the table: %g V, slope %g", v, slope)
	}
}

func TestPathRefuses(t *testing.T) {
	falling := func(i, _ float64) (float64, error) { return -i, nil }
	for _, c := range []struct {
		drop func(float64, float64) (float64, error)
		most float64
		at   []float64
	}{{falling, 5, []float64{300}}, {schottky, 0, []float64{300}}, {schottky, 5, nil}, {schottky, 5, []float64{280, 290, 310}}} {
		if _, err := NewPath(c.drop, c.most, c.at); err == nil {
			t.Errorf("takes %v A at %v", c.most, c.at)
		}
	}
}
