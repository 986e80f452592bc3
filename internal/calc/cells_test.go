package calc

import (
	"context"
	"maps"
	"strings"
	"testing"
)

func init() {
	maps.Copy(examples, map[string][]string{
		"gassing":     {"capacity=100 Ah", "voltage=14.4 V", "cells=6", "temperature=298 K", "current_100ah=20 mA"},
		"water":       {"charge=10 Ah", "cells=6"},
		"ventilation": {"cells=6", "type=flooded", "mode=boost", "capacity=100 Ah"},
		"two-well":    {"available=15.75 Ah", "bound=34.25 Ah", "current=-8 A", "time=2 h", "fraction=0.315", "rate=1.24 1/h"},
		"runtime":     {"capacity=100 Ah", "hours=20 h", "exponent=1.25", "current=25 A"},
	})
}

func TestCellsRefuse(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"gassing", []string{"capacity=0 Ah", "voltage=14.4 V", "cells=6", "temperature=25 °C", "current_100ah=20 mA"}, `capacity: "0 Ah": not a possible value; want a charge above 0 such as 60 Ah`},
		{"gassing", []string{"capacity=100 Ah", "voltage=1440 V", "cells=6", "temperature=25 °C", "current_100ah=20 mA"}, `voltage: "1440 V": 240 V a cell, where the formula gives no number; want about 2.2 V to 2.9 V for each cell`},
		{"water", []string{"charge=10 Ah", "cells=6", "recombination=1.2"}, `recombination: "1.2": not a possible value; want a number from 0 to 1 such as 0.97 or 97 %`},
		{"water", []string{"charge=10 A", "cells=6"}, `charge: "10 A": "10 A" is a current; want a charge of 0 or more such as 5 Ah
    10 A
    ^^^^`},
		{"ventilation", []string{"cells=6", "capacity=100 Ah"}, `type: neither flooded nor sealed, and gas_current is not given; want flooded or sealed`},
		{"ventilation", []string{"cells=6", "type=flooded", "mode=slow", "capacity=100 Ah"}, `mode: "slow": neither float nor boost; want float or boost`},
		{"ventilation", []string{"cells=6", "gas_current=5 mA/Ah", "type=flooded", "mode=float", "capacity=100 Ah"}, `gas_current: "5 mA/Ah": given beside type or mode; want either gas_current, or type and mode`},
		{"two-well", []string{"available=1 Ah", "bound=1 Ah", "current=1 A", "time=1 h", "fraction=1", "rate=1 1/h"}, `fraction: "1": not a possible value; want a number between 0 and 1 such as 0.3`},
		{"runtime", []string{"capacity=100 Ah", "hours=20 h", "exponent=0.9", "current=5 A"}, `exponent: "0.9": not a possible value; want a number from 1 to 2 such as 1.2`},
	} {
		_, err := Run(context.Background(), c.name, c.args, Options{Seed: 1})
		if err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.args, err, c.say)
		}
	}
}

// A well that would be emptied before the time is over is no number.
func TestWellRunsDry(t *testing.T) {
	o := run(t, "two-well", "available=5 Ah", "bound=10 Ah", "current=10 A", "time=3 h", "fraction=0.315", "rate=1.24 1/h")
	for _, key := range []string{"available", "bound"} {
		if f := figure(t, o, key); !strings.Contains(f.Answer.None, "does not last") {
			t.Errorf("%s: %+v", key, f.Answer)
		}
	}
}

// Wells that hardly exchange lose just what is drawn: 50 Ah − 2 A·1 h of the one at hand, by the law's limit for rate → 0.
func TestWellsAlmostApart(t *testing.T) {
	for _, rate := range []string{"1e-9 1/h", "1e-12 1/h", "1e-15 1/h", "1e-100 1/h"} {
		o := run(t, "two-well", "available=50 Ah", "bound=50 Ah", "current=2 A", "time=1 h", "fraction=0.5", "rate="+rate)
		meets(t, o, map[string][2]float64{"available": {48, 1e-7}, "bound": {50, 1e-7}})
	}
}

func TestCellsWarn(t *testing.T) {
	for name, args := range map[string][]string{
		"gassing": {"capacity=100 Ah", "voltage=12 V", "cells=6", "temperature=25 °C", "current_100ah=20 mA"},
		"runtime": {"capacity=100 Ah", "hours=20 h", "exponent=1.2", "current=1 A"},
	} {
		if o := run(t, name, args...); len(o.Warnings) != 1 {
			t.Errorf("%s: warnings %q, want one", name, o.Warnings)
		}
	}
}
