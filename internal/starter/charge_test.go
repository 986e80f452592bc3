package starter

import (
	"context"
	"strings"
	"testing"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/study/charge"
)

// TestYearOfAFreshFolder: every circuit that is offered, for both voltages and for small and large labels, answers for a year as it is written. A controller that its
// panels burn out is said, not refused.
func TestYearOfAFreshFolder(t *testing.T) {
	said := 0
	for _, c := range Circuits() {
		for _, a := range []Answers{{Voltage: "12 V", Current: "5 A"}, {Voltage: "12 V", Current: "10 A"}, {Voltage: "24 V", Current: "30 A"}} {
			a.Circuit = c.Name
			dir := t.TempDir() + "/reed"
			_, err := write(dir, a, testDay)
			must(t, err)
			f, err := product.Read(dir)
			must(t, err)
			p, err := f.Resolve("")
			must(t, err)
			in, err := bind.Charge(p, "example")
			must(t, err)
			in.Years, in.Seed = 1, 1
			r, err := charge.Run(context.Background(), in)
			if err != nil {
				t.Errorf("%s, %s, %s: %v", c.Name, a.Voltage, a.Current, err)
				continue
			}
			if lacks := r.Lacks(); len(lacks) > 0 || r.Outcome("unmet") == nil {
				t.Errorf("%s, %s, %s: lacks %v", c.Name, a.Voltage, a.Current, lacks)
			}
			for _, w := range r.Warnings {
				if strings.Contains(w.Text, "hotter without end") {
					said++
				}
			}
		}
	}
	if said == 0 {
		t.Error("no controller is said to burn out, though the p-channel switch bears no 11 A")
	}
}
