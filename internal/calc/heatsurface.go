package calc

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/physics/heat"
	"hindwatt/internal/quantity"
)

func init() {
	register(Calculator{
		Name:     "surface",
		Question: "How much heat does a surface give off to still air and to what is around?",
		Inputs: []Input{
			{Name: "shape", Text: true, Help: "horizontal-cylinder, vertical-plate, plate-facing-up, plate-facing-down or box"},
			{Name: "length", Dim: quantity.Length, Optional: true, Valid: positive, Want: "want a length above 0 such as 60 mm",
				Help: "of a cylinder; of an endless plate its height or, level, its width"},
			{Name: "diameter", Dim: quantity.Length, Optional: true, Valid: positive, Want: "want a length above 0 such as 30 mm", Help: "of a cylinder"},
			{Name: "size", Text: true, Optional: true, Help: "of a plate, two lengths (upright: height first); of a box, three, the last one its height"},
			{Name: "surface_temperature", Dim: quantity.TemperaturePoint, Valid: positive, Want: wantTemperature, Help: "of the surface"},
			{Name: "ambient", Dim: quantity.TemperaturePoint, Valid: positive, Want: wantTemperature, Help: "of air and surroundings"},
			{Name: "emissivity", Default: "0.9", Valid: share, Want: "want a number from 0 to 1 such as 0.9", Help: "of the surface, 0.9 for plastics and paint, 0.1 for bare aluminium"},
			{Name: "pressure", Dim: quantity.Pressure, Default: "100 kPa", Valid: func(v float64) bool { return v >= 1e4 && v <= 1e6 },
				Want: "want a pressure of 10 kPa to 1 MPa", Help: "of the air: 100 kPa as in the tables of handbooks, 90 kPa at 1000 m, 70 kPa at 3000 m"},
		},
		Results: []Result{{"convection", "W/(m²·K)", "mean coefficient of all faces"}, {"radiation", "W/(m²·K)", "coefficient of radiation"},
			{"heat", "W", "given off; W/m for a cylinder without length or a plate of which only one length is given"}},
		Formula: "heat = (convection + radiation)·A·(Ts − Ta); convection = Nu·k/L, radiation = ε·σ·(Ts + Ta)·(Ts² + Ta²). " +
			"Cylinder: Nu = (0.60 + 0.387·Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27))². Vertical plate: Nu = 0.68 + 0.670·Ra^(1/4)/(1 + (0.492/Pr)^(9/16))^(4/9) up to Ra = 1e9, " +
			"(0.825 + 0.387·Ra^(1/6)/(1 + (0.492/Pr)^(9/16))^(8/27))² from 1.5e9. Facing up: 0.54·Ra^(1/4) up to 1e7, 0.15·Ra^(1/3) from 1.5e7; facing down: 0.27·Ra^(1/4); L = area/perimeter. " +
			"Between two laws a straight line; a cold face counts as a hot one that looks the other way",
		Source: "Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975), p. 1049 and 1323; Lloyd and Moran, J. Heat Transfer 96 (1974), p. 443; McAdams, Heat Transmission, 1954; " +
			"air at film temperature: US Standard Atmosphere 1976",
		Compute: giveOff,
		Samples: 20_000,
	})
}

const wantTemperature = "want a temperature above 0 K such as 25 °C"

func share(v float64) bool { return v >= 0 && v <= 1 }

// giveOff computes with one surface; without an area for 1 m of it.
func giveOff(_ context.Context, in Values) (Answers, error) {
	faces, unit, err := in.faces()
	if err != nil {
		return Answers{}, err
	}
	ts, ta, emissivity := in.Number("surface_temperature"), in.Number("ambient"), in.Number("emissivity")
	s := heat.Surface{Faces: faces, Pressure: in.Number("pressure"), Emissivity: emissivity}
	for _, f := range faces {
		s.Radiating += f.Area
	}
	flow := s.Flow(ts, ta)
	a := is(s.Coefficient(ts, ta), heat.RadiationCoefficient(emissivity, ts, ta), flow.Total())
	a.List[2].Unit = unit
	a.Warnings = doubtful(faces, ts, ta, s.Pressure)
	return a, nil
}

// doubtful names each face whose law was not found for a Rayleigh number such as this.
func doubtful(faces []heat.Face, ts, ta, pressure float64) (warnings []string) {
	film := (ts + ta) / 2
	if film < 200 || film > 800 {
		warnings = append(warnings, fmt.Sprintf("a film temperature of %.4g K is outside 200 K to 800 K, where the air's properties are known; those of the nearest end are taken", film))
	}
	if ts == ta {
		return warnings
	}
	air := heat.AirAt(film, pressure)
	for _, f := range faces {
		if c := heat.Convect(f.Orientation, f.Length, ts, ta, air); !c.Inside {
			warnings = append(warnings, fmt.Sprintf("Ra = %.2g is outside the range of the law for a %s; expect more than 20 %% of error", c.Rayleigh, f.Orientation))
		}
	}
	return warnings
}

