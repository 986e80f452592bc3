package battery

import "hindwatt/internal/numeric"

// SelfDischarge returns the current, in A, by which the battery loses charge inside at a temperature in K.
func (b *Battery) SelfDischarge(temperature float64) float64 {
	if b.Cell.SelfDischarge == 0 {
		return 0
	}
	return b.Cell.SelfDischarge * b.Capacity * numeric.Exp(ln2*(temperature-Warm)/b.Cell.Doubling) // [G12]
}

const ln2 = 0.6931471805599453

// Aged returns the battery after a time in s at 25 °C: its capacity falls in a straight line by Fade over Life, and its resistances rise
// to the double. An estimate; age in cycles comes on top. At most half of the capacity and three times the resistance are taken.
func (b *Battery) Aged(age float64) *Battery {
	if !(age > 0) || !(b.Cell.Life > 0) {
		return b
	}
	part := age / b.Cell.Life
	old := *b
	old.Capacity = b.Capacity * max(0.5, 1-float64(b.Cell.Fade*part)) // [G13]
	grown := min(3, 1+part) * (old.Capacity / b.Capacity)
	old.Cell.Charging *= grown // Ω·C of the smaller capacity
	old.Cell.Discharging *= grown
	return &old
}

// Lagging returns the share of the difference between a battery and what is around it that is left after a step in s, with a time constant in s; 0 without one.
func Lagging(step, constant float64) float64 {
	if !(constant > 0) {
		return 0
	}
	return numeric.Exp(-step / constant) // [G14]
}

// TimeConstant is how slowly a battery's temperature follows the air, in s: 3 h to 8 h for 40 to 100 Ah of lead on a
// shelf. An estimate for 5 h at 60 Ah of 12 V, with the cube root of its volume; capacity is in C and voltage in V.
func TimeConstant(capacity, voltage float64) float64 {
	size := capacity * voltage / (60 * ah * 12)
	return 5 * hour * numeric.Pow(max(size, 1e-9), 1.0/3)
}
