package promise

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/statistics/single"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/iv"
	"hindwatt/internal/study/rating"
	"hindwatt/internal/study/setpoint"
)

// A comparison is a measured figure beside the calculated one, for the same units and conditions.
type comparison struct {
	run, what, at string
	scale         scale
	measured      Interval
	calculated    float64
	u95           float64 // of the difference [V4]
	changes       []single.Change
	why           string // why it is not compared

	shift func(input string, to float64) (float64, error) // how far the calculated figure moves where an input is another; nil: not known
	alone *bench.Reading                                  // the one reading that it is, and where it stands; nil: of several, or of a fit
	from  string
	beats [][]string // by change: the figures of the same run that it would make contradict the model
}

// others finds, for each change that explains one figure of a run, which figures of that run agree with the model and would no longer.
func others(all []comparison) {
	for i := range all {
		c := &all[i]
		for _, change := range c.changes {
			var beats []string
			for k := range all {
				o := &all[k]
				if k == i || o.run != c.run || strings.HasSuffix(c.run, readByHand) || o.shift == nil || o.why != "" || o.differs() || !change.Reaches {
					continue
				}
				by, err := o.shift(change.Name, change.To)
				if err != nil || math.Abs(o.difference()+by) > o.u95 {
					beats = append(beats, o.what)
				}
			}
			c.beats = append(c.beats, beats)
		}
	}
}

func (c *comparison) difference() float64 { return c.calculated - c.measured.Best }

func (c *comparison) differs() bool { return c.why == "" && math.Abs(c.difference()) > c.u95 }

// Samples of the studies that are only asked at single points.
const (
	askedOuter = 5
	askedInner = 20
)

// againstModel sets what was measured beside what is calculated; where they contradict each other it ranks what would have to be wrong.
func (s *session) againstModel(ctx context.Context, shown *page.Page, out *Answer) error {
	var contradicts []string // stand first
	var all []comparison
	for _, compare := range []func(context.Context) ([]comparison, error){s.againstSetpoints, s.againstRating, s.againstPanels} {
		list, err := compare(ctx)
		if err != nil {
			return err
		}
		others(list)
		all = append(all, list...)
	}
	if len(all) == 0 {
		return nil
	}
	for i := range all {
		if c := &all[i]; c.alone != nil && c.differs() {
			c.byReading(*c.alone, c.from)
		}
	}
	t := page.Table{Title: "Measured, and calculated for the same units and conditions", Align: "lllrrrrl",
		Head: []string{"of", "what", "at", "measured", "calculated", "calculated less measured", "uncertainty (95 %)", ""}, Note: "A log stands by itself; readings by hand of much the same conditions stand together."}
	for i := range all {
		c := &all[i]
		t.Rows = append(t.Rows, c.row())
		if c.why != "" {
			continue
		}
		d := c.difference()
		dim := c.scale.dim
		dim.Point = false
		unit := c.scale.unit
		if c.scale.dim.Point {
			unit = "K"
		}
		out.Figures = append(out.Figures, Figure{fmt.Sprintf("%s %s at %s, calculated less measured", c.run, c.what, c.at), closed(d, d-c.u95, d+c.u95), dim, unit})
		if c.differs() {
			contradicts = append(contradicts, c.says())
			shown.Tables = append(shown.Tables, c.table())
		}
	}
	shown.Answer = append(contradicts, shown.Answer...)
	shown.Tables = append(shown.Tables, t)
	shown.How = append(shown.How,
		page.Method{Text: "A measured and a calculated figure contradict each other where their difference is more than its uncertainty [V4]."},
		page.Method{Text: "Each input is changed alone until the calculated figure moves by as much as the two differ; inputs are ranked by how many of their own tolerances that takes [V6].",
			Equation: "f(x + n · tolerance) - f(x) = measured - calculated"})
	return nil
}

