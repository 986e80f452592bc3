package circuit

import (
	"fmt"
	"os"
	"testing"
)

func TestDebug(t *testing.T) {
	if os.Getenv("SEED") == "" {
		t.Skip()
	}
	var seed uint64
	fmt.Sscan(os.Getenv("SEED"), &seed)
	d := draw(seed)
	for _, p := range d.parts {
		if p.off {
			continue
		}
		switch p.kind {
		case resistor, source:
			fmt.Printf("%d %d-%d R/V %g ohm %g V\n", p.id, p.a, p.b, p.ohms, p.emf)
		case current:
			fmt.Printf("%d %d-%d I %g\n", p.id, p.a, p.b, p.amps)
		case diode:
			fmt.Printf("%d %d-%d D %+v\n", p.id, p.a, p.b, p.diode)
		case panel:
			fmt.Printf("%d %d-%d P %+v\n", p.id, p.a, p.b, p.panel)
		case mosfet:
			fmt.Printf("%d %d-%d M on=%v %+v\n", p.id, p.a, p.b, p.on, p.mosfet)
		case clamp:
			fmt.Printf("%d %d-%d C %+v\n", p.id, p.a, p.b, p.clamp)
		case load:
			fmt.Printf("%d %d-%d L %+v\n", p.id, p.a, p.b, p.load)
		}
	}
	s, _ := Compile(d.net)
	s.zero()
	for it := range 25 {
		s.evaluate(1, 0)
		h := s.holds(1e-9, 1, 0)
		hn := s.holds(0, 1, 0)
		fmt.Printf("it %d holds %v %v\n  x %.6g\n  F %.3g\n  w %.3g\n  u", it, h, hn, s.x[1:], s.f[1:], s.weight[1:])
		for i := range s.bends {
			fmt.Printf(" %.6g", s.bends[i].u)
		}
		fmt.Println()
		fmt.Println("  elim", eliminate(s.rows, s.f))
		fmt.Printf("  d %.3g\n", s.f[1:])
		fmt.Println(s.step())
	}
}
