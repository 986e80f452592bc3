package intake

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// parts of a workbook by hand, as ECMA-376, part 1, has them; sheet is the inside of worksheet.
func parts(sheet string) map[string]string {
	const (
		office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		rels   = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
	)
	const main = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	return map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/>` +
			`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>`,
		"_rels/.rels":                rels + `<Relationship Id="r1" Type="` + office + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/_rels/workbook.xml.rels": rels + `<Relationship Id="r1" Type="` + office + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook ` + main + ` xmlns:r="` + office + `"><workbookPr/><sheets><sheet name="S" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/worksheets/sheet1.xml":   `<worksheet ` + main + `>` + sheet + `</worksheet>`,
	}
}

const goodRows = `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>date</t></is></c><c r="B1" t="inlineStr"><is><t>price</t></is></c></row>` +
	`<row r="2"><c r="A2" t="inlineStr"><is><t>2024-05-31</t></is></c><c r="B2"><v>5</v></c></row></sheetData>`

// packed writes an archive of parts, and returns its path.
func packed(t testing.TB, dir string, all map[string]string) string {
	t.Helper()
	path := filepath.Join(dir, "t.xlsx")
	if err := os.WriteFile(path, archive(t, all), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func archive(t testing.TB, all map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range all {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// hungry returns how many bytes f takes from the heap in all.
func hungry(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// Workbooks made to fill the memory, or to be misread, are refused with a reason or read within bounds.
func TestHostileBooks(t *testing.T) {
	const bound = 64 << 20
	entities := `<!DOCTYPE worksheet [<!ENTITY a "` + strings.Repeat("x", 1000) + `"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>`
	for _, c := range []struct {
		name string
		make func(all map[string]string)
		want string // within the error; "" if the book is to be read
	}{
		{"nothing wrong", func(map[string]string) {}, ""},
		{"entities that expand", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = entities + strings.Replace(all["xl/worksheets/sheet1.xml"], "2024-05-31", "&c;", 1)
		}, "declares entities"},
		{"entities of another file", func(all map[string]string) {
			all["xl/workbook.xml"] = `<!DOCTYPE w SYSTEM "file:///etc/passwd">` + all["xl/workbook.xml"]
		}, "declares entities"},
		{"an entity that nobody declared", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = strings.Replace(all["xl/worksheets/sheet1.xml"], "2024-05-31", "&lol;", 1)
		}, "is damaged"},
		{"a giant dimension", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><dimension ref="A1:XFD1048576"/><cols><col min="1" max="16384" hidden="1"/></cols>` + goodRows + `</worksheet>`
		}, ""},
		{"a giant merge", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet>` + goodRows + `<mergeCells><mergeCell ref="A2:XFD1048576"/></mergeCells></worksheet>`
		}, ""},
		{"a cell far out", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><sheetData><row r="1048576"><c r="XFD1048576"><v>5</v></c></row></sheetData></worksheet>`
		}, "too large"},
		{"a row beyond the last", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><sheetData><row r="99999999999"><c><v>5</v></c></row></sheetData></worksheet>`
		}, "out of order"},
		{"a row before the last", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><sheetData><row r="2"><c><v>5</v></c></row><row r="1"><c><v>5</v></c></row></sheetData></worksheet>`
		}, "out of order"},
		{"deep nesting", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = strings.Repeat("<a>", 200000) + strings.Repeat("</a>", 200000)
		}, "nested"},
		{"one giant text", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><sheetData><row><c t="inlineStr"><is><t>` + noise(8<<20) + `</t></is></c></row></sheetData></worksheet>`
		}, "characters"},
		{"giant shared texts", func(all map[string]string) {
			all["xl/sharedStrings.xml"] = `<sst><si><t>` + noise(8<<20) + `</t></si></sst>`
		}, "characters"},
		{"a giant attribute", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = `<worksheet><sheetData><row r="` + noise(8<<20) + `"/></sheetData></worksheet>`
		}, "piece"},
		{"a text that is not there", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = strings.Replace(all["xl/worksheets/sheet1.xml"], `<c r="B2">`, `<c r="B2" t="s">`, 1)
		}, ""},
		{"an end without its start", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = "<row><v>0</c>0" // found by FuzzSheet
		}, "is damaged"},
		{"a row within a cell", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = "<row><c><row></row><v>0</v></c></row>"
		}, ""},
		{"half a sheet", func(all map[string]string) {
			all["xl/worksheets/sheet1.xml"] = strings.TrimSuffix(all["xl/worksheets/sheet1.xml"], "</sheetData></worksheet>")
		}, "is damaged"},
		{"no sheet behind its name", func(all map[string]string) { delete(all, "xl/worksheets/sheet1.xml") }, "is missing"},
		{"a part outside", func(all map[string]string) {
			all["xl/_rels/workbook.xml.rels"] = strings.Replace(all["xl/_rels/workbook.xml.rels"], "worksheets/sheet1.xml", "../../../../etc/passwd", 1)
		}, "is missing"},
		{"no workbook", func(all map[string]string) { clear(all); all["a.txt"] = "x" }, "is no workbook"},
	} {
		all := parts(goodRows)
		c.make(all)
		dir := folder(t, nil)
		path := packed(t, dir, all)
		var err error
		took := hungry(func() { _, err = readTable(path, "") })
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
		if took > bound {
			t.Errorf("%s: took %d MB; want less than %d", c.name, took>>20, bound>>20)
		}
	}
}

