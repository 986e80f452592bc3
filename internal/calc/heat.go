package calc

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"hindwatt/internal/physics/heat"
	"hindwatt/internal/quantity"
)

func init() {
	register(
		Calculator{
			Name:     "junction",
			Question: "How hot does a switch get by its own resistance, and from which current does it run away?",
			Inputs: []Input{
				{Name: "current", Dim: quantity.Current, Valid: notNegative, Want: "want a current of 0 or more such as 5 A", Help: "while it conducts, rms"},
				{Name: "resistance", Dim: quantity.Resistance, Valid: notNegative, Want: "want a resistance of 0 or more such as 12 mΩ", Help: "at 25 °C"},
				{Name: "tempco", Dim: quantity.PerKelvin, Default: "0.006 1/K", Help: "growth of the resistance, 0.006 to 0.0075 1/K for a low-voltage MOSFET"},
				{Name: "duty", Default: "1", Valid: share, Want: "want a number from 0 to 1 such as 0.5", Help: "share of time that it conducts"},
				{Name: "switching", Dim: quantity.Power, Default: "0 W", Valid: notNegative, Want: "want a power of 0 or more such as 0.15 W", Help: "loss beside conduction"},
				thermalResistance, heatAmbient,
			},
			Results: []Result{{"junction", "°C", "steady temperature"}, {"loss", "W", "at that temperature"}, {"runaway_current", "A", "from which there is no steady temperature at any ambient"}},
			Formula: "T = Ta + Rth·P, P = D·I²·R25·(1 + a·(T − 25 °C)) + P0; runaway_current = 1/√(R25·a·D·Rth)",
			Source:  "energy balance; resistance linear in temperature",
			Compute: junction,
		},
		Calculator{
			Name:     "blocking-diode",
			Question: "How hot does a diode get by the current through it?",
			Inputs: []Input{
				{Name: "current", Dim: quantity.Current, Valid: notNegative, Want: "want a current of 0 or more such as 5 A", Help: "through the diode"},
				{Name: "drop_25", Dim: quantity.Voltage, Valid: notNegative, Want: "want a voltage of 0 or more such as 0.45 V", Help: "forward drop at 25 °C, without series"},
				{Name: "drop_tempco", Dim: quantity.VoltagePerKelvin, Default: "-1.2 mV/K", Help: "change of the drop, -1.0 to -1.8 mV/K for a Schottky diode"},
				{Name: "series", Dim: quantity.Resistance, Default: "0 ohm", Valid: notNegative, Want: "want a resistance of 0 or more such as 20 mΩ", Help: "series resistance, adds to the drop"},
				thermalResistance, heatAmbient,
			},
			Results: []Result{{"junction", "°C", "steady temperature"}, {"loss", "W", "at that temperature"}},
			Formula: "T = Ta + Rth·P, P = I·(V25 + k·(T − 25 °C) + R·I), where the drop is above 0",
			Source:  "energy balance; drop linear in temperature",
			Compute: blockingDiode,
		},
		Calculator{
			Name:     "leakage-stability",
			Question: "Up to which ambient does a diode that blocks a voltage not run away by its own leakage?",
			Inputs: []Input{
				{Name: "leakage_25", Dim: quantity.Current, Valid: positive, Want: "want a current above 0 such as 0.1 mA", Help: "at 25 °C and this voltage"},
				{Name: "doubling", Dim: quantity.TemperatureDifference, Optional: true, Valid: positive, Want: "want a difference above 0 such as 12.6 K", Help: "by which the leakage doubles"},
				{Name: "exponent", Dim: quantity.PerKelvin, Optional: true, Valid: positive, Want: "want a number above 0 such as 0.055 1/K", Help: "of the leakage, instead of doubling"},
				{Name: "voltage", Dim: quantity.Voltage, Valid: positive, Want: "want a voltage above 0 such as 14.4 V", Help: "that is blocked, all the time"},
				thermalResistance, heatAmbient,
			},
			Results: []Result{{"critical_ambient", "°C", "highest with a steady temperature"}, {"junction", "°C", "steady temperature at this ambient"}},
			Formula: "T = Ta + Rth·V·I25·exp(c·(T − 25 °C)), c = ln 2/doubling; critical_ambient = 25 °C − (ln(Rth·c·V·I25) + 1)/c; the lower of the two solutions",
			Source:  "energy balance; c = 0.055 1/K is usual for Schottky diodes (a manufacturer's note on their junction temperature)",
			Compute: leakageStability,
		},
		Calculator{
			Name:     "transient-impedance",
			Question: "By how much does a junction warm up under pulses of power?",
			Inputs: []Input{
				{Name: "stages", Text: true, Help: "thermal resistance and time constant of each, such as \"0.5 K/W 1 ms, 1.5 K/W 50 ms\""},
				{Name: "power", Dim: quantity.Power, Valid: notNegative, Want: "want a power of 0 or more such as 20 W", Help: "during a pulse"},
				{Name: "duty", Valid: share, Want: "want a number from 0 to 1 such as 0.5", Help: "share of the period that a pulse lasts"},
				{Name: "period", Dim: quantity.Time, Valid: positive, Want: "want a time above 0 such as 5 ms", Help: "from pulse to pulse"},
			},
			Results: []Result{{"z_at_period", "K/W", "one period after a step"}, {"z_steady", "K/W", "long after a step"},
				{"peak_rise", "K", "at the end of each pulse, after many"}, {"mean_rise", "K", "mean over time"}},
			Formula: "Z(t) = Σ R·(1 − exp(−t/τ)); peak_rise = P·Σ R·(1 − exp(−D·T/τ))/(1 − exp(−T/τ)); mean_rise = P·D·Σ R",
			Source:  "Foster network in the periodic state; exact",
			Compute: transientImpedance,
		},
	)
}

