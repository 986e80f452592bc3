package intake

import (
	"strings"
	"testing"
	"time"

	"hindwatt/internal/product"
)

// The forms of numbers are those that spreadsheets and shops of several countries write: common practice, no source. The values are by hand.
func TestReadNumber(t *testing.T) {
	for _, c := range []struct {
		text string
		with sign
		want string
	}{
		{"12", either, "12"}, {"1.234,50", either, "1234.50"}, {"1,234.50", either, "1234.50"}, {"1234,5", either, "1234.5"},
		{"1,234", either, ""}, {"1,234", point, "1234"}, {"1,234", comma, "1.234"}, {"1.234", comma, "1234"}, {"0,123", either, "0.123"},
		{"1 234,5", either, "1234.5"}, {"1'234.50", either, "1234.50"}, {"1.234.567", either, "1234567"}, {"-3,5", either, "-3.5"}, {",5", either, "0.5"},
		{"−7", either, "-7"}, {"+7", either, "7"},
	} {
		if got, _, err := readNumber(c.text, c.with); err != nil || got != c.want {
			t.Errorf("%q: %q, %v; want %q", c.text, got, err, c.want)
		}
	}
	for _, text := range []string{"", "x", "1,23,456.5", "1.2.3", "12-3", "1,", "1..5", "1e5", "NaN", "Inf"} {
		if got, _, err := readNumber(text, either); err == nil {
			t.Errorf("%q: %q; want an error", text, got)
		}
	}
}

func TestReadMoney(t *testing.T) {
	for _, c := range []struct{ text, number, currency string }{
		{"1.234,50 €", "1.234,50", "EUR"}, {"EUR 1234.5", "1234.5", "EUR"}, {"£5", "5", "GBP"}, {"12.-", "12", ""}, {"12,-", "12", ""},
		{"(12.50)", "-12.50", ""}, {"(€12.50)", "-12.50", "EUR"}, {"-€12", "-12", "EUR"}, {"€-12", "-12", "EUR"}, {"12-", "-12", ""}, {"US$ 3", "3", "USD"}, {"7 usd", "7", "USD"},
	} {
		number, currency, doubtful, err := readMoney(c.text)
		if number != c.number || currency != c.currency || doubtful || err != nil {
			t.Errorf("%q: %q %q %v %v", c.text, number, currency, doubtful, err)
		}
	}
	if _, _, doubtful, _ := readMoney("$5"); !doubtful {
		t.Error("$ stands for several currencies")
	}
	if _, _, _, err := readMoney("5 abc"); err == nil {
		t.Error("abc is no currency")
	}
}

func TestReadDay(t *testing.T) {
	for _, c := range []struct {
		text string
		in   order
		want string
	}{
		{"2023-12-31", anyOrder, "2023-12-31"}, {"2023/12/31 14:05", anyOrder, "2023-12-31"}, {"2023-12-31T23:59:59Z", anyOrder, "2023-12-31"}, {"20231231", anyOrder, "2023-12-31"},
		{"31.12.2023", anyOrder, "2023-12-31"}, {"12/31/2023", anyOrder, "2023-12-31"}, {"31 Dec 2023", anyOrder, "2023-12-31"}, {"31-Dec-23", anyOrder, "2023-12-31"},
		{"December 31, 2023", anyOrder, "2023-12-31"}, {"Sunday, 31 December 2023", anyOrder, "2023-12-31"}, {"31st December 2023", anyOrder, "2023-12-31"}, {"12/31/23 2:05 PM", anyOrder, "2023-12-31"},
		{"3/4/2023", dmy, "2023-04-03"}, {"3/4/2023", mdy, "2023-03-04"}, {"23-04-03", ymd, "2023-04-03"}, {"29.2.2024", anyOrder, "2024-02-29"},
	} {
		d, err := readDay(c.text, false)
		day, err2 := d.day(c.in)
		if err != nil || err2 != nil || day.Format(time.DateOnly) != c.want {
			t.Errorf("%q: %v %v %v; want %s", c.text, day, err, err2, c.want)
		}
	}
	for _, text := range []string{"", "31.2.2023", "29.2.2023", "13/13/2023", "soon", "2023-13-01", "12", "31 Foo 2023"} {
		if d, err := readDay(text, false); err == nil {
			t.Errorf("%q: %v; want an error", text, d)
		}
	}
	for text, want := range map[string]string{"2021": "2021-01-01..2021-12-31", "2021 Q2": "2021-04-01..2021-06-30", "Q4/2021": "2021-10-01..2021-12-31", "Feb 2024": "2024-02-01..2024-02-29", "2021-05": "2021-05-01..2021-05-31", "05/2021": "2021-05-01..2021-05-31"} {
		d, err := readDay(text, true)
		if got := d.from.Format(time.DateOnly) + ".." + d.until.Format(time.DateOnly); err != nil || got != want {
			t.Errorf("%q: %s %v; want %s", text, got, err, want)
		}
	}
}

