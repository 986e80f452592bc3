package reference

import (
	"context"
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/heat"
)

func init() {
	solve(from(uprightPlate), "HEAT-01")
	solve(from(duct), "HEAT-03")
	solve(from(shield), "HEAT-05")
	solve(from(surfaceAtPower), "HEAT-07")
	solve(from(caseTop), "HEAT-09")
	solve(from(onResistance), "HEAT-11", "HEAT-13", "HEAT-15")
	solve(from(quadratic), "HEAT-17")
	solve(from(rectifier), "HEAT-19")
	solve(from(leakage), "HEAT-21")
	solve(from(pipe), "HEAT-PIPE")
	solve(from(waterPipe), "HEAT-WATERPIPE")
	solve(from(squarePlate), "HEAT-WALLPLATE")
	solve(from(airTable), "HEAT-AIR")
	solve(from(atmosphere), "HEAT-ATMOSPHERE")
}

// still is air of given properties around a surface.
type still struct {
	Ts      float64 `json:"Ts_C"`
	Tinf    float64 `json:"Tinf_C"`
	K       float64 `json:"k"`
	Nu      float64
	Alpha   float64
	Prandtl float64 `json:"Pr"`
	Beta    float64
	Gravity float64 `json:"g"`
}

func (s still) rayleigh(length float64) float64 {
	g := s.Gravity
	if g == 0 {
		g = 9.8
	}
	air := heat.Air{Conductivity: s.K, Viscosity: s.Nu, Diffusivity: s.Alpha, Prandtl: s.Prandtl, Expansion: s.Beta}
	return air.Rayleigh(g, s.Ts-s.Tinf, length)
}

func uprightPlate(_ context.Context, in struct {
	still
	L float64 `json:"L_m"`
	W float64 `json:"W_m"`
}) (answers, error) {
	ra := in.rayleigh(in.L)
	nu := heat.VerticalPlate(ra, in.Prandtl)
	h := nu * in.K / in.L
	return answers{"Ra": ra, "Nu": nu, "h": h, "q": h * in.L * in.W * (in.Ts - in.Tinf)}, nil
}

// duct has two sides, a top and a bottom; level faces go by half their width, its area over its perimeter.
func duct(_ context.Context, in struct {
	still
	H float64 `json:"H_m"`
	W float64 `json:"W_m"`
}) (answers, error) {
	side, top := in.rayleigh(in.H), in.rayleigh(in.W/2)
	hs := heat.VerticalPlate(side, in.Prandtl) * in.K / in.H
	ht := heat.PlateUp(top) * in.K / (in.W / 2)
	hb := heat.PlateDown(top) * in.K / (in.W / 2)
	return answers{"Ra_s": side, "h_s": hs, "Ra_t": top, "h_t": ht, "h_b": hb,
		"q_per_m": (2*hs*in.H + (ht+hb)*in.W) * (in.Ts - in.Tinf)}, nil
}

func shield(_ context.Context, in struct {
	T1     float64 `json:"T1_K"`
	T2     float64 `json:"T2_K"`
	E1     float64 `json:"eps1"`
	E2     float64 `json:"eps2"`
	Shield float64 `json:"eps_shield"`
}) (answers, error) {
	open, _ := heat.Radiation{Area: 1, Factor: heat.Between(in.E1, in.E2, 1)}.Heat(in.T1, in.T2)
	shielded, _ := heat.Radiation{Area: 1, Factor: heat.Shielded(in.E1, in.E2, in.Shield)}.Heat(in.T1, in.T2)
	return answers{"q": open, "q_with_shield": shielded}, nil
}

