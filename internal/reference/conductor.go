package reference

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/physics/conductor"
)

func init() {
	solve(from(standardResistance), "COP-01", "COP-03")
	solve(from(temperatureFactors), "COP-05")
	solve(from(loop), "COP-07")
	solve(from(adiabaticFactor), "COP-09", "COP-11", "COP-13", "COP-15", "K-CU-XLPE", "K-CU-RUBBER", "K-AL-PVC", "K-AL-RUBBER",
		"K-CU-PVC-BESIDE", "K-CU-XLPE-BESIDE", "K-AL-PVC-BESIDE", "K-AL-XLPE-BESIDE", "K-FE-XLPE-BESIDE")
	solve(from(faultSection), "COP-17")
	solve(from(printedTrack), "COP-19")
	solve(from(onderdonk), "COP-21")
	solve(from(trackFuses), "COP-23")
	solve(from(adiabaticConstants), "K-CONSTANTS")
	solve(from(adiabaticTimes), "ADIABATIC-TIMES")
	solve(from(cableDrops), "CABLE-DROPS")
}

const (
	squareMillimetre = 1e-6   // m²
	celsius0         = 273.15 // K
)

// perKilometre returns a resistance at 20 °C by the calculator, which counts both ways.
func perKilometre(ctx context.Context, area, temperature float64, class string) (float64, error) {
	got, err := calculate(ctx, "wire", arg("area", area, " mm²"), "length=500 m", "current=1 A", arg("temperature", temperature, " °C"), "class="+class)
	return got["resistance"], err
}

func standardResistance(ctx context.Context, in struct {
	Area float64 `json:"area_mm2"`
}) (answers, error) {
	a := answers{}
	for _, class := range []string{"2", "5"} {
		ohms, err := perKilometre(ctx, in.Area, 20, class)
		if err != nil {
			return nil, err
		}
		a["class"+class] = round12(ohms)
	}
	tinned, _, err := conductor.Class5Tinned.Per20(in.Area * squareMillimetre)
	a["class5_tinned"] = round12(tinned * 1e3)
	return a, err
}

// round12 takes the last bits off a number that a table has in few digits.
func round12(v float64) float64 {
	var r float64
	fmt.Sscan(fmt.Sprintf("%.12g", v), &r)
	return r
}

func temperatureFactors(ctx context.Context, _ struct{}) (answers, error) {
	a := answers{"alpha20": conductor.CopperFactor(celsius0+21) - 1}
	for _, t := range []float64{5, 40, 70} {
		a[fmt.Sprintf("kt_%g", t)] = conductor.TableFactor(celsius0 + t)
		a[fmt.Sprintf("exact_%g", t)] = 1 / conductor.CopperFactor(celsius0+t)
	}
	ohms, err := perKilometre(ctx, 2.5, 70, "5")
	a["R_class5_2p5_at_70"] = ohms
	return a, err
}

func loop(ctx context.Context, in struct {
	Area        float64 `json:"area_mm2"`
	Length      float64 `json:"one_way_m"`
	Current     float64 `json:"I_A"`
	Temperature float64 `json:"T_C"`
}) (answers, error) {
	got, err := calculate(ctx, "wire", arg("area", in.Area, " mm²"), arg("length", in.Length, " m"), arg("current", in.Current, " A"),
		arg("temperature", in.Temperature, " °C"), "class=5")
	return answers{"R_ohm": got["resistance"], "drop_V": got["drop"], "loss_W": got["loss"], "percent_12V": got["drop"] / 12 * 100}, err
}

var metals = map[string]string{"Cu": "copper", "Al": "aluminium", "Fe": "steel"}

func adiabaticFactor(ctx context.Context, in struct {
	Material string
	From     float64 `json:"theta_i"`
	To       float64 `json:"theta_f"`
}) (answers, error) {
	got, err := calculate(ctx, "withstand", "material="+metals[in.Material], arg("from", in.From, " °C"), arg("to", in.To, " °C"))
	return answers{"k": got["k"]}, err
}

