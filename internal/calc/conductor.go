package calc

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"

	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/quantity"
)

func init() {
	area := Input{Name: "area", Dim: quantity.Area, Valid: positive, Want: "want an area above 0 such as 2.5 mm²", Help: "cross-section of the conductor, such as 2.5 mm²"}
	current := Input{Name: "current", Dim: quantity.Current, Valid: positive, Want: "want a current above 0 such as 5 A", Help: "through it"}
	register(
		Calculator{
			Name:     "wire",
			Question: "What do a go and a return wire take from a current?",
			Inputs: []Input{
				area,
				{Name: "length", Dim: quantity.Length, Valid: positive, Want: "want a length above 0 such as 5 m", Help: "one way"},
				{Name: "current", Dim: quantity.Current, Help: "through it"},
				{Name: "temperature", Dim: quantity.TemperaturePoint, Default: "20 °C", Help: "of the copper"},
				{Name: "class", Whole: true, Default: "5", Valid: func(v float64) bool { return v == 2 || v == 5 }, Want: "want 2 or 5", Help: "2 stranded, 5 flexible (IEC 60228)"},
			},
			Results: []Result{{"resistance", "ohm", "of both ways"}, {"drop", "V", "of both ways"}, {"loss", "W", "of both ways"}},
			Formula: "resistance = 2·length·R20(area, class)·(1 + 0.00393·(T − 20 °C)), within 0.01 % of (234.5 + T)/254.5 up to 200 °C; between areas of the table log R20 is linear in log area",
			Source:  "IEC 60228:2004, Tables 2 and 3 (largest resistance at 20 °C, plain copper) and Annex B",
			Compute: wire,
		},
		Calculator{
			Name:     "withstand",
			Question: "How long may a fault's current flow through a conductor?",
			Inputs: []Input{
				{Name: "material", Text: true, Default: "copper", Want: "want copper, aluminium, steel or lead", Help: "copper, aluminium, steel or lead"},
				{Name: "from", Dim: quantity.TemperaturePoint, Help: "temperature before the fault, such as 70 °C for pvc in use"},
				{Name: "to", Dim: quantity.TemperaturePoint, Help: "temperature that it may reach, such as 160 °C for pvc"},
				optional(area), optional(current),
			},
			Results: []Result{{"k", "A·s^½/mm²", "factor of the material and temperatures"}, {"time", "s", "until it is reached, if area and current are given"}},
			Formula: "k² = Qc·(β + 20)/ρ20·ln((β + to)/(β + from)); time = (k·area/current)², no heat lost on the way",
			Source:  "IEC 60949; IEC 60364-5-54 Annex A; IEC 60364-4-43, 434.5.2, up to 5 s",
			Compute: withstand,
		},
		Calculator{
			Name:     "track",
			Question: "How wide must a printed track be for a current?",
			Inputs: []Input{
				current,
				{Name: "rise", Dim: quantity.TemperatureDifference, Valid: positive, Want: "want a rise above 0 such as 20 K", Help: "of the track over the board around it"},
				{Name: "copper", Dim: quantity.Length, Spell: ounces, Valid: positive, Want: "want a thickness such as 35 um or 1 oz", Help: "thickness, such as 35 um or 1 oz"},
				{Name: "layer", Text: true, Default: "outer", Want: "want outer or inner", Help: "outer or inner"},
			},
			Results: []Result{{"area", "mm²", "of its cross-section"}, {"width", "mm", "at that thickness"}},
			Formula: "current = k·rise^0.44·area^0.725, k 0.048 outer, 0.024 inner, area in mil²; width = area/copper; 1 oz = 1.378 mil",
			Source:  "IPC-2221, 6.2, charts, by the formula usually fitted to them: up to 35 A, 10 to 100 K, 400 mil of width",
			Compute: track,
		},
		Calculator{
			Name:     "fusing",
			Question: "Which current melts a copper conductor in a time?",
			Inputs: []Input{
				area,
				{Name: "time", Dim: quantity.Time, Valid: positive, Want: "want a time above 0 such as 1 s", Help: "until it melts"},
				{Name: "ambient", Dim: quantity.TemperaturePoint, Default: "25 °C", Help: "temperature before"},
			},
			Results: []Result{{"current", "A", "that melts it"}},
			Formula: "current = A_cmil·√(log10(1 + (1083 − Ta)/(234 + Ta))/(33·t)), A_cmil in circular mil, Ta in °C; up to 5 s",
			Source:  "Onderdonk's equation as in Stauffacher, General Electric Review 31 (1928); some copies have 234 − Ta by mistake",
			Compute: fusing,
		},
	)
}

