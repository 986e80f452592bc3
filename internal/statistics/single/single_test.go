package single

import (
	"context"
	"errors"
	"math"
	"testing"
)

// A divider of 120 kΩ and 10 kΩ with a reference of 2.5 V switches at 2.5·(1 + 120/10) = 32.5 V; by hand, from Ohm's law, it
// would at 33 V with a top of 122 kΩ, a bottom of 9836.07 Ω (10 kΩ·120/122) or a reference of 2.53846 V.
func TestDivider(t *testing.T) {
	inputs := []Input{{Name: "top", Value: 120e3, Tolerance: 1200}, {Name: "bottom", Value: 10e3, Tolerance: 100}, {Name: "reference", Value: 2.5, Tolerance: 0.01},
		{Name: "lamp", Value: 1, Tolerance: 0.1}, {Name: "stiff", Value: 0, Tolerance: 0.01, Low: -0.02, High: 0.02}}
	figures := func() (Figure, error) {
		return func(input int, x float64) (float64, error) {
			v := []float64{120e3, 10e3, 2.5, 1, 0}
			if input >= 0 {
				v[input] = x
			}
			return v[2]*(1+v[0]/v[1]) + v[4], nil
		}, nil
	}
	got, err := Find(context.Background(), 33, inputs, figures)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []struct {
		name    string
		to      float64
		times   float64
		reaches bool
	}{{"bottom", 10e3 * 120 / 122, 1.639344, true}, {"top", 122e3, 5. / 3, true}, {"reference", 33. / 13, 3.846154, true}, {"stiff", 0.02, 2, false}, {"lamp", 1, 0, false}} {
		c := got[k]
		if c.Name != want.name || math.Abs(c.To-want.to) > 1e-5*math.Abs(want.to)+1e-12 || math.Abs(c.Times-want.times) > 1e-5 || c.Reaches != want.reaches {
			t.Errorf("%d: %+v, want %+v", k, c, want)
		}
		if c.Reaches && math.Abs(c.Figure-33) > 1e-6 {
			t.Errorf("%s gives %v", c.Name, c.Figure)
		}
	}
}

// The nearer of two crossings counts; where a figure ends, nothing is followed further.
func TestEitherSide(t *testing.T) {
	square := func() (Figure, error) {
		return func(_ int, x float64) (float64, error) {
			if x > 2 {
				return 0, errors.New("no such figure")
			}
			return (x - 0.5) * (x - 0.5), nil
		}, nil
	}
	in := []Input{{Value: 0, Tolerance: 0.1}}
	for _, c := range []struct {
		want, to float64
		reaches  bool
	}{{1, -0.5, true}, {0.09, 0.2, true}, {-1, 0, false}} {
		got, err := Find(context.Background(), c.want, in, square)
		if err != nil {
			t.Fatal(err)
		}
		if got[0].Reaches != c.reaches || c.reaches && math.Abs(got[0].To-c.to) > 1e-6 {
			t.Errorf("%v: %+v", c.want, got[0])
		}
	}
	jump := func() (Figure, error) {
		return func(_ int, x float64) (float64, error) {
			if x > 0.3 {
				return 5, nil
			}
			return x, nil
		}, nil
	}
	if got, err := Find(context.Background(), 1, in, jump); err != nil || got[0].Reaches {
		t.Errorf("a jump over the value reaches it: %+v, %v", got, err)
	}
	if _, err := Find(context.Background(), 1, in, func() (Figure, error) { return nil, errors.New("none") }); err == nil {
		t.Error("no error")
	}
}
