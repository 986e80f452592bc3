package soak

import (
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// Input is the log of one place at a held current.
type Input struct {
	Place        string             // "diode d1"
	Time         []float64          // s, rising
	Temperature  []float64          // K, one for each time
	Ambient      []float64          // K, one for each time, or one for all
	Power        *quantity.Quantity // that warms it, W; nil: not known
	PowerFrom    string             // where that is written or how it was found
	Meter        *bench.Meter       // of the temperature; nil: its accuracy is not known
	AmbientMeter *bench.Meter       // of the ambient; one of the same name errs alike
	Level        float64            // of the limits; 0: 0.95
	From         string             // the log's file
}

// Result is what the log tells.
type Result struct {
	Input Input
	Terms int // exponentials that were told apart: 1 or 2
	// Rise is the steady temperature above the ambient, K; with the meter's error. A run that was stopped early
	// may leave it without an upper limit.
	Rise             fit.Interval
	RiseWithoutMeter fit.Interval   // where something else shares the meter's error
	Temperature      fit.Interval   // Rise above the ambient of the end, K absolute
	Times            []fit.Interval // time constants, s, the longest first
	Shares           []float64      // of the warming, that each of Times makes up; they add up to 1
	Resistance       *fit.Interval  // K/W from the place to the ambient; nil: the power is not known
	Reached          float64        // part of the steady rise that the last readings had
	Scatter          float64        // of the readings about the fit, K
	Effective        float64        // readings that are independent; at most all
	Warnings         []page.Note

	log    *record
	fitted []float64 // rise at the log's times
}
