package year

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/battery"
)

// The quick solution from any guess against the slow one in a bracket: voltages to 10 µV, currents to 1e-5 of what the panel gives in full sun.
func TestQuickAgainstBracket(t *testing.T) {
	draw := numeric.NewStream(3)
	between := func(a, b float64) float64 { return a + (b-a)*draw.Float64() }
	found := 0
	for n := range 20000 {
		chemistry := battery.Chemistry(n % 4)
		panels := math.Exp(between(-3, 3.5))
		s := start(t, system(t, chemistry, 20, panels, Regulation{}))
		for range 20 {
			s.room = s.battery.Deficit(between(-0.01, 1)) + (s.cc-1)*s.battery.Capacity
			m := Minute{Sun: math.Exp(between(0, 7.2)), Cell: between(250, 350), Air: between(250, 330), Battery: between(260, 320), Load: between(0, 1)}
			s.terminal(&m, 30)
			s.light(&m)
			s.base, s.x = 0, -1e3
			slow := s.freeSlowly()
			want := s.flow
			if !slow {
				continue
			}
			found++
			s.vj += between(-1, 1) * between(0, 1)
			s.iph *= between(0.5, 1.5)
			if !s.free() {
				t.Fatalf("%v: nothing, want %.9g V, %.9g A", chemistry, want.v, want.in)
			}
			if got := s.flow; math.Abs(got.v-want.v) > 1e-5 || math.Abs(got.in-want.in) > 1e-5*s.panel.Photocurrent {
				t.Fatalf("%v, %+v: %.9g V, %.9g A, %.9g A of gas; want %.9g, %.9g, %.9g", chemistry, m, got.v, got.in, got.gas, want.v, want.in, want.gas)
			}
			level := between(10, 16)
			wantI, _ := s.currentSlowly(level)
			s.vj += between(-1, 1) * between(0, 1)
			if i, _ := s.current(level); math.Abs(i-wantI) > 1e-5*s.panel.Photocurrent {
				t.Fatalf("%+v at %g V: %.9g A, want %.9g", m, level, i, wantI)
			}
		}
		if n > 400 {
			break
		}
	}
	if found < 2000 {
		t.Errorf("only %d cases found", found)
	}
}