func (c *comparison) row() []string {
	row := []string{c.run, c.what, c.at, c.scale.text(c.measured.Best), "", "", "", c.why}
	if c.why != "" {
		return row
	}
	row[4], row[5], row[6], row[7] = c.scale.text(c.calculated), c.apart(c.difference(), "%+.*f %s"), "±"+c.apart(c.u95, "%.*f %s"), "agree"
	if c.differs() {
		row[7] = "contradict"
	}
	return row
}

// apart words a difference of two figures.
func (c *comparison) apart(d float64, format string) string {
	unit := c.scale.unit
	if c.scale.dim.Point {
		unit = "K"
	}
	return strings.TrimSpace(fmt.Sprintf(format, c.scale.digits, c.scale.difference(d), unit))
}

// says words a contradiction and what is the least implausible cause of it.
func (c *comparison) says() string {
	said := fmt.Sprintf("%s: the %s at %s was measured as %s and is calculated as %s: they contradict each other.", page.Capital(c.run), c.what, c.at, c.scale.text(c.measured.Best), c.scale.text(c.calculated))
	if len(c.changes) == 0 || !c.changes[0].Reaches {
		return said + " No single input that has a tolerance can be the reason."
	}
	first := c.changes[0]
	return said + fmt.Sprintf(" Of single inputs the least implausible reason is %s, at %s in place of %s: %s its own tolerance.", first.Name, first.Shown(), first.Is(), times(first.Times))
}

// times words how many tolerances.
func times(n float64) string {
	switch {
	case n < 10:
		return fmt.Sprintf("%.1f times", n)
	case n < 1000:
		return fmt.Sprintf("%.0f times", n)
	}
	return "1,000 times and more"
}

// mostChanges is how many changes are listed.
const mostChanges = 8

// table ranks what would have to be wrong.
func (c *comparison) table() page.Table {
	t := page.Table{Title: fmt.Sprintf("What would have to be wrong: %s of %s", c.what, c.run), Align: "llrrrll",
		Head: []string{"", "input", "is", "would have to be", "in its tolerances", "where", "then contradicts"}}
	var never []string
	more := 0
	for i, change := range c.changes {
		switch {
		case !change.Reaches:
			never = append(never, change.Name)
		case len(t.Rows) < mostChanges:
			t.Rows = append(t.Rows, []string{fmt.Sprint(len(t.Rows) + 1), change.Name, change.Is(), change.Shown(), times(change.Times), change.From, ""})
			if i < len(c.beats) {
				t.Rows[len(t.Rows)-1][6] = strings.Join(c.beats[i], ", ")
			}
		default:
			more++
		}
	}
	t.Note = "One input is changed at a time, the least implausible first; it would make those figures of the same unit contradict that the last column names. What is written without a tolerance is taken as it is."
	if more > 0 {
		t.Note += fmt.Sprintf(" %d more would have to go further.", more)
	}
	if len(never) > 0 {
		const most = 10
		rest := ""
		if len(never) > most {
			rest, never = fmt.Sprintf(" and %d more", len(never)-most), never[:most]
		}
		t.Note += " No value of these alone explains it: " + strings.Join(never, ", ") + rest + "."
	}
	return t
}

// byReading adds the reading itself to what may be wrong.
func (c *comparison) byReading(r bench.Reading, from string) {
	if r.Meter == nil {
		return
	}
	limit := r.Meter.Accuracy.Limit(r.Value.Value, r.Meter.Digit)
	if !(limit > 0) {
		return
	}
	off := single.Change{Input: single.Input{Name: "the reading by " + r.Meter.Name, From: cmp.Or(r.Meter.From, from), Value: c.measured.Best, Tolerance: limit, Show: c.scale.text},
		To: c.calculated, Times: math.Abs(c.difference()) / limit, Reaches: true, Figure: c.calculated}
	at := slices.IndexFunc(c.changes, func(x single.Change) bool { return !x.Reaches || x.Times > off.Times })
	if at < 0 {
		at = len(c.changes)
	}
	c.changes = slices.Insert(c.changes, at, off)
	if at <= len(c.beats) {
		c.beats = slices.Insert(c.beats, at, nil)
	}
}