// surfaceAtPower finds the temperature of a vertical plate that gives off a power in air of given
// properties, expansion at film temperature.
func surfaceAtPower(_ context.Context, in struct {
	P   float64 `json:"P_W"`
	L   float64 `json:"L_m"`
	A   float64 `json:"A_m2"`
	Eps float64
	Ta  float64 `json:"Ta_K"`
	G   float64
	Air struct {
		K         float64
		Nu, Alpha float64
		Pr        float64
	}
}) (answers, error) {
	excess := func(ts float64) float64 {
		air := heat.Air{Conductivity: in.Air.K, Viscosity: in.Air.Nu, Diffusivity: in.Air.Alpha, Prandtl: in.Air.Pr, Expansion: 2 / (ts + in.Ta)}
		h := heat.VerticalPlate(air.Rayleigh(in.G, ts-in.Ta, in.L), in.Air.Pr) * in.Air.K / in.L
		q, _ := heat.Radiation{Area: in.A, Factor: in.Eps}.Heat(ts, in.Ta)
		return h*in.A*(ts-in.Ta) + q - in.P
	}
	ts, err := numeric.FindRoot(excess, in.Ta, in.Ta+500, 1e-9)
	return answers{"Ts_C": ts - heat.Celsius0, "dT_K": ts - in.Ta}, err
}

// caseTop takes ψ from the top of the case, θ from the ambient.
func caseTop(ctx context.Context, in struct {
	P       float64 `json:"P_W"`
	Top     float64 `json:"T_top_C"`
	Psi     float64 `json:"psiJT"`
	Theta   float64 `json:"thetaJA"`
	Ambient float64 `json:"Ta_C"`
}) (answers, error) {
	a := answers{}
	for key, from := range map[string][2]float64{"Tj_from_top": {in.Psi, in.Top}, "Tj_from_JA": {in.Theta, in.Ambient}} {
		got, err := calculate(ctx, "junction", "current=0 A", "resistance=0 ohm", arg("switching", in.P, " W"),
			arg("thermal_resistance", from[0], " K/W"), arg("ambient", from[1], " °C"))
		if err != nil {
			return nil, err
		}
		a[key] = got["junction"]
	}
	return a, nil
}

func onResistance(ctx context.Context, in struct {
	Duty      float64
	IA        float64 `json:"I_A"`
	R         float64 `json:"Rds25_ohm"`
	Tempco    float64 `json:"tempco_per_K"`
	Rth       float64 `json:"Rth_ja"`
	Ta        float64 `json:"Ta_C"`
	Switching float64 `json:"P_switch_W"`
}) (answers, error) {
	got, err := calculate(ctx, "junction", arg("current", in.IA, " A"), arg("resistance", in.R, " ohm"), arg("tempco", in.Tempco, " 1/K"),
		arg("duty", in.Duty, ""), arg("switching", in.Switching, " W"), arg("thermal_resistance", in.Rth, " K/W"), arg("ambient", in.Ta, " °C"))
	if err != nil {
		return nil, err
	}
	loss := &heat.Conduction{Current: in.IA, Resistance: in.R, Tempco: in.Tempco, Duty: in.Duty}
	a := answers{"I_runaway_A": got["runaway_current"], "loop_gain": heat.Gain(loss, in.Rth, heat.Reference), "runaway": 1}
	if junction, steady := got["junction"]; steady {
		a["runaway"], a["Tj_C"], a["P_W"] = 0, junction, got["loss"]
	}
	return a, nil
}

// quadratic has its resistance in words: 0.012·(1 + 0.0045(T−25) + 1.6e-5(T−25)²) Ω.
func quadratic(_ context.Context, in struct {
	I   float64 `json:"I_A"`
	Rth float64
	Ta  float64 `json:"Ta_C"`
}) (answers, error) {
	loss := &heat.Conduction{Current: in.I, Resistance: 0.012, Tempco: 0.0045, Quadratic: 1.6e-5, Duty: 1}
	found := loss.Solutions(in.Rth, in.Ta+heat.Celsius0)
	if _, _, err := heat.Steady(loss, in.Rth, in.Ta+heat.Celsius0); errors.Is(err, heat.ErrNoSteadyState) != (len(found) == 0) {
		return nil, fmt.Errorf("%d solutions, yet Steady says %v", len(found), err)
	}
	a := answers{"n_solutions": float64(len(found))}
	for i, t := range found {
		a[[]string{"T_stable_C", "T_unstable_C"}[i]] = t - heat.Celsius0
	}
	return a, nil
}

