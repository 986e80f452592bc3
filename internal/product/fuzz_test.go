package product

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzRead reads folders of any content: nothing panics, and every error has its file.
func FuzzRead(f *testing.F) {
	for _, file := range []string{"product.toml", "parts.toml", "promises.toml", "production.toml"} {
		text, err := os.ReadFile(filepath.Join(alder, file))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text), "[set]\n\"product.name\" = \"x\"\n", "date,count\n2024-05-31,3\n", "+++\ndate = 2024-05-31\n+++\n")
		for _, table := range strings.SplitAfter(string(text), "\n\n") {
			f.Add(table, "on = \"v\"\n", "date;serial\n", "")
		}
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, text, variant, records, decision string) {
		folder, err := Read(dir, With("product.toml", []byte(text)), With("parts.toml", []byte(text)), With("promises.toml", []byte(text)), With("production.toml", []byte(text)),
			With("variants/v.toml", []byte(variant)), With("installations/i.toml", []byte(text)), With("bench/meters.toml", []byte(text)),
			With("records/made.csv", []byte(records)), With("decisions/d.md", []byte(decision)))
		if err != nil {
			for _, e := range err.(Errors) {
				if e.File == "" || e.Problem == "" {
					t.Fatalf("%q: %s", text, e.Error())
				}
			}
			_ = err.(Errors).Detail()
			return
		}
		if _, err := folder.Resolve("v"); err != nil {
			t.Fatal(err)
		}
		_ = folder.RecordErrors.Detail()
	})
}