// apart returns the readings by hand of a gathering together, and each that a run shows by itself.
func (g gathering) apart() []gathering {
	var byHand gathering
	var list []gathering
	for i, row := range g.rows {
		to := &byHand
		if strings.HasPrefix(row.Origin.File(), "bench/") {
			list = append(list, gathering{})
			to = &list[len(list)-1]
		}
		if len(to.rows) == 0 {
			to.low = row.Ambient.Value
		}
		to.rows, to.readings, to.high = append(to.rows, row), append(to.readings, g.readings[i]), row.Ambient.Value
		to.ambient += (row.Ambient.Value - to.ambient) / float64(len(to.rows))
	}
	if len(byHand.rows) > 0 {
		list = append([]gathering{byHand}, list...)
	}
	return list
}

const readByHand = "by hand"

// run is the run that a gathering is of.
func (g gathering) run() string {
	file := g.rows[0].Origin.File()
	if name, ok := strings.CutPrefix(file, "bench/"); ok {
		name = strings.TrimSuffix(name, ".toml")
		if serial := g.rows[0].Serial.Text; serial != "" {
			name += ", unit " + serial
		}
		return name
	}
	if n := g.units(); n > 1 {
		return fmt.Sprintf("%d units %s", n, readByHand)
	}
	return "a unit " + readByHand
}

// beside fills in what was read and what is calculated.
func (c *comparison) beside(r *bench.Result, mean, unitSD, unknownSD float64, read bench.Interval) {
	c.measured = Interval{r.Mean.Best, r.Mean.Low, r.Mean.High, r.Mean.OpenLow, r.Mean.OpenHigh}
	c.calculated = mean
	if r.Mean.OpenLow || r.Mean.OpenHigh {
		c.why = "not compared: the meter's accuracy is not known"
		return
	}
	scatter := 0.0
	if r.Units == 1 {
		scatter = unitSD
	}
	c.u95 = math.Hypot((read.High-read.Low)/2, normal95*math.Hypot(scatter, unknownSD)) // [V4]
}

func (s *session) againstSetpoints(ctx context.Context) ([]comparison, error) {
	in := bind.Setpoint(s.product, s.options.Installation)
	in.Seed, in.Outer, in.Inner = s.options.Seed, askedOuter, askedInner
	for _, name := range setpoint.Quantities() {
		if strings.HasSuffix(name, "-error") && name != "display-error" {
			in.Quantities = append(in.Quantities, name)
		}
	}
	result, err := setpoint.Run(ctx, in)
	if err != nil {
		return nil, nil // the setpoint study says why
	}
	var all []comparison
	for _, name := range in.Quantities {
		o := result.Outcome(name)
		if o == nil || o.Never != "" {
			continue
		}
		for _, together := range s.gather(name) {
			for _, g := range together.apart() {
				from, known := target(in, name, g)
				if !known {
					continue
				}
				read, err := bench.Run(ctx, bench.Input{Quantity: name, Unit: "V", Readings: g.readings, Target: from, Proportion: usualProportion, Confidence: usualConfidence, Seed: s.options.Seed})
				if err != nil {
					return nil, err
				}
				point := g.point(in)
				point.ByTrimMeter = in.Trim != nil && g.meter() != "" && g.meter() == in.Trim.Instrument.Name
				is, err := result.At(ctx, name, point)
				if err != nil {
					return nil, err
				}
				mean := read.Mean
				if point.ByTrimMeter {
					mean = read.MeanWithoutMeter
				}
				c := comparison{run: g.run(), what: strings.ReplaceAll(strings.TrimSuffix(name, "-error"), "-", " ") + " off its target", at: g.text(), scale: scale{dim: quantity.Voltage, unit: "V", digits: 3}}
				c.beside(read, is.Mean, is.UnitSD, is.UnknownSD, mean)
				c.shift = func(input string, to float64) (float64, error) { return result.Shift(name, point, input, to) }
				if c.differs() {
					if c.changes, err = result.Changes(ctx, name, point, -c.difference()); err != nil {
						return nil, err
					}
					if len(g.readings) == 1 {
						c.alone, c.from = &g.readings[0], g.rows[0].Origin.String()
					}
				}
				all = append(all, c)
			}
		}
	}
	return all, nil
}

