package intake

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"hindwatt/internal/product"
)

// folder writes a product folder and a table; both are invented.
func folder(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	all := map[string]string{"product.toml": "name = \"test\"\ncurrency = \"EUR\"\n", "production.toml": "# ours\n[channel.own-page]\nfee = \"2 %\"\n"}
	for name, text := range files {
		all[name] = text
	}
	for name, text := range all {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func read(t testing.TB, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestTwiceAddsNothing(t *testing.T) {
	dir := folder(t, map[string]string{"o.csv": "date;price\n31.05.2024;5,00\n31.05.2024;5,00\n"})
	for i, want := range []int{2, 0} {
		p, err := Prepare(dir, filepath.Join(dir, "o.csv"), Options{Kind: "sold"})
		if err != nil {
			t.Fatal(err)
		}
		if fresh, _, _ := p.Rows(); fresh != want {
			t.Fatalf("time %d: %d rows, want %d", i+1, fresh, want)
		}
		if p.Ready() {
			if _, err := p.Write(); err != nil {
				t.Fatal(err)
			}
		}
	}
	// The third of equal rows is new if the folder has two.
	if err := os.WriteFile(filepath.Join(dir, "o.csv"), []byte("date,price\n2024-05-31,5.00\n2024-05-31,5 EUR\n2024-05-31,5\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(dir, filepath.Join(dir, "o.csv"), Options{Kind: "sold"})
	if err != nil {
		t.Fatal(err)
	}
	if fresh, there, _ := p.Rows(); fresh != 1 || there != 2 {
		t.Errorf("%d new and %d there, want 1 and 2", fresh, there)
	}
}

func TestRefusesFiles(t *testing.T) {
	for _, c := range []struct {
		name, text string
		o          Options
		want       string
	}{
		{"two orders", "date,price\n03/04/2024,5\n", Options{Kind: "sold"}, "--dates"},
		{"contradiction", "date,price\n13/04/2024,5\n04/13/2024,5\n", Options{Kind: "sold"}, "contradicts"},
		{"two signs", "date,price\n2024-05-31,\"1,234\"\n", Options{Kind: "sold"}, "--decimal"},
		{"personal", "date,price,Buyer name\n2024-05-31,5,x\n", Options{Kind: "sold"}, `--without "Buyer name"`},
		{"dollar", "date,price\n2024-05-31,$5\n", Options{Kind: "sold"}, `t.csv:2:12: price: "$5" has a sign that stands for several currencies; say which with --currency`},
		{"no unit", "date,kind,time\n2024-05-31,make,3\n", Options{Kind: "hours"}, `t.csv:2:17: time: "3" has no unit; say --unit time=h or --unit time=min`},
		{"both orders", "date,price\n03/04/2024,5\n", Options{Kind: "sold"}, `"03/04/2024" is 2024-04-03 with --dates dmy, or 2024-03-04 with --dates mdy`},
		{"contradictory columns", "date,until\n3/3/23,13/3/23\n3/4/23,5/3/23\n01/20/23,\n", Options{Kind: "sold"}, "t.csv:2:8: contradicts t.csv:4:1"},
		{"a later doubt", "date,price\n3/3/23,5\n3/3/2023,5\n3/4/23,5\n", Options{Kind: "sold"}, `t.csv:4:1: "3/4/23" is 2023-04-03`},
		{"both numbers", "date,price\n2024-05-31,\"1,234\"\n", Options{Kind: "sold"}, `1234 with --decimal ".", or 1.234 with --decimal ","`},
		{"near column", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Map: []string{"prise=price"}}, `did you mean "price=price"?`},
		{"no such header", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Map: []string{"price=Preis"}}, `t.csv has no column "Preis"; want one of: "date", "price"`},
		{"no such number", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Map: []string{"price=@3"}}, "the table has 2 columns; want @1 to @2"},
		{"mapped twice", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Map: []string{"price=price", "price=date"}}, "price is given already"},
		{"map without =", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Map: []string{"price"}}, "want column=header"},
		{"unit of nothing", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Units: []string{"date=h"}}, `"date" is no column of sold that has a unit`},
		{"day under another header", "When,price\n2024-05-31,5\n", Options{Kind: "sold"}, `did you mean --map "date=When"?`},
		{"year and month apart", "Year,Month,price\n2024,5,5\n", Options{Kind: "sold"}, "no column is known as date"},
		{"web page", "<html><body><table><tr><td>date</td></tr></table>", Options{Kind: "sold"}, "page or a table of the web"},
		{"near", "dtae,price\n2024-05-31,5\n", Options{Kind: "sold"}, `did you mean --map "date=dtae"`},
		{"quote", "date,note\n2024-05-31,\"x\n", Options{Kind: "sold"}, "t.csv:2:12: the closing quote is missing"},
		{"old workbook", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1xx", Options{Kind: "sold"}, "before 2007"},
		{"zeros", "a\x00\x00\x00b", Options{Kind: "sold"}, "is no text"},
		{"empty", "\n", Options{Kind: "sold"}, "is empty"},
		{"kind", "a", Options{Kind: "guess"}, "want made, sold"},
		{"unknown header", "date,price\n2024-05-31,5\n", Options{Kind: "sold", Without: []string{"email"}}, "there is no column"},
	} {
		dir := folder(t, map[string]string{"t.csv": c.text})
		if _, err := Prepare(dir, filepath.Join(dir, "t.csv"), c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
	}
}

func TestWrongRows(t *testing.T) {
	for _, c := range []struct{ name, kind, text, want string }{
		{"negative hours", "hours", "date,kind,hours\n2024-05-31,make,3\n2024-05-31,make,-2\n", "t.csv:3:17"},
		{"no day", "sold", "date,price\n2024-02-31,5\n", "t.csv:2:1"},
		{"no time", "hours", "date,kind,time\n2024-05-31,make,3 V\n", "its unit"},
		{"channel", "sold", "date,channel\n2024-05-31,moon\n", "channel"},
	} {
		dir := folder(t, map[string]string{"t.csv": c.text})
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: c.kind})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(p.Faults()) == 0 || !strings.Contains(p.Faults()[0].Error(), c.want) || p.Ready() {
			t.Errorf("%s: %v, ready %v; want %q", c.name, p.Faults(), p.Ready(), c.want)
		}
	}
}

