// Generate writes the records of the invented product Osier 24: what its two makers
// made, sold, took back, spent, worked and measured from September 2020 to May 2024,
// and the logs of their bench.
//
//	go run ./demo/generate        (from the module's root)
//
// Nothing in the records comes from a real product, person or place. Every number is
// drawn from distributions that stand in this folder, with one seed; the same seed
// gives the same files. The readings are drawn from the sense chain that
// osier-24/product.toml describes, unit by unit, and then read with a meter that is
// itself wrong within its leaflet, so that what Hindwatt concludes from them can be
// compared with what was put in.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// seed of all draws: of the first seven tried, the one whose returns come nearest to
// the rates in return.go. Nothing else was looked at.
const seed = 1

func main() {
	if err := write(filepath.Join("demo", "osier-24")); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(2)
	}
}

// write puts the records and the logs into a product folder that must be there.
func write(dir string) error {
	for name, table := range records() {
		if err := os.WriteFile(filepath.Join(dir, "records", name), table.bytes(), 0o644); err != nil {
			return err
		}
	}
	for name, log := range logs() {
		if err := os.WriteFile(filepath.Join(dir, "bench", name), log, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// records draws everything. Each kind of draw has its own stream, so that a change in
// one file leaves the others as they were, unless they follow from it.
func records() map[string]*table {
	units := makeUnits(stream(1))
	sell(units, stream(2))
	back := comeBack(units, stream(3))
	readings := readingsTable(units, stream(7))
	hold(readings, units, stream(8))
	try(readings)
	return map[string]*table{
		"made.csv":     madeTable(units),
		"sold.csv":     soldTable(units),
		"returned.csv": returnedTable(back, stream(4)),
		"spent.csv":    spentTable(stream(5)),
		"hours.csv":    hoursTable(stream(6)),
		"readings.csv": readings,
	}
}
