package accounts

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/money"
)

func line(t *testing.T, r *Result, kind string) Line {
	t.Helper()
	for _, l := range r.Lines {
		if l.Kind == kind {
			return l
		}
	}
	t.Fatalf("no %s in %v", kind, r.Lines)
	return Line{}
}

func (l Line) is(t *testing.T, low, best, high float64) {
	t.Helper()
	for i, want := range []float64{low, best, high} {
		exact, _ := money.New(want, "EUR")
		if got := []money.Amount{l.Low, l.Best, l.High}[i]; got.Cmp(exact) != 0 {
			t.Errorf("%s is %v; want %v", l.Kind, got.Float64(), want)
		}
	}
}

func warned(r *Result, words string) bool {
	for _, w := range r.Warnings {
		if strings.Contains(w.Text, words) {
			return true
		}
	}
	return false
}

// 100 sold at 80 EUR, nobody knows where. The page takes 1.92 + 0.35 = 2.27 EUR, the dealer 8.00 EUR; three of four are sold by the page:
// 1.7025 + 2 = 3.7025 → 3.70 EUR. The fee is straight from least to mix and from mix to most, so that 95 % of the net lie from
// 8000 - (370 + 0.95·430) = 7221.50 to 8000 - (370 - 0.95·143) = 7765.85 EUR. By hand.
func TestNoChannel(t *testing.T) {
	in := Input{
		Currency: "EUR",
		Sold:     []Sold{{Row: on("2021-03-02"), Count: val(t, "100"), Price: val(t, "80 EUR")}},
		Channels: []Channel{
			{Name: "page", Fee: val(t, "2.4 %"), Fixed: val(t, "0.35 EUR"), Share: val(t, "75 %")},
			{Name: "dealer", Fee: val(t, "10 %"), Share: val(t, "25 %")},
		},
	}
	r := run(t, in)
	line(t, r, kindFees).is(t, 227, 370, 800)
	near(t, "net", r.Net.Best, 7630)
	if math.Abs(r.Net.Low-7221.5) > 5 || math.Abs(r.Net.High-7765.85) > 2 { // five standard errors of a quantile of 20,000 draws
		t.Errorf("net %.2f to %.2f; want 7221.50 to 7765.85", r.Net.Low, r.Net.High)
	}
	if !warned(r, "one row of sold.csv without a channel") {
		t.Error("it is not said", r.Warnings)
	}
	in.Sold[0].Channel = "dealer"
	line(t, run(t, in), kindFees).is(t, 800, 800, 800)
	in.Sold[0].Channel, in.Channels = "fair", in.Channels[1:]
	line(t, run(t, in), kindFees).is(t, 800, 800, 800)
}

// A figure between its ends is its ends at -1 and 1, its best value at 0, and never leaves them.
func TestBetween(t *testing.T) {
	for _, at := range [][3]float64{{0, 1, 10}, {-3, 2, 2}, {5, 5, 5}, {1, 2, 3}} {
		var g groups
		s := g.between(at, "x").ready()
		for i, z := range []float64{-1, 0, 1} {
			near(t, "at an end", s.at([]float64{z}), at[i])
		}
		for z := -1.; z < 1; z += 0.125 {
			if v := s.at([]float64{z}); v > s.at([]float64{z + 0.125}) || v < at[0] || v > at[2] {
				t.Errorf("%v: %v at %v", at, v, z)
			}
		}
	}
}

