package main

import (
	"fmt"
	"math"
	"time"
)

// stepShare is how the minutes of a unit of revision C divide over the steps.
var stepShare = []struct {
	step  string
	share float64
}{
	{"solder", 0.40}, {"power", 0.13}, {"flash", 0.05}, {"trim", 0.08}, {"pot", 0.12}, {"final", 0.11}, {"pack", 0.11},
}

// The first unit, and what remains of the time when the number made so
// far doubles; fitted by eye to "an hour at first, forty minutes now".
const (
	firstUnit = 64 * time.Minute
	learning  = 0.955
)

// hoursOfBatch is the time of one whole batch, h, when as many were made before: T. P. Wright (1936), the law of each unit.
func hoursOfBatch(before, size int) float64 {
	var sum float64
	for n := before + 1; n <= before+size; n++ {
		sum += firstUnit.Hours() * math.Pow(float64(n), math.Log2(learning))
	}
	return sum
}

// designed are the hours before and between the batches, as far as we remember or wrote down.
var designed = []struct{ from, until, time, basis, note string }{
	{"2020-09-15", "2020-12-31", "150..190 h", "remembered", "circuit, board, three trial builds"},
	{"2021-01-01", "2021-02-20", "70..90 h", "remembered", "firmware, test house"},
	{"2022-01-10", "2022-02-25", "38 h", "counted", "revision B: reference, probe"},
	{"2022-12-05", "2023-02-10", "74 h", "counted", "revision C: jig, trim, switches"},
	{"2023-09-04", "2023-09-15", "16 h", "counted", "leaflet rewritten"},
}

func hoursTable(d draws) *table {
	t := newTable("date until kind time count step basis note")
	made := 0
	for _, b := range batches {
		total := d.about(hoursOfBatch(made, b.size), 0.03)
		row := map[string]string{"date": day(b.begun), "until": day(after(b.begun, 11)), "kind": "make", "note": b.name}
		made += b.size
		if b.revision == "A" { // nobody looked at the clock
			row["time"], row["count"], row["basis"] = fmt.Sprintf("%.0f..%.0f h", total*0.9, total*1.1), count(b.size), "remembered"
			t.add(row)
			continue
		}
		row["basis"], row["count"] = "counted", count(b.size)
		if b.revision == "B" {
			row["time"] = hours(total)
			t.add(row)
			continue
		}
		for _, s := range stepShare {
			row["step"], row["time"] = s.step, hours(d.about(total*s.share, 0.04))
			t.add(row)
		}
	}
	for _, p := range designed {
		t.add(map[string]string{"date": p.from, "until": p.until, "kind": "design", "time": p.time, "basis": p.basis, "note": p.note})
	}
	addOffice(t, d)
	return t
}

// addOffice adds letters, advice and books, a row for each quarter.
func addOffice(t *table, d draws) {
	for from := date("2021-01-01"); from.Before(lastDay); from = from.AddDate(0, 3, 0) {
		until := after(from.AddDate(0, 3, 0), -1)
		part := 1.0
		if until.After(lastDay) {
			until, part = lastDay, 2.0/3
		}
		for _, k := range []struct {
			kind string
			time float64
		}{{"advice", 8}, {"office", 7}} {
			t.add(map[string]string{"date": day(from), "until": day(until), "kind": k.kind,
				"time": hours(d.about(k.time*part, 0.2)), "basis": "counted"})
		}
	}
}
