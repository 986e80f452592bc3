package panel

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// TestSameBits holds currents, voltages and fits to the bits that amd64 gave; run it with GOOS=js GOARCH=wasm too.
func TestSameBits(t *testing.T) {
	h := fnv.New64a()
	put := func(values ...float64) {
		for _, v := range values {
			h.Write(binary.LittleEndian.AppendUint64(nil, math.Float64bits(v)))
		}
	}
	p := example()
	for g := 0.0; g < 1200; g += 97 {
		for k := 250.0; k < 360; k += 13 {
			c := p.At(g, k)
			for v := -5.0; v < 25; v += 0.77 {
				put(c.Current(v), c.Conductance(v))
			}
			v, i, w := c.MaximumPower()
			put(v, i, w, c.OpenCircuit(), CellTemperature(k, g, UsualNOCT), 300+float64((k-300)*Lagging(60, Minutes)))
		}
	}
	f, err := Label{ShortCircuit: 1, OpenCircuit: 23, PeakCurrent: 0.8, PeakVoltage: 17, Amorphous: true}.Fit()
	if err != nil {
		t.Fatal(err)
	}
	for v := -5.0; v < 25; v += 0.77 {
		put(f.Reference.Current(v))
	}
	s := numeric.NewStream(7)
	fitted, err := FitCurve(measured(p.At(800, 310), 30, 0.002, &s))
	if err != nil {
		t.Fatal(err)
	}
	put(fitted.Photocurrent, fitted.Saturation, fitted.Thermal, fitted.Series, fitted.Shunt, fitted.SeriesSE)
	const want = 0xc5f08d779beb4c17
	if got := h.Sum64(); got != want {
		t.Errorf("bits %#x, want %#x", got, uint64(want))
	}
}
