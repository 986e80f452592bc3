package statistics

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

var inf = math.Inf(1)

// Shared cases CON-01 and CON-03: JCGM 106:2012 7.3.2 and 7.4 (from memory); CON-05: 8.3.2, a guard band of
// 0.8224·2u leaves at most 5 % (from memory).
func TestConformance(t *testing.T) {
	near(t, "CON-01", Conformance(-5.47, 0.05, -inf, -5.4), 0.92, 0.005)
	near(t, "CON-03", Conformance(13.6, 1.8, 12.5, 16.3), 0.66, 0.005)
	near(t, "CON-05", 1-Conformance(10-0.8224*2*0.3, 0.3, -inf, 10), 0.05, 0.0002)
	near(t, "far above", Conformance(20, 1, -inf, 0)/2.7536241186e-89, 1, 1e-9) // Φ(-20), Abramowitz and Stegun Table 26.2
	near(t, "exact, inside", Conformance(3, 0, 2, 3), 1, 0)
	near(t, "exact, outside", Conformance(3.1, 0, 2, 3), 0, 0)
	for _, c := range [][4]float64{{math.NaN(), 1, 0, 1}, {0, math.NaN(), 0, 1}, {0, -1, 0, 1}, {0, 1, 1, 0}, {0, 1, math.NaN(), 1}, {0, inf, 0, 1}, {inf, 1, 0, 1}} {
		near(t, "nonsense", Conformance(c[0], c[1], c[2], c[3]), 0, 0)
	}
}

// Shared cases CON-07, -09, -11, -13 (JCGM 106:2012 9.5, formulas 17 and 19; computed independently).
func TestGuardBand(t *testing.T) {
	for _, c := range []struct {
		in                                   Inspection
		conforming, accepted, falseA, falseR float64
		tolA, tolR                           float64
	}{
		{Inspection{1500, 0.12, 0.04, 1499.8, 1500.2, 1499.88, 1500.12}, 0.904419, 0.657218, 0.00046863, 0.24767, 2e-6, 5e-4},
		{Inspection{14.4, 0.040, 0.010, 14.3, 14.5, 14.3, 14.5}, 0.987581, 0.984707, 0.0024453, 0.0053194, 4.9e-6, 1.06e-5},
		{Inspection{14.43, 0.04, 0.01, 14.3, 14.5, 14.32, 14.48}, 0.959364, 0.883557, 0.00016175, 0.075968, 2e-6, 1.5e-4},
		{Inspection{0, 0.5, 0.125, -1, 1, -1, 1}, 0.9545, 0.947655, 0.0080061, 0.014851, 1.6e-5, 3e-5},
	} {
		r, err := GuardBand(c.in)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "conforming", r.Conforming, c.conforming, 1e-5)
		near(t, "accepted", r.Accepted, c.accepted, 1e-5)
		near(t, "false accept", r.FalseAccept, c.falseA, c.tolA)
		near(t, "false reject", r.FalseReject, c.falseR, c.tolR)
	}
}

// Inspection identities over many arrangements: conforming less false rejects, and accepted less
// false accepts, are the same units; against a plain simulation too.
func TestGuardBandLaws(t *testing.T) {
	s := numeric.NewStream(11)
	for range 300 {
		in := Inspection{Mean: s.Uniform(-1, 1), SD: s.Uniform(0.01, 1), U: numeric.Exp(s.Uniform(-12, 1)), Min: s.Uniform(-2, 0), Max: s.Uniform(0.1, 2)}
		in.AcceptMin, in.AcceptMax = in.Min+s.Uniform(-0.3, 0.3), in.Max+s.Uniform(-0.3, 0.3)
		switch s.Intn(4) {
		case 0:
			in.Min, in.AcceptMin = -inf, -inf
		case 1:
			in.Max, in.AcceptMax = inf, inf
		}
		if in.AcceptMin > in.AcceptMax {
			continue
		}
		r, err := GuardBand(in)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "good and accepted", r.Conforming-r.FalseReject, r.Accepted-r.FalseAccept, 1e-9)
	}
	in := Inspection{0.3, 1, 0.4, -1, 1.2, -0.8, 1.1}
	r, err := GuardBand(in)
	if err != nil {
		t.Fatal(err)
	}
	var falseA, falseR int
	const count = 400000
	for range count {
		y := in.Mean + in.SD*s.Norm()
		m := y + in.U*s.Norm()
		good, taken := y >= in.Min && y <= in.Max, m >= in.AcceptMin && m <= in.AcceptMax
		if taken && !good {
			falseA++
		}
		if good && !taken {
			falseR++
		}
	}
	near(t, "false accept, simulated", r.FalseAccept, float64(falseA)/count, 0.0015)
	near(t, "false reject, simulated", r.FalseReject, float64(falseR)/count, 0.0025)
	perfect, err := GuardBand(Inspection{0, 1, 0, -1, 1, -0.5, 1.5})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no error, accepts beyond", perfect.FalseAccept, normalBetween(1, 1.5), 1e-12)
	near(t, "no error, rejects within", perfect.FalseReject, normalBetween(-1, -0.5), 1e-12)
}

// Shared case CON-15 (computed independently).
func TestGuardBandWidth(t *testing.T) {
	in := Inspection{Mean: 14.4, SD: 0.04, U: 0.01, Min: 14.3, Max: 14.5}
	w, r, err := GuardBandWidth(in, 1e-4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "width", w, 0.01806, 1e-4)
	near(t, "false reject", r.FalseReject, 0.03456, 1e-4)
	near(t, "false accept", r.FalseAccept, 1e-4, 1e-12)
	if w, _, err := GuardBandWidth(in, 0.1); err != nil || w != 0 {
		t.Errorf("an easy target gives a guard band of %v, %v; want 0", w, err)
	}
	in.Min = -inf
	if _, r, err = GuardBandWidth(in, 1e-6); err != nil {
		t.Fatal(err)
	}
	near(t, "one side", r.FalseAccept, 1e-6, 1e-12)
	_, _, err = GuardBandWidth(in, 0)
	refused(t, err, "false acceptance")
}

func TestGuardBandRefuses(t *testing.T) {
	good := Inspection{0, 1, 0.1, -1, 1, -1, 1}
	for _, c := range []struct {
		change func(*Inspection)
		says   string
	}{
		{func(i *Inspection) { i.Mean = math.NaN() }, "mean"}, {func(i *Inspection) { i.SD = 0 }, "sd"}, {func(i *Inspection) { i.U = -1 }, "u is"},
		{func(i *Inspection) { i.Min = 2 }, "bound"}, {func(i *Inspection) { i.Min, i.Max = -inf, inf }, "open"},
		{func(i *Inspection) { i.AcceptMin = 2 }, "acceptance"},
	} {
		in := good
		c.change(&in)
		_, err := GuardBand(in)
		refused(t, err, c.says)
	}
}
