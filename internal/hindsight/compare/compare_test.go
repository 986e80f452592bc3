package compare

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/figure"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// small is a folder with promises that are quick to judge, and variants; more files replace or add.
func small(t testing.TB, more map[string]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{
		"product.toml": "name = \"Test\"\nnominal_voltage = \"12 V\"\ncurrency = \"EUR\"\n",
		"promises.toml": `[promise.cost]
label = "Cheap"
study = "production"
quantity = "unit-cost"
max = "20 EUR"

[promise.quick]
label = "Quick"
study = "production"
quantity = "unit-minutes"
max = "15 min"
`,
		"production.toml": `[bom.board]
what = "board"
prices = "1:8 EUR"

[bom.screw]
what = "screw"
each = 4
prices = "1:0.10 EUR"

[step.all]
minutes = "20 min"

[work]
hour = "24 EUR/h"
batch = 10
`,
		"variants/dear.toml":  "why = \"more of everything\"\n[set]\n\"production.bom.board.prices\" = \"1:9 EUR\"\n",
		"variants/quick.toml": "why = \"bought\"\n[set]\n\"production.step.all.minutes\" = \"10 min\"\n\"production.bom.board.prices\" = \"1:13 EUR\"\n",
	}
	for name, text := range more {
		files[name] = text
	}
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

func of(t testing.TB, a Asked) *Result {
	t.Helper()
	a.Seed = 1
	r, err := Of(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// By hand: a board of 8 EUR, four screws of 0.10 EUR and 20 minutes at 24 EUR an hour make 16.40 EUR.
func TestChoicesAreComputed(t *testing.T) {
	r := of(t, Asked{Folder: small(t, nil)})
	for i, want := range []struct {
		name          string
		cost, minutes float64
		parts, met    int
		beaten        []string
	}{
		{BaseName, 16.40, 20, 5, 1, nil},
		{"dear", 17.40, 20, 5, 1, []string{BaseName, "quick"}},
		{"quick", 17.40, 10, 5, 2, nil},
	} {
		c := r.Choices[i]
		if c.Name != want.name || c.Cost == nil || c.Minutes == nil {
			t.Fatalf("%+v", c)
		}
		cost, minutes := c.Cost.Number(c.Cost.Best), c.Minutes.Number(c.Minutes.Best)
		if d := cost - want.cost; d > 0.005 || d < -0.005 {
			t.Errorf("%s costs %v, want %v", c.Name, cost, want.cost)
		}
		if d := minutes - want.minutes; d > 1e-6 || d < -1e-6 {
			t.Errorf("%s takes %v min, want %v", c.Name, minutes, want.minutes)
		}
		if c.Parts != want.parts || c.Met(promise.Met) != want.met || !slices.Equal(c.BeatenBy, want.beaten) {
			t.Errorf("%s: %d parts, %d met, beaten by %v; want %+v", c.Name, c.Parts, c.Met(promise.Met), c.BeatenBy, want)
		}
	}
	if got := r.front(); !slices.Equal(got, []string{BaseName, "quick"}) {
		t.Errorf("front %v", got)
	}
}

// A choice with another bound neither beats nor is beaten by what that promise could decide.
func TestAnotherBoundDecidesNothing(t *testing.T) {
	r := of(t, Asked{Folder: small(t, map[string]string{
		"variants/dear.toml": "[set]\n\"production.bom.board.prices\" = \"1:9 EUR\"\n\"promises.promise.quick.max\" = \"30 min\"\n",
	})})
	if c := r.Choices[1]; c.Met(promise.Met) != 2 || len(c.BeatenBy) != 0 {
		t.Errorf("%s meets %d, beaten by %v", c.Name, c.Met(promise.Met), c.BeatenBy)
	}
}

func TestRefusals(t *testing.T) {
	one := small(t, nil)
	for _, c := range []struct {
		asked Asked
		say   string
	}{
		{Asked{Folder: one, Names: []string{"quik"}}, "did you mean quick"},
		{Asked{Folder: one, Axes: [2]string{"price", "met"}}, "--axes price: there is no such measure; want two of: cost, minutes"},
		{Asked{Folder: one, Axes: [2]string{"met", "met"}}, "both are the same"},
		{Asked{Folder: small(t, map[string]string{"variants/dear.toml": "", "variants/quick.toml": ""}), Axes: [2]string{"", ""}}, ""},
	} {
		_, err := Of(context.Background(), c.asked)
		if c.say == "" {
			if err != nil {
				t.Error(err)
			}
		} else if err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("got %v, want %s", err, c.say)
		}
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "product.toml"), []byte("name = \"Bare\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	bare, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Of(context.Background(), Asked{Folder: bare}); err == nil || !strings.Contains(err.Error(), "there is nothing to compare") {
		t.Error(err)
	}
}

// Of the demo, a variant of the bill of materials alone has nothing computed again but what it costs; and nothing at all the second time.
func TestUntouchedStudiesAreNotComputedAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("the demo's years take a while")
	}
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	base, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	store := kept.Open(dir)
	options := promise.Options{Seed: 1, Kept: store, VerdictsOnly: true}
	if _, err := promise.Check(context.Background(), base, options); err != nil {
		t.Fatal(err)
	}
	before := store.Tally()
	r := of(t, Asked{Folder: folder, Names: []string{"assembled-outside"}, Kept: store})
	after := store.Tally()
	for _, study := range []string{"setpoint", "charge", "fault", "returns"} {
		if n := after[study].Computed - before[study].Computed; n != map[bool]int{true: 1}[study == "returns"] {
			t.Errorf("%s was computed %d times for a variant that does not touch it", study, n)
		}
	}
	if after["production"].Computed == before["production"].Computed {
		t.Error("what it costs was not computed")
	}
	outside := &r.Choices[1]
	if j := outside.promise("shorted-panel"); j == nil || !slices.Contains(outside.Untouched, "shorted-panel") || len(j.Evidence) < 2 {
		t.Errorf("what was tried on the product does not count for a variant with its circuit: %+v", j)
	}
	again := kept.Open(dir)
	of(t, Asked{Folder: folder, Names: []string{"assembled-outside"}, Kept: again})
	for study, n := range again.Tally() {
		if n.Computed > 0 {
			t.Errorf("%s was computed %d times although it was kept", study, n.Computed)
		}
	}
}

