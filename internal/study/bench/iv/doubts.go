package iv

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/physics/panel"
	"hindwatt/internal/statistics/fit"
)

// doubt fills the warnings.
func (r *Result) doubt(found *fit.Result) {
	in := &r.Input
	note := func(text, remedy string) {
		r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: in.From})
	}
	if !in.VoltageMeter.Known() || !in.CurrentMeter.Known() {
		note("the accuracy of a meter is not known: nothing limits how far off its readings are, and the limits count only their scatter",
			"name the meter of each column, its accuracy and digit in bench/meters.toml")
	}
	if in.Temperature == nil {
		note("the cells' temperature was not noted: 25 °C is assumed", "stick a probe to the back of the panel and note it: conditions = { cells = … }")
	}
	if in.Irradiance == nil {
		note("the irradiance was not noted: nothing is carried over to the 1000 W/m² of a label", "note it, or the current of a reference cell in it")
	} else if why := panel.Doubt(in.Irradiance.Value, in.temperature()); why != "" {
		note(why, "sweep in brighter light, or cooler")
	}
	if found.AtBound[series] || found.AtBound[shunt] || r.Shunt.OpenHigh {
		note("the readings hardly bear on a resistance: it lies at its bound or has no limit on one side", "take more readings near short circuit and beyond the knee")
	}
	if n, signs := len(r.Residuals), changes(r.Residuals); n >= 12 && float64(signs) < float64(n)/2-2*math.Sqrt(float64(n))/2 {
		note(fmt.Sprintf("what the readings lack of the curve changes sign only %d times in %d: it is not mere scatter, and the limits are too narrow", signs, n),
			"sweep faster, in steady light; look for shade on a cell")
	}
	if i := r.Ideality.Best; !in.Amorphous && (i < 0.9 || i > 1.6) {
		note(fmt.Sprintf("the ideality of a cell comes out as %.2f; cells have 1.0 to 1.4", i), "check the number of cells and their temperature")
	}
	if in.Amorphous {
		note("amorphous cells are fitted as if they were crystalline: their recombination is taken for a shunt", "trust it near the conditions of the sweep only")
	}
}

// changes counts how often values change sign.
func changes(x []float64) (n int) {
	for i := 1; i < len(x); i++ {
		if x[i]*x[i-1] < 0 {
			n++
		}
	}
	return n
}
