package statistics

import (
	"math"
	"testing"
)

// Factors of the NIST/SEMATECH e-Handbook, 8.4.5.1, and closed forms: without a failure the time T is
// survived with probability e^(−T/MTBF).
func TestMTBFLimits(t *testing.T) {
	low, high, _, err := MTBFLimits(800, 2, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", low/400, 0.3177, 5e-5)
	near(t, "high", high/400, 5.6281, 5e-5)
	low, high, one, err := MTBFLimits(1000, 0, 0.9)
	if err != nil || !math.IsInf(high, 1) {
		t.Errorf("high %v, %v", high, err)
	}
	near(t, "low without failure", low, 1000/math.Log(20), 1e-9)
	near(t, "one-sided without failure", one, 1000/math.Log(10), 1e-9)
	for _, c := range []struct {
		time       float64
		failures   int
		confidence float64
		says       string
	}{{0, 1, 0.9, "exposure"}, {1, -1, 0.9, "events"}, {1, 1, 1, "confidence"}} {
		_, _, _, err := MTBFLimits(c.time, c.failures, c.confidence)
		refused(t, err, "mean time between failures", c.says)
	}
}