func TestContradictions(t *testing.T) {
	for _, c := range []struct{ name, kind, text string }{
		{"sold twice", "sold", "date,serial\n2024-05-31,7\n2024-06-01,7\n"},
		{"back before its sale", "returned", "date,serial\n2024-01-01,8\n"},
	} {
		dir := folder(t, map[string]string{"t.csv": c.text, "records/sold.csv": "date,serial\n2024-05-30,8\n"})
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: c.kind})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Faults()) == 0 || p.Ready() {
			t.Errorf("%s: is taken", c.name)
		}
	}
}

// workbook saves a workbook that build fills.
func workbook(t testing.TB, dir string, build func(f *excelize.File)) string {
	t.Helper()
	f := excelize.NewFile()
	build(f)
	path := filepath.Join(dir, "t.xlsx")
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestWorkbook(t *testing.T) {
	dir := folder(t, nil)
	path := workbook(t, dir, func(f *excelize.File) {
		style, _ := f.NewStyle(&excelize.Style{CustomNumFmt: ptr("0000")})
		f.SetSheetRow("Sheet1", "A1", &[]any{"Orders of 2024"})
		f.SetSheetRow("Sheet1", "B3", &[]any{"Order date", "Serial", "Price", "Shop"})
		day := time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)
		for i := range 3 {
			f.SetSheetRow("Sheet1", fmt.Sprintf("B%d", 4+i), &[]any{day, 7 + i, 34.1, "Own page"})
			f.SetCellStyle("Sheet1", fmt.Sprintf("C%d", 4+i), fmt.Sprintf("C%d", 4+i), style)
		}
		f.SetCellValue("Sheet1", "D5", nil)
		f.SetCellFormula("Sheet1", "D5", "30+4.25")
		f.SetCellValue("Sheet1", "B5", nil)
		f.SetCellValue("Sheet1", "B6", nil)
		f.MergeCell("Sheet1", "B4", "B6")
		f.SetRowVisible("Sheet1", 6, false)
	})
	p, err := Prepare(dir, path, Options{Kind: "sold"})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Faults()) > 0 {
		t.Fatal(p.Faults())
	}
	if _, err := p.Write(); err != nil {
		t.Fatal(err)
	}
	got := read(t, dir, "records/sold.csv")
	for _, want := range []string{"2024-05-31,,,0007,own-page,34.10 EUR", "2024-05-31,,,0008,own-page,34.25 EUR", "2024-05-31,,,0009,own-page,34.10 EUR"} {
		if !strings.Contains(got, want) {
			t.Errorf("want %q in\n%s", want, got)
		}
	}
	said := fmt.Sprint(p.Page().Warnings)
	for _, want := range []string{"hidden row", "merged", "formula"} {
		if !strings.Contains(said, want) {
			t.Errorf("want %q said in %s", want, said)
		}
	}
}

func ptr(s string) *string { return &s }

