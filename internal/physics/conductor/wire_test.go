package conductor

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

const mm2 = 1e-6

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tol)
	}
}

// The constants against each other: annealed copper is 58 MS/m (IEC 60028), and 1/254.5 is its coefficient there.
func TestConstantsAgree(t *testing.T) {
	near(t, "resistivity", Copper.Resistivity20, 1e-6/58, 1e-12)
	near(t, "coefficient", 1/(Copper.Beta+20), copperTempco, 1e-6)
	near(t, "ounce", Ounce, 35e-6, 0.05e-6)
}

// IEC 60228:2004, Tables 2 and 3, by a file typed apart from the program's table.
func TestTableOfTheStandard(t *testing.T) {
	f, err := os.Open("../../reference/testdata/iec60228_copper.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 16 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows[1:] {
		var v [4]float64
		for k := range v {
			v[k], _ = strconv.ParseFloat(row[k], 64)
		}
		for k, class := range []Class{Class2, Class5, Class5Tinned} {
			got, basis, err := class.Per20(v[0] * mm2)
			if err != nil || basis != Printed || math.Abs(got*1e3-v[k+1]) > 1e-12 {
				t.Errorf("%v mm² class %d: %v %v %v, want %v", v[0], class, got*1e3, basis, err, v[k+1])
			}
		}
	}
}

func TestBetweenAndBeyondTheTable(t *testing.T) {
	for _, class := range []Class{Class2, Class5, Class5Tinned} {
		last := math.Inf(1)
		for area := 0.1; area < 200; area *= 1.07 {
			r, basis, err := class.Per20(area * mm2)
			if err != nil || r >= last || (basis == Below) != (area < 0.5) || (basis == Thicker) != (area > 120) || basis.String() == "" {
				t.Fatalf("%v mm² class %d: %v after %v, basis %d, %v", area, class, r, last, basis, err)
			}
			last = r
			// never below the resistance of its copper, less the 1.3 % by which the standard's finest conductor may be thicker
			if ideal := Copper.Resistivity20 / (area * mm2); r < 0.987*ideal || r > 1.2*ideal {
				t.Errorf("%v mm² class %d: %v Ω/m, copper alone has %v", area, class, r, ideal)
			}
		}
	}
	r, basis, _ := Resistance(0.25*mm2, 3, Class5, 20+zeroCelsius)
	near(t, "0.25 mm²", r, 3*39.0e-3*2, 1e-12)
	if basis != Below || !strings.Contains(basis.String(), "measure") {
		t.Errorf("basis %v", basis)
	}
}

func TestCopperLaw(t *testing.T) {
	near(t, "20 °C", CopperFactor(293.15), 1, 1e-15)
	// (234.5 + T)/254.5, IEC 60228:2004 Annex B
	for c := -40.0; c < 120; c += 10 {
		near(t, "Annex B", CopperFactor(c+zeroCelsius), (234.5+c)/254.5, 1e-4)
	}
}

func TestTrackResistance(t *testing.T) {
	// common practice: a square of 35 µm copper has about 0.5 mΩ
	r, err := TrackResistance(1e-3, 35e-6, 1e-3, 293.15)
	near(t, "a square of 1 oz", r, 0.493e-3, 0.0005e-3)
	if err != nil {
		t.Error(err)
	}
	hot, _ := TrackResistance(1e-3, 35e-6, 1e-3, 373.15)
	near(t, "100 °C", hot/r, 1.3144, 1e-6)
}