// 10 sent, by letter for 2.10 EUR or as a parcel for 5.10 EUR packed for 0.65 EUR: 21 to 51 EUR, and 6.50 EUR. By hand.
func TestWaysOfSending(t *testing.T) {
	in := Input{
		Currency:  "EUR",
		Sold:      []Sold{{Row: on("2021-03-02"), Count: val(t, "10"), Price: val(t, "80 EUR")}},
		Carriages: []Carriage{{Name: "letter", Amount: val(t, "2.10 EUR")}, {Name: "parcel", Amount: val(t, "5.10 EUR"), Packing: val(t, "0.65 EUR")}},
	}
	r := run(t, in)
	line(t, r, kindSending).is(t, 21, 36, 51)
	line(t, r, kindPacking).is(t, 6.5, 6.5, 6.5)
	if !warned(r, "2 ways") || !warned(r, "no packing") {
		t.Error("it is not said", r.Warnings)
	}
	in.Spent = []Spent{{Row: on("2021-02-01"), Kind: "cartons", Group: "packing", Amount: val(t, "4 EUR")}}
	in.Sold[0].Carriage = val(t, "3 EUR")
	r = run(t, in)
	line(t, r, kindSending).is(t, 30, 30, 30)
	for _, l := range r.Lines {
		if l.Calculated {
			t.Errorf("%s is recorded, and calculated too", l.Kind)
		}
	}
}

// Hours of making are filled up by the steps, half an hour a unit, for the units that none are recorded for. By hand.
func TestFillUp(t *testing.T) {
	for name, c := range map[string]struct {
		made  []Made
		hours []Hours
		want  float64 // h
	}{
		"by the days": {
			[]Made{{Row: during("2021-01-01", "2021-12-31"), Count: val(t, "40")}, {Row: during("2023-01-01", "2023-12-31"), Count: val(t, "60")}},
			[]Hours{{Row: during("2021-01-01", "2021-12-31"), Time: val(t, "20 h")}}, 20 + 30,
		},
		"by the counts": {
			[]Made{{Row: during("2021-01-01", "2023-12-31"), Count: val(t, "100")}},
			[]Hours{{Row: on("2021-05-01"), Time: val(t, "20 h"), Count: val(t, "40")}}, 20 + 30,
		},
		// 20 h are less than half of the 50 h that the steps need: they stand for the units of their months, 243 of 730 days.
		"part of a row": {
			[]Made{{Row: during("2021-01-01", "2022-12-31"), Count: val(t, "100")}},
			[]Hours{{Row: during("2021-01-01", "2021-08-31"), Time: val(t, "20 h")}}, 20 + 50*487./730,
		},
		"all": {
			[]Made{{Row: during("2021-01-01", "2021-12-31"), Count: val(t, "40")}},
			[]Hours{{Row: during("2021-01-01", "2021-12-31"), Time: val(t, "20 h")}}, 20,
		},
	} {
		for i := range c.hours {
			c.hours[i].Kind, c.hours[i].Group = "make", "building"
		}
		in := Input{
			Currency: "EUR", Made: c.made, Hours: c.hours, Steps: []Step{{Name: "all", Minutes: val(t, "30 min")}},
			Sold: []Sold{{Row: on("2023-12-31"), Count: val(t, "40"), Price: val(t, "80 EUR")}},
		}
		r := run(t, in)
		near(t, name, r.Hours.Best/3600, c.want)
		if said := warned(r, "hours of making are recorded for"); said != (c.want > 20) {
			t.Errorf("%s: said %v", name, said)
		}
		in.Steps = nil
		if r = run(t, in); warned(r, "too high") != (c.want > 20) {
			t.Errorf("%s: no steps: %v", name, r.Warnings)
		}
	}
}

// Parts that were bought for a part of the units only are questioned.
func TestMissParts(t *testing.T) {
	in := example(t)
	in.Made = []Made{{Row: on("2021-02-20"), Count: val(t, "15")}}
	if r := run(t, in); warned(r, "no parts are recorded for the time") {
		t.Error(r.Warnings)
	}
	in.Made = append(in.Made, Made{Row: on("2023-02-20"), Count: val(t, "7")})
	if r := run(t, in); !warned(r, "the time of 7 of 22 units") {
		t.Error(r.Warnings)
	}
}

