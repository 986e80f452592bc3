package calc

import (
	"context"
	"fmt"

	"hindwatt/internal/physics/battery"
	"hindwatt/internal/quantity"
)

var perVolt = quantity.Dimension{Length: -2, Mass: -1, Time: 3, Current: 1}

const litre = 1e-3 // m³

func init() {
	cells := Input{Name: "cells", Whole: true, Valid: positive, Want: "want a whole number from 1 up", Help: "cells in series"}
	share := func(v float64) bool { return v >= 0 && v <= 1 }
	recombination := Input{Name: "recombination", Default: "0", Valid: share, Want: "want a number from 0 to 1 such as 0.97 or 97 %",
		Help: "share of the gas that becomes water again: 0 flooded, 0.97 sealed"}
	capacity := Input{Name: "capacity", Dim: quantity.Charge, Valid: positive, Want: "want a charge above 0 such as 60 Ah", Help: "of the battery"}
	charge := func(name, help string) Input {
		return Input{Name: name, Dim: quantity.Charge, Valid: notNegative, Want: "want a charge of 0 or more such as 5 Ah", Help: help}
	}
	register(
		Calculator{
			Name:     "gassing",
			Question: "How much of a lead battery's current makes gas, and how much water goes?",
			Inputs: []Input{capacity, {Name: "voltage", Dim: quantity.Voltage, Valid: notNegative, Help: "of the whole battery"}, cells,
				{Name: "temperature", Dim: quantity.TemperaturePoint, Help: "of the battery"},
				{Name: "current_100ah", Dim: quantity.Current, Valid: notNegative, Want: "want a current of 0 or more such as 20 mA", Help: "that makes gas at 2.23 V a cell and 298 K in 100 Ah: 20 mA flooded, 10 mA sealed"},
				{Name: "per_volt", Dim: perVolt, Default: "11 1/V", Valid: notNegative, Want: "want a rate such as 11 1/V", Help: "growth with the voltage of a cell"},
				{Name: "per_kelvin", Dim: quantity.PerKelvin, Default: "0.06 1/K", Valid: notNegative, Want: "want a rate such as 0.06 1/K", Help: "growth with temperature"},
				recombination},
			Results: []Result{{"current", "A", "that makes gas"}, {"water", "g/day", "lost by the whole battery"}},
			Formula: "current = capacity/100 Ah·current_100ah·exp(per_volt·(voltage/cells − 2.23 V) + per_kelvin·(temperature − 298 K)); water = current·cells·(1 − recombination)·M/(2·F)",
			Source: "Schiffer, Sauer, Bindner, Cronin, Lundsager and Kaiser, J. Power Sources 168 (2007), p. 66, eq. 6; Faraday's law. For 2.2 V to 2.9 V a cell; " +
				"current_100ah differs between makes by a factor of ten: calibrate it by one logged charge",
			Compute: gassing,
		},
		Calculator{
			Name:     "water",
			Question: "How much water does an overcharge take, and how much hydrogen does it make?",
			Inputs:   []Input{charge("charge", "that makes gas"), cells, recombination},
			Results:  []Result{{"water", "g", "of all cells"}, {"hydrogen", "L", "at 0 °C and 1013.25 hPa"}},
			Formula:  "water = charge·cells·(1 − recombination)·M/(2·F); hydrogen = charge·cells·(1 − recombination)·R·273.15 K/(2·F·p)",
			Source:   "Faraday's law; constants of CODATA 2018; M = 18.01528 g/mol",
			Compute: func(_ context.Context, in Values) (Answers, error) {
				n := in.Number("charge") * (1 - in.Number("recombination"))
				return is(battery.Water(n, in.Whole("cells"), 0)*1e3, battery.Hydrogen(n, in.Whole("cells"), 0, 273.15)/litre), nil
			},
		},
		Calculator{
			Name:     "ventilation",
			Question: "How much air does a battery room need, and how large must its openings be?",
			Inputs: []Input{cells,
				{Name: "gas_current", Dim: quantity.Frequency, Optional: true, Valid: notNegative, Want: "want a current for each Ah such as 20 mA/Ah", Help: "that makes gas, such as 20 mA/Ah; or give type and mode"},
				{Name: "type", Text: true, Optional: true, Help: "flooded or sealed"},
				{Name: "mode", Text: true, Optional: true, Help: "float or boost"},
				capacity},
			Results: []Result{{"flow", "m³/h", "of air"}, {"opening", "cm²", "free area of inlet and of outlet, each, for natural ventilation"}},
			Formula: "flow = 0.05·cells·gas_current·capacity/1000 in m³/h, mA/Ah and Ah; opening = 28·flow in cm² and m³/h",
			Source: "IEC 62485-2:2010, 7.2 and 7.3; gas_current flooded 5 (float) and 20 mA/Ah (boost), sealed 1 and 8. " +
				"Its 0.05 is 24·0.42e-3·5 = 0.0504 rounded",
			Compute: ventilation,
		},
		Calculator{
			Name:     "two-well",
			Question: "What is left of a charge, and how much of it is at hand, after a current has flowed?",
			Inputs: []Input{charge("available", "at hand"), charge("bound", "that flows to it slowly"),
				{Name: "current", Dim: quantity.Current, Help: "positive while discharging"},
				{Name: "time", Dim: quantity.Time, Valid: notNegative, Help: "that it flows"},
				{Name: "fraction", Valid: func(v float64) bool { return v > 0 && v < 1 }, Want: "want a number between 0 and 1 such as 0.3", Help: "of all charge that is at hand at rest"},
				{Name: "rate", Dim: quantity.Frequency, Valid: positive, Want: "want a rate above 0 such as 1.2 1/h", Help: "of the flow between both"}},
			Results: []Result{{"available", "Ah", "at hand"}, {"bound", "Ah", "not at hand"}},
			Formula: "with e = exp(−k·t), q = available + bound: available·e + (q·k·c − I)·(1 − e)/k − I·c·(k·t − 1 + e)/k; bound·e + q·(1 − c)·(1 − e) − I·(1 − c)·(k·t − 1 + e)/k",
			Source:  "Manwell and McGowan, Solar Energy 50 (1993), p. 399",
			Compute: twoWell,
		},
		Calculator{
			Name:     "runtime",
			Question: "How long does a battery last at another current than the one its capacity is stated for?",
			Inputs: []Input{capacity,
				{Name: "hours", Dim: quantity.Time, Valid: positive, Want: "want a time above 0 such as 20 h", Help: "of the discharge for which the capacity is stated"},
				{Name: "exponent", Valid: func(v float64) bool { return v >= 1 && v <= 2 }, Want: "want a number from 1 to 2 such as 1.2", Help: "1.1 to 1.15 absorbed mat, to 1.3 flooded"},
				{Name: "current", Dim: quantity.Current, Valid: positive, Want: "want a current above 0 such as 5 A", Help: "drawn, steady"}},
			Results: []Result{{"time", "h", "until it is empty"}, {"charge", "Ah", "drawn until then"}},
			Formula: "time = hours·(capacity/(current·hours))^exponent; charge = current·time",
			Source:  "Peukert, Elektrotechnische Zeitschrift 18 (1897), p. 287; for steady currents of at least capacity/hours: at smaller ones it promises more than there is",
			Compute: lasts,
		},
	)
}