// rectifier has its drop in words: 0.45 − 0.0012(T−25) + 0.02·I V.
func rectifier(ctx context.Context, in struct {
	I   float64 `json:"I_A"`
	Rth float64
	Ta  float64 `json:"Ta_C"`
}) (answers, error) {
	got, err := calculate(ctx, "blocking-diode", arg("current", in.I, " A"), "drop_25=0.45 V", "drop_tempco=-1.2 mV/K", "series=20 mΩ",
		arg("thermal_resistance", in.Rth, " K/W"), arg("ambient", in.Ta, " °C"))
	return answers{"Tj_C": got["junction"], "P_W": got["loss"]}, err
}

func leakage(ctx context.Context, in struct {
	Ta  float64 `json:"Ta_C"`
	Rth float64
	V   float64
	I   float64 `json:"I_leak_25C_A"`
}) (answers, error) {
	got, err := calculate(ctx, "leakage-stability", arg("leakage_25", in.I, " A"), "doubling=10 K", arg("voltage", in.V, " V"),
		arg("thermal_resistance", in.Rth, " K/W"), arg("ambient", in.Ta, " °C"))
	a := answers{"Ta_critical_C": got["critical_ambient"], "has_steady_state": 0}
	if junction, steady := got["junction"]; steady {
		a["has_steady_state"], a["Tj_C"] = 1, junction
	}
	return a, err
}

func pipe(_ context.Context, in struct {
	still
	D float64 `json:"D_m"`
}) (answers, error) {
	return answers{"Ra": in.rayleigh(in.D)}, nil
}

func waterPipe(_ context.Context, in struct {
	still
	D    float64 `json:"D_m"`
	L    float64 `json:"L_m"`
	Film float64 `json:"T_film_K"`
}) (answers, error) {
	in.Alpha, in.Beta = in.Nu/in.Prandtl, 1/in.Film
	nu := heat.CylinderNusselt(in.rayleigh(in.D), in.Prandtl)
	h, area := nu*in.K/in.D, math.Pi*in.D*in.L
	black, _ := heat.Radiation{Area: area, Factor: 1}.Heat(in.Ts+273, in.Tinf+273) // as the source takes 0 °C
	return answers{"Nu": nu, "h": h, "q": h * area * (in.Ts - in.Tinf), "q_rad": black}, nil
}

// squarePlate is the form for all Ra, which the source takes below Ra = 1e9 as well; level, it goes by a quarter of its side.
func squarePlate(_ context.Context, in struct {
	L       float64 `json:"L_m"`
	Ts      float64 `json:"Ts_C"`
	Tinf    float64 `json:"Tinf_C"`
	K       float64 `json:"k"`
	Nu      float64
	Prandtl float64 `json:"Pr"`
	G       float64
}) (answers, error) {
	s := still{Ts: in.Ts, Tinf: in.Tinf, K: in.K, Nu: in.Nu, Alpha: in.Nu / in.Prandtl, Prandtl: in.Prandtl, Beta: 1.0 / 333, Gravity: in.G}
	ra, rise, area := s.rayleigh(in.L), in.Ts-in.Tinf, in.L*in.L
	nu, down := heat.VerticalPlateAll(ra, in.Prandtl), heat.PlateDown(s.rayleigh(in.L/4))
	return answers{"Ra": ra, "Nu": nu, "q": nu * in.K / in.L * area * rise, "Nu_down": down, "q_down": down * in.K / (in.L / 4) * area * rise}, nil
}

func airTable(_ context.Context, in struct {
	T        []float64 `json:"T_K"`
	Pressure float64   `json:"pressure_Pa"`
}) (answers, error) {
	a := answers{}
	for _, t := range in.T {
		air := heat.AirAt(t, in.Pressure)
		for key, v := range map[string]float64{"k": air.Conductivity, "nu": air.Viscosity, "alpha": air.Diffusivity, "Pr": air.Prandtl} {
			a[fmt.Sprintf("%s_%g", key, t)] = v
		}
	}
	return a, nil
}

func atmosphere(context.Context, struct{}) (answers, error) {
	a := answers{}
	for _, altitude := range []float64{1000, 3000, 5000} {
		a[fmt.Sprintf("p_%g", altitude)] = heat.Pressure(altitude) / 100
	}
	return a, nil
}