// faces returns the faces of the shape that was typed, and the unit of its heat.
func (v Values) faces() ([]heat.Face, string, error) {
	if err := v.foreign(); err != nil {
		return nil, "", err
	}
	switch shape := v.Text("shape"); shape {
	case "horizontal-cylinder":
		return v.cylinder()
	case "vertical-plate":
		return v.plate(heat.Vertical)
	case "plate-facing-up":
		return v.plate(heat.FacingUp)
	case "plate-facing-down":
		return v.plate(heat.FacingDown)
	case "box":
		size, err := v.lengths("size", 3)
		if err != nil {
			return nil, "", err
		}
		faces, _ := heat.Body{Size: [3]float64(size)}.Faces()
		return faces, "W", nil
	}
	return nil, "", &Error{Key: "shape", Value: v.Text("shape"), Problem: "no known shape",
		Want: "want horizontal-cylinder, vertical-plate, plate-facing-up, plate-facing-down or box"}
}

// foreign refuses a measure that the shape does not have.
func (v Values) foreign() error {
	shape := v.Text("shape")
	takes := map[string][]string{"horizontal-cylinder": {"diameter", "length"}, "vertical-plate": {"size", "length"},
		"plate-facing-up": {"size", "length"}, "plate-facing-down": {"size", "length"}, "box": {"size"}}[shape]
	if takes == nil {
		return nil // no known shape
	}
	joint := " or "
	if shape == "horizontal-cylinder" {
		joint = " and "
	}
	for _, key := range []string{"size", "diameter", "length"} {
		if v.Text(key) != "" && !slices.Contains(takes, key) {
			return wrong(key, "a "+shape+" has none", "want "+strings.Join(takes, joint))
		}
	}
	if shape != "horizontal-cylinder" && v.Text("size") != "" && v.Text("length") != "" {
		return wrong("length", "given beside size", "want one of them")
	}
	return nil
}

func (v Values) cylinder() ([]heat.Face, string, error) {
	d := v.Number("diameter")
	if !v.Has("diameter") {
		return nil, "", wrong("diameter", "missing for a cylinder", "want a length above 0 such as 30 mm")
	}
	return []heat.Face{{Orientation: heat.HorizontalCylinder, Length: d, Area: math.Pi * d * v.Or("length", 1)}}, perMetre(!v.Has("length")), nil
}

// plate has a size, or one length and no end across it.
func (v Values) plate(o heat.Orientation) ([]heat.Face, string, error) {
	level := o != heat.Vertical
	if !v.Has("size") {
		if !v.Has("length") {
			return nil, "", wrong("size", "missing for a plate", "want two lengths such as 0.3 m x 0.2 m")
		}
		width := v.Number("length")
		f := heat.Face{Orientation: o, Length: width, Area: width}
		if level {
			f.Length = width / 2 // area over perimeter of an endless strip
		}
		return []heat.Face{f}, perMetre(true), nil
	}
	size, err := v.lengths("size", 2)
	if err != nil {
		return nil, "", err
	}
	f := heat.Face{Orientation: o, Length: size[0], Area: size[0] * size[1]}
	if level {
		f.Length = f.Area / (2 * (size[0] + size[1]))
	}
	return []heat.Face{f}, "W", nil
}

func perMetre(endless bool) string {
	if endless {
		return "W/m"
	}
	return "W"
}

// lengths reads a size of n lengths, m.
func (v Values) lengths(key string, n int) ([]float64, error) {
	want := fmt.Sprintf("want %d lengths such as %s", n, []string{"0.3 m x 0.2 m", "100 mm x 68 mm x 40 mm"}[n-2])
	if !v.Has(key) {
		return nil, wrong(key, "missing for this shape", want)
	}
	size, err := quantity.ParseSize(v.Text(key))
	if err != nil {
		return nil, inKey(key, v.Text(key), err)
	}
	if len(size) != n {
		return nil, &Error{Key: key, Value: v.Text(key), Problem: fmt.Sprintf("%d lengths", len(size)), Want: want}
	}
	var list []float64
	for _, q := range size {
		if q.Spread != quantity.Exact {
			return nil, &Error{Key: key, Value: v.Text(key), Problem: "takes no tolerance", Want: want}
		}
		list = append(list, q.Value)
	}
	return list, nil
}
