package calc

import (
	"context"
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

// A 36-cell module of the 100 W class, computed independently by bisection of the implicit equation.
func TestPanelCurve(t *testing.T) {
	args := []string{"photocurrent=6.15 A", "saturation=2.4e-10 A", "series=0.22 ohm", "shunt=180 ohm", "cells=36", "ideality=1.05", "temperature=25 degC"}
	o := run(t, "panel-iv", append(args, "voltage=30 V")...)
	meets(t, o, map[string][2]float64{"isc": {6.142493, 1e-6}, "voc": {23.25548, 1e-5}, "vmp": {19.1029, 1e-4}, "pmp": {109.46644, 1e-5}, "current": {-23.62162, 1e-5}})
	if o = run(t, "panel-iv", args...); len(o.Results) != 5 || !o.Complete() {
		t.Errorf("without a voltage: %+v", o.Results)
	}
	args[0] = "photocurrent=6.15 A ±5 %" // rectangular: the central 95 % reach ±4.75 % of the proportional current
	if f := figure(t, run(t, "panel-iv", args...), "isc"); !f.Interval || math.Abs(f.Low/6.142493-0.9525) > 5e-4 || math.Abs(f.High/6.142493-1.0475) > 5e-4 {
		t.Errorf("isc %+v", f)
	}
	dark := run(t, "panel-iv", "photocurrent=0 A", "saturation=1e-10 A", "series=0 ohm", "shunt=1 kohm", "cells=36", "ideality=1")
	meets(t, dark, map[string][2]float64{"isc": {0, 0}, "voc": {0, 0}, "pmp": {0, 0}})
	dark = run(t, "panel-iv", "photocurrent=0 A", "saturation=0.24 nA", "series=0.22 ohm", "shunt=180 ohm", "cells=36", "ideality=1.05")
	meets(t, dark, map[string][2]float64{"isc": {0, 0}})
	far := run(t, "panel-iv", "photocurrent=6 A", "saturation=1e-10 A", "series=0 ohm", "shunt=1 kohm", "cells=1", "ideality=1", "voltage=48 V")
	if f := figure(t, far, "current"); f.None != "larger than any number" || far.Complete() {
		t.Errorf("48 V on one cell: %+v", f)
	}
}

// The fit has the limits of its scatter, and refuses what is no curve.
func TestPanelFit(t *testing.T) {
	o := run(t, "panel-fit", "file=testdata/curve.csv", "temperature=45 degC", "cells=36")
	meets(t, o, map[string][2]float64{"rmse": {0.002052961, 1e-9}, "ideality": {47.598 / 36, 0.0005}})
	for _, key := range []string{"photocurrent", "saturation", "series", "shunt", "ideality"} {
		if f := figure(t, o, key); !f.Interval || !(0 < f.Low && f.Low < f.Answer.Value && f.Answer.Value < f.High) {
			t.Errorf("%s: %+v", key, f)
		}
	}
}

func TestPanelFitRefuses(t *testing.T) {
	line := "V,I\n" + strings.Repeat("1,1\n", 12)
	files := fstest.MapFS{"few.csv": {Data: []byte("V,I\n0,1\n1,0\n")}, "line.csv": {Data: []byte(line)},
		"words.csv": {Data: []byte("V,I\n0,one\n")}, "other.csv": {Data: []byte("a,b\n0,1\n")}}
	for file, say := range map[string]string{
		"few.csv":   `file: "few.csv": 2 readings; want 8 or more for five parameters`,
		"line.csv":  `file: "line.csv": the readings do not show a short-circuit current, a knee and an open-circuit voltage; want eight or more, from below the knee to beyond it, in light`,
		"words.csv": `words.csv:2:3: i: "one": not a possible value; want a number in A, without unit`,
		"other.csv": `other.csv:1:1: "a,b": lacks a column; want columns v,i or v_volt,i_ampere or voltage,current, with commas between`,
	} {
		_, err := Run(context.Background(), "panel-fit", []string{"file=" + file, "temperature=25 degC", "cells=1"}, Options{Seed: 1, Files: files})
		if err == nil || err.Error() != say {
			t.Errorf("%s:\n got %v\nwant %s", file, err, say)
		}
	}
}