// 100 were sold 365 days ago and are accepted for 730: as many days are to come as were. 10 came back, 6 of them with a fault: expected are
// as many, with the limits of Poisson means for 10 and 6 at 95 %, 4.795 to 18.39 and 2.202 to 13.06 (Pearson and Hartley, Biometrika Tables
// for Statisticians 1, table 40; from memory). At a mean of 13.06 more than 20 come in 2.6 % of cases, more than 21 in 1.5 % (computed
// independently, by adding up Poisson probabilities); enough is for all but 2.5 %.
func TestSpares(t *testing.T) {
	in := Input{
		Currency: "EUR", AcceptedFor: val(t, "17520 h"), Today: on("2021-12-30").Date,
		Sold: []Sold{{Row: on("2020-12-31"), Count: val(t, "100"), Price: val(t, "80 EUR")}},
		Returned: []Returned{
			{Row: on("2021-05-01"), Count: val(t, "6"), Cost: val(t, "20 EUR")}, {Row: on("2021-06-01"), Count: val(t, "4"), Cost: val(t, "10 EUR"), NoFault: true},
		},
	}
	for stock, want := range map[string]string{"103": "fewer", "110": "likely", "120": "likely", "121": "enough to replace", "130": "enough to replace"} {
		in.Made = []Made{{Row: on("2020-11-30"), Count: val(t, stock)}}
		r := run(t, in)
		if !strings.HasPrefix(r.enough(), want) {
			t.Errorf("%s made: %s, want %s", stock, r.enough(), want)
		}
		for _, c := range []struct {
			f               Figure
			best, low, high float64
		}{{r.BackYet, 10, 4.795, 18.39}, {r.FaultsYet, 6, 2.202, 13.06}} {
			near(t, "back yet", c.f.Best, c.best)
			if math.Abs(c.f.Low-c.low) > 0.0005 || math.Abs(c.f.High-c.high) > 0.005 {
				t.Errorf("%.4f to %.4f; want %v to %v", c.f.Low, c.f.High, c.low, c.high)
			}
		}
		near(t, "set aside", r.SetAside.Best, 160)
	}
}

// The years add up to the months, and each pays what its own accounts would.
func TestYears(t *testing.T) {
	in := example(t)
	in.Sold[1].Row = on("2022-04-02")
	in.Hours = append(in.Hours, Hours{Row: on("2022-02-10"), Kind: "make", Group: "building", Time: val(t, "4..6 h")})
	r := run(t, in)
	if len(r.Years) != 2 {
		t.Fatal(r.Years)
	}
	var left money.Amount
	for _, y := range r.Years {
		left = left.Plus(y.In).Minus(y.Out)
	}
	near(t, "left", left.Float64(), r.Net.Best)
	// 460.00 - 76.65 = 383.35 EUR in 5 h; 95 % of 4..6 h lie from 4.05 to 5.95 h. By hand.
	y := r.Years[1].Paid
	near(t, "2022", y.Best*3600, 383.35/5)
	if math.Abs(y.Low*3600-383.35/5.95) > 0.5 || math.Abs(y.High*3600-383.35/4.05) > 1 { // five standard errors of a quantile of 2,000 draws
		t.Errorf("%.2f to %.2f; want %.2f to %.2f", y.Low*3600, y.High*3600, 383.35/5.95, 383.35/4.05)
	}
}

// The price of a bought one pays what the accounts at that price say.
func TestBought(t *testing.T) {
	in := example(t)
	in.Sold, in.Rates = in.Sold[:1], nil
	in.MarketPrice = val(t, "85..120 EUR")
	said := run(t, in).againstBought()
	var paid [2]string
	for i, price := range []string{"85 EUR", "120 EUR"} {
		in.Sold[0].Price = val(t, price)
		again := run(t, in)
		paid[i] = again.hourly(again.HourPaid.Best)
	}
	low, _, _ := strings.Cut(paid[0], " ")
	if want := "an hour would have paid " + low + " to " + paid[1]; !strings.Contains(said, want) || !strings.Contains(said, "85.00 to 120.00 EUR, ours 79.00 EUR") {
		t.Errorf("%q; want %q", said, want)
	}
}
