package charge

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// A choice is one setting of the regulation, and the years that the nominal unit has with it.
type choice struct {
	text  string
	own   bool // the product's
	odd   bool // beyond what quality standards allow; never advised
	years []Year
}

// A path is what comes of one setting while it is varied, in the order of the setting.
type path struct {
	name    string
	choices []choice
}

// A trade is what settings lead to in one installation: the same unit in the same years.
type trade struct {
	model *model
	own   []Year
	paths []path
}

// A knob is one setting that can be turned.
type knob struct {
	name string
	at   []float64 // rising, V or V/K
	own  float64
	text func(at float64) string
	turn func(by float64) change
	odd  func(at float64) bool
}

// Steps of the levels for a battery of 12 V, V, and slopes of a lead cell, V/K: what common practice spans.
var (
	levelSteps = []float64{-0.4, -0.2, 0, 0.2, 0.4}
	slopes     = []float64{-0.005, -0.004, -0.003, -0.002, 0}
)

// Compensation that quality standards ask of controllers for lead cells, V/K a cell: GTZ, Quality Standards for Solar Home Systems, 2000.
const steepest, flattest = -0.005, -0.003

func never(float64) bool { return false }

// knobs are the settings that the product has.
func (m *model) knobs() (list []knob) {
	in := &m.in.Regulation
	if in.Method == "none" || in.Absorption == nil {
		return nil
	}
	cells := map[bool]int{true: 6, false: 4}[m.cell.Chemistry.Lead()]
	level := func(name string, v *Value, turn func(by float64) change) {
		k := knob{name: name, own: v.Quantity.Value, text: volts, turn: turn, odd: never}
		for _, s := range levelSteps {
			if at := k.own + s*float64(m.count)/float64(cells); at > 0 {
				k.at = append(k.at, at)
			}
		}
		list = append(list, k)
	}
	level("absorption", in.Absorption, func(by float64) change { return change{absorption: by} })
	if in.Float != nil && in.AbsorptionTime != nil {
		level("float", in.Float, func(by float64) change { return change{float: by} })
	}
	k := knob{name: "compensation", own: value(in.Compensation, 0), text: slopeText, turn: func(by float64) change { return change{compensation: by} }, odd: never}
	if m.cell.Chemistry.Lead() {
		k.odd = func(at float64) bool {
			cell := at / float64(m.count)
			return cell < steepest-1e-9 || cell > flattest+1e-9
		}
	}
	for _, s := range slopes {
		if at := s * float64(m.count); math.Abs(at-k.own) > 2.5e-4*float64(m.count) {
			k.at = append(k.at, at)
		}
	}
	i := 0
	for i < len(k.at) && k.at[i] < k.own {
		i++
	}
	k.at = append(k.at[:i], append([]float64{k.own}, k.at[i:]...)...)
	return append(list, k)
}

func slopeText(v float64) string { return quantity.Format(v, quantity.VoltagePerKelvin, "mV/K", 0) }

// vary turns one setting after the other. Every choice has the same years and the same unit, so that what differs is the choice's;
// own are the years as written, nil if they are still to be run.
func (m *model) vary(ctx context.Context, own []Year) (*trade, error) {
	t := &trade{model: m, own: own}
	changes := []change{{}}
	for _, k := range m.knobs() {
		p := path{name: k.name}
		for _, at := range k.at {
			p.choices = append(p.choices, choice{text: k.text(at), own: at == k.own, odd: k.odd(at)})
			if at != k.own {
				changes = append(changes, k.turn(at-k.own))
			}
		}
		t.paths = append(t.paths, p)
	}
	if own != nil {
		changes = changes[1:]
	}
	var tasks []task
	for n := range shownYears { // those under one sky side by side
		for _, c := range changes {
			tasks = append(tasks, task{year: n, unit: m.in.nominal(), change: c})
		}
	}
	years, err := m.run(ctx, tasks)
	if err != nil {
		return nil, err
	}
	of := func(k int) (list []Year) {
		for n := range shownYears {
			list = append(list, years[n*len(changes)+k])
		}
		return list
	}
	next := 0
	if own == nil {
		t.own, next = of(0), 1
	}
	for i := range t.paths {
		for j := range t.paths[i].choices {
			c := &t.paths[i].choices[j]
			if c.years = t.own; !c.own {
				c.years = of(next)
				next++
			}
		}
	}
	return t, nil
}

// differs returns by how much a choice differs from the product's own, with 95 % limits of the mean over paired years (Student) [CH9],
// and whether the years tell the two apart.
func (t *trade) differs(c *choice, of func(y *Year) float64) (i Interval, resolved bool) {
	n := float64(len(t.own))
	sum, squares := 0.0, 0.0
	for k := range t.own {
		sum += of(&c.years[k]) - of(&t.own[k])
	}
	i.Best = sum / n
	for k := range t.own {
		d := of(&c.years[k]) - of(&t.own[k]) - i.Best
		squares += float64(d * d)
	}
	half := statistics.StudentTQuantile(0.975, n-1) * math.Sqrt(squares/(n-1)/n)
	i.Low, i.High = i.Best-half, i.Best+half
	return i, i.Low > 0 || i.High < 0
}

// With lays other installations beside this one where settings are varied. One that cannot be computed is left out with a warning.
func (r *Result) With(others ...Input) { r.others = append(r.others, others...) }

// trades varies the settings of this installation and of the others whose battery is of its kind.
func (r *Result) trades(ctx context.Context, own []Year) ([]*trade, error) {
	if len(r.model.knobs()) == 0 {
		return nil, nil
	}
	first, err := r.model.vary(ctx, own)
	if err != nil {
		return nil, err
	}
	list := []*trade{first}
	for i := range r.others {
		in := &r.others[i]
		in.Seed, in.MeanYear = r.Input.Seed, r.Input.MeanYear && in.Weather == nil
		if err := in.check(); err != nil || len(in.missing()) > 0 {
			continue // its own page says what is wrong
		}
		m, err := newModel(in)
		if err != nil {
			r.note(warning(fmt.Sprintf("%s is left out where settings are varied: %v.", in.Installation, err)))
			continue
		}
		if m.cell.Chemistry.Lead() != r.model.cell.Chemistry.Lead() {
			continue
		}
		t, err := m.vary(ctx, nil)
		if err != nil {
			return nil, err
		}
		list = append(list, t)
	}
	return list, nil
}
