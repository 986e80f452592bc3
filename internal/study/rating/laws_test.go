package rating

import (
	"context"
	"math"
	"runtime"
	"slices"
	"testing"

	"hindwatt/internal/quantity"
)

func TestEveryQuantityIsComputed(t *testing.T) {
	r := run(t, input())
	for _, name := range Quantities() {
		o := r.Outcome(name)
		if o == nil {
			t.Errorf("no %s", name)
			continue
		}
		holds, err := o.Tolerance(0.95, 0.95)
		if err != nil || !(holds.Low <= holds.Best && holds.Best <= holds.High) || !(holds.Low < o.Nominal && o.Nominal < holds.High) && o.Linear.U > 0 {
			t.Errorf("%s: nominal %v in %v, %v", name, o.Nominal, holds, err)
		}
	}
	if len(r.Lacks()) > 0 {
		t.Errorf("lacks %v", r.Lacks())
	}
}

// Monotony: hotter air and a longer way for the heat leave less.
func TestMoreHeatLeavesLessCurrent(t *testing.T) {
	in := quick(input())
	last := math.Inf(1)
	for _, air := range []string{"-20 °C", "0 °C", "25 °C", "40 °C", "60 °C"} {
		in.Conditions.Ambient = given(air)
		i := run(t, in).nominal(t, "current")
		if i >= last {
			t.Errorf("%s: %v A after %v A", air, i, last)
		}
		last = i
	}
	in.Conditions.Ambient = given("-20..60 °C")
	if worst := run(t, in).nominal(t, "current"); worst != last {
		t.Errorf("of a range %v A, at its hot end %v A", worst, last)
	}
}

// At the largest current the limit that is said to stop it is met, and no other is passed.
func TestLimitIsMetAtTheLargestCurrent(t *testing.T) {
	r := run(t, quick(input()))
	o := r.Outcome("current")
	pt, err := r.probe.point(place{air: o.At.air, current: o.Nominal}, o.Duty)
	if err != nil {
		t.Fatal(err)
	}
	met := false
	for i, p := range pt.Parts {
		for _, l := range p.Limits {
			e := excess(l, o.At.air, 1)
			if e > 1e-4 {
				t.Errorf("%s: %s %v passes %v", r.Input.Design.Components[i].Name, l.Of, l.Value, l.Max)
			}
			if r.Input.Design.Components[i].Name == o.Part && l.Of == o.Of && math.Abs(e) < 1e-4 {
				met = true
			}
		}
	}
	if !met {
		t.Errorf("%s of %s is said to stop it at %v A and is not at its limit", o.Of, o.Part, o.Nominal)
	}
}

func TestSameBitsOnAnyNumberOfCores(t *testing.T) {
	in := input()
	in.Outer, in.Inner = 8, 5
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := run(t, in)
	curveOne, err := one.Derate(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four := run(t, in)
	curveFour, err := four.Derate(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range one.Outcomes {
		for k, v := range o.samples {
			if w := four.Outcomes[i].samples[k]; v != w {
				t.Errorf("%s of unit %d: %v and %v", o.Quantity, k, v, w)
				break
			}
		}
	}
	if !slices.Equal(curveOne, curveFour) {
		t.Error("the derating curve differs")
	}
}

// The two halves of the uncertainty: a design without any from unit to unit has none, and the budget's standard uncertainty is
// that of the simulated units to the accuracy of 2,000 of them.
func TestBudgetAgreesWithTheSimulation(t *testing.T) {
	r := run(t, input())
	for _, name := range []string{"drop", "loss", "touch-temperature"} {
		o := r.Outcome(name)
		_, variance := meanVariance(o.samples)
		if sd := math.Sqrt(variance); math.Abs(sd-o.Linear.U) > 0.15*sd {
			t.Errorf("%s: %v by simulation, %v by the budget", name, sd, o.Linear.U)
		}
		share := 0.0
		for _, l := range o.Linear.Lines {
			share += l.Share
		}
		if math.Abs(share-1) > 1e-9 {
			t.Errorf("%s: shares add up to %v", name, share)
		}
	}
}

// A tolerance interval of a normal population whose unknown part is known: mean ± (1.96 σ_unit + …), JCGM 101 and ISO 16269-6
// in the limit of many units; computed independently. A thousand even draws leave 0.02 of their ends out.
func TestToleranceOfKnownPopulation(t *testing.T) {
	o := &Outcome{Quantity: "x", outer: 1000, inner: 1000}
	o.samples = make([]float64, o.outer*o.inner)
	for j := range o.outer {
		shift := 2 * quantile(quantity.Quantity{Spread: quantity.Normal, SD: 1}, (float64(j)+0.5)/float64(o.outer))
		for i := range o.inner {
			o.samples[j*o.inner+i] = shift + quantile(quantity.Quantity{Spread: quantity.Normal, SD: 1}, (float64(i)+0.5)/float64(o.inner))
		}
	}
	holds, err := o.Tolerance(0.95, 0.95)
	want := 1.95996*2 + 1.95996
	if err != nil || math.Abs(holds.High-want) > 0.03 || math.Abs(holds.Low+want) > 0.03 {
		t.Errorf("%v, want ±%.2f; %v", holds, want, err)
	}
}
