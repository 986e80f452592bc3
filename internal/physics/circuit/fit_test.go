package circuit

import (
	"fmt"
	"math"
	"testing"
)

// forwardVolts finds the forward voltage of a diode at a current by the network.
func forwardVolts(t *testing.T, d Diode, amps float64) float64 {
	t.Helper()
	n := New()
	a := n.Node("a")
	n.Current("i", Ground, a, amps)
	n.Diode("d", a, Ground, d)
	return solved(t, n).Voltage(a)
}

// TestFitFindsWhatWentIn makes points from a known curve (computed independently) and fits them.
func TestFitFindsWhatWentIn(t *testing.T) {
	const is, series = 2e-6, 0.012
	for _, ideality := range []float64{1.05, 1.8} {
		a := ideality * 1.380649e-23 * 298.15 / 1.602176634e-19
		var points []Point
		for _, i := range []float64{0.1, 0.3, 1, 3, 10} {
			points = append(points, Point{Current: i, Voltage: a*math.Log1p(i/is) + series*i})
		}
		f, err := FitDiode(DiodeData{Forward: points})
		if err != nil {
			t.Fatal(err)
		}
		near1(t, "ideality", f.Ideality, ideality, 1e-4*ideality)
		near1(t, "series", f.Series, series, 1e-5)
		near1(t, "residual", f.Residual, 0, 2e-6)
		near1(t, "drop at 5 A", forwardVolts(t, f.At(Reference), 5), a*math.Log1p(5/is)+series*5, 1e-5)
	}
}

func TestFitOfFewPoints(t *testing.T) {
	one := []Point{{Current: 3, Voltage: 0.45}}
	f, err := FitDiode(DiodeData{Forward: one, Tempco: -1.2e-3})
	if err != nil {
		t.Fatal(err)
	}
	near1(t, "one point", forwardVolts(t, f.At(Reference), 3), 0.45, 1e-9)
	near1(t, "100 K warmer", forwardVolts(t, f.At(Reference+100), 3), 0.45-0.12, 1e-6)
	near1(t, "ideality", f.Ideality, 1.1, 0)
	f, err = FitDiode(DiodeData{Forward: append(one, Point{Current: 10, Voltage: 0.6})})
	if err != nil {
		t.Fatal(err)
	}
	near1(t, "first of two", forwardVolts(t, f.At(Reference), 3), 0.45, 1e-6)
	near1(t, "second of two", forwardVolts(t, f.At(Reference), 10), 0.6, 1e-6)
	near1(t, "residual", f.Residual, 0, 1e-6)
	if f.Series <= 0 {
		t.Errorf("series resistance %v", f.Series)
	}
	// Less rise than any junction of 25 °C has: the residual says so.
	f, err = FitDiode(DiodeData{Forward: append(one, Point{Current: 10, Voltage: 0.451})})
	if err != nil {
		t.Fatal(err)
	}
	if f.Residual < 0.01 || f.Ideality < 0.899 || f.Series != 0 {
		t.Errorf("%+v", f)
	}
}

// TestFitByTemperature takes the temperature coefficient from points of one current at two temperatures; values of a
// usual 10 A, 45 V Schottky diode (MODELS: typical 0.38 … 0.45 V at 3 A and 25 °C, 0.30 … 0.36 V at 100 °C; no single source).
func TestFitByTemperature(t *testing.T) {
	f, err := FitDiode(DiodeData{
		Forward: []Point{{Current: 3, Voltage: 0.42}, {Current: 3, Voltage: 0.33, Temperature: 373.15}},
		Leakage: Leakage{Current: 100e-6, Voltage: 45, Exponent: 0.7},
	})
	if err != nil {
		t.Fatal(err)
	}
	near1(t, "coefficient", f.Tempco, -0.09/75, 1e-12)
	near1(t, "hot", forwardVolts(t, f.At(373.15), 3), 0.33, 1e-5) // the slope of the leakage goes on forward
	reverse := func(kelvin, volts float64) float64 {
		n := New()
		k := n.Node("k")
		n.Source("v", k, Ground, volts)
		d := n.Diode("d", Ground, k, f.At(kelvin))
		return -solved(t, n).Current(d)
	}
	near1(t, "leakage at 25 °C", reverse(Reference, 45), 100e-6, 1e-9)
	near1(t, "leakage at 67 °C", reverse(Reference+42, 45), 100e-6*math.Exp(0.055*42), 1e-8) // × 10 for 42 K
	near1(t, "leakage at 15 V", (reverse(Reference, 15)-f.At(Reference).Saturation)/(100e-6-f.At(Reference).Saturation), math.Pow(15.0/45, 0.7), 5e-3)
}

func TestFitRefuses(t *testing.T) {
	for _, c := range []struct {
		data DiodeData
		want string
	}{
		{DiodeData{}, "circuit: no forward point; want at least one current with its voltage"},
		{DiodeData{Forward: []Point{{Current: -1, Voltage: 0.4}}}, "circuit: forward current of -1 A; want 1e-09 to 100000 A"},
		{DiodeData{Forward: []Point{{Current: 1, Voltage: 0.4, Temperature: 25}}}, "circuit: temperature of 25 K; want 150 to 600 K"},
		{DiodeData{Forward: []Point{{Current: 1, Voltage: math.NaN()}}}, "circuit: forward voltage of NaN V; want 0.001 to 100 V"},
	} {
		if _, err := FitDiode(c.data); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// TestChannel: both points of the sheet are met, and the hot factor; the typical course is that of common data sheets
// (1.35 at 75 °C, 1.65 at 125 °C, no single source).
func TestChannel(t *testing.T) {
	c := Channel{Resistance: 0.010, Drive: 10, Threshold: 2, LowResistance: 0.014, LowDrive: 4.5}
	for _, p := range []struct{ drive, kelvin, want, tol float64 }{
		{10, Reference, 0.010, 1e-12}, {4.5, Reference, 0.014, 1e-12},
		{10, 348.15, 0.0135, 0.0004}, {10, 398.15, 0.0165, 0.0025},
	} {
		got, ok, err := c.OnResistance(p.drive, p.kelvin)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		near1(t, fmt.Sprint(p.drive, " V ", p.kelvin, " K"), got, p.want, p.tol)
	}
	c.HotFactor, c.HotTemperature = 1.8, 423.15
	if got, _, _ := c.OnResistance(10, 423.15); math.Abs(got-0.018) > 1e-12 {
		t.Errorf("hot %v", got)
	}
	if _, ok, err := c.OnResistance(1.9, Reference); ok || err != nil {
		t.Errorf("below the threshold: %v %v", ok, err)
	}
	last := math.Inf(1)
	for drive := 2.1; drive < 15; drive += 0.1 {
		got, ok, err := c.OnResistance(drive, Reference)
		if err != nil || !ok || got >= last {
			t.Fatalf("%v V: %v after %v, %v", drive, got, last, err)
		}
		last = got
	}
	for _, bad := range []Channel{{}, {Resistance: 0.01, Drive: 2, Threshold: 3}, {Resistance: 0.01, Drive: 10, Threshold: 2, LowResistance: 0.005, LowDrive: 5},
		{Resistance: 0.01, Drive: 10, Threshold: 2, LowResistance: 0.02, LowDrive: 1}} {
		if _, _, err := bad.OnResistance(10, 300); err == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
}