// noise is text that packs badly, so that the ratio of the archive does not give it away.
func noise(n int) string {
	b := make([]byte, n)
	x := uint32(1)
	for i := range b {
		x = x*1664525 + 1013904223
		b[i] = 'a' + byte(x>>24)%26
	}
	return string(b)
}

// An archive whose directory states less than a part unfolds to is an error, and not read on.
func TestBombThatLies(t *testing.T) {
	dir := folder(t, nil)
	all := parts(goodRows)
	all["xl/worksheets/sheet1.xml"] = `<worksheet>` + strings.Repeat(" ", 64<<20) + `</worksheet>`
	path := packed(t, dir, all)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	// the uncompressed size in the central directory: 64 MB and a little becomes 1000
	size := []byte{byte(len(all["xl/worksheets/sheet1.xml"])), byte(len(all["xl/worksheets/sheet1.xml"]) >> 8), 0, 4}
	at := bytes.LastIndex(data, size)
	if at < 0 {
		t.Fatal("no size in the directory")
	}
	copy(data[at:], []byte{0xe8, 3, 0, 0})
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	took := hungry(func() { _, err = readTable(path, "") })
	if err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("%v; want damaged", err)
	}
	if took > 16<<20 {
		t.Errorf("took %d MB", took>>20)
	}
}

// ECMA-376, part 1, 18.2.28: with date1904 a day is counted from the start of 1904: 43830 is 1 January 2024, see TestSerialDay.
func TestBookOf1904(t *testing.T) {
	dir := folder(t, nil)
	all := parts(strings.Replace(goodRows, `<c r="A2" t="inlineStr"><is><t>2024-05-31</t></is></c>`, `<c r="A2" s="0"><v>43830</v></c>`, 1))
	all["xl/workbook.xml"] = strings.Replace(all["xl/workbook.xml"], "<workbookPr/>", `<workbookPr date1904="1"/>`, 1)
	all["xl/styles.xml"] = `<styleSheet><cellXfs><xf numFmtId="14"/></cellXfs></styleSheet>`
	p, err := Prepare(dir, packed(t, dir, all), Options{Kind: "sold"})
	if err != nil || len(p.Faults()) > 0 {
		t.Fatal(err, p)
	}
	if got := p.items[0].fields[0].Text; got != "2024-01-01" {
		t.Errorf("%s; want 2024-01-01", got)
	}
}

// A macro is never touched, and that is said; a password is a reason to refuse.
func TestMacroAndPassword(t *testing.T) {
	dir := folder(t, nil)
	f := excelize.NewFile()
	f.SetSheetRow("Sheet1", "A1", &[]any{"date", "price"})
	f.SetSheetRow("Sheet1", "A2", &[]any{"2024-05-31", 5})
	if err := f.AddVBAProject(append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 1024)...)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "t.xlsm")
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(dir, path, Options{Kind: "sold"})
	if err != nil || !p.Ready() {
		t.Fatal(err)
	}
	if said := fmt.Sprint(p.Page().Warnings); !strings.Contains(said, "carries a macro") {
		t.Error(said)
	}
	if err := f.SaveAs(path, excelize.Options{Password: "x"}); err != nil {
		t.Fatal(err)
	}
	if _, err := Prepare(dir, path, Options{Kind: "sold"}); err == nil || !strings.Contains(err.Error(), "under a password") {
		t.Error(err)
	}
}

