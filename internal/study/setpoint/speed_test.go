package setpoint

import "testing"

func BenchmarkRun(b *testing.B) {
	in := usual(b)
	for b.Loop() {
		r, err := Run(b.Context(), in)
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range r.Outcomes {
			if _, err := o.Inside(-0.2, 0.2, 0.95); err != nil {
				b.Fatal(err)
			}
			if _, err := o.Tolerance(0.95, 0.95); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkRunFloat(b *testing.B) {
	in := usual(b)
	in.Quantities = []string{"float-error"}
	for b.Loop() {
		r, err := Run(b.Context(), in)
		if err != nil {
			b.Fatal(err)
		}
		r.Outcomes[0].Inside(-0.2, 0.2, 0.95)
		r.Outcomes[0].Tolerance(0.95, 0.95)
	}
}
