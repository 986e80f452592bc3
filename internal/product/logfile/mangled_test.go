package logfile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product/tree"
)

// holds checks what has to be so for any file: an error names the file; else time does not fall, every
// value is finite or left out by name, and every line is a row, blank, or left out.
func holds(t *testing.T, data []byte, a Ask) {
	t.Helper()
	log, err := Read(data, a)
	if err != nil {
		var fault *tree.Error
		if !errors.As(err, &fault) || fault.File != a.File || fault.Problem == "" || fault.Want == "" {
			t.Fatalf("error %v of %q", err, data)
		}
		return
	}
	for i, at := range log.Time {
		if math.IsNaN(at) || math.IsInf(at, 0) || i > 0 && at < log.Time[i-1] {
			t.Fatalf("time %v behind %v of %q", at, log.Time[i-1], data)
		}
	}
	whole, of := map[int]bool{}, map[string]bool{}
	for _, l := range log.Left {
		for n := l.First; n <= l.Last; n++ {
			whole[n] = whole[n] || l.Column == ""
			of[fmt.Sprint(n, l.Column)] = true
		}
	}
	missed := 0
	for _, c := range log.Columns {
		if len(c.Values) != len(log.Time) {
			t.Fatalf("%d values in %d rows of %q", len(c.Values), len(log.Time), data)
		}
		read := 0
		for i, v := range c.Values {
			switch {
			case math.IsInf(v, 0):
				t.Fatalf("infinite value of %q", data)
			case v == v:
				read++
			case len(log.Left) < mostLeft && !of[fmt.Sprint(log.Line(i), c.Name)]:
				t.Fatalf("line %d of %q is left out in silence", log.Line(i), data)
			default:
				missed++
			}
		}
		if read != c.Read {
			t.Fatalf("%d read, said to be %d, of %q", read, c.Read, data)
		}
	}
	row := map[int]bool{}
	for i := range log.Time {
		row[log.Line(i)] = true
	}
	text, _, _ := tree.Decode(data)
	if bytes.IndexByte(text, '\n') < 0 {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	lost := 0
	for i, l := range strings.Split(string(text), "\n") {
		n := i + 1
		if row[n] && whole[n] {
			t.Fatalf("line %d of %q is a row and left out", n, data)
		}
		if !row[n] && !whole[n] && strings.Trim(l, " \t\r\",;\x1a") != "" {
			lost++
		}
	}
	const head = 3 // the heading, a row of units, a hint
	if len(log.Left) < mostLeft && lost > head {
		t.Fatalf("%d lines of %q are nowhere", lost, data)
	}
}

// Files that were cut, doubled, shuffled and strewn with what loggers write.
func TestMangled(t *testing.T) {
	plain := []byte("Logger,shed\n" + string(written(60)))
	scraps := []string{"OL", "---", ",", ";", "\t", "\n", "\r\n", "\"", "9.9E37", "-", "27,3", "\x00", "\xb0", "24:00:00", "1e400", "NaN", "Inf", " ", "\n\n", "2024-05-31 04:00:10", "é", "\ufffd", "#"}
	s := numeric.NewStream(7)
	read := 0
	const files = 4000
	for range files {
		data := bytes.Clone(plain)
		for range 1 + s.Intn(4) {
			at := s.Intn(len(data))
			to := min(len(data), at+s.Intn(40))
			switch s.Intn(5) {
			case 0:
				data = append(data[:at:at], data[to:]...)
			case 1:
				data = append(data[:to:to], data[at:]...)
			case 2:
				data = append(append(data[:at:at], scraps[s.Intn(len(scraps))]...), data[at:]...)
			case 3:
				data[at] = byte(s.Intn(256))
			case 4:
				data = data[:at+1]
			}
		}
		holds(t, data, fourColumns())
		if _, err := Read(data, fourColumns()); err == nil {
			read++
		}
	}
	if read < files/10 || read > files*9/10 {
		t.Errorf("%d of %d mangled files are read: the test says little", read, files)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(3), false)
	f.Add([]byte("Time;Ubat (V);Upv (V);I (A);T (°C)\r\n31.05.2024 10:00:00;27,35;35;2;25,1\r\n"), false)
	f.Add([]byte("0\t27.35\tOL\n1\t---\t25.1\n"), true)
	f.Fuzz(func(t *testing.T, data []byte, numbered bool) {
		a := fourColumns()
		if numbered {
			a = ask(Column{Name: "time", Role: Time, Number: 1, Unit: "s"}, Column{Name: "battery", Number: 2, Dim: volts("").Dim, Unit: "V"}, Column{Name: "air", Number: 3, Dim: celsius("").Dim, Unit: "°C"})
		}
		holds(t, data, a)
	})
}

// A number is that of the standard library, to the bit.
func TestNumber(t *testing.T) {
	s := numeric.NewStream(3)
	for range 200_000 {
		v := s.Norm() * math.Pow(10, float64(s.Intn(60)-30))
		text := fmt.Sprintf([]string{"%.3f", "%.6e", "%g", "%+.10E", "%.17g"}[s.Intn(5)], v)
		var want float64
		fmt.Sscan(text, &want)
		if got, _, size := number([]byte(text), '.'); got != want || size != len(text) {
			t.Fatalf("%s: %v, %d bytes; want %v", text, got, size, want)
		}
	}
	for text, want := range map[string]int{"27.35": -2, "27": 0, "2.735E+01": -2, "-0,5": 0, "": 0, "-": 0, ".": 0, ".5": -1, "5.": 0, "1e": 0, "1e5": 5, "1E-3V": -3} {
		if _, last, _ := number([]byte(text), '.'); last != want {
			t.Errorf("%q: last digit 10^%d; want 10^%d", text, last, want)
		}
	}
}
