package life

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/figure"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// shop is a folder that is quick to judge; more files replace or add.
func shop(t testing.TB, more map[string]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{
		"product.toml": "name = \"Test\"\nnominal_voltage = \"12 V\"\ncurrency = \"EUR\"\nrecords_until = 2024-12-31\n",
		"promises.toml": `[promise.cost]
label = "Cheap"
study = "production"
quantity = "unit-cost"
max = "15.60 EUR"

[promise.quick]
label = "Quick"
study = "production"
quantity = "unit-minutes"
max = "15 min"
`,
		"production.toml": `[bom.board]
what = "board"
prices = "1:8 EUR"

[step.all]
minutes = "20 min"

[work]
hour = "24 EUR/h"
batch = 10
`,
		"changes.toml": `[change.quick]
why = "a tool"
set = { "production.step.all.minutes" = "14 min" }
effect = { tooling = "100 EUR", hours = "5 h", fits_built = true, fit_minutes = "2 min" }

[change.board]
why = "a better board"
set = { "production.bom.board.prices" = "1:8.50 EUR" }
effect = { removes = { dead = { reason = "dead", share = "100 %" } } }

[change.cheaper]
set = { "production.bom.board.prices" = "1:7.50 EUR" }
`,
		"records/sold.csv":     "date,until,count,price\n2024-01-01,2024-12-31,200,30 EUR\n",
		"records/returned.csv": "date,reason,found,cost,minutes\n2024-03-01,dead on arrival,fault,10 EUR,30 min\n2024-05-01,dead later,fault,20 EUR,60 min\n2024-06-01,not liked,no fault,5 EUR,\n",
		"decisions/first.md":   "+++\ndate = 2023-01-01\nbelieved = { minutes = \"12 min\", cost = \"15 EUR..17 EUR\" }\n+++\n# By hand\n",
		"decisions/last.md":    "+++\ndate = 2024-12-31\nends_making = true\nduties = [\"spare boards until 2026\"]\n+++\n# The end\n",
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

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// By hand. 200 sold. quick: 6 minutes less at 0.40 EUR a minute save 2.40 EUR each, 480 EUR; less 100 EUR and 5 h at 24 EUR/h: 260 EUR, and
// 20 h less 5 h. board: 0.50 EUR more each, 100 EUR; two returns of 10 EUR and 30 min, 20 EUR and 60 min, stay away: 30 EUR and 1.5 h at
// 24 EUR/h, 66 EUR in all: -34 EUR. cheaper: 100 EUR.
func TestByHand(t *testing.T) {
	r := of(t, Asked{Folder: shop(t, nil), More: 100})
	var order []string
	for i, want := range []struct {
		name                        string
		money, hours, returns, more float64
		worth                       Worth
		gained                      []string
	}{
		{"quick", 260, 15, 0, 240 - 100 - 120, WorthIt, []string{"cost", "quick"}},
		{"cheaper", 100, 0, 0, 50, WorthIt, []string{"cost"}},
		{"board", -34, 1.5, 2, -50 + 33, NotWorthIt, nil},
	} {
		c := r.Changes[i]
		order = append(order, c.Name)
		if c.Name != want.name {
			t.Fatalf("order %v", order)
		}
		near(t, want.name+" money", c.Was.Money.Best, want.money, 0.01)
		near(t, want.name+" hours", c.Was.Hours.Best, want.hours, 1e-6)
		near(t, want.name+" returns", c.Was.Returns.Best, want.returns, 1e-9)
		near(t, want.name+" for 100 more", c.More.Money.Best, want.more, 0.01)
		if c.Worth() != want.worth || !slices.Equal(c.Gained, want.gained) {
			t.Errorf("%s: %s, gains %v", c.Name, c.Worth(), c.Gained)
		}
	}
	if len(r.Best) != 1 || r.Best[0] != "quick" {
		t.Errorf("best %v", r.Best)
	}
}

// A return stays away with its share: the number of those spared is binomial, of mean n p and standard deviation √(n p (1 - p)).
func TestShareIsBinomial(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("date,reason,found,cost\n")
	for range 40 {
		rows.WriteString("2024-03-01,dead,fault,10 EUR\n")
	}
	r := of(t, Asked{Samples: 20_000, Folder: shop(t, map[string]string{"records/returned.csv": rows.String(), "changes.toml": `[change.half]
set = { "production.work.batch" = 10 }
effect = { removes = { dead = { reason = "dead", share = "30 %" } } }
`})})
	c := r.Changes[0]
	near(t, "mean", c.Was.Returns.Best, 12, 4*math.Sqrt(40*0.3*0.7/20_000))
	if c.Was.Returns.Low != 6 && c.Was.Returns.Low != 7 || c.Was.Returns.High != 18 && c.Was.Returns.High != 17 { // 0.025 and 0.975 quantiles of the binomial(40, 0.3): 7 and 18
		t.Errorf("limits %v", c.Was.Returns)
	}
}

// Two changes with the same doubt of the same returns are drawn together: their difference has none of it.
func TestDrawsArePaired(t *testing.T) {
	r := of(t, Asked{Folder: shop(t, map[string]string{"changes.toml": `[change.one]
set = { "production.work.batch" = 10 }
effect = { removes = { dead = { reason = "dead", share = "10 %..90 %" } } }
[change.two]
set = { "production.work.batch" = 10 }
effect = { tooling = "1 EUR", removes = { dead = { reason = "dead", share = "10 %..90 %" } } }
`})})
	if spread := r.Changes[0].Was.Money; spread.High-spread.Low < 20 {
		t.Errorf("no doubt: %v", spread)
	}
	for k, v := range r.Changes[0].samples {
		if d := v - r.Changes[1].samples[k]; math.Abs(d-1) > 1e-9 {
			t.Fatalf("difference %v of life %d, want 1", d, k)
		}
	}
	if len(r.Best) != 1 {
		t.Errorf("a sure difference of 1 EUR is not seen: %v", r.Best)
	}
}

func TestSameDigitsOnAnyRun(t *testing.T) {
	a, b := of(t, Asked{Folder: shop(t, nil)}), of(t, Asked{Folder: shop(t, nil)})
	for i := range a.Changes {
		if !slices.Equal(a.Changes[i].samples, b.Changes[i].samples) {
			t.Error(a.Changes[i].Name)
		}
	}
}

func TestDecisions(t *testing.T) {
	r := of(t, Asked{Folder: shop(t, nil)})
	d := r.Decisions[0]
	if d.Title != "By hand" || len(d.Beliefs) != 2 || d.Beliefs[0].Held || !d.Beliefs[1].Held {
		t.Errorf("%+v", d)
	}
	if held, any := d.HeldUp(); held || !any {
		t.Error("it holds up")
	}
	if last := r.Decisions[1]; !last.Ends || last.Duties[0] != "spare boards until 2026" {
		t.Errorf("%+v", last)
	}
}

// quick alone meets both promises; board and cheaper set the same price, so that they stand together, the later one counting.
func TestRevision(t *testing.T) {
	r := of(t, Asked{Folder: shop(t, nil)})
	n, err := r.Revision(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(n.Open, []string{"cost", "quick"}) || !slices.Equal(n.Changes, []string{"quick"}) || len(n.Still) != 0 || !slices.Equal(n.Built, []string{"quick"}) {
		t.Errorf("%+v", n)
	}
	near(t, "cost", n.Cost.Best, -2.40, 0.005)
	near(t, "once", n.Once, 220, 1e-6)
	// A change that loses what it gains elsewhere is not taken.
	r = of(t, Asked{Folder: shop(t, map[string]string{"changes.toml": `[change.slow]
set = { "production.step.all.minutes" = "14 min", "production.bom.board.prices" = "1:20 EUR" }
[change.parts]
set = { "production.bom.board.prices" = "1:7 EUR" }
`, "promises.toml": `[promise.cost]
label = "Cheap"
study = "production"
quantity = "unit-cost"
max = "17 EUR"
[promise.quick]
label = "Quick"
study = "production"
quantity = "unit-minutes"
max = "15 min"
`})})
	if n, err = r.Revision(context.Background()); err != nil || len(n.Changes) != 0 && len(n.Lost) > 0 {
		t.Errorf("%v: %+v", err, n)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		files map[string]string
		asked Asked
		say   string
	}{
		{map[string]string{"changes.toml": ""}, Asked{}, "changes.toml: there is no change to weigh; want [change.NAME] with why and set"},
		{map[string]string{"changes.toml": "[change.a]\neffect = { removes = { x = { reason = \"not like\", share = \"5 %\" }, y = { reason = \"deaf\", share = \"1 %\" } } }\n"}, Asked{}, "no return has this reason"},
		{map[string]string{"changes.toml": "[change.a]\neffect = { removes = { x = { reason = \"dead\" } } }\n"}, Asked{}, "lacks reason or share"},
		{map[string]string{"decisions/first.md": "+++\nbelieved = { minute = \"12 min\" }\n+++\n"}, Asked{}, "did you mean minutes"},
		{map[string]string{"decisions/first.md": "+++\nbelieved = { minutes = \"12 EUR\" }\n+++\n"}, Asked{}, "decisions/first.md:2:"},
		{nil, Asked{Samples: 3}, "--samples 3: want 100 to 1000000"},
	} {
		c.asked.Folder = shop(t, c.files)
		if _, err := Of(context.Background(), c.asked); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("got %v, want %s", err, c.say)
		}
	}
}

func TestWritten(t *testing.T) {
	r := of(t, Asked{Folder: shop(t, nil)})
	n, err := r.Revision(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	text, err := r.JSON(n)
	if err != nil || !json.Valid(text) || !strings.Contains(string(text), `"held_up": false`) {
		t.Errorf("%v: %s", err, text)
	}
	var out bytes.Buffer
	if err := r.CSV(&out); err != nil {
		t.Fatal(err)
	}
	if rows, err := csv.NewReader(&out).ReadAll(); err != nil || len(rows) != 4 || rows[1][0] != "quick" {
		t.Errorf("%v: %v", err, rows)
	}
	shown := r.Page(n)
	var page bytes.Buffer
	if err := shown.Text(&page, 80, figure.TextStyle{ASCII: true}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Worth it: quick and cheaper.", "The next revision: quick, which meets cost and quick", "did not hold up", "spare boards until 2026"} {
		if !strings.Contains(strings.Join(strings.Fields(page.String()), " "), want) {
			t.Errorf("%q is not said:\n%s", want, page.String())
		}
	}
}

// BenchmarkHindsight is hindsight on the demo with 1,000 paired samples, once the studies are kept.
func BenchmarkHindsight(b *testing.B) {
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
