package product

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// Rows are decoded in blocks at once; the good ones keep their order, and so do the faults.
func TestRowsOfManyBlocks(t *testing.T) {
	const n = 3*blockRows + 17
	var b strings.Builder
	b.WriteString("note,date\n")
	for i := range n {
		day := "2024-05-31"
		if i%100 == 99 {
			day = "2024-05-32"
		}
		fmt.Fprintf(&b, "%d,%s\n", i, day)
	}
	f, err := Read(folder(t, map[string]string{"product.toml": bare12, "records/made.csv": b.String()}))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Records.Made) != n-n/100 || len(f.RecordErrors) != n/100 {
		t.Fatalf("%d rows, %d faults", len(f.Records.Made), len(f.RecordErrors))
	}
	next := 0
	for i := range f.Records.Made {
		m := &f.Records.Made[i]
		if next%100 == 99 {
			next++
		}
		if want := fmt.Sprintf("records/made.csv:%d", next+2); m.Note.Text != fmt.Sprint(next) || m.Origin.String() != want || m.Date.Key() != "date" {
			t.Fatalf("%d: %q at %s; want %s", next, m.Note.Text, m.Origin, want)
		}
		next++
	}
	for i, e := range f.RecordErrors {
		if e.Line != 100*i+101 || e.Column != strings.Index(e.Excerpt, ",")+2 {
			t.Fatalf("%d: %v", i, e)
		}
	}
}

// A cell that was wrong once is wrong again, and what is written alike in two columns is told apart.
func TestCellsWrittenAlike(t *testing.T) {
	rows := "date,count,channel,price,carriage\n" +
		"2024-05-01,3,shop,3 EUR,3 EUR\n" + "2024-05-01,3,shop,3 EUR,3 EUR\n" +
		"2024-05-01,3 EUR,shop,3 EUR,3\n" + "2024-05-01,3 EUR,shop,3 EUR,3\n" +
		"2024-05-01,3,fair,3 USD,3 EUR\n" + "2024-05-01,3,fair,3 USD,3 EUR\n" +
		"2024-05-01,3,shop,4 EUR,3 EUR\n"
	f, err := Read(folder(t, map[string]string{"product.toml": bare12 + "currency = \"EUR\"\n",
		"production.toml": "[channel.shop]\nfee = \"5 %\"\n", "records/sold.csv": rows}))
	if err != nil {
		t.Fatal(err)
	}
	var places []string
	for _, e := range f.RecordErrors {
		places = append(places, fmt.Sprintf("%d %s", e.Line, e.Key))
	}
	if got, want := strings.Join(places, ", "), "4 count, 4 carriage, 5 count, 5 carriage, 6 channel, 6 price, 7 channel, 7 price"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if s := f.Records.Sold; len(s) != 3 || s[1].Count.Value != 3 || s[1].Price.String() != "3 EUR" || s[1].Count.Dim.Money != 0 || s[2].Price.Value != 4 {
		t.Errorf("%v", s)
	}
}

// The fast way to read a day and the library's agree.
func TestParseDay(t *testing.T) {
	texts := []string{"", "2024-5-31", "2024-05-3a", "20240-5-31", "2024-05-310", "2024/05/31", "-024-05-31", "２024-05-1", "0000-01-01", "0000-00-00", "9999-12-31"}
	for month := range 15 {
		for day := range 34 {
			texts = append(texts, fmt.Sprintf("2023-%02d-%02d", month, day), fmt.Sprintf("2024-%02d-%02d", month, day))
		}
	}
	for _, text := range texts {
		want, err := time.Parse(time.DateOnly, text)
		if got, ok := parseDay(text); ok != (err == nil) || !got.Equal(want) {
			t.Errorf("%q: %v %v; want %v %v", text, got, ok, want, err)
		}
	}
}