// ECMA-376, part 1, 18.17.4.1: in the 1900 system 2 is added to days since 30 December 1899 counted from 1 March 1900 on; 1 January 1904 is 0
// in the 1904 system, and the two differ by 1462 days. 45292 is 1 January 2024 (computed independently: 16801 days from 1 January 1978,
// which is 28491).
func TestSerialDay(t *testing.T) {
	for _, c := range []struct {
		text  string
		epoch int
		day   bool
		want  string
	}{{"45292", 1900, true, "2024-01-01"}, {"45292.75", 1900, true, "2024-01-01"}, {"43830", 1904, true, "2024-01-01"}, {"28491", 1900, true, "1978-01-01"}, {"2021", 1900, false, "2021-01-01"}} {
		d, err := serialDay(cell{text: c.text, number: true, form: &format{day: c.day}}, c.epoch)
		if err != nil || d.from.Format(time.DateOnly) != c.want {
			t.Errorf("%s in %d: %v %v; want %s", c.text, c.epoch, d.from, err, c.want)
		}
	}
}

func TestReadTime(t *testing.T) {
	for text, want := range map[string]string{"1:30": "90 min", "0:05": "5 min", "1:00:30": "3630 s", "1 h 30 min": "90 min", "1h30": "90 min"} {
		if got, ok := readTime(text); !ok || got != want {
			t.Errorf("%q: %q; want %q", text, got, want)
		}
	}
	for _, text := range []string{"1:60", "90", "1.5 h", "1 h 75 min"} {
		if got, ok := readTime(text); ok {
			t.Errorf("%q: %q; want none", text, got)
		}
	}
}

func TestFormats(t *testing.T) {
	for _, c := range []struct {
		id, code string
		want     format
	}{
		{"14", "", format{day: true}}, {"20", "", format{hours: true}}, {"0", "", format{}}, {"164", "dd/mm/yyyy", format{day: true}}, {"164", "[h]:mm", format{hours: true}},
		{"164", `#,##0.00 "EUR"`, format{currency: "EUR"}}, {"164", `[$€-407] #,##0.00`, format{currency: "€"}}, {"164", `"$"#,##0.00`, format{currency: "$"}}, {"164", "0000", format{zeros: 4}},
		{"164", `0.00 "days"`, format{}},
	} {
		if got := *formatOf(c.id, c.code); got != c.want {
			t.Errorf("%s %s: %+v; want %+v", c.id, c.code, got, c.want)
		}
	}
}

func TestPersonal(t *testing.T) {
	for _, text := range []string{"write to a.b@example.org", "+49 170 1234567", "(030) 123 45 67", "12345 Musterstadt", "SW1A 1AA", "Springfield, IL 62704", "12 Long Street", "Lange Straße 5", "Dear maker, it stopped", strings.Repeat("word ", 40)} {
		if product.Personal(text, false) == "" {
			t.Errorf("%q looks personal", text)
		}
	}
	for _, text := range []string{"0001", "2024-05-31", "31.12.2023", "q1 short", "display: one digit dark", "said to show the wrong voltage", "2024-000123", "3 of 48 cracked", "100 nF 50 V"} {
		if why := product.Personal(text, false); why != "" {
			t.Errorf("%q is taken for %s", text, why)
		}
	}
	for header, want := range map[string]bool{"Buyer name": true, "E-mail": true, "Ship To": true, "Post code": false, "Postcode": true, "Product name": false, "Name": true, "Date": false, "Customer note": true, "Unit price": false} {
		if privateHeader(header, "sold") != want {
			t.Errorf("%q: private %v", header, !want)
		}
	}
}

func FuzzCells(f *testing.F) {
	for _, s := range []string{"1.234,50 €", "12/31/2023", "1:30", "(12.-)", "2021 Q2", "31 Dec 23", "$", "-", "()"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		number, _, _, err := readMoney(s)
		if err == nil {
			if n, _, err := readNumber(number, either); err == nil && n != "" {
				if again, _, err := readNumber(n, point); err != nil || again != n {
					t.Errorf("%q: %q is read back as %q, %v", s, n, again, err)
				}
			}
		}
		if d, err := readDay(s, true); err == nil {
			if _, err := d.day(anyOrder); err != nil {
				t.Errorf("%q: %v", s, err)
			}
		}
		readTime(s)
		product.Personal(s, false)
		formatOf("164", s)
	})
}

func FuzzCSV(f *testing.F) {
	f.Add([]byte("a;b\n\"x\"\"y\";1,5\n"))
	f.Add([]byte("sep=|\na|b\r\n1|2"))
	f.Fuzz(func(t *testing.T, data []byte) { readCSV("f.csv", data) })
}
