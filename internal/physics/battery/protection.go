package battery

// A Guard is the protection inside a battery, as it stands.
type Guard struct {
	NoCharge, NoDischarge bool // the way in, the way out is open
}

// Next returns the guard after it has seen the voltage of the battery's cells (all in series, V) and their temperature (K). It opens at once; the
// milliseconds that it takes are left out.
func (b *Battery) Next(g Guard, voltage, temperature float64) Guard {
	k, n := &b.Cell, float64(b.Cells)
	if k.High > 0 {
		switch {
		case voltage > n*k.High:
			g.NoCharge = true
		case voltage < n*(k.High-k.Again):
			g.NoCharge = false
		}
	}
	if k.ColdCharge > 0 && temperature < k.ColdCharge {
		g.NoCharge = true
	}
	if k.Low > 0 {
		switch {
		case voltage < n*k.Low:
			g.NoDischarge = true
		case voltage > n*(k.Low+k.Again):
			g.NoDischarge = false
		}
	}
	return g
}