func TestManySheets(t *testing.T) {
	dir := folder(t, nil)
	path := workbook(t, dir, func(f *excelize.File) {
		for i := range 199 {
			f.NewSheet(fmt.Sprintf("year %d", i))
		}
		f.SetSheetRow("year 7", "A1", &[]any{"date", "price"})
		f.SetSheetRow("year 7", "A2", &[]any{"2024-05-31", 5})
	})
	if _, err := Prepare(dir, path, Options{Kind: "sold"}); err == nil || !strings.Contains(err.Error(), "has 200 sheets; name one with --sheet: Sheet1, year 0") {
		t.Error(err)
	}
	p, err := Prepare(dir, path, Options{Kind: "sold", Sheet: "year 7"})
	if err != nil || !p.Ready() {
		t.Error(err)
	}
}

// A zip bomb: a sheet of 64 MB of one letter packs to some 64 kB.
func TestBomb(t *testing.T) {
	dir := folder(t, nil)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, _ := z.Create("xl/worksheets/sheet1.xml")
	for range 64 {
		w.Write(bytes.Repeat([]byte{' '}, 1<<20))
	}
	z.Close()
	path := filepath.Join(dir, "t.xlsx")
	os.WriteFile(path, b.Bytes(), 0o644)
	if _, err := Prepare(dir, path, Options{Kind: "sold"}); err == nil || !strings.Contains(err.Error(), "unfolds to more than") {
		t.Error(err)
	}
}

func TestBOM(t *testing.T) {
	dir := folder(t, map[string]string{"t.csv": "Part number;Description;Qty;MOQ;Price 1;Price 100\nR 120k;\"resistor, 120 kΩ\";2;10;0,05 €;0,021 €\n"})
	take := func() *Plan {
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "bom"})
		if err != nil || len(p.Faults()) > 0 {
			t.Fatal(err, p)
		}
		return p
	}
	if _, err := take().Write(); err != nil {
		t.Fatal(err)
	}
	got := read(t, dir, "production.toml")
	want := "\n[bom.r-120k]\nwhat = \"resistor, 120 kΩ\"\neach = 2\nprices = \"1:0.05 EUR, 100:0.021 EUR\"\nminimum_order = 10\n"
	if !strings.HasPrefix(got, "# ours\n") || !strings.HasSuffix(got, want) {
		t.Errorf("got\n%s", got)
	}
	if fresh, there, _ := take().Rows(); fresh != 0 || there != 1 {
		t.Errorf("%d new, %d there; want 0 and 1", fresh, there)
	}
}

// What is written reads back as it was planned.
func TestReadsBack(t *testing.T) {
	dir := folder(t, map[string]string{"t.csv": "date,reason,cost,minutes\n2024-05-31,\"=HYPERLINK(1), \"\"q\"\"\",(3.50),1:30\n2024-05-30,@x,,5\n2024-05-29,\"two\nlines\",4,\n"})
	p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "returned", Map: []string{"cost=@3"}, SkipBad: true})
	if err != nil {
		t.Fatal(err)
	}
	rows, _ := p.fresh()
	if _, err := p.Write(); err != nil {
		t.Fatal(err)
	}
	f, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	back := f.Texts("returned")
	if len(back) != len(rows) || len(rows) == 0 {
		t.Fatalf("%d rows came back of %d", len(back), len(rows))
	}
	for i, row := range rows {
		got := map[string]string{}
		for _, f := range back[i] {
			got[f.Column] = f.Text
		}
		for _, f := range row {
			if got[f.Column] != f.Text {
				t.Errorf("row %d: %s is %q, want %q", i, f.Column, got[f.Column], f.Text)
			}
		}
	}
}

// The same list in every encoding gives the same rows. The bytes of accents in Windows-1252 are written out: 0x80 is €, 0xfc ü.
func TestEncodings(t *testing.T) {
	const text = "Order date;Price;Remark\r\n31.05.2024;1.049,50 €;zurück\r\n"
	wide := func(big bool) string {
		b := []byte{}
		for _, r := range "\ufeff" + text { // all below 0x10000
			if big {
				b = append(b, byte(r>>8), byte(r))
			} else {
				b = append(b, byte(r), byte(r>>8))
			}
		}
		return string(b)
	}
	for name, data := range map[string]string{
		"UTF-8": text, "UTF-8 with a mark": "\ufeff" + text, "UTF-16 LE": wide(false), "UTF-16 BE": wide(true), "UTF-16 without a mark": wide(false)[2:],
		"Windows-1252": strings.NewReplacer("€", "\x80", "ü", "\xfc").Replace(text),
	} {
		dir := folder(t, map[string]string{"t.csv": data})
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"})
		if err != nil || len(p.Faults()) > 0 {
			t.Errorf("%s: %v %v", name, err, p)
			continue
		}
		if got := fmt.Sprint(p.items[0].fields); got != "[{date 2024-05-31} {price 1049.50 EUR} {note zurück}]" {
			t.Errorf("%s: %s", name, got)
		}
		if said := strings.Contains(fmt.Sprint(p.Page().Warnings), "Windows-1252"); said != (name == "Windows-1252") {
			t.Errorf("%s: told of its letters: %v", name, said)
		}
	}
}

