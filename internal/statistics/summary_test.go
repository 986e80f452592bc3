package statistics

import "testing"

// χ² of 9 degrees of freedom: 2.700 at 2.5 %, 19.023 at 97.5 % (tables, NIST/SEMATECH e-Handbook
// 1.3.6.7.4; from memory, to the printed digits).
func TestSpreadLimits(t *testing.T) {
	low, high := SpreadLimits(1, 10, 0.95)
	near(t, "low", low, 0.68784, 5e-5)
	near(t, "high", high, 1.82562, 2e-4)
}