func TestWritten(t *testing.T) {
	r := of(t, Asked{Folder: small(t, nil)})
	text, err := r.JSON()
	if err != nil {
		t.Fatal(err)
	}
	var j jsonResult
	if err := json.Unmarshal(text, &j); err != nil || len(j.Choices) != 3 || j.Choices[2].Verdicts["met"] != 2 || *j.Choices[0].Parts != 5 {
		t.Errorf("%v: %s", err, text)
	}
	var out bytes.Buffer
	if err := r.CSV(&out); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != 4 || rows[1][0] != BaseName || rows[3][len(rows[3])-1] != "met" {
		t.Errorf("%v: %v", err, rows)
	}
	shown := r.Page()
	var page bytes.Buffer
	if err := shown.Text(&page, 80, figure.TextStyle{ASCII: true}); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(page.String(), "\n") {
		if figure.Columns(line) > 80 {
			t.Errorf("wider than 80: %s", line)
		}
	}
	if !strings.Contains(page.String(), "dear (by as it is and quick)") {
		t.Errorf("beaten ones are not named:\n%s", page.String())
	}
}

// BenchmarkCompare is compare of the demo with all that it has, once it is kept.
func BenchmarkCompare(b *testing.B) {
	dir := b.TempDir()
	if err := demo.Write(dir); err != nil {
		b.Fatal(err)
	}
	folder, err := product.Read(dir)
	if err != nil {
		b.Fatal(err)
	}
	of(b, Asked{Folder: folder, Kept: kept.Open(dir)})
	for b.Loop() {
		of(b, Asked{Folder: folder, Kept: kept.Open(dir)})
	}
}
