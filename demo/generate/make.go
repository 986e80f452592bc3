package main

import "time"

// batch is one go of the workshop.
type batch struct {
	name, revision string
	begun          time.Time
	size           int
}

// batches lists the thirty-one goes. b14 was made for one large order in a hot week:
// its potting was poured warm, shrank, and cracked the joint j2 in some of its units.
var batches = numbered(
	batch{"", "A", date("2021-02-22"), 36}, batch{"", "A", date("2021-04-06"), 44}, batch{"", "A", date("2021-05-25"), 48},
	batch{"", "A", date("2021-07-05"), 48}, batch{"", "A", date("2021-08-30"), 48}, batch{"", "A", date("2021-10-11"), 48},
	batch{"", "A", date("2021-11-22"), 50}, batch{"", "A", date("2022-01-17"), 50},
	batch{"", "B", date("2022-03-07"), 44}, batch{"", "B", date("2022-04-04"), 44}, batch{"", "B", date("2022-05-09"), 44},
	batch{"", "B", date("2022-06-07"), 44}, batch{"", "B", date("2022-07-11"), 44}, batch{"", "B", date("2022-08-15"), 96},
	batch{"", "B", date("2022-10-03"), 42}, batch{"", "B", date("2022-11-07"), 42}, batch{"", "B", date("2022-12-05"), 42},
	batch{"", "B", date("2023-01-09"), 42},
	batch{"", "C", date("2023-02-13"), 48}, batch{"", "C", date("2023-03-20"), 48}, batch{"", "C", date("2023-04-24"), 48},
	batch{"", "C", date("2023-05-30"), 48}, batch{"", "C", date("2023-07-03"), 48}, batch{"", "C", date("2023-08-14"), 48},
	batch{"", "C", date("2023-09-18"), 48}, batch{"", "C", date("2023-10-23"), 48}, batch{"", "C", date("2023-11-27"), 48},
	batch{"", "C", date("2024-01-08"), 48}, batch{"", "C", date("2024-02-12"), 48}, batch{"", "C", date("2024-03-18"), 48},
	batch{"", "C", date("2024-04-22"), 48},
)

const crackedBatch = "b14"

func numbered(list ...batch) []batch {
	for i := range list {
		list[i].name = "b" + serial(i + 1)[2:]
	}
	return list
}

// unit is one controller from the bench to the post.
type unit struct {
	serial       int
	batch        *batch
	made         time.Time
	step, result string
	sold         time.Time // zero while on the shelf
	channel      string
	price        float64 // EUR, with tax
	carriage     float64 // EUR, what sending it cost
}

// hurdles are the first-pass yields of production.toml, and how well a miss can be mended.
var hurdles = []struct {
	step          string
	yield, mended float64
}{
	{"solder", 0.93, 0.96}, {"power", 0.985, 0.90}, {"flash", 0.97, 0.85},
	{"trim", 0.98, 0.90}, {"pot", 0.993, 0}, {"final", 0.992, 0},
}

func makeUnits(d draws) []*unit {
	var units []*unit
	for i := range batches {
		b := &batches[i]
		for n := range b.size {
			u := &unit{serial: len(units) + 1, batch: b, result: "pass"}
			u.made = workday(after(b.begun, 2+n*(b.size/9)/b.size)) // some ten a day
			u.build(d)
			units = append(units, u)
		}
	}
	return units
}

// build sends a unit through the steps. The row tells the last step that it missed.
func (u *unit) build(d draws) {
	for _, h := range hurdles {
		if h.step == "trim" && u.batch.revision != "C" {
			continue
		}
		if d.Float64() < h.yield {
			continue
		}
		u.step, u.result = h.step, "rework"
		if d.Float64() >= h.mended {
			u.result = "scrap"
			return
		}
	}
}

func madeTable(units []*unit) *table {
	t := newTable("date serial batch revision step result basis")
	for _, u := range units {
		t.add(map[string]string{"date": day(u.made), "serial": serial(u.serial), "batch": u.batch.name,
			"revision": u.batch.revision, "step": u.step, "result": u.result, "basis": "booked"})
	}
	return t
}
