package panel

import (
	"math"
	"testing"
)

// shaded returns the example panel with one cell of the first section in less light.
func shaded(bypass, light float64) *Shaded {
	p := example()
	return &Shaded{Cell: p.Cell(), Sections: []Section{
		{Groups: []Group{{17, 1}, {1, light}}, Bypass: bypass},
		{Groups: []Group{{18, 1}}, Bypass: bypass},
	}}
}

func at(t *testing.T, s *Shaded) *ShadedCurve {
	t.Helper()
	c, err := s.At(1000, ReferenceTemperature)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Without shade the cells in series are the panel.
func TestUnshadedIsThePanel(t *testing.T) {
	p := example()
	whole, parts := p.At(1000, ReferenceTemperature), at(t, shaded(0.5, 1))
	for v := 0.0; v < 24; v += 0.5 {
		if a, b := whole.Current(v), parts.Current(v); math.Abs(a-b) > 1e-9 {
			t.Errorf("%v V: %v, want %v", v, b, a)
		}
	}
}

// One dark cell of 36 with two bypass diodes leaves half the voltage less a drop, about 10 V: nothing for a 12 V battery
// (common practice).
func TestOneDarkCell(t *testing.T) {
	c := at(t, shaded(0.5, 0))
	if i := c.Current(9.3); i < 0.5 {
		t.Errorf("%v A at 9.3 V: the bypass does not carry", i)
	}
	if i := c.Current(12.5); i > 0.05 {
		t.Errorf("%v A at 12.5 V from a panel with a dark cell", i)
	}
	// without bypass the cell in the shade sets the current, but for what leaks backwards through it
	tight := shaded(0, 0.5)
	tight.Cell.Reference.Shunt = 1e4
	if i := at(t, tight).Current(14); math.Abs(i-0.5*1.287) > 0.002 {
		t.Errorf("%v A, want half of the photocurrent of 1.287 A", i)
	}
	if leaky := at(t, shaded(0, 0.5)).Current(14); leaky < 0.66 || leaky > 1.1 {
		t.Errorf("%v A past a cell that leaks", leaky)
	}
}

// More shade never gives more, and any voltage has a finite current.
func TestShadeTakes(t *testing.T) {
	for _, bypass := range []float64{0, 0.5} {
		for v := -20.0; v < 24; v += 1.3 {
			last := -math.MaxFloat64
			for light := 0.0; light <= 1; light += 0.125 {
				i := at(t, shaded(bypass, light)).Current(v)
				if i < last-1e-9 || math.IsNaN(i) || math.Abs(i) > mostShadedAmps {
					t.Fatalf("bypass %v, %v V, light %v: %v after %v", bypass, v, light, i, last)
				}
				last = i
			}
		}
	}
}

func TestShadedRefuses(t *testing.T) {
	for say, change := range map[string]func(*Shaded){
		"sections: none; want one or more":                                               func(s *Shaded) { s.Sections = nil },
		"section 1: 0 cells with 1 of the light; want 1 or more and 0 to 1":              func(s *Shaded) { s.Sections[0].Groups[0].Cells = 0 },
		"section 2: 18 cells with 1.5 of the light; want 1 or more and 0 to 1":           func(s *Shaded) { s.Sections[1].Groups[0].Light = 1.5 },
		"section 1: no cells, or a bypass of -1 V; want one group or more and 0 to 10 V": func(s *Shaded) { s.Sections[0].Bypass = -1 },
		"breakdown: NaN V is not possible; want 0 or more":                               func(s *Shaded) { s.Breakdown = math.NaN() },
		"saturation: 0.000 A is not possible; want a current above 0":                    func(s *Shaded) { s.Cell = Panel{} },
	} {
		s := shaded(0.5, 1)
		change(s)
		if _, err := s.At(1000, 298); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
}

// With its leads together 35 lit cells can push a dark one to some -20 V: it carries nearly all current if it breaks down
// at 8 V, and none if at 30 V.
func TestDarkCellBreaksDown(t *testing.T) {
	dark := func(breakdown float64) float64 {
		s := shaded(0, 0)
		s.Cell.Reference.Shunt, s.Breakdown = 1e6, breakdown
		return at(t, s).Current(0)
	}
	if a, b := dark(8), dark(30); a < 1.2 || b > 1e-3 {
		t.Errorf("%v A past a cell of 8 V, %v A past one of 30 V", a, b)
	}
}
