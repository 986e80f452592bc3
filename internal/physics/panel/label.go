package panel

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Label is what a panel's label or data sheet says at 1000 W/m² and 25 °C.
type Label struct {
	ShortCircuit, OpenCircuit float64 // A, V; > 0
	PeakCurrent, PeakVoltage  float64 // A, V, at maximum power; > 0, below the others
	PeakPower                 float64 // W; 0 if not given
	Cells                     int     // in series; 0: from the open-circuit voltage
	Amorphous                 bool

	// Temperature coefficients as changes per kelvin; nil if not given.
	CurrentTempco *float64 // of the short-circuit current, A/K
	VoltageTempco *float64 // of the open-circuit voltage, V/K, negative

	DarkShunt float64 // Ω, as measured in the dark; 0: 10 times the shunt found
}

// Usual values where a label says nothing (data-sheet type, from memory).
const (
	usualCurrentTempco = 0.0005 // 1/K
	usualDarkShunt     = 10.0   // times the shunt at 1000 W/m²; 5 to 20 (estimate)

	crystallineCell = 0.60 // V of open circuit
	amorphousCell   = 0.87

	mostRecombination = 0.15 // V of a cell that has settled; 0.08 new (estimates from fill factors)
	junctionBuiltIn   = 0.9  // V of a cell (from memory)
)

// Fit is a panel found from its label.
type Fit struct {
	Panel
	Ideality      float64
	VoltageTempco float64  // of the fitted panel, V/K
	Notes         []string // what of the label is contradictory or not reproduced, each with its remedy
}

// Check returns what makes the label impossible, or nil.
func (l Label) Check() error {
	for _, b := range []struct {
		name  string
		value float64
		dim   quantity.Dimension
	}{
		{"short_circuit_current", l.ShortCircuit, quantity.Current}, {"open_circuit_voltage", l.OpenCircuit, quantity.Voltage},
		{"peak_current", l.PeakCurrent, quantity.Current}, {"peak_voltage", l.PeakVoltage, quantity.Voltage},
	} {
		if !(b.value >= 1e-6 && b.value <= 1e6) {
			return fmt.Errorf("%s: %s is not possible; want a %s above 0", b.name, shown(b.value, b.dim), b.dim.Name())
		}
	}
	switch {
	case l.PeakCurrent >= l.ShortCircuit:
		return fmt.Errorf("peak_current: %s is not below the short-circuit current of %s; want the smaller current at maximum power",
			shown(l.PeakCurrent, quantity.Current), shown(l.ShortCircuit, quantity.Current))
	case l.PeakVoltage >= l.OpenCircuit:
		return fmt.Errorf("peak_voltage: %s is not below the open-circuit voltage of %s; want the smaller voltage at maximum power",
			shown(l.PeakVoltage, quantity.Voltage), shown(l.OpenCircuit, quantity.Voltage))
	case l.PeakCurrent/l.ShortCircuit+l.PeakVoltage/l.OpenCircuit < 1.05: // below what a mere resistance gives
		return fmt.Errorf("peak_voltage: maximum power at %.0f %% of the voltage and %.0f %% of the current is not that of a panel; want the values of its label",
			100*l.PeakVoltage/l.OpenCircuit, 100*l.PeakCurrent/l.ShortCircuit)
	case l.Cells < 0 || l.Cells > 100000:
		return fmt.Errorf("cells: %d is not possible; want a whole number above 0", l.Cells)
	case l.Cells > 0 && !(l.OpenCircuit/float64(l.Cells) >= 0.2 && l.OpenCircuit/float64(l.Cells) <= 3):
		return fmt.Errorf("cells: %d would have %.3g V of open circuit each; want the number in series, of about 0.6 V each", l.Cells, l.OpenCircuit/float64(l.Cells))
	case l.DarkShunt != 0 && !(l.DarkShunt >= 1e-6 && l.DarkShunt <= 1e12):
		return fmt.Errorf("dark_shunt: %s is not possible; want a resistance above 0", shown(l.DarkShunt, quantity.Resistance))
	case l.VoltageTempco != nil && !(math.Abs(*l.VoltageTempco) < l.OpenCircuit/100):
		return fmt.Errorf("voltage_tempco: %s is not possible; want about -0.3 %%/K of the open-circuit voltage", shown(*l.VoltageTempco, quantity.VoltagePerKelvin))
	case l.CurrentTempco != nil && !(math.Abs(*l.CurrentTempco) < l.ShortCircuit/100):
		return fmt.Errorf("current_tempco: %s is not possible; want about 0.05 %%/K of the short-circuit current", shown(*l.CurrentTempco, quantity.CurrentPerKelvin))
	}
	return nil
}

