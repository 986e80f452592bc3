package bind

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/product"
)

func folder(t *testing.T, files map[string]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	for file, text := range files {
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
	return f
}

func resolve(t *testing.T, f *product.Folder, variant string) *product.Product {
	t.Helper()
	p, err := f.Resolve(variant)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Of the variants, those that were not made and change what making takes or an enclosure stand beside.
func TestProductionInstead(t *testing.T) {
	f := folder(t, map[string]string{
		"product.toml":         "name = \"x\"\ncurrency = \"EUR\"\n[enclosure.case]\nshape = \"box\"\nsize = \"80 mm x 60 mm x 30 mm\"\n",
		"production.toml":      "[bom.case]\nprices = \"1:4 EUR\"\n[step.make]\nminutes = \"30 min\"\n",
		"variants/old.toml":    "made_from = 2020-01-01\nmade_until = 2020-12-31\n[set]\n\"production.bom.case.prices\" = \"1:5 EUR\"\n",
		"variants/tub.toml":    "[set]\n\"production.bom.case.prices\" = \"1:2 EUR\"\n[add]\n\"production.overhead.mould\" = { amount = \"90 EUR\", per = \"once\" }\n",
		"variants/sleeve.toml": "[set]\n\"product.enclosure.case.size\" = \"90 mm x 60 mm x 30 mm\"\n",
		"variants/name.toml":   "[set]\n\"product.name\" = \"y\"\n",
	})
	got := map[string]bool{}
	for _, a := range Production(resolve(t, f, "")).Instead {
		got[a.Name] = a.Enclosure
		if a.Name == "tub" && (a.Input.Lines[0].Prices[0].Price.Value != 2 || a.Input.Overheads[0].Per != "once") {
			t.Errorf("tub: %+v", a.Input)
		}
	}
	if enclosure, there := got["sleeve"]; len(got) != 2 || !there || !enclosure || got["tub"] {
		t.Errorf("instead: %v", got)
	}
	if list := Production(resolve(t, f, "tub")).Instead; len(list) != 2 || list[0].Name != "" || list[0].Input.Lines[0].Prices[0].Price.Value != 4 || list[1].Name != "sleeve" {
		t.Errorf("instead of the tub: %+v", list)
	}
}

// What was paid keeps its currency and its line. A row without a rate is left out, and that is said.
func TestProductionPaid(t *testing.T) {
	files := map[string]string{
		"product.toml":      "name = \"x\"\ncurrency = \"EUR\"\n",
		"records/made.csv":  "date,count\n2021-06-01,20\n",
		"records/spent.csv": "date,kind,amount\n2021-05-01,parts,40 EUR\n2021-05-02,tools,9 EUR\n2021-05-02,parts,30 USD\n",
	}
	rec := Production(resolve(t, folder(t, files), "")).Recorded
	if len(rec.Parts) != 1 || !rec.SpentShort || len(rec.LeftOut) != 1 || !strings.Contains(rec.LeftOut[0].Text, "the first: line 4") || strings.Contains(rec.LeftOut[0].Text, "30 USD") {
		t.Errorf("without a rate: %+v", rec)
	}
	files["production.toml"] = "[rates]\nUSD = \"0.9 EUR\"\n"
	rec = Production(resolve(t, folder(t, files), "")).Recorded
	if len(rec.Parts) != 2 || rec.Parts[1].Currency != "USD" || rec.Parts[1].Amount.Best != 30 || rec.Parts[1].From != "records/spent.csv:4" || rec.SpentShort {
		t.Errorf("with a rate: %+v", rec)
	}
}

// Without made.csv those sold count as made; none of them was seen at a step.
func TestUnitsSoldAreNotCounted(t *testing.T) {
	files := map[string]string{
		"product.toml":     "name = \"x\"\ncurrency = \"EUR\"\n",
		"records/made.csv": "date,count\n",
		"records/sold.csv": "date,until,count,basis\n2021-01-01,2023-12-31,900..1100,remembered\n",
	}
	rec := Production(resolve(t, folder(t, files), "")).Recorded
	if rec.Started.High != 0 || rec.Good.Low != 900 || rec.Good.High != 1100 || rec.AllFrom != "records/sold.csv" {
		t.Errorf("%+v", rec)
	}
	files["records/made.csv"] = "date,count\n2022-01-03,60\n"
	if rec := Production(resolve(t, folder(t, files), "")).Recorded; rec.Started.Best != 60 || rec.Good.Best != 60 {
		t.Errorf("counted: %+v", rec)
	}
}