// Rows that contradict the records are found beside rows that cannot be read, whether these are left out or not.
func TestSecondOrder(t *testing.T) {
	dir := folder(t, map[string]string{
		"records/sold.csv": "date,serial\n2024-01-10,7\n2024-03-10,7\n2024-01-10,8\n",
		"t.csv":            "date,serial,minutes\n2024-02-01,7,5 min\n2024-02-01,8,-5 min\n2024-02-02,9,5 min\n",
	})
	for _, skip := range []bool{false, true} {
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "returned", SkipBad: skip})
		if err != nil {
			t.Fatal(err)
		}
		got := fmt.Sprint(p.Faults())
		if len(p.Faults()) != 2 || !strings.Contains(got, "-5 min") || !strings.Contains(got, "no row of records/sold.csv sold it") {
			t.Errorf("skip %v: %s", skip, got)
		}
		if fresh, _, wrong := p.Rows(); fresh != 1 || wrong != 2 || p.Ready() != skip {
			t.Errorf("skip %v: %d new, %d wrong, ready %v", skip, fresh, wrong, p.Ready())
		}
	}
	// Three sales of one unit without a return, and one day that is none: only the first sale is taken.
	dir = folder(t, map[string]string{"t.csv": "date,serial,price\n2024-01-10,7,5 EUR\n2024-02-30,7,5 EUR\n2024-03-10,7,5 EUR\n2024-03-11,7,5 EUR\n"})
	p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold", SkipBad: true})
	if err != nil {
		t.Fatal(err)
	}
	if fresh, _, wrong := p.Rows(); fresh != 1 || wrong != 3 {
		t.Errorf("%d new, %d wrong; want 1 and 3: %v", fresh, wrong, p.Faults())
	}
}

// Headers that say little are read by their cells; a year beside a day is not taken for it.
func TestHeadersByCells(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Sold,Qty\n2024-05-31,3\n", "[{date 2024-05-31} {count 3}]"},
		{"Year,Sold\n2019,112\n", "[{date 2019-01-01} {count 112} {until 2019-12-31}]"},
		{"Year,Sold\n2019,140..160\n", "[{date 2019-01-01} {count 140..160} {until 2019-12-31}]"},
		{"Year,Date,Pieces\n2019,2019-05-01,3\n", "[{date 2019-05-01} {count 3}]"},
	} {
		dir := folder(t, map[string]string{"t.csv": c.text})
		p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"})
		if err != nil || len(p.Faults()) > 0 {
			t.Errorf("%q: %v %v", c.text, err, p)
			continue
		}
		if got := fmt.Sprint(p.items[0].fields); got != c.want {
			t.Errorf("%q: %s; want %s", c.text, got, c.want)
		}
	}
}

// Without headers, columns are named and their units given.
func TestNoHeader(t *testing.T) {
	dir := folder(t, map[string]string{"t.csv": "31.05.2024;make;2,5\n30.05.2024;make;1:30\n"})
	o := Options{Kind: "hours", NoHeader: true, Map: []string{"date=@1", "kind=@2", "time=@3"}, Units: []string{"time=h"}}
	p, err := Prepare(dir, filepath.Join(dir, "t.csv"), o)
	if err != nil || len(p.Faults()) > 0 {
		t.Fatal(err, p)
	}
	if got := fmt.Sprint(p.items[0].fields, p.items[1].fields); got != "[{date 2024-05-31} {kind make} {time 2.5 h}] [{date 2024-05-30} {kind make} {time 90 min}]" {
		t.Error(got)
	}
}

// What was remembered for years and the orders of these years would count twice: that is said, with the places of both.
func TestRememberedBefore(t *testing.T) {
	dir := folder(t, map[string]string{
		"records/sold.csv": "date,until,count,basis\n2021-01-01,2023-12-31,900..1300,remembered\n",
		"t.csv":            "My orders\ndate,price\n2022-05-31,5 EUR\n2022-06-30,5 EUR\n",
	})
	p, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"})
	if err != nil || len(p.Faults()) > 0 {
		t.Fatal(err, p)
	}
	if said := fmt.Sprint(p.Page().Warnings); !strings.Contains(said, "records/sold.csv:2:1: covers t.csv:3") {
		t.Error(said)
	}
}