// Fit returns the five parameters by which a panel meets its label: short-circuit current, open-circuit
// voltage, the point of maximum power and that it is the maximum, and the temperature coefficient of the voltage.
//
// The error is that of Check. What of a possible label cannot be met is not an error: the ideality is held to what
// cells have (1.0 to 1.3; amorphous 1.0 to 2.0), and what then differs is in Notes.
func (l Label) Fit() (Fit, error) {
	if err := l.Check(); err != nil {
		return Fit{}, err
	}
	f := Fit{Notes: l.contradictions()}
	f.Cells = l.Cells
	if f.Cells == 0 {
		f.Cells = l.guessCells()
		f.Notes = append(f.Notes, fmt.Sprintf("the number of cells is not given: %d is taken from the open-circuit voltage", f.Cells))
	}
	f.Tempco = usualCurrentTempco * l.ShortCircuit
	if l.CurrentTempco != nil {
		f.Tempco = *l.CurrentTempco
	}
	if l.Amorphous {
		f.Gap = amorphousGap
	}
	low, high, usual := 1.0, 1.3, 1.0
	if l.Amorphous {
		high, usual = 2, 1.6 // from memory
	}
	f.set(l, usual)
	if l.VoltageTempco != nil {
		f.matchTempco(l, low, high)
	}
	f.Notes = append(f.Notes, f.compare(l)...)
	return f, nil
}

// guessCells returns the number of cells from the open-circuit voltage.
func (l Label) guessCells() int {
	cell := crystallineCell
	if l.Amorphous {
		cell = amorphousCell
	}
	return max(1, int(math.Round(l.OpenCircuit/cell)))
}

// matchTempco chooses the ideality by which the open-circuit voltage falls with temperature as on the label.
func (f *Fit) matchTempco(l Label, low, high float64) {
	want := *l.VoltageTempco
	lack := func(n float64) float64 { f.set(l, n); return f.VoltageTempco - want }
	n, err := numeric.FindRoot(lack, low, high, 1e-9) // falls with n
	if err != nil {
		n = low
		if math.Abs(lack(high)) < math.Abs(lack(low)) {
			n = high
		}
	}
	f.set(l, n)
	if math.Abs(f.VoltageTempco-want) > 0.01*math.Abs(want) {
		f.Notes = append(f.Notes, fmt.Sprintf("the voltage coefficient of %.3f %%/K goes with no such cells; %.3f %%/K is taken (ideality %.2f): copied data sheets often give a usual value, so measure the open-circuit voltage cold and hot",
			100*want/l.OpenCircuit, 100*f.VoltageTempco/l.OpenCircuit, n))
	}
}

// set solves the panel for an ideality.
func (f *Fit) set(l Label, ideality float64) {
	f.Ideality = ideality
	thermal := ideality * float64(f.Cells) * ThermalVoltage(ReferenceTemperature)
	f.Reference = solver{label: l, thermal: thermal}.solveFor(float64(f.Cells))
	f.DarkShunt = l.DarkShunt
	if f.DarkShunt == 0 {
		f.DarkShunt = usualDarkShunt * f.Reference.Shunt
	}
	const step = 10 // K
	f.VoltageTempco = (f.openCircuit(ReferenceTemperature+step) - f.openCircuit(ReferenceTemperature-step)) / (2 * step)
}

func (f *Fit) openCircuit(t float64) float64 {
	c := f.At(ReferenceIrradiance, t)
	return c.OpenCircuit()
}

// Ideality returns the ideality that a crystalline cell's temperature coefficient of voltage asks for.
//
//	cell    open-circuit voltage of one cell at 25 °C, V
//	tempco  its change, V/K, negative
//
// From [Y6] with the shunt and the change of the photocurrent left out. It is a check of a label: a result
// below 1 or above 1.4 says that the coefficient is not that of these cells.
func Ideality(cell, tempco float64) float64 {
	atZero := siliconGap * (1 - siliconGapSlope*ReferenceTemperature)
	return (cell - ReferenceTemperature*tempco) / (atZero + 3*ThermalVoltage(ReferenceTemperature)) // [Y14]
}
