package calc

import (
	"context"

	"hindwatt/internal/quantity"
)

func init() {
	register(Calculator{
		Name:     "temperature-compensation",
		Question: "What is a charging voltage at another battery temperature than 25 °C?",
		Inputs: []Input{
			{Name: "at_25", Dim: quantity.Voltage, Help: "voltage of the whole battery at 25 °C"},
			{Name: "per_cell", Dim: quantity.VoltagePerKelvin, Help: "compensation of one cell, negative for lead, such as -4 mV/K"},
			{Name: "cells", Whole: true, Valid: positive, Want: "want a whole number from 1 up", Help: "cells in series"},
			{Name: "temperature", Dim: quantity.TemperaturePoint, Help: "of the battery"},
		},
		Results: []Result{{"voltage", "V", "of the whole battery"}},
		Formula: "voltage = at_25 + per_cell·cells·(temperature − 25 °C)",
		Source:  "common practice of lead-acid charging; coefficient and reference temperature from the battery's data sheet",
		Compute: func(_ context.Context, in Values) (Answers, error) {
			const reference = 298.15 // 25 °C, in K
			perKelvin := in.Number("per_cell") * in.Number("cells")
			return is(in.Number("at_25") + perKelvin*(in.Number("temperature")-reference)), nil
		},
	})
}
