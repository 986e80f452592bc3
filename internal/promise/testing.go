package promise

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench/sheet"
	"hindwatt/internal/study/setpoint"
)

// Testing is how each unit that is made is to be tested.
type Testing struct {
	Sheet    sheet.Sheet
	Lacks    []page.Lack
	Warnings []page.Note
	Left     []string // promises that hold for each unit and that no reading at the test can show, each with why
	at       Bench
}

// A Bench is under what a unit is tested; nil: as production.toml says.
type Bench struct{ Ambient, Charge, Load *quantity.Quantity }

// Test works out between which readings a unit is accepted, for each level that promises bind. The error names what cannot be computed.
func Test(ctx context.Context, p *product.Product, options Options, at Bench) (*Testing, error) {
	t := &Testing{Sheet: sheet.Sheet{Product: p.Name.Text, Revision: p.RevisionName()}}
	test := &p.Production.Test
	for _, c := range []struct {
		at      **quantity.Quantity
		written *product.Quantity
	}{{&at.Ambient, &test.Ambient}, {&at.Charge, &test.ChargeCurrent}, {&at.Load, &test.LoadCurrent}} {
		if *c.at == nil && c.written.Set() {
			*c.at = &c.written.Quantity
		}
	}
	if !test.Meter.Set() {
		t.Lacks = append(t.Lacks, page.Lack{File: "production.toml", Key: "test.meter", Why: "what units are tested with, of bench/meters.toml"})
	}
	if at.Ambient == nil {
		t.Lacks = append(t.Lacks, page.Lack{File: "production.toml", Key: "test.ambient", Why: "how warm it is where units are tested"})
	}
	meter, err := bind.TestMeter(p)
	if err != nil {
		return nil, err
	}
	if len(t.Lacks) > 0 {
		return t, nil
	}
	t.at = at
	s := newSession(p, options)
	rooms := map[string]*room{}
	var order []string
	for name, asked := range p.Promises.All() {
		of := bind.Plain(asked.Quantity.Text)
		if asked.Study.Text == "rating" && newJudged(name, asked).EachUnit {
			t.Left = append(t.Left, name+": it takes a soak of hours; read it on a few units and see hindwatt study bench")
			continue
		}
		if asked.Study.Text != "setpoint" || refuseSetpoint(of, asked) != nil || !newJudged(name, asked).EachUnit {
			continue
		}
		if of == "display-error" {
			t.Left = append(t.Left, name+": what it shows is held against a meter, unit by unit; no level is read")
			continue
		}
		if s.unaged(asked) || asked.Conditions.Age.Set() {
			t.Left = append(t.Left, name+": a new unit does not show how it ages")
			continue
		}
		level := strings.TrimSuffix(of, "-error")
		r, err := s.room(ctx, name, asked, &at)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if r == nil {
			t.Left = append(t.Left, name+": it cannot be computed; see hindwatt study setpoint")
			continue
		}
		if rooms[level] == nil {
			order = append(order, level)
			rooms[level] = r
			continue
		}
		rooms[level].meet(r)
	}
	for _, level := range order {
		r := rooms[level]
		check := sheet.Check{Promise: level, Label: strings.Join(r.labels, "; "), Measure: "the battery's voltage " + measured(level), Conditions: at.words(),
			Dim: quantity.Voltage, Unit: "V", Min: r.min, Max: r.max, Mean: r.mean, SD: r.sd, Meter: meter, MeterU: r.slack, From: r.from}
		if test.BadSent.Set() && test.GoodRejected.Set() {
			check.CostBad, check.CostGood = test.BadSent.Value, test.GoodRejected.Value
		}
		if trim := p.Sense.Trimmed.By; trim.Meter != "" {
			check.TrimmedBy = trim.Meter
		}
		row, err := sheet.New(check)
		if err != nil {
			t.Left = append(t.Left, level+": "+strings.TrimPrefix(err.Error(), "sheet: "+level+": "))
			continue
		}
		t.Sheet.Rows = append(t.Sheet.Rows, row)
		t.Warnings = append(t.Warnings, row.Warnings...)
	}
	if test.BadSent.Set() != test.GoodRejected.Set() {
		t.Warnings = append(t.Warnings, page.Note{Text: "one of test.bad_sent and test.good_rejected is given: the cheapest limits need both, and a guard band of twice the uncertainty is taken",
			Remedy: "give the other", From: test.Origin.String()})
	}
	return t, nil
}

