package logfile

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// written is a log of n rows, one a second: stamp, three voltages and currents, and a temperature. Invented.
func written(n int) []byte {
	var b bytes.Buffer
	b.WriteString("Time,Ubat (V),Upv (V),I (A),T (°C)\n")
	s := numeric.NewStream(1)
	start := time.Date(2024, 5, 31, 4, 0, 0, 0, time.UTC)
	for i := range n {
		fmt.Fprintf(&b, "%s,%.3f,%.2f,%.3f,%.1f\n", start.Add(time.Duration(i)*time.Second).Format("2006-01-02 15:04:05"),
			27.3+0.01*s.Norm(), 35+s.Norm(), 2+0.1*s.Norm(), 22+0.1*s.Norm())
	}
	return b.Bytes()
}

func fourColumns() Ask {
	return ask(stamp("Time"), volts("Ubat"), Column{Name: "panel", Header: "Upv", Dim: quantity.Voltage},
		Column{Name: "current", Header: "I", Dim: quantity.Current}, celsius("T"))
}

// BenchmarkRead reads a million rows of a stamp and four numbers.
func BenchmarkRead(b *testing.B) {
	data := written(1_000_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		log, err := Read(data, fourColumns())
		if err != nil || len(log.Time) != 1_000_000 || log.Missed > 0 {
			b.Fatal(err)
		}
	}
}
