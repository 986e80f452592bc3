package battery

// A Chemistry is a kind of battery.
type Chemistry uint8

// The chemistries known here.
const (
	Flooded Chemistry = iota // lead with liquid acid that can be topped up
	AGM                      // lead, sealed, acid in glass mat
	Gel                      // lead, sealed, acid as a gel
	LiFePO4                  // lithium iron phosphate, with its protection
)

// String names the chemistry as the product folder does.
func (c Chemistry) String() string {
	return [...]string{"flooded", "agm", "gel", "lithium-iron-phosphate"}[c]
}

// Lead reports whether the cell is one of lead and acid.
func (c Chemistry) Lead() bool { return c != LiFePO4 }

// Sealed reports whether water cannot be topped up.
func (c Chemistry) Sealed() bool { return c == AGM || c == Gel }

// ChemistryOf finds a chemistry by its name in the product folder.
func ChemistryOf(name string) (Chemistry, bool) {
	for c := Flooded; c <= LiFePO4; c++ {
		if c.String() == name {
			return c, true
		}
	}
	return 0, false
}

const (
	hour = 3600     // s
	ah   = 3600     // C
	year = 31557600 // s, 365.25 d
	zero = 273.15   // K at 0 °C

	// Warm is the temperature, in K, at which the constants of a cell stand: 25 °C.
	Warm = zero + 25
)

// A Cell has the constants of one cell of a chemistry. What scales with size is given for a capacity of 1 C.
type Cell struct {
	Chemistry Chemistry

	// Open-circuit voltage at 25 °C, V: Full − Fall·(1 − state), or over the state of charge by Curve if there is one,
	// which goes on straight with Beyond below its first and above its last point.
	Full, Fall float64
	Curve      []Knot
	Beyond     float64 // V per unit of state
	PerKelvin  float64 // V/K, its rise with temperature

	// Resistances of the main branch, Ω·C, at 25 °C: Charging·(1 + Mc·s/(Cc − s)) and Discharging·(1 + Md·(1 − s)/(Cd − 1 + s)).
	Charging, Mc, Cc    float64
	Discharging, Md, Cd float64
	Cold                float64 // 1/K: both grow by exp(Cold·(25 °C − T))

	// The gassing branch: Gas·exp(GasPerVolt·(V − 2.23 V) + GasPerKelvin·(T − 298 K)).
	Gas, GasPerVolt, GasPerKelvin float64 // A for 1 C (that is 1/s), 1/V, 1/K
	Recombination                 float64 // 0..1, share of the gas that becomes water again, and heat
	MostRecombined                float64 // 1/s, A for 1 C: the most that recombines; beyond it the valve opens

	SelfDischarge float64 // 1/s of the capacity at 25 °C; doubles each Doubling kelvins
	Doubling      float64 // K

	Life   float64 // s until the capacity has fallen by Fade, kept at 25 °C
	Fade   float64 // 0..1, and the resistances have doubled
	Cycles float64 // of 80 % depth until then
	Depth  float64 // exponent: a cycle of depth d counts (d/0.8)^Depth of one

	Vent Vent // gas for which rooms are ventilated

	// Protection inside the battery, V a cell, 0 for none: it opens above High against charging, below Low against
	// discharging, and below ColdCharge (K) against charging. It closes again Again volts inside.
	High, Low, Again, ColdCharge float64
}

// A Knot is one point of an open-circuit curve.
type Knot struct{ State, Voltage float64 }

// Defaults returns the constants of a chemistry for a capacity that is stated for a discharge in so many seconds (20 h for most small
// batteries). Those that follow from the capacity's hours do so by [Cell.Rated].
func Defaults(c Chemistry, rated float64) Cell {
	if c == LiFePO4 {
		return lithium()
	}
	k := Cell{
		Chemistry: c,
		Charging:  0.42 * ah, Mc: 0.888, Cc: 1.001, // published, from memory of a second text: Schiffer 2007, table of parameters
		Discharging: 0.699 * ah, Cd: 1.02, // 0.699 as before; Cd ours, see Rated
		Cold:       0.016,                  // estimate: twice the resistance at -18 °C (common in data sheets)
		GasPerVolt: 11, GasPerKelvin: 0.06, // published: Schiffer 2007 eq. 6
		Doubling: 10, Fade: 0.2, Depth: 1.1, // common practice: Arrhenius' rule of thumb, 80 % as the end of life; exponent from the cycles at 80 % and 25 %
	}
	switch c {
	case Flooded:
		k.Full, k.Fall = 2.108, 0.127 // 12.65 V full, 11.89 V empty, rested: common practice
		k.Gas = per100Ah(0.020)       // published, from memory: Schiffer 2007, vented with antimony; calcium: some 0.001 to 0.005
		k.SelfDischarge = perMonth(0.05)
		k.Life, k.Cycles = 5*year, 150 // estimate: between a starter battery and one for deep cycles
		k.Vent = Vent{5, 20}           // IEC 62485-2, table of its clause 7.2
	case AGM, Gel:
		k.Full, k.Fall = 2.150, 0.183  // 12.90 V full, 11.80 V empty, rested: common practice
		k.Gas = per100Ah(0.010)        // published: Schiffer 2007, valve-regulated
		k.Recombination = 0.97         // common practice: 95 % to 99 %
		k.MostRecombined = 0.01 / hour // C/100: estimate; the oxygen way to the plate carries no more
		k.SelfDischarge = perMonth(0.03)
		k.Life, k.Cycles = 6*year, 400 // estimate: 300 to 600 cycles
		k.Vent = Vent{1, 8}
	}
	return k.Rated(rated)
}

// lithium returns the constants of lithium iron phosphate: common practice and estimates, without a published source.
func lithium() Cell {
	return Cell{
		Chemistry: LiFePO4,
		Curve: []Knot{{0, 2.50}, {0.05, 3.00}, {0.1, 3.15}, {0.2, 3.22}, {0.3, 3.25}, {0.4, 3.28}, {0.5, 3.29},
			{0.6, 3.30}, {0.7, 3.32}, {0.8, 3.33}, {0.9, 3.34}, {0.95, 3.36}, {1, 3.45}}, // estimate, rested; ±20 mV of hysteresis left out
		Beyond:   20,
		Charging: 0.625 * ah, Discharging: 0.625 * ah, Cc: 2, Cd: 2, // 25 mΩ of four cells of 100 Ah with their protection: estimate
		Cold:          0.02,
		SelfDischarge: perMonth(0.02), Doubling: 15,
		Life: 12 * year, Fade: 0.2, Cycles: 2500, Depth: 1.1,
		High: 3.65, Low: 2.5, Again: 0.15, ColdCharge: zero, // 3.65 V and 0 °C: common practice, stated by all makers
	}
}

// Rated returns the cell with that rise of the discharging resistance towards empty at which it delivers its capacity, at the current that does
// so in the given seconds, down to 1.75 V: so lead batteries are measured (common practice; IEC 60896 and 61056 for such end voltages).
// The published constants 0.0464 and 1.75 describe no battery that is ever empty.
func (k Cell) Rated(seconds float64) Cell {
	const end = 1.75
	if k.Chemistry.Lead() && seconds > 0 {
		k.Md = max(0, float64((k.Cd-1)*((k.Full-k.Fall-end)/(k.Discharging/seconds)-1)))
	}
	return k
}

func per100Ah(current float64) float64 { return current / (100 * ah) }
func perMonth(part float64) float64    { return part / (year / 12) }
