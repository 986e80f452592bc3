package promise

import "testing"

func at(v float64) *float64 { return &v }

func between(low, best, high float64) Interval { return Interval{Best: best, Low: low, High: high} }

func share(low, best, high float64) *Interval { i := between(low, best, high); return &i }

func TestStanceOfAFigure(t *testing.T) {
	both := Bound{Min: at(-0.2), Max: at(0.2)}
	for _, c := range []struct {
		name  string
		bound Bound
		is    Interval
		want  Stance
	}{
		{"inside", both, between(-0.1, 0, 0.1), Supports},
		{"touching both ends", both, between(-0.2, 0, 0.2), Supports},
		{"across the upper end", both, between(0.1, 0.15, 0.25), LeavesOpen},
		{"across both ends", both, between(-0.3, 0, 0.3), LeavesOpen},
		{"above", both, between(0.21, 0.3, 0.4), Breaks},
		{"below", both, between(-0.4, -0.3, -0.21), Breaks},
		{"at least, met", Bound{Min: at(10)}, between(10.5, 11, 12), Supports},
		{"at least, open above", Bound{Min: at(10)}, Interval{Best: 11, Low: 10.5, OpenHigh: true}, Supports},
		{"at least, open below", Bound{Min: at(10)}, Interval{Best: 11, High: 12, OpenLow: true}, LeavesOpen},
		{"at most, open above", Bound{Max: at(10)}, Interval{Best: 8, Low: 7, OpenHigh: true}, LeavesOpen},
		{"at most, open above, all over", Bound{Max: at(10)}, Interval{Best: 12, Low: 11, OpenHigh: true}, Breaks},
		{"no bound", Bound{}, between(1, 2, 3), Supports},
	} {
		if got := stance(c.bound, 0, Evidence{Interval: c.is, Covers: true}); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestStanceOfAProportion(t *testing.T) {
	for _, c := range []struct {
		name   string
		inside *Interval
		covers bool
		want   Stance
	}{
		{"lower limit reaches what is asked", share(0.95, 0.97, 0.99), true, Supports},
		{"lower limit just short", share(0.949, 0.97, 0.99), true, LeavesOpen},
		{"upper limit below", share(0.7, 0.8, 0.949), true, Breaks},
		{"upper limit at what is asked", share(0.7, 0.8, 0.95), true, LeavesOpen},
		{"good, but only at a part of the conditions", share(0.96, 0.98, 0.99), false, LeavesOpen},
		{"bad at a part of the conditions", share(0.5, 0.6, 0.7), false, Breaks},
	} {
		e := Evidence{Interval: between(-9, 0, 9), Inside: c.inside, Covers: c.covers}
		if got := stance(Bound{Min: at(-0.2), Max: at(0.2)}, 0.95, e); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestJudge(t *testing.T) {
	good, bad, open := share(0.96, 0.98, 0.99), share(0.5, 0.6, 0.7), share(0.5, 0.96, 0.99)
	calc := func(s *Interval) Evidence { return Evidence{Kind: Calculated, Inside: s, Covers: true} }
	meas := func(s *Interval, covers bool) Evidence {
		return Evidence{Kind: Measured, Inside: s, Covers: covers}
	}
	for _, c := range []struct {
		name     string
		evidence []Evidence
		want     Verdict
	}{
		{"nothing", nil, NoEvidence},
		{"calculated only", []Evidence{calc(good)}, Met},
		{"both support", []Evidence{calc(good), meas(good, true)}, Met},
		{"one leaves open", []Evidence{calc(good), meas(open, true)}, Unproven},
		{"one breaks", []Evidence{calc(good), meas(bad, true)}, NotMet},
		{"calculation breaks, bench supports", []Evidence{calc(bad), meas(good, true)}, NotMet},
		{"measured at a part, carried to the rest", []Evidence{calc(good), meas(good, false), meas(good, true)}, Met},
		{"measured at a part only", []Evidence{calc(good), meas(good, false)}, Unproven},
		{"breaks at a part, carried leaves open", []Evidence{meas(bad, false), meas(open, true)}, NotMet},
	} {
		if got := Judge(Bound{Min: at(-0.2), Max: at(0.2)}, 0.95, c.evidence); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestStandsOn(t *testing.T) {
	for _, c := range []struct {
		evidence []Evidence
		want     string
	}{
		{nil, ""},
		{[]Evidence{{Kind: Calculated, Covers: true}}, "calculated only"},
		{[]Evidence{{Kind: Measured, Covers: true, Conditions: "22 °C"}}, "measured only"},
		{[]Evidence{{Kind: Measured, Conditions: "22 °C"}}, "measured at 22 °C only"},
		{[]Evidence{{Kind: Calculated, Covers: true}, {Kind: Measured, Conditions: "18 °C"}, {Kind: Measured, Carried: true, Covers: true, Conditions: "-10..45 °C"}}, "calculated and measured at 18 °C"},
	} {
		if got := standsOn(c.evidence); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestPlaces(t *testing.T) {
	for _, c := range []struct {
		from []string
		want string
	}{
		{nil, ""},
		{[]string{"setpoint study"}, "setpoint study"},
		{[]string{"r.csv:35", "r.csv:36", "r.csv:34", "r.csv:19", "r.csv:17", "r.csv:17"}, "r.csv:17, 19, 34-36"},
		{[]string{"b.csv:2", "a.csv:3", "b.csv:3"}, "b.csv:2-3; a.csv:3"},
	} {
		if got := places(c.from); got != c.want {
			t.Errorf("%v: %q, want %q", c.from, got, c.want)
		}
	}
}