func (s *session) againstRating(ctx context.Context) ([]comparison, error) {
	in := bind.Rating(s.product, s.options.Installation)
	in.Seed, in.Outer, in.Inner, in.Quantities = s.options.Seed, askedOuter, askedInner, []string{"drop", "standby", "standby-by-day"}
	result, err := rating.Run(ctx, in)
	if err != nil || !result.Computable() {
		return nil, nil // the rating study says why
	}
	var all []comparison
	for _, what := range s.ratingReadings() {
		dim, unit := readDim(what)
		for _, together := range s.ratingGatherings(what) {
			for _, g := range together.apart() {
				at := g.held(what)
				if result.Modelled(at) != nil {
					continue
				}
				read, err := bench.Run(ctx, bench.Input{Quantity: "rating." + what, Unit: unit, Readings: g.readings, Proportion: usualProportion, Confidence: usualConfidence, Seed: s.options.Seed})
				if err != nil {
					return nil, err
				}
				c := comparison{run: g.run(), what: strings.ReplaceAll(strings.ReplaceAll(what, ".", " of "), "-", " "), at: g.text() + heldText(at), scale: scaleOf(dim, unit, read.Mean.High-read.Mean.Low)}
				if err := c.rated(ctx, result, at, read); err != nil {
					return nil, err
				}
				if len(g.readings) == 1 {
					c.alone, c.from = &g.readings[0], g.rows[0].Origin.String()
				}
				all = append(all, c)
			}
		}
	}
	for _, r := range s.runsOnBench().runs {
		for _, res := range r.resistances {
			c := comparison{run: r.name, what: "thermal resistance of the case", at: fmt.Sprintf("%.0f °C", res.at.Air-zeroCelsius) + heldText(res.at), scale: scale{dim: quantity.ThermalResistance, unit: "K/W", digits: 2}}
			if result.Modelled(res.at) != nil {
				continue
			}
			mean := bench.Interval{Best: res.is.Best, Low: res.is.Low, High: res.is.High, OpenLow: res.is.OpenLow, OpenHigh: res.is.OpenHigh}
			if err := c.rated(ctx, result, res.at, &bench.Result{Units: 1, Mean: mean}); err != nil {
				return nil, err
			}
			all = append(all, c)
		}
	}
	return all, nil
}

// heldText words the current that was held: ", 9.8 A".
func heldText(at rating.Reading) string {
	switch {
	case at.Load > 0:
		return ", load " + quantity.Format(at.Load, quantity.Current, "A", 1)
	case at.Current > 0:
		return ", " + quantity.Format(at.Current, quantity.Current, "A", 1)
	}
	return ""
}

// rated fills in a comparison with the rating, and what would have to be wrong.
func (c *comparison) rated(ctx context.Context, result *rating.Result, at rating.Reading, read *bench.Result) error {
	is, err := result.At(ctx, at)
	if err != nil {
		c.measured, c.why = Interval{Best: read.Mean.Best}, "not compared: "+err.Error()
		return nil
	}
	c.beside(read, is.Mean, is.UnitSD, is.UnknownSD, read.Mean)
	c.shift = func(input string, to float64) (float64, error) { return result.Shift(at, input, to) }
	if !c.differs() || strings.HasPrefix(at.Quantity, "standby") {
		return nil
	}
	c.changes, err = result.Changes(ctx, at, -c.difference())
	return err
}

