package trace

import (
	"context"
	"math"
	"testing"
)

// Norris: NIST Statistical Reference Datasets, linear regression, lower level of difficulty, 36 points
// (y, x), certified values with 15 digits. Points and values from memory; that they agree to 13 digits is
// their check.
var norris = [][2]float64{
	{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6},
	{778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0}, {448.9, 447.5}, {10.8, 11.6},
	{557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3}, {0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1},
	{888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
}

func TestNorris(t *testing.T) {
	var x, y []float64
	for _, p := range norris {
		y, x = append(y, p[0]), append(x, p[1])
	}
	l, err := Fit(x, y, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"B0", l.Intercept, -0.262323073774029}, {"its standard deviation", l.InterceptSE, 0.232818234301152},
		{"B1", l.Slope, 1.00211681802045}, {"its standard deviation", l.SlopeSE, 0.429796848199937e-03},
		{"residual standard deviation", l.SD, 0.884796396144373}, {"R squared", l.R2, 0.999993745883712},
	} {
		if off := math.Abs(c.got/c.want - 1); off > 1e-12 {
			t.Errorf("%s: %.15g; certified %.15g: off by %.1e", c.name, c.got, c.want, off)
		}
	}
}

// The yearly flow of the Nile at Aswan, 1871 to 1970, in 10^8 m³ (Cobb, Biometrika 65, 1978, p. 243; from
// memory). It fell once, between 1898 and 1899: the year to which Cobb and all later writers find it.
var nile = []float64{
	1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260,
	1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821,
	768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801,
	1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
}

func TestNile(t *testing.T) {
	years := make([]float64, len(nile))
	for i := range years {
		years[i] = float64(1871 + i)
	}
	found, err := Segments(context.Background(), Block(years, nile, len(nile)), false)
	if err != nil {
		t.Fatal(err)
	}
	if len(found) != 2 || found[0].Until != 28 {
		t.Fatalf("%+v; want one change behind 28 years, 1898", found)
	}
	// Means before and after: Zeileis and others, Computational Statistics & Data Analysis 44 (2003), p. 109, section 5: 1097.75 and 849.97.
	for i, want := range []float64{1097.75, 849.97} {
		if math.Abs(found[i].Level-want) > 0.005 {
			t.Errorf("level %d is %.4f; published %.2f", i, found[i].Level, want)
		}
	}
}
