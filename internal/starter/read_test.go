package starter

import (
	"errors"
	"path/filepath"
	"testing"

	"hindwatt/internal/product"
)

// TestFoldersAreRead reads what Write writes as any product folder is read.
func TestFoldersAreRead(t *testing.T) {
	everyFolder(t, func(t *testing.T, _ folder, a Answers) {
		dir := filepath.Join(t.TempDir(), "reed-5")
		report, err := write(dir, a, testDay)
		must(t, err)
		f, err := product.Read(dir)
		var faults product.Errors
		if errors.As(err, &faults) {
			t.Fatal(faults.Detail())
		}
		must(t, err)
		for _, e := range f.RecordErrors {
			t.Error(e)
		}
		for _, w := range f.Warnings {
			t.Error(w)
		}
		p, err := f.Resolve("")
		must(t, err)
		if p.Promises.Len() < 7 || p.Parts.Len() < 8 || p.Installations.Len() != 1 || p.Meters.Len() != 1 {
			t.Errorf("%d promises, %d parts, %d installations, %d meters", p.Promises.Len(), p.Parts.Len(), p.Installations.Len(), p.Meters.Len())
		}
		if (p.Circuit.Len() > 0) != (a.Circuit != "") {
			t.Errorf("circuit %q has %d entries", a.Circuit, p.Circuit.Len())
		}
		if a.Sold != "" {
			sold := f.Records.Sold
			if len(sold) != 1 || sold[0].Count.Low < 250 || sold[0].Count.High > 350 || !sold[0].Basis.Is("remembered") {
				t.Errorf("sold: %+v", sold)
			}
			if len(f.Records.Returned) != 1 || len(f.Records.Spent) != 1 {
				t.Errorf("returned %d, spent %d rows", len(f.Records.Returned), len(f.Records.Spent))
			}
		}
		lacking := map[string]bool{}
		for _, l := range report.Lacks {
			lacking[l.Question] = true
		}
		want := map[string]bool{benchQuestion: true}
		if a.Price == "" {
			want[payQuestion], want[costQuestion], want[returnQuestion] = true, true, true
		}
		if a.Circuit == "" {
			want[currentQuestion], want[wiringQuestion] = true, true
		}
		for q := range lacking {
			if !want[q] {
				t.Errorf("reported as not answerable: %s", q)
			}
		}
		if len(lacking) != len(want) {
			t.Errorf("%d questions are reported as not answerable, want %d", len(lacking), len(want))
		}
	})
}

// TestCircuitKeepsItsParts sees that no part of the circuit is written that it doesn't use.
func TestCircuitKeepsItsParts(t *testing.T) {
	for _, c := range Circuits() {
		used := map[string]bool{"panel": true, "battery": true}
		for _, x := range circuitOf(t, c.Name) {
			used[x.Part] = true
		}
		f := folderOf(t, Answers{Circuit: c.Name})
		for key := range f.toml(t, "parts.toml") {
			for _, name := range []string{"schottky", "n-mosfet", "p-mosfet"} {
				if key == "part."+name+".kind" && !used[name] {
					t.Errorf("%s: parts.toml has %s", c.Name, name)
				}
			}
		}
	}
}
