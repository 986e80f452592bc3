package logfile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// All logs of these tests are invented.

func volts(header string) Column {
	return Column{Name: "battery", Header: header, Dim: quantity.Voltage}
}

func celsius(header string) Column {
	return Column{Name: "air", Header: header, Dim: quantity.TemperaturePoint}
}

func stamp(header string) Column { return Column{Name: "time", Role: Time, Header: header} }

func ask(columns ...Column) Ask { return Ask{File: "bench/day.csv", Columns: columns} }

// utf16le writes a text as UTF-16 with its mark.
func utf16le(text string) []byte {
	var b bytes.Buffer
	binary.Write(&b, binary.LittleEndian, utf16.Encode([]rune("\ufeff"+text)))
	return b.Bytes()
}

// What loggers write differently is read alike: 27.35 V and 25.1 °C, then 27.36 V and 25.2 °C, 2 s later.
func TestAccepts(t *testing.T) {
	plainAsk := ask(stamp("Time"), volts("U"), celsius("T"))
	numbered := ask(Column{Name: "time", Role: Time, Number: 1}, Column{Name: "battery", Number: 2, Dim: quantity.Voltage, Unit: "V"}, Column{Name: "air", Number: 3, Dim: quantity.TemperaturePoint, Unit: "°C"})
	seconds := numbered
	seconds.Columns = append([]Column{{Name: "time", Role: Time, Number: 1, Unit: "s"}}, numbered.Columns[1:]...)
	milli := numbered
	milli.Columns = append([]Column{{Name: "time", Role: Time, Number: 1, Unit: "ms"}}, numbered.Columns[1:]...)
	untimed := ask(volts("U"), celsius("T"))
	untimed.Interval = 2
	american := plainAsk
	american.Dates = "mdy"
	apart := ask(Column{Name: "date", Role: DayOnly, Header: "Date"}, stamp("Time"), volts("U"), celsius("T"))
	day := time.Date(2024, 5, 31, 10, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		ask   Ask
		text  string
		start time.Time
	}{
		{"commas", plainAsk, "Time,U (V),T (°C)\n2024-05-31T10:00:00,27.35,25.1\n2024-05-31T10:00:02,27.36,25.2\n", day},
		{"no last line end", plainAsk, "Time,U (V),T (°C)\n2024-05-31T10:00:00,27.35,25.1\n2024-05-31T10:00:02,27.36,25.2", day},
		{"semicolons and decimal commas", plainAsk, "Time;U [V];T [°C]\n31.05.2024 10:00:00;27,35;25,1\n31.05.2024 10:00:02;27,36;25,2\n", day},
		{"tabs, points", plainAsk, "Time\tU / V\tT / °C\n2024/05/31 10:00:00\t27.35\t25.1\n2024/05/31 10:00:02\t27.36\t25.2\n", day},
		{"tabs, decimal commas", plainAsk, "Time\tU_V\tT_°C\n2024-05-31 10:00:00\t27,35\t25,1\n2024-05-31 10:00:02\t27,36\t25,2\n", day},
		{"quoted decimal commas", plainAsk, "\"Time\",\"U (V)\",\"T (°C)\"\n\"2024-05-31 10:00:00\",\"27,35\",\"25,1\"\n\"2024-05-31 10:00:02\",\"27,36\",\"25,2\"\n", day},
		{"byte order mark, CRLF", plainAsk, "\ufeffTime,U (V),T (°C)\r\n2024-05-31 10:00:00,27.35,25.1\r\n2024-05-31 10:00:02,27.36,25.2\r\n", day},
		{"CR alone", plainAsk, "Time,U (V),T (°C)\r2024-05-31 10:00:00,27.35,25.1\r2024-05-31 10:00:02,27.36,25.2\r", day},
		{"Windows-1252", plainAsk, "Time,U (V),T (\xb0C)\n2024-05-31 10:00:00,27.35,25.1\n2024-05-31 10:00:02,27.36,25.2\n", day},
		{"UTF-16", plainAsk, string(utf16le("Time,U (V),T (°C)\r\n2024-05-31 10:00:00,27.35,25.1\r\n2024-05-31 10:00:02,27.36,25.2\r\n")), day},
		{"hint of a spreadsheet", plainAsk, "sep=;\nTime;U (V);T (°C)\n2024-05-31 10:00:00;27.35;25.1\n2024-05-31 10:00:02;27.36;25.2\n", day},
		{"row of units", plainAsk, "Time,U,T\n,V,°C\n2024-05-31 10:00:00,27.35,25.1\n2024-05-31 10:00:02,27.36,25.2\n", day},
		{"row of units in brackets", plainAsk, "Time,U,T\n[s],[mV],[degC]\n2024-05-31 10:00:00,27350,25.1\n2024-05-31 10:00:02,27360,25.2\n", day},
		{"units in cells", plainAsk, "Time,U,T\n2024-05-31 10:00:00,27.35 V,25.1 °C\n2024-05-31 10:00:02,27360 mV,25.2 °C\n", day},
		{"headings before the table", plainAsk, "Logger of the shed\nserial 0007\n\nTime,U (V),T (°C),spare\n2024-05-31 10:00:00,27.35,25.1,\n2024-05-31 10:00:02,27.36,25.2,\n", day},
		{"other columns and another order", plainAsk, "No,T (°C),Time,x,U (V)\n1,25.1,2024-05-31 10:00:00,abc,27.35\n2,25.2,2024-05-31 10:00:02,def,27.36\n", day},
		{"zone", plainAsk, "Time,U (V),T (°C)\n2024-05-31T12:00:00+02:00,27.35,25.1\n2024-05-31T10:00:02Z,27.36,25.2\n", day},
		{"fahrenheit, DC", plainAsk, "Time,U (V DC),T (°F)\n2024-05-31T10:00:00,27.35,77.18\n2024-05-31T10:00:02,27.36,77.36\n", day},
		{"afternoon, month first", american, "Time,U (V),T (°C)\n5/31/24 10:00:00 AM,27.35,25.1\n5/31/24 10:00:02 AM,27.36,25.2\n", day},
		{"month first, told by the 31st", plainAsk, "Time,U (V),T (°C)\n5/31/2024 10:00:00,27.35,25.1\n5/31/2024 10:00:02,27.36,25.2\n", day},
		{"month in letters", plainAsk, "Time,U (V),T (°C)\n31-May-24 10:00:00,27.35,25.1\n31-May-24 10:00:02,27.36,25.2\n", day},
		{"date apart", apart, "Date,Time,U (V),T (°C)\n2024-05-31,10:00:00,27.35,25.1\n2024-05-31,10:00:02,27.36,25.2\n", day},
		{"clock alone", plainAsk, "Time,U (V),T (°C)\n10:00:00,27.35,25.1\n10:00:02,27.36,25.2\n", time.Time{}},
		{"past midnight", plainAsk, "Time,U (V),T (°C)\n23:59:59,27.35,25.1\n00:00:01,27.36,25.2\n", time.Time{}},
		{"no heading, seconds", seconds, "0.0,27.35,25.1\n2.0,27.36,25.2\n", time.Time{}},
		{"no heading, milliseconds since 1970", milli, "1717149600000;27.35;25.1\n1717149602000;27.36;25.2\n", time.Time{}},
		{"elapsed, unit in the heading", plainAsk, "Time (min);U (V);T (°C)\n5;27.35;25.1\n5.033333333333333333;27.36;25.2\n", time.Time{}},
		{"exponents", plainAsk, "Time,U (V),T (°C)\n10:00:00.000,+2.735E+01,+2.51E+01\n10:00:02.000,+2.736E+01,+2.52E+01\n", time.Time{}},
		{"no time", untimed, "U (V),T (°C)\n27.35,25.1\n27.36,25.2\n", time.Time{}},
	} {
		log, err := Read([]byte(c.text), c.ask)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(log.Time) != 2 || math.Abs(log.Time[1]-2) > 1e-6 || !log.Start.Equal(c.start) {
			t.Errorf("%s: time %v from %v; want 0 and 2 s from %v", c.name, log.Time, log.Start, c.start)
		}
		u, air := log.Column("battery"), log.Column("air")
		for i, want := range []float64{27.35, 27.36} {
			if got := u.Values[i]; math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: %v V; want %v", c.name, got, want)
			}
		}
		for i, want := range []float64{298.25, 298.35} {
			if got := air.Values[i]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: %v K; want %v", c.name, got, want)
			}
		}
		if u.Read != 2 || math.Abs(u.Digit-0.01) > 1e-12 && c.name != "row of units in brackets" && c.name != "units in cells" {
			t.Errorf("%s: %d read, last digit %v", c.name, u.Read, u.Digit)
		}
	}
}