// Formulas without a value are computed only where that is sure to end. The values are by hand.
func TestFormulas(t *testing.T) {
	many := func(n int, formula func(i int) string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `<row r="%d"><c r="A%d"><f>%s</f></c></row>`, i+2, i+2, formula(i+2))
		}
		return b.String()
	}
	const head = `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>x</t></is></c></row>`
	last := func(n int) string { return fmt.Sprintf(`<row r="%d"><c r="A%d"><v>1</v></c></row>`, n+2, n+2) }
	for _, c := range []struct{ name, rows, want string }{
		{"a sum", `<row r="2"><c r="A2"><f>ROUND(SUM(B2:C2)*1.19,2)+1E2</f></c><c r="B2"><v>1</v></c><c r="C2"><v>2</v></c></row>`, "103.57"},
		{"a sum over a giant area", `<row r="2"><c r="A2"><f>SUM(B1:XFD1048576)</f></c></row>`, "is not simple"},
		{"a sum over a large area", `<row r="2"><c r="A2"><f>SUM(B1:ZZ1048576)</f></c></row>`, "too large to compute"},
		{"whole columns", `<row r="2"><c r="A2"><f>SUM(B:B)</f></c></row>`, "is not simple"},
		{"another file", `<row r="2"><c r="A2"><f>[1]Sheet1!A1</f></c></row>`, "is not simple"},
		{"a text that grows", `<row r="2"><c r="A2"><f>REPT("x",1000000)</f></c></row>`, "is not simple"},
		{"a wild formula elsewhere", `<row r="2"><c r="A2"><f>B2</f></c><c r="B2"><f>INDIRECT(C2)</f></c></row>`, "is not simple"},
		{"doubling", many(300, func(i int) string { return fmt.Sprintf("A%d+A%d", i+1, i+1) }) + last(300), "2.0370359763344"}, // 2^300 (computed independently),
		{"a long chain", many(5000, func(i int) string { return fmt.Sprintf("A%d", i+1) }) + last(5000), "1"},
		{"too many", many(mostFormulas+1, func(i int) string { return "1+1" }), "too large to compute"},
		{"itself", `<row r="2"><c r="A2"><f>A2+1</f></c></row>`, "leads back to itself"},
		{"itself by another", `<row r="2"><c r="A2"><f>SUM(A3:A4)</f></c></row><row r="4"><c r="A4"><f>A2</f></c></row>`, "leads back to itself"},
	} {
		dir := folder(t, nil)
		s, err := readTable(packed(t, dir, parts(head+c.rows+`</sheetData>`)), "")
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		text, err := s.book.compute("S", 0, 2)
		if err != nil {
			text = err.Error()
		}
		if !strings.Contains(text, c.want) {
			t.Errorf("%s: %s; want %q", c.name, text, c.want)
		}
	}
}

// Rows of one far cell each, and merges over all rows, are counted with the empty cells that they need.
func TestWideRows(t *testing.T) {
	var rows, merges strings.Builder
	rows.WriteString("<sheetData>")
	for i := range 20000 {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%d"><v>1</v></c><c r="IV%d"><v>1</v></c></row>`, i+1, i+1, i+1)
	}
	rows.WriteString("</sheetData>")
	if _, err := readTable(packed(t, folder(t, nil), parts(rows.String())), ""); err == nil || !strings.Contains(err.Error(), "too large") {
		t.Error(err)
	}
	rows.Reset()
	rows.WriteString("<sheetData>")
	for i := range 1000 {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%d"><v>1</v></c></row>`, i+1, i+1)
	}
	rows.WriteString("</sheetData><mergeCells>")
	for range mostMerges {
		merges.WriteString(`<mergeCell ref="A1:XFD1048576"/>`)
	}
	if _, err := readTable(packed(t, folder(t, nil), parts(rows.String()+merges.String()+"</mergeCells>")), ""); err == nil || !strings.Contains(err.Error(), "too large") {
		t.Error(err)
	}
}

func FuzzSheet(f *testing.F) {
	for _, s := range []string{goodRows, `<sheetData><row><c t="e"><v>#REF!</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells>`, `<row r="3" hidden="1"><c r="AA3"><f>1+1</f></c></row>`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readBook("t.xlsx", archive(t, parts(text)), "")
		if err != nil {
			return
		}
		for i, r := range s.rows {
			if len(r.cells) > mostColumns || i > 0 && r.number <= s.rows[i-1].number {
				t.Errorf("row %d of %d cells", r.number, len(r.cells))
			}
		}
	})
}

func FuzzArchive(f *testing.F) {
	f.Add(archive(f, parts(goodRows)))
	f.Fuzz(func(t *testing.T, data []byte) { readBook("t.xlsx", data, "") })
}
