package iv

import (
	"hindwatt/internal/page"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// Input is one sweep.
type Input struct {
	Name             string    // of the panel: "yard-50"
	Voltage, Current []float64 // V, A; one reading each, in any order
	VoltageMeter     *bench.Meter
	CurrentMeter     *bench.Meter
	Temperature      *quantity.Quantity // of the cells, K; nil: 25 °C, said
	Irradiance       *quantity.Quantity // on the panel, W/m²; nil: not known, nothing is carried over to 1000 W/m²
	Cells            int                // in series; 0: from the open-circuit voltage, said
	Amorphous        bool
	Level            float64 // of the limits; 0: 0.95
	From             string  // the log's file
	Run              string  // its name in the folder, for Part; "": none
}

// Figures are what a curve has, each with its limits.
type Figures struct {
	ShortCircuit, OpenCircuit           fit.Interval // A, V
	PeakCurrent, PeakVoltage, PeakPower fit.Interval // A, V, W
}

// Result is what the sweep tells.
type Result struct {
	Input Input
	Curve panel.Curve // as measured, at its irradiance and temperature
	// Parameters of Curve, with the meters' errors; Ideality that of one cell. The shunt's upper limit is open where the
	// readings show none.
	Photocurrent, Saturation, Ideality, Series, Shunt fit.Interval
	AsMeasured                                        Figures
	Reference                                         *Figures  // at 1000 W/m² and 25 °C; nil: the irradiance is not known
	RMSE                                              float64   // of the currents, A
	Residuals                                         []float64 // measured less computed current, A, in the order of the readings
	Across                                            bool      // the distances were taken across the curve
	Warnings                                          []page.Note

	reference panel.Panel
}
