package main

import (
	"math"
	"time"
)

// comeback is one unit sent back.
type comeback struct {
	unit   *unit
	day    time.Time
	reason string
	fault  bool
}

// How units come back: a few at once, the others at a steady rate. Shares of units, and
// shares a year. In the cracked batch faults are five times as frequent, so that all
// returns together are about four times as frequent.
const (
	faultAtOnce, faultAYear     = 0.005, 0.0070
	noFaultAtOnce, noFaultAYear = 0.003, 0.0040
	crackedFactor               = 5
)

// faults are what was found, with how often. The joint is also what cracks by itself now and then.
var faults = []weighted[string]{
	{22, "display: one digit dark"}, {18, "probe cable broken"}, {16, "q1 short"}, {14, "u1 dead"},
	{12, "screw terminal stripped"}, {10, "cracked solder at j2"}, {8, "water under the cover"},
}

var complaints = []weighted[string]{
	{40, "said not to charge"}, {30, "said to show the wrong voltage"}, {20, "said to cut off too early"}, {10, "not needed after all"},
}

func comeBack(units []*unit, d draws) []comeback {
	var all []comeback
	for _, u := range units {
		if u.sold.IsZero() {
			continue
		}
		k := 1.0
		if u.batch.name == crackedBatch {
			k = crackedFactor
		}
		put := after(u.sold, d.days(5, 60)) // sold is not yet in use
		bad := after(put, timeTo(d, k*faultAtOnce, k*faultAYear)+d.days(4, 30))
		odd := after(put, timeTo(d, noFaultAtOnce, noFaultAYear)+d.days(4, 30))
		c := comeback{u, workday(bad), oneOf(d, faults), true}
		if u.batch.name == crackedBatch && d.Float64() < 0.85 {
			c.reason = "cracked solder at j2"
		}
		if odd.Before(bad) {
			c = comeback{u, workday(odd), oneOf(d, complaints), false}
		}
		taken := u.sold.AddDate(2, 0, 0) // accepted_for
		if !c.day.After(lastDay) && !c.day.After(taken) {
			all = append(all, c)
		}
	}
	return all
}

// timeTo draws the days to an event that comes within 30 days with probability atOnce,
// and otherwise at a constant rate a year.
func timeTo(d draws, atOnce, aYear float64) int {
	early, later := d.Float64() < atOnce, 365*d.ExpFloat64()/aYear
	if early {
		return d.days(0, 30)
	}
	return int(math.Min(later, 100*365))
}

func returnedTable(back []comeback, d draws) *table {
	t := newTable("date serial batch revision reason found cost minutes basis")
	for _, c := range back {
		found, cost, minutes := "no fault", d.between(9, 12), d.between(25, 45)
		if c.fault { // a new unit goes out, and the old one is opened
			found, cost, minutes = "fault", cost+d.between(19, 22), minutes+d.between(10, 30)
		}
		t.add(map[string]string{"date": day(c.day), "serial": serial(c.unit.serial), "batch": c.unit.batch.name,
			"revision": c.unit.batch.revision, "reason": c.reason, "found": found, "cost": euros(cost),
			"minutes": count(int(minutes)) + " min", "basis": "booked"})
	}
	return t
}
