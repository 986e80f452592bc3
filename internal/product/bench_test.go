package product

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// BenchmarkRead reads the example folder with its 1,400 units of records.
func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read("../../demo/osier-24"); err != nil {
			b.Fatal(err)
		}
	}
}

// largeFolder returns a folder of n units with a serial each, all of them sold and every twentieth
// come back.
func largeFolder(t testing.TB, n int) string {
	var made, sold, returned strings.Builder
	made.WriteString("date,until,count,serial,batch,revision,step,result,basis,note\n")
	sold.WriteString("date,until,count,serial,channel,price,carriage,basis,note\n")
	returned.WriteString("date,until,count,serial,batch,revision,reason,found,cost,minutes,basis,note\n")
	first := time.Date(2012, 3, 1, 0, 0, 0, 0, time.UTC)
	for i := range n {
		day := first.AddDate(0, 0, i/40)
		at := func(later int) string { return day.AddDate(0, 0, later).Format(time.DateOnly) }
		fmt.Fprintf(&made, "%s,,1,S%06d,B%04d,,test,pass,booked,\n", at(0), i, i/200)
		fmt.Fprintf(&sold, "%s,,1,S%06d,shop,%d.%02d EUR,4.90 EUR,booked,\n", at(10+i%50), i, 30+i%7, i%100)
		if i%20 == 7 {
			fmt.Fprintf(&returned, "%s,,1,S%06d,B%04d,,cracked joint,fault,6.10 EUR,25 min,booked,\n", at(90+i%600), i, i/200)
		}
	}
	return folder(t, map[string]string{
		"product.toml":         bare12 + "currency = \"EUR\"\n",
		"production.toml":      "[step.test]\nminutes = \"5 min\"\n[channel.shop]\nfee = \"5 %\"\n",
		"records/made.csv":     made.String(),
		"records/sold.csv":     sold.String(),
		"records/returned.csv": returned.String(),
	})
}

// BenchmarkLargeRecords reads and joins 100,000 units, of which 5 % came back.
func BenchmarkLargeRecords(b *testing.B) {
	dir := largeFolder(b, 100_000)
	for b.Loop() {
		f, err := Read(dir)
		if err != nil || len(f.RecordErrors) > 0 {
			b.Fatal(err, f.RecordErrors)
		}
		if n := len(f.Ledger().Units); n != 100_000 {
			b.Fatal(n)
		}
	}
}

// BenchmarkRecordLarge adds one row to that folder.
func BenchmarkRecordLarge(b *testing.B) {
	dir := largeFolder(b, 100_000)
	for b.Loop() {
		if _, err := Record(dir, "sold", row("date", "2024-05-31", "count", "1", "channel", "shop", "price", "34 EUR")); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBreaches looks for contradictions in that folder.
func BenchmarkBreaches(b *testing.B) {
	f, err := Read(largeFolder(b, 100_000))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		again := &Folder{Records: f.Records, base: f.base}
		if got := again.Breaches(); len(got) > 0 {
			b.Fatal(got)
		}
	}
}
