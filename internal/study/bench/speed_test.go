package bench

import "testing"

// typical is ten readings carried over by 100 groups of 40 units.
func typical() Input {
	in := input(meter(0.03), lot(10, 0.03, 0.05)...)
	in.Carry = drift(100, 40, 0.02, 0.03, 0.02)
	return in
}

func BenchmarkRun(b *testing.B) {
	for b.Loop() {
		run(b, typical())
	}
}

func BenchmarkInside(b *testing.B) {
	r := run(b, typical())
	for b.Loop() {
		inside(b, r, -0.2, 0.2)
	}
}

func BenchmarkSettle(b *testing.B) {
	r := run(b, typical())
	for b.Loop() {
		settle(b, r, -0.2, 0.2)
	}
}

func BenchmarkSettleNever(b *testing.B) {
	in := typical()
	for i := range in.Readings {
		in.Readings[i].Meter = meter(0.16)
	}
	r := run(b, in)
	for b.Loop() {
		settle(b, r, -0.2, 0.2)
	}
}
