package bind

import (
	"os"
	"path/filepath"
	"testing"

	"hindwatt/internal/product"
)

// Units and readings of a revision that has no name of its own go by its variant's name.
func TestRevisionWithoutName(t *testing.T) {
	dir := t.TempDir()
	for file, text := range map[string]string{
		"product.toml":          "name = \"x\"\nrevision = \"A\"\nmade_from = 2020-01-01\n",
		"variants/tighter.toml": "made_from = 2022-03-01\n",
		"records/made.csv":      "date,serial\n2021-05-01,S1\n2022-05-01,S2\n2022-05-02,S3\n",
		"records/sold.csv":      "date,count\n2021-06-01,4\n2022-06-01,5\n",
		"records/readings.csv":  "date,what,value,serial\n2022-06-01,setpoint.float,27.3 V,S2\n",
	} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, file)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	for variant, want := range map[string]struct {
		name                  string
		units, sold, readings int
	}{"": {"A", 1, 1, 0}, "tighter": {"tighter", 2, 1, 1}} {
		p, err := f.Resolve(variant)
		if err != nil {
			t.Fatal(err)
		}
		own, _ := Ledger(p)
		readings := Readings(p, "setpoint.float")
		if p.RevisionName() != want.name || len(own.Units) != want.units || len(own.Sold) != want.sold || len(readings) != want.readings {
			t.Errorf("%q: %q, %d units, %d rows sold, %d readings", variant, p.RevisionName(), len(own.Units), len(own.Sold), len(readings))
		}
	}
}
