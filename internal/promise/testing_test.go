package promise

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// TestTestingOfExample: the limits of the example keep what JCGM 106:2012 asks of them. At the edge of least cost the probability that a
// unit is good is bad/(bad + good) (8.3.3 and the worked cost example of its annex), and the shares of accepted, bad and good units are
// those of simulated units and readings.
func TestTestingOfExample(t *testing.T) {
	p := resolved(t)
	got, err := Test(context.Background(), p, Options{Seed: 1}, Bench{})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Sheet.Rows) != 3 || len(got.Lacks) > 0 {
		t.Fatalf("%d rows, lacks %v; want float, absorption and load-reconnect", len(got.Sheet.Rows), got.Lacks)
	}
	for i := range got.Sheet.Rows {
		r := &got.Sheet.Rows[i]
		if !(r.Accept.Low < r.Accept.High) || !(r.U > 0) || r.Accept.Low < r.Min || r.Accept.High > r.Max {
			t.Errorf("%s: accepts %g to %g of %g to %g, u = %g", r.Promise, r.Accept.Low, r.Accept.High, r.Min, r.Max, r.U)
		}
		s := numeric.NewStream(7, uint64(i))
		const n = 400000
		sent, bad, turned := 0.0, 0.0, 0.0
		for range n {
			unit := r.Mean + r.SD*s.Norm()
			reading := unit + r.U*s.Norm()
			good, pass := unit >= r.Min && unit <= r.Max, reading >= r.Accept.Low && reading <= r.Accept.High
			switch {
			case pass && !good:
				bad++
			case !pass && good:
				turned++
			}
			if pass {
				sent++
			}
		}
		for _, c := range []struct {
			what      string
			got, want float64
		}{{"accepted", sent / n, r.Accept.Accepted}, {"bad and passed", bad / n, r.Accept.FalseAccept}, {"good and turned away", turned / n, r.Accept.FalseReject}} {
			if math.Abs(c.got-c.want) > 4*math.Sqrt((c.want+1e-6)/n) {
				t.Errorf("%s: %s %g of simulated units, %g computed", r.Promise, c.what, c.got, c.want)
			}
		}
		whole := r.Sent(r.Mean-8*r.SD, r.Mean+8*r.SD)
		for k, fine := -80, 0.0; k <= 80; k++ {
			if fine += r.Sent(r.Mean+0.1*float64(k)*r.SD, r.Mean+0.1*float64(k+1)*r.SD); k == 80 && math.Abs(fine-r.Accept.Accepted) > 1e-5 {
				t.Errorf("%s: sent %g in fine steps, %g in one, want %g", r.Promise, fine, whole, r.Accept.Accepted)
			}
		}
	}
}

// TestTestingConditions: warmer air moves the limits by the compensation, and a less certain air narrows them.
func TestTestingConditions(t *testing.T) {
	p := resolved(t)
	float := func(ambient string) (low, high, u float64) {
		t.Helper()
		q := parsed(t, ambient)
		got, err := Test(context.Background(), p, Options{Seed: 1}, Bench{Ambient: &q})
		if err != nil {
			t.Fatal(err)
		}
		r := got.row("float")
		return r.Min, r.Max, r.U
	}
	low, _, u := float("20 °C")
	warm, _, _ := float("30 °C")
	if k := (warm - low) / 10; math.Abs(k+0.036) > 0.002 { // -36 mV/K of the example
		t.Errorf("the bound moves by %g V/K, want -0.036", k)
	}
	if _, _, wide := float("20 °C ±3 K"); math.Abs(math.Sqrt(wide*wide-u*u)-0.036*3/math.Sqrt(3)) > 1e-3 {
		t.Errorf("air within ±3 K adds %g V, want %g", math.Sqrt(wide*wide-u*u), 0.036*3/math.Sqrt(3))
	}
}

func resolved(t *testing.T) *product.Product {
	t.Helper()
	p, err := example(t).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func parsed(t *testing.T, text string) quantity.Quantity {
	t.Helper()
	q, err := quantity.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// TestTestingOneSide: a bound with one side has an open one, which JSON writes as null.
func TestTestingOneSide(t *testing.T) {
	p := resolved(t)
	asked := p.Promises.Get("load-reconnect")
	asked.Min, asked.Within = asked.Within, product.Quantity{}
	got, err := Test(context.Background(), p, Options{Seed: 1}, Bench{})
	if err != nil {
		t.Fatal(err)
	}
	r := got.row("load-reconnect")
	if r == nil || !math.IsInf(r.Accept.High, 1) || math.IsInf(r.Accept.Low, 0) {
		t.Fatalf("%+v", r)
	}
	text, err := got.JSON()
	if err != nil || !strings.Contains(string(text), `"max": null`) {
		t.Errorf("%v: %s", err, text)
	}
	if s := r.Sentence(); !strings.Contains(s, "accept from 24.") {
		t.Error(s)
	}
}
