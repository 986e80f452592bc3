package reference

import (
	"context"
	"fmt"

	"hindwatt/internal/physics/battery"
)

const ampereHour = 3600 // C

func init() {
	solve(from(decomposed), "BAT-01")
	solve(from(ventilated), "BAT-03", "BAT-05")
	solve(from(gassed), "BAT-07", "BAT-09", "BAT-11")
	solve(from(lasting), "BAT-17")
	solve(from(exponent), "BAT-19")
	solve(from(wells), "BAT-21", "BAT-23")
	solve(from(wellCapacities), "BAT-25")
	solve(from(roundTrip), "BAT-27")
	solve(from(rainflow), "RAINFLOW")
	solve(from(ventilatedByType), "VENT-VENTED", "VENT-SEALED")
	solve(from(gassingSlopes), "GAS-DECADE")
	solve(from(allGassing), "BULK-GASSING")
}

func decomposed(ctx context.Context, _ struct{}) (answers, error) {
	got, err := calculate(ctx, "water", "charge=1 Ah", "cells=1")
	if err != nil {
		return nil, err
	}
	warm := battery.Hydrogen(ampereHour, 1, 0, 298.15) * 1e3
	return answers{"g_per_Ah": got["water"], "H2_L_per_Ah_0C": got["hydrogen"], "H2_L_per_Ah_25C": warm}, nil
}

func ventilated(ctx context.Context, in struct {
	Cells    float64 `json:"n_cells"`
	Gas      float64 `json:"I_gas_mA_per_Ah"`
	Capacity float64 `json:"C_rt_Ah"`
}) (answers, error) {
	got, err := calculate(ctx, "ventilation", arg("cells", in.Cells, ""), arg("gas_current", in.Gas, " mA/Ah"), arg("capacity", in.Capacity, " Ah"))
	return answers{"Q_m3_h": got["flow"], "A_cm2": got["opening"]}, err
}

func ventilatedByType(ctx context.Context, in struct {
	Type            string
	Cells, Capacity float64
}) (answers, error) {
	a := answers{}
	for _, mode := range []string{"float", "boost"} {
		got, err := calculate(ctx, "ventilation", arg("cells", in.Cells, ""), "type="+in.Type, "mode="+mode, arg("capacity", in.Capacity, " Ah"))
		if err != nil {
			return nil, err
		}
		a[mode] = got["flow"]
	}
	return a, nil
}

func gassed(ctx context.Context, in struct {
	Capacity  float64 `json:"C_Ah"`
	Voltage   float64 `json:"U_battery_V"`
	Cells     float64
	T         float64 `json:"T_K"`
	Current   float64 `json:"I_gas0_A_per_100Ah"`
	PerVolt   float64 `json:"c_u_per_V_per_cell"`
	PerKelvin float64 `json:"c_T_per_K"`
}) (answers, error) {
	got, err := calculate(ctx, "gassing", arg("capacity", in.Capacity, " Ah"), arg("voltage", in.Voltage, " V"), arg("cells", in.Cells, ""),
		arg("temperature", in.T, " K"), arg("current_100ah", in.Current, " A"), arg("per_volt", in.PerVolt, " 1/V"), arg("per_kelvin", in.PerKelvin, " 1/K"))
	return answers{"I_gas_A": got["current"], "water_g_per_day_battery": got["water"]}, err
}

func gassingSlopes(ctx context.Context, _ struct{}) (answers, error) {
	a := answers{}
	at := func(voltage, celsius float64) (float64, error) {
		got, err := calculate(ctx, "gassing", "capacity=100 Ah", arg("voltage", voltage, " V"), "cells=1", arg("temperature", celsius, " °C"), "current_100ah=20 mA")
		return got["current"], err
	}
	low, err := at(2.3, 25)
	if err != nil {
		return nil, err
	}
	step := 0.0
	for high := low; high < 10*low && err == nil; high, err = at(2.3+step, 25) {
		step += 1e-4
	}
	if err != nil {
		return nil, err
	}
	warm, err := at(2.3, 35)
	a["decade"], a["ten_kelvin"] = step, warm/low
	return a, err
}

func lasting(ctx context.Context, in struct {
	K        float64
	Capacity float64 `json:"C_Ah"`
	Hours    float64 `json:"H_h"`
	Current  float64 `json:"I_A"`
}) (answers, error) {
	got, err := calculate(ctx, "runtime", arg("capacity", in.Capacity, " Ah"), arg("hours", in.Hours, " h"), arg("exponent", in.K, ""), arg("current", in.Current, " A"))
	return answers{"t_h": got["time"], "Ah": got["charge"]}, err
}

func exponent(_ context.Context, in struct{ I1, T1, I2, T2 float64 }) (answers, error) {
	k, err := battery.Peukert(in.I1, in.T1, in.I2, in.T2)
	return answers{"k": k}, err
}

func wells(ctx context.Context, in struct {
	Q1      float64 `json:"q1_Ah"`
	Q2      float64 `json:"q2_Ah"`
	Current float64 `json:"I_A_discharge_positive"`
	Hours   float64 `json:"t_h"`
	C       float64
	Rate    float64 `json:"k_per_h"`
}) (answers, error) {
	got, err := calculate(ctx, "two-well", arg("available", in.Q1, " Ah"), arg("bound", in.Q2, " Ah"), arg("current", in.Current, " A"),
		arg("time", in.Hours, " h"), arg("fraction", in.C, ""), arg("rate", in.Rate, " 1/h"))
	return answers{"q1": got["available"], "q2": got["bound"], "sum": got["available"] + got["bound"]}, err
}

func wellCapacities(_ context.Context, in struct{ QMax, C, K float64 }) (answers, error) {
	a := answers{}
	for _, hours := range []float64{20, 10, 1} {
		a[fmt.Sprintf("C%g", hours)] = battery.WellCapacity(in.QMax, in.C, in.K, hours)
	}
	return a, nil
}

func roundTrip(_ context.Context, in struct {
	Coulombic   float64 `json:"eta_c"`
	Charging    float64 `json:"Uc"`
	Discharging float64 `json:"Ud"`
	Capacity    float64 `json:"C_Ah"`
	Depth       float64 `json:"dod"`
	Load        float64 `json:"load_Ah_day"`
}) (answers, error) {
	return answers{"energy_eff": battery.RoundTrip(in.Coulombic, in.Charging, in.Discharging), "days": in.Capacity * in.Depth / in.Load}, nil
}

func rainflow(_ context.Context, in struct{ Course []float64 }) (answers, error) {
	a := answers{}
	r := battery.NewRainflow(func(size, cycles float64) { a[plain(size)] += cycles })
	for _, x := range in.Course {
		r.Add(x)
	}
	r.End()
	return a, nil
}

func allGassing(_ context.Context, _ struct{}) (answers, error) {
	b, err := battery.New(battery.Defaults(battery.Flooded, 20*ampereHour), 6, 45*ampereHour)
	if err != nil {
		return nil, err
	}
	voltage, ok := b.At(b.Deficit(b.Cell.Cc), 298).Voltage(1.1) // full to the brim: the main branch takes nothing
	if !ok {
		return nil, fmt.Errorf("no voltage at 1.1 A")
	}
	return answers{"voltage": voltage}, nil
}