// room is what the promises of one level leave to a reading at the test.
type room struct {
	labels   []string
	from     string
	min, max float64 // V
	mean, sd float64 // V, of the units made
	slack    float64 // V, standard uncertainty of what a reading says over the conditions: of the carry, and of the air of the test
}

// meet keeps what both leave.
func (r *room) meet(o *room) {
	r.labels = append(r.labels, o.labels...)
	r.min, r.max, r.slack = max(r.min, o.min), min(r.max, o.max), max(r.slack, o.slack)
}

// room returns what a promise leaves at the test; nil where its study says nothing.
func (s *session) room(ctx context.Context, name string, asked *product.Promise, test *Bench) (*room, error) {
	of := bind.Plain(asked.Quantity.Text)
	run := s.setpointUnder(ctx, s.settingOf(&asked.Conditions))
	if run == nil || run.err != nil || !run.reaches(of) {
		return nil, nil
	}
	point := setpoint.Point{Ambient: test.Ambient.Value}
	if q := test.Charge; q != nil {
		point.Charge = &q.Value
	}
	if q := test.Load; q != nil {
		point.Load = &q.Value
	}
	drift, err := run.result.Carry(ctx, of, point, carryRuns, carryEach)
	if err != nil {
		return nil, err
	}
	is, err := run.result.At(ctx, of, point)
	if err != nil {
		return nil, err
	}
	target := 0.0
	level, deviation := strings.CutSuffix(of, "-error")
	if deviation {
		known := false
		if target, known = run.input.Target(level, point.Ambient); !known {
			return nil, nil
		}
	}
	j := newJudged(name, asked)
	b := j.Bound
	low, lowSD := stat.MeanStdDev(drift.Low, nil)
	high, highSD := stat.MeanStdDev(drift.High, nil)
	r := &room{labels: []string{asked.Label.Text}, from: asked.Origin.String(), mean: target + is.Mean, sd: math.Hypot(is.UnitSD, is.UnknownSD),
		min: target + b.min() - low, max: target + b.max() - high} // [J1]
	r.slack = max(lowSD, highSD) // [J2]
	if a, known := run.input.Target(level, point.Ambient+1); known {
		if o, known := run.input.Target(level, point.Ambient); known {
			r.slack = math.Hypot(r.slack, math.Abs(a-o)*sdOf(*test.Ambient))
		}
	}
	if len(r.labels[0]) == 0 {
		r.labels[0] = name
	}
	return r, nil
}

// sdOf is the standard uncertainty of a quantity as it is written.
func sdOf(q quantity.Quantity) float64 {
	if q.Spread == quantity.Normal {
		return q.SD
	}
	low, high := bounds(q)
	return (high - low) / math.Sqrt(12)
}

// measured says when a level is read.
func measured(level string) string {
	return map[string]string{"float": "while it floats", "absorption": "while it absorbs", "load-disconnect": "at which it cuts the load off", "load-reconnect": "at which it gives the load back"}[level]
}

func (b *Bench) words() string {
	text := b.Ambient.String()
	if b.Charge != nil {
		text += ", " + b.Charge.String() + " of charge"
	}
	if b.Load != nil {
		text += ", " + b.Load.String() + " of load"
	}
	return text
}

// row is that of a level; nil where there is none.
func (t *Testing) row(level string) *sheet.Row {
	for i := range t.Sheet.Rows {
		if t.Sheet.Rows[i].Promise == level {
			return &t.Sheet.Rows[i]
		}
	}
	return nil
}

// why says why a level has no limits.
func (t *Testing) why(level string) string {
	for _, l := range t.Left {
		if name, why, _ := strings.Cut(l, ": "); name == level {
			return why
		}
	}
	return "no promise binds it for each unit"
}