var (
	thermalResistance = Input{Name: "thermal_resistance", Dim: quantity.ThermalResistance, Valid: positive, Want: "want a thermal resistance above 0 such as 60 K/W", Help: "junction to ambient"}
	heatAmbient       = Input{Name: "ambient", Dim: quantity.TemperaturePoint, Valid: positive, Want: wantTemperature, Help: "of the air around"}
)

func junction(_ context.Context, in Values) (Answers, error) {
	c := &heat.Conduction{Current: in.Number("current"), Resistance: in.Number("resistance"), Tempco: in.Number("tempco"),
		Duty: in.Number("duty"), Constant: in.Number("switching")}
	ambient := in.Number("ambient")
	if !(1+c.Tempco*(ambient-heat.Reference) > 0) {
		return Answers{}, wrong("ambient", "a resistance linear in temperature would be 0 or less there", fmt.Sprintf("want one on the same side of %.4g °C as 25 °C", 25-1/c.Tempco))
	}
	a, err := steady(c, in)
	if err != nil {
		return Answers{}, err
	}
	if t := a.List[0]; t.None == "" && !(1+c.Tempco*(t.Value-25) > 0) {
		none := Answer{None: "a resistance linear in temperature would be 0 or less at the junction"}
		a.List[0], a.List[1] = none, none
	}
	limit := Answer{}
	if i, ok := c.RunawayCurrent(in.Number("thermal_resistance")); ok {
		limit.Value = i
	} else {
		limit.None = "the loss does not grow with temperature"
	}
	a.List = append(a.List, limit)
	return a, nil
}

func blockingDiode(_ context.Context, in Values) (Answers, error) {
	return steady(&heat.Rectifier{Current: in.Number("current"), Drop: in.Number("drop_25"), Tempco: in.Number("drop_tempco"),
		Series: in.Number("series"), Duty: 1}, in)
}

// steady returns junction temperature, °C, and loss, W, or why there are none.
func steady(loss heat.Loss, in Values) (Answers, error) {
	t, p, err := heat.Steady(loss, in.Number("thermal_resistance"), in.Number("ambient"))
	if errors.Is(err, heat.ErrNoSteadyState) {
		none := Answer{None: err.Error()}
		return Answers{List: []Answer{none, none}}, nil
	}
	if err != nil {
		return Answers{}, err
	}
	a := is(t-heat.Celsius0, p)
	if t > hottest {
		a.Warnings = []string{fmt.Sprintf("%.0f °C is above what any semiconductor stands; want less current or a smaller thermal resistance", t-heat.Celsius0)}
	}
	return a, nil
}

// hottest is the temperature above which no junction of silicon works, K. Common practice: rated 150 to 175 °C.
const hottest = heat.Celsius0 + 200

func leakageStability(_ context.Context, in Values) (Answers, error) {
	if in.Has("doubling") == in.Has("exponent") {
		return Answers{}, wrong("exponent", "neither or both of doubling and exponent given", "want one of them, such as doubling=12.6 K or exponent=\"0.055 1/K\"")
	}
	exponent := in.Number("exponent")
	if in.Has("doubling") {
		exponent = heat.Doubling(in.Number("doubling"))
	}
	l := &heat.Leakage{Current: in.Number("leakage_25"), Voltage: in.Number("voltage"), Exponent: exponent, Duty: 1}
	critical, ok := l.CriticalAmbient(in.Number("thermal_resistance"))
	if !ok {
		return Answers{}, errors.New("no finite critical ambient for these inputs; want inputs of a usual size")
	}
	a, err := steady(l, in)
	if err != nil {
		return Answers{}, err
	}
	if critical <= 0 {
		a.List = append([]Answer{{None: "no ambient above 0 K has a steady state"}}, a.List[0])
	} else {
		a.List = append([]Answer{{Value: critical - heat.Celsius0}}, a.List[0])
	}
	return a, nil
}

func transientImpedance(_ context.Context, in Values) (Answers, error) {
	z, err := stages(in.Text("stages"))
	if err != nil {
		return Answers{}, err
	}
	again := func(in Values) (Answers, error) {
		p, d, period := in.Number("power"), in.Number("duty"), in.Number("period")
		return is(z.At(period), z.Steady(), z.Peak(p, d, period), z.Mean(p, d)), nil
	}
	a, err := again(in)
	a.Again = again
	return a, err
}

// stages reads "0.5 K/W 1 ms, 1.5 K/W 50 ms".
func stages(text string) (heat.Stages, error) {
	const want = "want stages such as 0.5 K/W 1 ms, 1.5 K/W 50 ms"
	var z heat.Stages
	for piece := range strings.SplitSeq(text, ",") {
		s, ok := stage(strings.Fields(piece))
		if !ok {
			return nil, &Error{Key: "stages", Value: text, Problem: fmt.Sprintf("%q is no thermal resistance and time", strings.TrimSpace(piece)), Want: want}
		}
		z = append(z, s)
	}
	if err := z.Check(); err != nil {
		return nil, &Error{Key: "stages", Value: text, Problem: "a stage out of range", Want: want + ", both above 0"}
	}
	return z, nil
}

// stage cuts words where the first part is a thermal resistance and the second a time.
func stage(words []string) (heat.Stage, bool) {
	for cut := 1; cut < len(words); cut++ {
		r, err := quantity.ParseAs(strings.Join(words[:cut], " "), quantity.ThermalResistance)
		if err != nil {
			continue
		}
		t, err := quantity.ParseAs(strings.Join(words[cut:], " "), quantity.Time)
		if err == nil && r.Spread == quantity.Exact && t.Spread == quantity.Exact {
			return heat.Stage{Resistance: r.Value, Time: t.Value}, true
		}
	}
	return heat.Stage{}, false
}