const (
	perMM2 = 1e6 // mm² in a m²
	perMM  = 1e3
)

func optional(in Input) Input {
	in.Optional = true
	return in
}

var ounce = regexp.MustCompile(`([0-9]*\.?[0-9]+) *oz\b`)

// ounces writes thicknesses of copper foil in ounces per square foot as lengths.
func ounces(text string) string {
	return ounce.ReplaceAllStringFunc(text, func(found string) string {
		v, err := strconv.ParseFloat(ounce.FindStringSubmatch(found)[1], 64)
		if err != nil {
			return found
		}
		return number(v*conductor.Ounce*1e6) + " um"
	})
}

func wire(_ context.Context, in Values) (Answers, error) {
	a, err := drop(in)
	a.Again = drop
	free := conductor.Free{Area: in.Number("area"), Class: conductor.Class(in.Whole("class"))}
	const warm = 303.15 // 30 °C, K
	if most, _, fault := free.Ampacity(conductor.PVC.Limit, warm); fault == nil && math.Abs(in.Number("current")) > most {
		a.Warnings = append(a.Warnings, fmt.Sprintf("a single pvc wire in free air of 30 °C carries about %.3g A: take a larger area, or an insulation for more than 70 °C", most))
	}
	return a, err
}

// drop computes the results of a wire.
func drop(in Values) (Answers, error) {
	current := in.Number("current")
	ohms, basis, err := conductor.Resistance(in.Number("area"), 2*in.Number("length"), conductor.Class(in.Whole("class")), in.Number("temperature"))
	a := is(ohms, ohms*current, ohms*current*current)
	if basis != conductor.Printed {
		a.Warnings = []string{basis.String()}
	}
	return a, err
}

// adiabatic makes an answer that does not exist of a time that is too long.
func adiabatic(value float64, err error) (Answer, error) {
	if errors.Is(err, conductor.ErrNotAdiabatic) {
		return Answer{None: err.Error()}, nil
	}
	return Answer{Value: value}, err
}

func withstand(_ context.Context, in Values) (Answers, error) {
	m, err := conductor.MaterialNamed(in.Text("material"))
	if err != nil {
		return Answers{}, wrong("material", "no such material", "want copper, aluminium, steel or lead")
	}
	k, err := m.K(in.Number("from"), in.Number("to"))
	if err != nil {
		return Answers{}, err
	}
	a := is(k / perMM2)
	if !in.Has("area") && !in.Has("current") {
		return a, nil // the time is not asked
	}
	for _, key := range []string{"area", "current"} {
		if !in.Has(key) {
			return Answers{}, wrong(key, "missing", "want area and current together for the time, or neither")
		}
	}
	time, err := adiabatic(m.Time(in.Number("area"), in.Number("current"), in.Number("from"), in.Number("to")))
	a.List = append(a.List, time)
	return a, err
}

func track(_ context.Context, in Values) (Answers, error) {
	layer, err := conductor.LayerNamed(in.Text("layer"))
	if err != nil {
		return Answers{}, wrong("layer", "no such layer", "want outer or inner")
	}
	area, err := layer.TrackArea(in.Number("current"), in.Number("rise"))
	width := area / in.Number("copper")
	a := is(area*perMM2, width*perMM)
	if doubt := conductor.TrackDoubt(in.Number("current"), in.Number("rise"), width); doubt != "" {
		a.Warnings = []string{doubt}
	}
	return a, err
}

func fusing(_ context.Context, in Values) (Answers, error) {
	current, err := adiabatic(conductor.FusingCurrent(in.Number("area"), in.Number("time"), in.Number("ambient")))
	return Answers{List: []Answer{current}}, err
}
