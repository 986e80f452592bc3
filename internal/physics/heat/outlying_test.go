package heat

import (
	"math"
	"strings"
	"testing"
)

func boxAt(t *testing.T, scale, watts float64) *Assembly {
	t.Helper()
	box := Case{Name: "case", Body: Body{Size: [3]float64{0.1 * scale, 0.06 * scale, 0.03 * scale}}, Wall: "abs", Thickness: 2e-3, Emissivity: 0.9, Inside: -1}
	a, err := Assemble([]Case{box}, []Part{{Name: "q1", JunctionToCase: 1}}, Around{})
	if err != nil {
		t.Fatal(err)
	}
	a.SetHeat(a.Junction[0], watts)
	if err := a.Solve(298.15); err != nil {
		t.Fatal(err)
	}
	return a
}

// A small box lies flat: A/P of its bottom is 18.75 mm. By hand, with ν = 16.3e-6 and α = 23.1e-6 m²/s of air at 304 K between
// the rows of Incropera, app. A.4: Ra = 9.81·ΔT/304·6.59e-6/(16.3e-6·23.1e-6) = 565 for each kelvin, far below the 1e5 from
// which plates that look down have a correlation (Incropera eq. 9.32).
func TestOutlyingOfSmallBox(t *testing.T) {
	a := boxAt(t, 1, 3)
	found := false
	for _, o := range a.Outlying() {
		if o.Rayleigh >= o.From && o.Rayleigh <= o.To {
			t.Errorf("%+v stands in its range", o)
		}
		if !(o.Share >= leastShare && o.Share < 1) {
			t.Errorf("%+v: share", o)
		}
		if o.Surface == "outside" && o.Face == FacingDown {
			found = true
			rise := a.Temperature(a.Surface[0]) - 298.15
			if by := 565 * rise; math.Abs(o.Rayleigh/by-1) > 0.05 {
				t.Errorf("Ra %.3g, by hand %.3g", o.Rayleigh, by)
			}
			if o.From != 1e5 || !strings.Contains(o.Means(), "cooler than computed") {
				t.Errorf("%+v: %s", o, o.Means())
			}
		}
		if o.Surface == "outside" && o.Face == Vertical {
			t.Errorf("%+v: its range begins at 0.1", o)
		}
	}
	if !found {
		t.Error("the face that looks down is not told")
	}
}

func TestOutlyingNoneOfLargeBox(t *testing.T) {
	for _, o := range boxAt(t, 6, 60).Outlying() {
		if o.Surface == "outside" {
			t.Errorf("%+v", o)
		}
	}
}