// faultSection has the rounded k of the standard in its inputs, so it is the formula alone.
func faultSection(_ context.Context, in struct {
	I float64 `json:"I_A"`
	T float64 `json:"t_s"`
	K float64
	S float64 `json:"S_mm2"`
}) (answers, error) {
	// a metal whose factor from 0 to 1 °C is the given one
	m := conductor.Material{Name: "given", Beta: 1 / (math.E - 1), Resistivity20: 1, Melting: 2000}
	m.HeatCapacity = in.K * in.K * 1e12 / (m.Beta + 20)
	const from, to = celsius0, celsius0 + 1
	area, err := m.Area(in.I, in.T, from, to)
	if err != nil {
		return nil, err
	}
	time, err := m.Time(in.S*squareMillimetre, in.I, from, to)
	if err != nil {
		return nil, err
	}
	integral, err := m.Integral(in.S*squareMillimetre, from, to)
	return answers{"S_min": area / squareMillimetre, "t_max_1p5": time, "I2t_withstand": integral}, err
}

func printedTrack(ctx context.Context, in struct {
	Current float64 `json:"I_A"`
	Rise    float64 `json:"dT_K"`
	Copper  float64 `json:"copper_oz"`
}) (answers, error) {
	got, err := calculate(ctx, "track", arg("current", in.Current, " A"), arg("rise", in.Rise, " K"), arg("copper", in.Copper, " oz"), "layer=outer")
	const squareMil = 25.4e-3 * 25.4e-3 // mm²
	return answers{"area_mil2": got["area"] / squareMil, "width_mm": got["width"]}, err
}

func onderdonk(ctx context.Context, in struct {
	Area    float64 `json:"A_cmil"`
	Time    float64 `json:"t_s"`
	Ambient float64 `json:"Ta"`
}) (answers, error) {
	const circularMil = math.Pi / 4 * 25.4e-3 * 25.4e-3 // mm²
	got, err := calculate(ctx, "fusing", arg("area", in.Area*circularMil, " mm²"), arg("time", in.Time, " s"), arg("ambient", in.Ambient, " °C"))
	return answers{"I_A": got["current"]}, err
}

func trackFuses(ctx context.Context, in struct {
	Area    float64 `json:"A_mm2"`
	Current float64 `json:"I_A"`
	From    float64 `json:"ti"`
	To      float64 `json:"tf"`
}) (answers, error) {
	got, err := calculate(ctx, "withstand", "material=copper", arg("from", in.From, " °C"), arg("to", in.To, " °C"),
		arg("area", in.Area, " mm²"), arg("current", in.Current, " A"))
	return answers{"t_s": got["time"]}, err
}

// adiabaticConstants takes a temperature rise whose logarithm is 1.
func adiabaticConstants(context.Context, struct{}) (answers, error) {
	a := answers{}
	for _, m := range []conductor.Material{conductor.Copper, conductor.Aluminium, conductor.Steel, conductor.Lead} {
		m.Melting = 2000
		k, err := m.K(celsius0, celsius0+m.Beta*(math.E-1))
		if err != nil {
			return nil, err
		}
		a[m.Name] = k * squareMillimetre
	}
	return a, nil
}

func adiabaticTimes(ctx context.Context, _ struct{}) (answers, error) {
	a := answers{}
	for key, args := range map[string][]string{"t_0p75_200": {"area=0.75 mm²", "current=200 A"}, "t_1p5_200": {"area=1.5 mm²", "current=200 A"},
		"t_0p5_100": {"area=0.5 mm²", "current=100 A"}} {
		got, err := calculate(ctx, "withstand", append(args, "from=70 °C", "to=160 °C")...)
		if err != nil {
			return nil, err
		}
		a[key] = got["time"]
	}
	return a, nil
}

func cableDrops(context.Context, struct{}) (answers, error) {
	a := answers{}
	for _, c := range []struct {
		key                   string
		length, area, current float64
	}{{"a", 4, 1.5, 5}, {"b", 4, 2.5, 5}, {"c", 10, 2.5, 8}, {"d", 2, 0.75, 3}} {
		ohms, err := conductor.TrackResistance(1e-3, c.area*1e-3, c.length, celsius0+20)
		if err != nil {
			return nil, err
		}
		a[c.key] = ohms * c.current
	}
	return a, nil
}
