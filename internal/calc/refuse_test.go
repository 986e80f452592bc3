package calc

import (
	"context"
	"strings"
	"testing"
)

func TestRefuses(t *testing.T) {
	var names []string
	for _, c := range List() {
		names = append(names, c.Name)
	}
	all := strings.Join(names, ", ")
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"rat", nil, `"rat": no such calculator; want ` + all + `; did you mean rate`},
		{"temperature", nil, `"temperature": no such calculator; want ` + all + `; did you mean temperature-compensation`},
		{"rtae", nil, `"rtae": no such calculator; want ` + all + `; did you mean rate`},
		{"zzz", nil, `"zzz": no such calculator; want ` + all},
		{"proportion", []string{"failure=1", "of=50"}, `failure: "1": no input of proportion; want failures, of, confidence; did you mean failures
failures: missing: units that failed; want a whole number from 0 up`},
		{"proportion", []string{"failures=1.5", "of=50"}, `failures: "1.5": not a possible value; want a whole number from 0 up`},
		{"proportion", []string{"failures=-1", "of=50"}, `failures: "-1": not a possible value; want a whole number from 0 up`},
		{"proportion", []string{"failures=60", "of=50"}, `failures: "60": more than the units tried (50); want at most as many`},
		{"proportion", []string{"failures=1 ±1", "of=50"}, `failures: "1 ±1": takes no tolerance; want a whole number from 0 up`},
		{"proportion", []string{"failures=1", "of=50", "confidence=95"}, `confidence: "95": not a possible value; want a number between 0 and 1 such as 0.95 or 95 %`},
		{"proportion", []string{"failures=1", "of=50", "of=51"}, `of: "51": given twice; want each key once`},
		{"proportion", []string{"failures", "of=50"}, `"failures": not key=value; want keys such as failures, of, confidence
failures: missing: units that failed; want a whole number from 0 up`},
		{"proportion", []string{"failures=", "of=50"}, `failures: no value after the =; want a whole number from 0 up`},
		{"temperature-compensation", []string{"at_25=14.4", "per_cell=-4 mV", "cells=6", "temperature=40 °C"}, `at_25: "14.4": no unit; want a voltage such as 27.3 V
    14.4
    ^^^^
per_cell: "-4 mV": "-4 mV" is a voltage; want a voltage per kelvin such as -48 mV/K
    -4 mV
    ^^^^^`},
		{"conformance", []string{"value=5 V", "u=5 mV"}, `max: no limit given; want min, max or both`},
		{"conformance", []string{"value=5 V", "u=5 mV", "min=6 V", "max=4 V"}, `max: "4 V": not above min; want min < max`},
		{"conformance", []string{"value=5 V ±1 %", "u=5 mV", "min=6 V"}, `value: "5 V ±1 %": takes no tolerance; want a quantity such as 27.3 V, or a plain number`},
		{"conformance", []string{"value=5 V", "u=-5 mV", "min=4 V"}, `u: "-5 mV": not a possible value; want 0 or more, of the dimension of value`},
		{"conformance", []string{"value=5 V", "u=5 mA", "min=4 V"}, `u: "5 mA": "5 mA" is a current; want a voltage such as 27.3 V
    5 mA
    ^^^^`},
		{"guard-band", []string{"mean=5 V", "sd=0 V", "u=1 mV", "min=4 V"}, `sd: "0 V": not a possible value; want more than 0, of the dimension of mean`},
		{"guard-band", []string{"mean=5 V", "sd=1 mV", "u=1 mV", "min=4 V", "accept_min=6 V", "accept_max=5 V"}, `accept_max: "5 V": not above accept_min; want accept_min < accept_max`},
		{"rate", []string{"events=1", "exposure=0 h"}, `exposure: "0 h": not a possible value; want a quantity such as 27.3 V, or a plain number`},
		{"rate", []string{"events=1", "exposure=25 °C"}, `exposure: "25 °C": a temperature on a scale; want a time or another amount`},
		{"rate", []string{"events=1000", "exposure=1e-306"}, `rate: best has no finite value for these inputs; want inputs of a usual size`},
		{"tolerance-factor", []string{"n=1", "proportion=0.9", "sides=2"}, `n: "1": not a possible value; want a whole number from 2 to 10000000`},
		{"tolerance-factor", []string{"n=10", "proportion=0.9", "sides=3"}, `sides: "3": not a possible value; want 1 or 2`},
		{"tolerance-factor", []string{"n=10 V", "proportion=0.9", "sides=2"}, `n: "10 V": "10 V" is a voltage; want a whole number from 2 to 10000000
    10 V
    ^^^^`},
		{"uncertainty", []string{"a=1"}, `y: missing: the formula, such as "vref*(1 + r1/r2)"; want a formula such as "vref*(1 + r1/r2)"`},
		{"uncertainty", []string{"y=vref*r1", "vref=1", "r=2"}, `r: "2": not in the formula; want vref, r1, y, samples, seed, confidence, corr.NAME.NAME or dof.NAME; did you mean r1
y: "vref*r1": no value given for r1; want each as a key, such as r1="1.2 V ±1 %"`},
		{"uncertainty", []string{"y=a + ", "a=1"}, `y: "a +": the formula ends too early; want a number, a name, a function or (
    a +
       ^`},
		{"uncertainty", []string{"y=µ + exp(b)", "µ=1", "b=2 V"}, `y: "µ + exp(b)": exp of a voltage; want a plain number: divide by a value of the same dimension
    µ + exp(b)
            ^`},
		{"uncertainty", []string{"y=a*seed", "a=1"}, `y: "a*seed": the name seed is an input of the calculator itself; want another name in the formula`},
		{"uncertainty", []string{"y=a+b", "a=1 EUR", "b=2 USD"}, `b: "2 USD": a second currency beside EUR; want one currency`},
		{"uncertainty", []string{"y=a+b", "a=1 sd 1", "b=2 sd 1", "corr.a.b=1.1"}, `corr.a.b: "1.1": not a possible correlation; want -1 to 1, of two different names`},
		{"uncertainty", []string{"y=a+b", "a=1 sd 1", "b=2 sd 1", "corr.a.c=0.1"}, `corr.a.c: "0.1": c is not in the formula; want a, b`},
		{"uncertainty", []string{"y=a+b", "a=1 sd 1", "b=2", "corr.a.b=0.1"}, `corr.a.b: "0.1": b has no spread; want a tolerance or sd in b`},
		{"uncertainty", []string{"y=a+b", "a=1 sd 1", "b=2 sd 1", "corr.a=0.1"}, `corr.a: "0.1": not a correlation or degrees of freedom; want corr.NAME.NAME or dof.NAME`},
		{"uncertainty", []string{"y=a", "a=1 sd 1", "dof.a=0"}, `dof.a: "0": not possible; want a number above 0, or inf`},
		{"uncertainty", []string{"y=a", "a=1 sd 1", "samples=10"}, `samples: "10": not a possible value; want a whole number from 1000 to 20000000`},
		{"uncertainty", []string{"y=a+b+c", "a=1 sd 1", "b=2 sd 1", "c=1 sd 1", "corr.a.b=0.9", "corr.b.c=0.9", "corr.a.c=-0.9"},
			`correlation of b and c: 0.9 cannot go together with the other correlations; want a positive semidefinite matrix`},
	} {
		_, err := Run(context.Background(), c.name, c.args, Options{Seed: 1})
		if err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.args, err, c.say)
		}
	}
}
