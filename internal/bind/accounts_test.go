package bind

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"hindwatt/internal/product"
)

// Every usual word of docs/folder.md is of a kind, and no word is of two.
func TestKinds(t *testing.T) {
	for word, want := range map[string]string{
		"design": "design", "sourcing": "sourcing", "make": "building", "test": "testing", "pack": "packing", "support": "support", "accounts": "accounts",
		" Make ": "building", "Advice": "support", "juggling": "",
	} {
		if got := workKind(word); got != want {
			t.Errorf("hours on %q are %q; want %q", word, got, want)
		}
	}
	for word, want := range map[string]string{
		"parts": "parts", "Materials": "parts", "packing": "packing", "fees": "channel fees", "Carriage of parts": "carriage-of-parts", "postage": "sending", "tools": "",
	} {
		if got := moneyKind(word); got != want {
			t.Errorf("spent on %q is %q; want %q", word, got, want)
		}
	}
	for _, kinds := range []map[string][]string{workKinds, moneyKinds} {
		of := map[string]string{}
		for kind, words := range kinds {
			for _, w := range words {
				if of[w] != "" {
					t.Errorf("%q is of %s and of %s", w, kind, of[w])
				}
				of[w] = kind
			}
		}
	}
	for _, c := range [][3]string{{"make", "solder", "building"}, {"make", "final", "testing"}, {"make", "pack", "packing"}, {"support", "final", "support"}, {"make", "cure", "building"}} {
		if got := workGroup(c[0], c[1]); got != c[2] {
			t.Errorf("%s at %s is %s; want %s", c[0], c[1], got, c[2])
		}
	}
}

// Rows with serials and rows with a count enter as what they stand for, whatever revision they are of.
func TestAccounts(t *testing.T) {
	dir := t.TempDir()
	for file, text := range map[string]string{
		"product.toml":         "name = \"x\"\ncurrency = \"EUR\"\nrevision = \"A\"\nmade_from = 2020-01-01\nrecords_until = 2023-12-31\n",
		"variants/b.toml":      "made_from = 2022-01-01\nrevision = \"B\"\n",
		"production.toml":      "[step.final]\nminutes = \"3 min\"\n[channel.page]\nfee = \"2 %\"\n[tax.vat]\nrate = \"20 %\"\non = \"price\"\n[tax.profit]\nrate = \"30 %\"\non = \"profit\"\n",
		"records/made.csv":     "date,until,count,serial,result\n2021-05-01,,,S1,pass\n2021-05-01,,,S2,rework\n2021-05-02,,,S2,scrap\n2022-01-01,2022-06-30,8..12,,\n",
		"records/sold.csv":     "date,count,channel,price\n2021-06-01,4,page,30 EUR\n2022-06-01,5,,\n",
		"records/returned.csv": "date,count,found,cost,minutes\n2022-07-01,1,no fault,5 EUR,20 min\n2022-08-01,1,fault,9 EUR,\n",
		"records/spent.csv":    "date,kind,amount\n2021-01-01,Components,100 EUR\n2021-01-01,tools,50 EUR\n",
		"records/hours.csv":    "date,kind,time,step\n2021-01-01,make,3 h,final\n",
	} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, file)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := product.Read(dir, product.Today(time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)))
	if err != nil {
		t.Fatal(err)
	}
	for _, err := range f.RecordErrors {
		t.Error(err)
	}
	if t.Failed() {
		t.FailNow()
	}
	for variant, partOf := range map[string]string{"": "revision A", "b": "revision B"} {
		p, err := f.Resolve(variant)
		if err != nil {
			t.Fatal(err)
		}
		in := Accounts(p)
		if in.PartOf != partOf || in.Currency != "EUR" || !in.Today.Equal(time.Date(2023, 12, 31, 0, 0, 0, 0, time.UTC)) {
			t.Errorf("%q: %q in %s up to %v", variant, in.PartOf, in.Currency, in.Today)
		}
		if len(in.Made) != 3 || in.Made[0].Scrap || !in.Made[1].Scrap || in.Made[2].Count.High != 12 {
			t.Errorf("made: %+v", in.Made)
		}
		if len(in.Sold) != 2 || in.Sold[0].Channel != "page" || in.Sold[0].Price.From != "records/sold.csv:2" || in.Sold[1].Price != nil {
			t.Errorf("sold: %+v", in.Sold)
		}
		if len(in.Returned) != 2 || !in.Returned[0].NoFault || in.Returned[1].NoFault || in.Returned[0].Minutes.Value != 1200 || in.Returned[1].Minutes != nil {
			t.Errorf("returned: %+v", in.Returned)
		}
		if len(in.Spent) != 2 || in.Spent[0].Group != "parts" || in.Spent[1].Group != "" || in.Hours[0].Group != "testing" {
			t.Errorf("spent: %+v, hours: %+v", in.Spent, in.Hours)
		}
		if len(in.Taxes) != 2 || in.Taxes[0].OnProfit == in.Taxes[1].OnProfit || len(in.Channels) != 1 {
			t.Errorf("taxes: %+v", in.Taxes)
		}
	}
}