func gassing(_ context.Context, in Values) (Answers, error) {
	cells := in.Number("cells")
	current, err := battery.Gassing(in.Number("capacity"), in.Number("voltage")/cells, in.Number("temperature"),
		in.Number("current_100ah"), in.Number("per_volt"), in.Number("per_kelvin"))
	if err != nil {
		return Answers{}, wrong("voltage", fmt.Sprintf("%.4g V a cell, where the formula gives no number", in.Number("voltage")/cells), "want about 2.2 V to 2.9 V for each cell")
	}
	const day = 86400
	a := is(current, battery.Water(current*day, in.Whole("cells"), in.Number("recombination"))*1e3)
	if v := in.Number("voltage") / cells; v < 2.2 || v > 2.9 {
		a.Warnings = append(a.Warnings, fmt.Sprintf("%.3g V a cell is outside 2.2 V to 2.9 V, where the formula is known to hold: check voltage and cells", v))
	}
	return a, nil
}

func ventilation(_ context.Context, in Values) (Answers, error) {
	const perAh = 1e-3 / secondsPerHour // 1 mA/Ah in 1/s
	gas := in.Number("gas_current") / perAh
	switch named := in.Has("type") || in.Has("mode"); {
	case in.Has("gas_current") && named:
		return Answers{}, wrong("gas_current", "given beside type or mode", "want either gas_current, or type and mode")
	case !in.Has("gas_current"):
		c, ok := map[string]battery.Chemistry{"flooded": battery.Flooded, "sealed": battery.AGM}[in.Text("type")]
		if !ok {
			return Answers{}, wrong("type", "neither flooded nor sealed, and gas_current is not given", "want flooded or sealed")
		}
		vent := battery.Defaults(c, 0).Vent
		var known bool
		if gas, known = map[string]float64{"float": vent.Float, "boost": vent.Boost}[in.Text("mode")]; !known {
			return Answers{}, wrong("mode", "neither float nor boost", "want float or boost")
		}
	}
	flow, opening := battery.Ventilation(in.Whole("cells"), gas, in.Number("capacity"))
	return is(flow*secondsPerHour, opening*1e4), nil
}

func twoWell(_ context.Context, in Values) (Answers, error) {
	w := battery.Wells{Available: in.Number("available"), Bound: in.Number("bound"), Fraction: in.Number("fraction"), Rate: in.Number("rate")}
	w = w.Draw(in.Number("current"), in.Number("time"))
	if w.Available < 0 || w.Bound < 0 {
		no := Answer{None: "the charge at hand does not last that long at this current"}
		return Answers{List: []Answer{no, no}}, nil
	}
	return is(w.Available/secondsPerHour, w.Bound/secondsPerHour), nil
}

func lasts(_ context.Context, in Values) (Answers, error) {
	time, charge := battery.Runtime(in.Number("capacity"), in.Number("hours"), in.Number("exponent"), in.Number("current"))
	a := is(time/secondsPerHour, charge/secondsPerHour)
	if in.Number("current")*in.Number("hours") < in.Number("capacity") {
		a.Warnings = append(a.Warnings, "the current is smaller than that for which the capacity is stated: the charge is rather the capacity itself")
	}
	return a, nil
}
