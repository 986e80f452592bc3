package intake

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"hindwatt/internal/product"
)

// orders is an invented list of 100 000 orders as CSV.
func orders() string {
	var text strings.Builder
	text.WriteString("Date;Serial;Price;Shop;Remark\n")
	for i := range 100000 {
		fmt.Fprintf(&text, "%02d.%02d.2023;%06d;1.072,50 €;own-page;gift %d\n", i%28+1, i%12+1, i, i)
	}
	return text.String()
}

// own is what intake does by itself: reading, settling, converting, and looking for rows that are there already.
func own(b *testing.B, dir, path string) {
	f, err := product.Read(dir)
	if err != nil {
		b.Fatal(err)
	}
	base, err := f.Resolve("")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		p := &Plan{Kind: "sold", Options: Options{Kind: "sold"}, dir: dir}
		if p.sheet, err = readTable(path, ""); err != nil {
			b.Fatal(err)
		}
		if err := p.take(f, base); err != nil {
			b.Fatal(err)
		}
		p.known(f)
		if fresh, _, _ := p.Rows(); fresh != 100000 {
			b.Fatal(fresh, p.Faults())
		}
	}
}

func BenchmarkOwnCSV(b *testing.B) {
	dir := folder(b, map[string]string{"t.csv": orders()})
	own(b, dir, filepath.Join(dir, "t.csv"))
}

func BenchmarkOwnBook(b *testing.B) {
	dir := folder(b, nil)
	path := workbook(b, dir, func(f *excelize.File) {
		w, err := f.NewStreamWriter("Sheet1")
		if err != nil {
			b.Fatal(err)
		}
		day, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		if err != nil {
			b.Fatal(err)
		}
		w.SetRow("A1", []any{"Date", "Serial", "Price", "Shop", "Remark"})
		from := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
		for i := range 100000 {
			row := []any{excelize.Cell{StyleID: day, Value: from.AddDate(0, 0, i%360)}, fmt.Sprintf("%06d", i), 1072.5, "own-page", fmt.Sprintf("gift %d", i)}
			if err := w.SetRow(fmt.Sprintf("A%d", i+2), row); err != nil {
				b.Fatal(err)
			}
		}
		if err := w.Flush(); err != nil {
			b.Fatal(err)
		}
	})
	own(b, dir, path)
}

// BenchmarkImport is all of Prepare, with the folder read and its contradictions looked for.
func BenchmarkImport(b *testing.B) {
	dir := folder(b, map[string]string{"t.csv": orders()})
	for b.Loop() {
		if _, err := Prepare(dir, filepath.Join(dir, "t.csv"), Options{Kind: "sold"}); err != nil {
			b.Fatal(err)
		}
	}
}
