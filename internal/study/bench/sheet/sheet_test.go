package sheet

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

// float is an invented check: 27.3 V ± 0.2 V by a meter with ± 0.1 V.
func float() Check {
	return Check{Promise: "float", Label: "Holds <27.3 V>", Measure: "battery voltage", Conditions: "22 °C", Dim: quantity.Voltage, Unit: "V",
		Min: 27.1, Max: 27.5, Mean: 27.32, SD: 0.08, Meter: &bench.Meter{Name: "bench", Accuracy: quantity.Accuracy{Absolute: quantity.Quantity{Value: 0.05, Dim: quantity.Voltage}}, Digit: 0.01}}
}

func row(t *testing.T, c Check) *Row {
	t.Helper()
	r, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// TestGuardBand: the guard band is 2u, u = √((0.05 V)²/3 + (0.01 V)²/12).
func TestGuardBand(t *testing.T) {
	r := row(t, float())
	u := math.Sqrt(0.05*0.05/3 + 0.01*0.01/12)
	near(t, "u", r.U, u, 1e-12)
	near(t, "low", r.Accept.Low, 27.1+2*u, 1e-12)
	near(t, "high", r.Accept.High, 27.5-2*u, 1e-12)
	if !(r.Accept.FalseAccept < r.Plain.FalseAccept && r.Accept.FalseReject > r.Plain.FalseReject) {
		t.Errorf("a guard band must pass fewer bad and turn away more good units: %+v, %+v", r.Accept.Risk, r.Plain.Risk)
	}
}

// TestShares: a million units and readings drawn at random end as the integrated shares say.
func TestShares(t *testing.T) {
	r := row(t, float())
	s := numeric.NewStream(7)
	const units = 1_000_000
	var passed, rejected float64
	for range units {
		unit := r.Mean + r.SD*s.Norm()
		read := unit + r.U*s.Norm()
		good, accepted := unit >= r.Min && unit <= r.Max, read >= r.Accept.Low && read <= r.Accept.High
		if accepted && !good {
			passed++
		}
		if good && !accepted {
			rejected++
		}
	}
	sd := func(p float64) float64 { return 4 * math.Sqrt(p*(1-p)/units) }
	near(t, "bad passed", passed/units, r.Accept.FalseAccept, sd(r.Accept.FalseAccept))
	near(t, "good rejected", rejected/units, r.Accept.FalseReject, sd(r.Accept.FalseReject))
}

// TestCheapest: no other pair of limits near costs less, and dearer bad units narrow them.
func TestCheapest(t *testing.T) {
	c := float()
	c.CostBad, c.CostGood = 40, 3
	r := row(t, c)
	for _, dl := range []float64{-0.01, 0, 0.01} {
		for _, dh := range []float64{-0.01, 0, 0.01} {
			other, err := r.limit(max(r.Min, r.Best.Low+dl), min(r.Max, r.Best.High+dh))
			if err != nil {
				t.Fatal(err)
			}
			if other.Cost < r.Best.Cost-1e-12 {
				t.Errorf("limits moved by %v and %v cost %v, less than %v", dl, dh, other.Cost, r.Best.Cost)
			}
		}
	}
	if !(r.Best.Cost < r.Plain.Cost && r.Best.Cost < r.Guarded.Cost) {
		t.Errorf("best %v, without guard band %v, with 2u %v", r.Best.Cost, r.Plain.Cost, r.Guarded.Cost)
	}
	c.CostBad = 400
	if dear := row(t, c); !(dear.Best.High < r.Best.High && dear.Best.Low > r.Best.Low) {
		t.Errorf("dearer bad units do not narrow the limits: %v, %v", dear.Best, r.Best)
	}
}

func TestJudge(t *testing.T) {
	c := float()
	c.CarryLow, c.CarryHigh = 0.02, 0.03
	r := row(t, c)
	near(t, "bound", r.Min, 27.12, 1e-12)
	near(t, "bound", r.Max, 27.47, 1e-12)
	for value, want := range map[float64]string{
		27.31: "float 27.31 V: pass, 0.10 V inside 27.41 V",
		27.43: "float 27.43 V: fail, 0.018 V outside 27.41 V; it may be good, within the meter's error",
		27.00: "float 27.00 V: fail, 0.18 V outside 27.18 V",
	} {
		j, err := r.Judge(value)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Say(value, j); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	if _, err := r.Judge(math.NaN()); err == nil {
		t.Error("NaN was judged")
	}
	open := float()
	open.Max = math.Inf(1)
	if j, err := row(t, open).Judge(1e6); err != nil || !j.Pass {
		t.Error(j, err)
	}
}

func TestWarnings(t *testing.T) {
	c := float()
	c.TrimmedBy = "bench"
	if r := row(t, c); len(r.Warnings) != 1 || !strings.Contains(r.Warnings[0].Text, "the test cannot see it") {
		t.Error(r.Warnings)
	}
	c = float()
	c.Meter = &bench.Meter{Name: "coarse", Accuracy: quantity.Accuracy{Absolute: quantity.Quantity{Value: 0.4}}, Digit: 0.1}
	if r := row(t, c); len(r.Warnings) == 0 || !strings.Contains(r.Warnings[0].Text, "too coarse") {
		t.Error(r.Warnings)
	}
}

func TestPrinted(t *testing.T) {
	s := Sheet{Product: "Osier <24>", Rows: []Row{*row(t, float())}, Units: 3}
	var page, table bytes.Buffer
	if err := s.HTML(&page); err != nil {
		t.Fatal(err)
	}
	if err := s.CSV(&table); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Osier &lt;24&gt;", "accept 27.16 V to 27.44 V", "Holds &lt;27.3 V&gt;"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page lacks %q:\n%s", want, page.String())
		}
	}
	if n := strings.Count(page.String(), "☐"); n != 3 {
		t.Errorf("%d boxes, want 3", n)
	}
	rows, err := csv.NewReader(&table).ReadAll()
	if err != nil || len(rows) != 2 || rows[1][4] != "27.16 V" || rows[1][5] != "27.44 V" {
		t.Errorf("%v, %v", rows, err)
	}
}

func TestRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*Check){
		"sheet: float: the meter's accuracy is not known; want a meter of bench/meters.toml, with its digit": func(c *Check) { c.Meter = nil },
		"sheet: float: sd is 0; want more than 0":                                                            func(c *Check) { c.SD = 0 },
		"sheet: float: costs are 5 and 0; want both above 0, or neither given":                               func(c *Check) { c.CostBad = 5 },
		"sheet: float: over the conditions of the promise a unit moves by more than the bound is wide; want conditions of the test nearer to the promise's, or a wider bound": func(c *Check) { c.CarryLow = 1 },
		"sheet: float: bound is open on both sides; want a min or a max": func(c *Check) { c.Min, c.Max = math.Inf(-1), math.Inf(1) },
	} {
		c := float()
		spoil(&c)
		if _, err := New(c); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