// Nothing that is left out goes unsaid: each place of each column is a number or stands in Left.
func TestLeftByLine(t *testing.T) {
	text := "Logger of the shed\nTime,U (V),T (°C)\n" +
		"10:00:00,27.35,25.1\n" + // 3
		"10:00:01,OL,25.1\n" +
		"10:00:02,OL,---\n" + // 5
		"10:00:03,9.9E37,\n" +
		"10:00:04,+9.91E+37,-300.0\n" + // 7
		"10:00:05,27.35\n" +
		"10:00:06,27.35,25.1,7\n" + // 9
		"Time,U (V),T (°C)\n" +
		"10:00:07,abc,25.1\n" + // 11
		"10:00:08,27.35 A,25.1\n" +
		"\n" + // 13
		"10:00:09,27.36,25.2\n" +
		"10:00:10,27.35,25.1\n" +
		"10:00:11,27.35,25.1"
	log, err := Read([]byte(text), ask(stamp("time"), volts("u"), celsius("t")))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, l := range log.Left {
		got = append(got, l.String())
	}
	want := `line 1: "Logger of the shed": stands above the table
lines 4 to 6: battery: "OL": beyond the meter's range
line 5: air: "---": the logger had no value
line 6: air: is empty
line 7: battery: "+9.91E+37": the logger had no value
line 7: air: "-300.0": is below absolute zero
line 8: "10:00:05,27.35": has 2 columns, not 3
line 9: "10:00:06,27.35,25.1,7": has 4 columns, not 3
line 10: "Time,U (V),T (°C)": is no time
line 11: battery: "abc": is no number
line 12: battery: "27.35 A": is in a unit of another kind`
	if strings.Join(got, "\n") != want {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	if log.Missed != 13 {
		t.Errorf("%d places missed; want 13", log.Missed)
	}
	if at := log.Line(len(log.Time) - 1); at != 16 {
		t.Errorf("the last row is said to stand on line %d; want 16", at)
	}
	time, columns, rows := log.Series("battery", "air")
	if len(time) != 4 || len(columns[1]) != 4 || log.Line(rows[1]) != 14 {
		t.Errorf("series %v %v %v", time, columns, rows)
	}
}

func TestRefuses(t *testing.T) {
	rows := "10:00:00,27.35,25.1\n10:00:01,27.35,25.1\n"
	both := ask(stamp("Time"), volts("U"), celsius("T"))
	for _, c := range []struct {
		ask  Ask
		text string
		want string
	}{
		{both, "", "bench/day.csv: is empty; want a table of numbers, as the logger wrote it"},
		{both, "\x00\x01\x02", "bench/day.csv: is no text; want a table in UTF-8, UTF-16 or Windows-1252, as the logger wrote it"},
		{both, "Time,U (V),T (°C)\n10:00:00,27.35,25.1\n10:00:02,27.35,25.1\n10:00:01,27.35,25.1\n",
			`bench/day.csv:4:1: "10:00:01": time runs backwards by 1.0 s; want rows in the order of time`},
		{both, "Time,U (V),T (°C)\n2024-10-27 02:59:59,27.35,25.1\n2024-10-27 02:00:00,27.35,25.1\n",
			`bench/day.csv:3:1: "2024-10-27 02:00:00": time runs backwards by 60 min; the clock may have been set back to winter time: cut the log there, or let the logger use UTC`},
		{both, "Time,U (V),T (°C)\n" + rows + "10:00:02,27.3", "bench/day.csv:4:1: the last line is cut: it has 2 of 3 columns; want the whole file; if the rest is all there, take that line out"},
		{ask(stamp("Time"), volts("U")), "Time,U (V),T (°C)\n10:00:00,low,25.1\n10:00:01,low,25.1\n", `bench/day.csv:2:1: "low": is text, in the column of battery; want a column of numbers`},
		{both, "Time,U (V),T (°C)\n10:00:00,low,25.1\n10:00:01,low,25.1\n10:00:02,27.3,25.1\n", `bench/day.csv:2:1: "low": column battery holds text: 2 of its cells are no numbers, 1 are; want a column of numbers`},
		{both, "Time,U (V),T (°C)\n10:00:00,OL,25.1\n10:00:01,OL,25.1\n", `bench/day.csv:2:1: "OL": column battery holds no number; want a column that the logger filled`},
		{both, "Time,Ubat (V),T (°C)\n" + rows, `bench/day.csv:1:1: "U": no column is headed so; there are Time, Ubat (V), T (°C)`},
		{ask(stamp("Time"), volts("Ubat")), "Time,Ubas (V),T (°C)\n" + rows, `bench/day.csv:1:1: "Ubat": no column is headed so; did you mean Ubas`},
		{both, rows, `bench/day.csv:1:1: "Time": no column is headed so; want the heading of a column, or number = … in [column.time] of the run`},
		{both, "Time,U (V),U (mV),T (°C)\n10:00:00,27.35,27350,25.1\n", `bench/day.csv:1:1: "U": columns 2 and 3 are both headed so; want number = 2 or 3 in [column.battery] of the run`},
		{both, "Time,U,T (°C)\n" + rows, `bench/day.csv:2:1: nothing tells the unit of battery; want unit = "V", or what it is, in [column.battery] of the run`},
		{both, "Time,U (A),T (°C)\n" + rows, `bench/day.csv:2:1: "A": is the unit of battery, which is to be a voltage; want a column of that kind, or its unit in the run`},
		{both, "Time,U (V),T (°C)\n0,27.35,25.1\n1,27.35,25.1\n", `bench/day.csv:2:1: nothing tells the unit of time; want unit = "s", or what it is, in [column.time] of the run`},
		{both, "Time,U (V),T (°C)\n01/02/2024 10:00,27.35,25.1\n02/03/2024 10:00,27.35,25.1\n", `bench/day.csv:2:1: "01/02/2024 10:00": day, month and year may stand in more than one order; want dates = "dmy", "mdy" or "ymd" in the run`},
		{ask(volts("U")), "U (V)\n27.35\n27.36\n", `bench/day.csv: none of its columns is the time; want a column with is = "time" in the run, or interval = "1 s"`},
		{ask(stamp("Time")), "Time\n10:00\n", `bench/day.csv: none of its columns is asked for; want a [column.NAME] in the run, such as { is = "battery voltage", header = "U" }`},
		{both, "Time;U (V);T (°C)\n10:00:00;27,35;25.1\n10:00:01;27.35;25,1\n", `bench/day.csv:3:1: numbers with a decimal comma and with a decimal point stand side by side; want decimal = "point" or decimal = "comma" in the run`},
		{ask(stamp("Time"), Column{Name: "battery", Number: 7, Dim: quantity.Voltage, Unit: "V"}), "Time,U\n" + rows, "bench/day.csv:2:1: the table has 3 columns, and battery is to be number 7; want a number within the table, or the column's heading"},
	} {
		_, err := Read([]byte(c.text), c.ask)
		var fault *tree.Error
		if err == nil || !errors.As(err, &fault) || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

// Rows within one second are spread over it, a gap is told, and a day that may be read in two ways is not told.
func TestStamps(t *testing.T) {
	log, err := Read([]byte("Time,U (V)\n10:00:00,1.0\n10:00:00,2.0\n10:00:01,3.0\n10:00:01,4.0\n10:00:02,5.0\n10:01:00,6.0\n"), ask(stamp("Time"), volts("U")))
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(log.Time); got != "[0 0.5 1 1.5 2 60]" {
		t.Errorf("times %s", got)
	}
	want := []Note{
		{"2 rows have the stamp of the row before; they were spread evenly until the next stamp", "let the logger write fractions of a second"},
		{"nothing was logged for 58 s before line 7", "the gaps count as unknown, not as nothing"},
	}
	if fmt.Sprint(log.Notes) != fmt.Sprint(want) {
		t.Errorf("notes %q", log.Notes)
	}
	log, err = Read([]byte("Time,U (V)\n01/02/2024 10:00,1.0\n01/02/2024 10:01,2.0\n"), ask(stamp("Time"), volts("U")))
	if err != nil || !log.Start.IsZero() || len(log.Notes) != 1 {
		t.Errorf("%v %v", log, err)
	}
	noted := ask(stamp("Time"), volts("U"))
	noted.Day = time.Date(2024, 1, 2, 0, 0, 0, 0, time.UTC)
	log, err = Read([]byte("Time,U (V)\n01/02/2024 10:00,1.0\n01/02/2024 10:01,2.0\n"), noted)
	if err != nil || log.Start.Month() != time.January || len(log.Notes) != 0 {
		t.Errorf("the run says on which day it was: %v %v", log, err)
	}
	log, err = Read([]byte("Time,U (V)\n31/01/2024 23:59,1.0\n01/02/2024 00:01,2.0\n"), ask(stamp("Time"), volts("U")))
	if err != nil || log.Time[1] != 120 || log.Start.Month() != time.January {
		t.Errorf("%v %v", log, err)
	}
}

func TestLastLineThatMayBeCut(t *testing.T) {
	log, err := Read([]byte("Time,U (V)\n10:00,27.35\n10:01,27.36\n10:02,2"), ask(stamp("Time"), volts("U")))
	if err != nil || len(log.Time) != 2 || len(log.Left) != 1 || log.Left[0].First != 4 {
		t.Errorf("%v %v", log, err)
	}
}
