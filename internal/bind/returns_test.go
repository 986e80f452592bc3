package bind

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/study/returns"
)

// returnsOf reads a folder of these files as on 9 July 2024.
func returnsOf(t *testing.T, files map[string]string) returns.Input {
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
	f, err := product.Read(dir, product.Today(time.Date(2024, 7, 9, 0, 0, 0, 0, time.UTC)))
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return Returns(p)
}

func dayOf(year int, month time.Month, day int) returns.Day {
	return returns.DayOf(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

const inEuros = "name = \"x\"\ncurrency = \"EUR\"\n"

// A unit sold again after it came back counts twice, its return with the first sale; the second return of a sale counts as again.
func TestReturnsOfResale(t *testing.T) {
	in := returnsOf(t, map[string]string{
		"product.toml":         inEuros,
		"records/made.csv":     "date,serial,batch\n2022-01-01,S1,b1\n2022-01-03,S2,b1\n",
		"records/sold.csv":     "date,serial\n2022-01-10,S1\n2022-04-01,S1\n2022-02-01,S2\n",
		"records/returned.csv": "date,serial,found\n2022-03-01,S1,no fault\n2022-05-01,S2,fault\n2022-06-01,S2,fault\n",
	})
	if len(in.Units) != 3 || len(in.Sales) != 0 || in.Unsold != 0 {
		t.Fatalf("%d units, %d sales, %d unsold; want 3, 0, 0", len(in.Units), len(in.Sales), in.Unsold)
	}
	first, again, other := in.Units[0], in.Units[1], in.Units[2]
	if first.Sold != dayOf(2022, 1, 10) || first.Back == nil || first.Back.Day != dayOf(2022, 3, 1) || first.Back.Found != returns.NoFault || !first.Back.Joined {
		t.Errorf("first sale: %+v", first)
	}
	if again.Sold != dayOf(2022, 4, 1) || again.Back != nil {
		t.Errorf("second sale: %+v; want it still out", again)
	}
	if other.Back == nil || other.Back.Day != dayOf(2022, 5, 1) || other.Again != 1 {
		t.Errorf("other unit: %+v; want its first return, and one again", other)
	}
	if made := in.Made["b1"]; made != (returns.Span{From: dayOf(2022, 1, 1), Until: dayOf(2022, 1, 3)}) || len(in.Batches) != 1 {
		t.Errorf("batches %v made %v", in.Batches, made)
	}
}

func TestReturnsInOtherCurrencies(t *testing.T) {
	in := returnsOf(t, map[string]string{
		"product.toml":         inEuros,
		"production.toml":      "[rates]\nUSD = \"0.92 EUR\"\n",
		"records/returned.csv": "date,cost\n2022-03-01,10..20 USD\n2022-03-02,5 EUR\n2022-03-03,\n",
	})
	usd, eur := in.Returns[0].Cost, in.Returns[1].Cost
	if math.Abs(usd.Low-9.2) > 1e-9 || math.Abs(usd.High-18.4) > 1e-9 || usd.Currency != "EUR" || eur.Value != 5 || in.Returns[2].Cost != nil {
		t.Errorf("%+v, %+v, %+v; want 9.2 to 18.4 EUR, 5 EUR, none", usd, eur, in.Returns[2].Cost)
	}
}

func TestReturnsOfRanges(t *testing.T) {
	in := returnsOf(t, map[string]string{
		"product.toml":         inEuros,
		"records/sold.csv":     "date,until,count,basis\n2021-01-01,2021-12-31,900..1300,remembered\n",
		"records/returned.csv": "date,until,count,basis\n2021-01-01,2022-12-31,5..9,remembered\n",
	})
	s, r := in.Sales[0], in.Returns[0]
	if s.Count != (returns.Count{Low: 900, Best: 1100, High: 1300}) || s.From != dayOf(2021, 1, 1) || s.Until != dayOf(2021, 12, 31) || s.Basis != "remembered" || !s.Own {
		t.Errorf("sale %+v", s)
	}
	if r.Count != (returns.Count{Low: 5, Best: 7, High: 9}) || r.Until != dayOf(2022, 12, 31) || r.Joined {
		t.Errorf("return %+v", r)
	}
}

// Rows of days after records_until are counted apart; without that key records reach up to today.
func TestReturnsUntil(t *testing.T) {
	files := map[string]string{
		"product.toml":         inEuros + "records_until = 2022-12-31\n",
		"records/sold.csv":     "date,serial\n2022-01-10,S1\n2023-01-10,S2\n",
		"records/returned.csv": "date,serial\n2023-02-01,S1\n",
	}
	in := returnsOf(t, files)
	if in.Today != dayOf(2022, 12, 31) || in.TodayFrom != "product.toml:3" || in.Later != 2 || len(in.Units) != 1 || in.Units[0].Back != nil {
		t.Errorf("today %v from %s, %d later, units %+v; want one unit, still out", in.Today, in.TodayFrom, in.Later, in.Units)
	}
	files["product.toml"] = inEuros
	in = returnsOf(t, files)
	if in.Today != dayOf(2024, 7, 9) || in.TodayFrom != "default" || in.Later != 0 || in.Last != dayOf(2023, 2, 1) || len(in.Units) != 2 || in.Units[0].Back == nil {
		t.Errorf("today %v from %s, %d later, last %v, units %+v", in.Today, in.TodayFrom, in.Later, in.Last, in.Units)
	}
}

// A serial that came back and was never sold is a unit sold on some day before; where others were sold without serials, one of these.
func TestReturnsOfUnsold(t *testing.T) {
	files := map[string]string{
		"product.toml":         inEuros,
		"records/sold.csv":     "date,serial\n2022-01-10,S1\n2022-03-10,S2\n",
		"records/returned.csv": "date,serial,batch\n2022-04-01,S9,b3\n",
	}
	in := returnsOf(t, files)
	u := in.Units[2]
	if in.Unsold != 1 || u.Sold != dayOf(2022, 1, 10) || u.SoldUntil != dayOf(2022, 4, 1) || u.Back == nil || u.Batch != "b3" {
		t.Errorf("%d unsold, unit %+v", in.Unsold, u)
	}
	files["records/sold.csv"] += "2022-02-10,\n"
	in = returnsOf(t, files)
	if in.Unsold != 0 || len(in.Units) != 2 || len(in.Sales) != 1 || in.Returns[0].Joined {
		t.Errorf("%d unsold, %d units, %d sales, return %+v; want it one of those without a serial", in.Unsold, len(in.Units), len(in.Sales), in.Returns[0])
	}
}
