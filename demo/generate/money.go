package main

import (
	"fmt"
	"time"
)

// partsEach is what the parts of one unit cost with prices for a batch, EUR without tax.
var partsEach = map[string]float64{"A": 17.4, "B": 18.3, "C": 19.3}

// once are the sums of no batch and no month.
var once = []struct {
	day, kind string
	amount    float64
	note      string
}{
	{"2020-10-12", "tools", 412, "hot plate, fume fan, two irons"},
	{"2020-11-20", "tools", 236, "electronic load, second hand"},
	{"2020-12-04", "trials", 318, "boards and boxes of three trial builds"},
	{"2021-01-19", "test-house", 3900, "emission and immunity"},
	{"2021-02-02", "tools", 164, "programmer and pogo pins"},
	{"2022-01-25", "trials", 142, "boards of revision B"},
	{"2022-06-14", "tools", 89, "scale for the potting"},
	{"2022-12-13", "tools", 348, "supply for the jig"},
	{"2023-01-16", "meters", 92, "bench-2, with its check"},
	{"2023-03-27", "meters", 385, "bench-1"},
	{"2023-01-24", "trials", 167, "boards of revision C"},
	{"2024-02-12", "meters", 68, "check of bench-1"},
}

func spentTable(d draws) *table {
	t := newTable("date until kind amount basis note")
	add := func(on time.Time, kind string, amount float64, note string) {
		t.add(map[string]string{"date": day(on), "kind": kind, "amount": euros(amount), "basis": "booked", "note": note})
	}
	for _, b := range batches {
		bought := workday(after(b.begun, -d.days(12, 24)))
		add(bought, "parts", d.about(partsEach[b.revision]*float64(b.size), 0.03), b.name)
		add(bought, "carriage-of-parts", d.between(26, 42), b.name)
		add(workday(after(b.begun, 3)), "packing", d.about(0.65*float64(b.size), 0.05), b.name)
	}
	for year := 2020; year <= 2024; year++ {
		from, until := date(fmt.Sprintf("%d-01-01", year)), date(fmt.Sprintf("%d-12-31", year))
		if year == 2020 {
			from = date("2020-10-01")
		}
		if year == 2024 {
			until = lastDay
		}
		months := float64(int(until.Month()-from.Month()) + 1)
		period := map[string]string{"date": day(from), "until": day(until), "kind": "workshop",
			"amount": euros(85 * months), "basis": "booked", "note": "85 EUR a month"}
		t.add(period)
		if year > 2020 {
			add(date(fmt.Sprintf("%d-01-04", year)), "insurance", 290, "")
			add(date(fmt.Sprintf("%d-02-01", year)), "waste-register", 180, "")
		}
	}
	for _, o := range once {
		add(date(o.day), o.kind, o.amount, o.note)
	}
	return t
}