// The track law there and back, and its doubts.
func TestTrackLaw(t *testing.T) {
	for _, layer := range []Layer{Outer, Inner} {
		for _, rise := range []float64{10, 20, 45, 100} {
			for _, i := range []float64{0.1, 1, 5, 35} {
				area, err := layer.TrackArea(i, rise)
				if err != nil {
					t.Fatal(err)
				}
				back, _ := layer.TrackCurrent(area, rise)
				warm, _ := layer.TrackRise(i, area)
				near(t, "current", back/i, 1, 1e-12)
				near(t, "rise", warm/rise, 1, 1e-12)
			}
		}
	}
	outer, _ := Outer.TrackArea(5, 20)
	inner, _ := Inner.TrackArea(5, 20)
	near(t, "inner over outer", inner/outer, 2.6014, 5e-5) // 2^(1/0.725)
	for say, c := range map[string][3]float64{"": {5, 20, 2e-3}, "35 A": {40, 20, 2e-3}, "10 to 100 K": {5, 5, 2e-3}, "10.16 mm of width": {5, 20, 11e-3}} {
		if got := TrackDoubt(c[0], c[1], c[2]); (got == "") != (say == "") || !strings.Contains(got, say) {
			t.Errorf("%v: %q, want %q", c, got, say)
		}
	}
}

func TestRefuses(t *testing.T) {
	for say, call := range map[string]func() error{
		"area: not a number; want an area above 0 such as 2.5 mm²":                                                                    func() error { _, _, err := Resistance(math.NaN(), 1, Class5, 300); return err },
		"area: 0.000 m² is not possible; want an area above 0 such as 2.5 mm²":                                                        func() error { _, _, err := Resistance(0, 1, Class5, 300); return err },
		"class 3: not known; want 2 or 5":                                                                                             func() error { _, _, err := Resistance(mm2, 1, 3, 300); return err },
		"length: -1.000 m is not possible; want a length of 0 or more":                                                                func() error { _, _, err := Resistance(mm2, -1, Class5, 300); return err },
		"temperature: -273.1 °C is not possible; want a temperature from -200 °C to the melting point of copper, 1083 °C":             func() error { _, _, err := Resistance(mm2, 1, Class5, 0); return err },
		"width: 0.000 m is not possible; want a length above 0":                                                                       func() error { _, err := TrackResistance(0, 1e-5, 1, 300); return err },
		"rise: 0.000 K is not possible; want a rise above 0 K and below the melting of copper":                                        func() error { _, err := Outer.TrackCurrent(mm2, 0); return err },
		"to: 70 °C is not above 160 °C; want the end above the beginning":                                                             func() error { _, err := Copper.K(433.15, 343.15); return err },
		"to: 700.0 °C is not possible; want a temperature from -200 °C to the melting point of aluminium, 660 °C":                     func() error { _, err := Aluminium.K(300, 973.15); return err },
		"current: 0.000 A is not possible; want a current above 0":                                                                    func() error { _, err := Copper.Time(mm2, 0, 300, 400); return err },
		"time: 0.000 s is not possible; want a time above 0":                                                                          func() error { _, err := FusingCurrent(mm2, 0, 300); return err },
		"\"gold\": no such material; want copper, aluminium, steel, lead":                                                             func() error { _, err := MaterialNamed("gold"); return err },
		"\"middle\": no such layer; want outer, inner":                                                                                func() error { _, err := LayerNamed("middle"); return err },
		"\"paper\": no such insulation; want pvc, xlpe, silicone":                                                                     func() error { _, err := InsulationNamed("paper"); return err },
		"ambient: 80 °C is not below the limit of the wire, 70 °C; want a cooler place or another insulation":                         func() error { _, _, err := Free{Area: mm2}.Ampacity(PVC.Limit, 353.15); return err },
		"emissivity: 1.500 is not possible; want 0 to 1":                                                                              func() error { _, err := Free{Area: mm2, Emissivity: 1.5}.Steady(1, 300); return err },
		"outer: 500.0 µm is not possible; want a diameter that holds the copper":                                                      func() error { _, err := Free{Area: mm2, Outer: 0.5e-3}.Steady(1, 300); return err },
		"rating: 0.000 A is not possible; want a current above 0":                                                                     func() error { return Fuse{}.Check() },
		"points: number 2: 20 A 9 s does not open sooner at more current than the one before; want rising currents and falling times": func() error { return Fuse{Rating: 10, Points: []Point{{15, 8}, {20, 9}}}.Check() },
	} {
		if err := call(); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
}
