package soak

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// doubt fills the warnings.
func (r *Result) doubt() {
	in := &r.Input
	note := func(text, remedy string) {
		r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: in.From})
	}
	if r.Terms == 1 {
		note("one time constant describes the readings; a second is not told from it",
			"log more often during the first minutes, and to the end: a part's own warming is quick, its case's slow")
	}
	constants := r.log.duration() / r.Times[0].Best
	switch {
	case r.Rise.OpenHigh || r.Rise.OpenLow:
		note(fmt.Sprintf("the run ended after %.1f of its time constants: the readings give the steady temperature no limit on one side", constants),
			"go on until the temperature changes by less than 1 K in a quarter of an hour")
	case constants < settled:
		note(fmt.Sprintf("the run ended after %.1f of its time constants, at %.0f %% of the steady rise: the rest is carried on by the fit", constants, 100*r.Reached),
			fmt.Sprintf("go on for %s in all", minutes(settled*r.Times[0].Best)))
	}
	if drift := spread(in.Ambient); drift > math.Max(1, drifting*math.Abs(r.Rise.Best)) {
		note(fmt.Sprintf("the ambient moved by %s during the run, which reaches the part late and is not in the model", kelvin(drift)),
			"hold it steadier, or in a box in a box")
	}
	if r.Scatter > 0 && r.Effective < float64(len(r.log.mid))/2 {
		note(fmt.Sprintf("the readings follow each other: %d count for %.0f independent ones", len(r.log.mid), r.Effective), "none is needed; keep draughts off")
	}
	if !in.Meter.Known() || !in.AmbientMeter.Known() {
		note("the accuracy of a thermometer is not known: nothing limits how far off its readings are, and the limits count only their scatter",
			"name the meter of each column, its accuracy and digit in bench/meters.toml")
	}
	if in.Power == nil {
		note("the power is not known, so no thermal resistance follows", "give the current and the voltage across the part, or its power")
	}
}

// What is taken for granted.
const (
	settled  = 4.0 // time constants after which a run is taken for steady: 98 %
	drifting = 0.1 // of the rise, that the ambient may move
)

func kelvin(x float64) string {
	return quantity.Format(x, quantity.TemperatureDifference, "K", -2)
}

func minutes(seconds float64) string {
	switch {
	case seconds < 120:
		return quantity.Format(seconds, quantity.Time, "s", 0)
	case seconds < 600:
		return quantity.Format(seconds, quantity.Time, "min", 1)
	case seconds < 3*3600:
		return quantity.Format(seconds, quantity.Time, "min", 0)
	}
	return quantity.Format(seconds, quantity.Time, "h", 1)
}