// againstPanels holds the labels of panels against their sweeps.
func (s *session) againstPanels(ctx context.Context) ([]comparison, error) {
	var all []comparison
	for _, r := range s.runsOnBench().runs {
		name := s.product.Folder.Runs.Get(r.name).Panel.Text
		part := s.product.Parts.Get(name)
		if r.swept == nil || r.swept.Reference == nil || part == nil || part.Panel == nil {
			continue
		}
		label := part.Panel
		figures := panelFigures(r.swept.Reference)
		for i, said := range []product.Quantity{label.ShortCircuitCurrent, label.OpenCircuitVoltage, label.PeakCurrent, label.PeakVoltage, label.PeakPower} {
			if !said.Set() {
				continue
			}
			f := figures[i]
			c := comparison{run: r.name, what: f.name + " of " + name, at: "1000 W/m², 25 °C", scale: scaleOf(f.dim, f.unit, f.is.High-f.is.Low),
				measured: Interval{f.is.Best, f.is.Low, f.is.High, f.is.OpenLow, f.is.OpenHigh}, calculated: said.Value}
			switch {
			case label.Run.Text == r.name:
				c.why = "not compared: the part's values are from this run"
			case f.is.OpenLow || f.is.OpenHigh || !r.swept.Input.VoltageMeter.Known() || !r.swept.Input.CurrentMeter.Known():
				c.why = "not compared: a meter's accuracy is not known"
			}
			c.u95 = math.Hypot((f.is.High-f.is.Low)/2, normal95*said.StandardUncertainty())
			if c.differs() {
				if err := c.panelChanges(ctx, r.swept.Input, i, said); err != nil {
					return nil, err
				}
			}
			all = append(all, c)
		}
	}
	return all, nil
}

// panelChanges ranks what would have to be wrong for a label to be that of the panel that was swept: the label, or the light
// and the temperature as they were noted.
func (c *comparison) panelChanges(ctx context.Context, in iv.Input, figure int, label product.Quantity) error {
	var inputs []single.Input
	var to []func(*iv.Input, float64)
	add := func(name string, q *quantity.Quantity, dim quantity.Dimension, unit string, set func(*iv.Input, float64)) {
		if q == nil || q.StandardUncertainty() == 0 {
			return
		}
		inputs = append(inputs, single.Input{Name: name, From: in.From, Value: q.Value, Tolerance: math.Sqrt(3) * q.StandardUncertainty(), Show: func(x float64) string { return quantity.Format(x, dim, unit, -3) }})
		to = append(to, set)
	}
	moved := func(q *quantity.Quantity, v float64) *quantity.Quantity {
		return &quantity.Quantity{Value: v, Low: v, High: v, Dim: q.Dim}
	}
	add("irradiance", in.Irradiance, quantity.Irradiance, "W/m²", func(x *iv.Input, v float64) { x.Irradiance = moved(in.Irradiance, v) })
	add("temperature of the cells", in.Temperature, quantity.TemperaturePoint, "°C", func(x *iv.Input, v float64) { x.Temperature = moved(in.Temperature, v) })
	bare := in
	bare.VoltageMeter, bare.CurrentMeter = nil, nil // what they may be off by takes time and does not move the best values
	changes, err := single.Find(ctx, label.Value, inputs, func() (single.Figure, error) {
		return func(i int, v float64) (float64, error) {
			x := bare
			if i >= 0 {
				to[i](&x, v)
			}
			r, err := iv.Run(x)
			if err != nil || r.Reference == nil {
				return math.NaN(), err
			}
			return panelFigures(r.Reference)[figure].is.Best, nil
		}, nil
	})
	if err != nil {
		return err
	}
	if half := math.Sqrt(3) * label.StandardUncertainty(); half > 0 {
		changes = append(changes, single.Change{Input: single.Input{Name: "the label", From: label.Origin.String(), Value: label.Value, Tolerance: half, Show: c.scale.text},
			To: c.measured.Best, Times: math.Abs(c.difference()) / half, Reaches: true, Figure: c.measured.Best})
		slices.SortStableFunc(changes, func(a, b single.Change) int {
			if a.Reaches != b.Reaches {
				return map[bool]int{true: -1, false: 1}[a.Reaches]
			}
			return cmp.Compare(a.Times, b.Times)
		})
	}
	c.changes = changes
	return nil
}

// A caseResistance is what a soak tells of the outside of the case.
type caseResistance struct {
	is fit.Interval
	at rating.Reading
}
