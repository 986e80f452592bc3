package heat

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"testing"
)

// TestSameBits holds temperatures, correlations and pulses to the bits that amd64 gave; run it with GOOS=js GOARCH=wasm too.
func TestSameBits(t *testing.T) {
	h := fnv.New64a()
	put := func(values ...float64) {
		for _, v := range values {
			h.Write(binary.LittleEndian.AppendUint64(nil, math.Float64bits(v)))
		}
	}
	for _, o := range orientations {
		for rise := 1e-3; rise < 300; rise *= 1.7 {
			f := Convect(o, 0.07, 300+rise, 300, AirAt(300+rise/2, Pressure(10*rise)))
			put(f.Rayleigh, f.Nusselt, f.Coefficient)
		}
	}
	a := sample(t)
	for celsius := -20.0; celsius < 75; celsius += 7 {
		a.SetAround(Around{Altitude: 20 * (celsius + 20), Irradiance: 3 * (celsius + 20)})
		if err := a.Again(Celsius0 + celsius); err != nil {
			t.Fatal(err)
		}
		for i := range a.Len() {
			put(a.Temperature(Node(i)))
		}
	}
	l := &Leakage{Current: 1e-4, Voltage: 14.4, Exponent: 0.055, Duty: 1}
	critical, _ := l.CriticalAmbient(60)
	junction, loss, err := Steady(l, 60, 350)
	if err != nil {
		t.Fatal(err)
	}
	put(critical, junction, loss, someStages.At(0.1), someStages.Peak(20, 0.3, 0.1))
	const want = 0xc3e0b1d4b69f634b
	if got := h.Sum64(); got != want {
		t.Errorf("bits %#x, want %#x", got, uint64(want))
	}
}
