package promise

import (
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench/iv"
	"hindwatt/internal/study/bench/pair"
)

// swept are the panels fitted last.
var swept kept.Memory[*iv.Result]

// lookAtIV fits the sweep of a panel, which judges nothing but may be an installation's.
func (s *session) lookAtIV(read *runRead, run *product.Run) error {
	in, notes, err := bind.IV(s.product, read.name)
	read.notes = notes
	if err != nil {
		return err
	}
	found, err := swept.Result("iv", in, func() (*iv.Result, error) { return iv.Run(in) })
	if err != nil {
		return err
	}
	read.page, read.swept = found.Page(), found
	if users := bind.Sweeps(s.product, read.name); len(users) > 0 {
		read.page.Answer = append(read.page.Answer, page.Capital(strings.Join(users, ", "))+" takes its panel from this run; what it computes is not held against it.")
	}
	read.figure("photocurrent", found.Photocurrent, quantity.Current, "A")
	read.figure("ideality", found.Ideality, quantity.Ratio, "")
	read.figure("series resistance", found.Series, quantity.Resistance, "Ω")
	read.figure("shunt resistance", found.Shunt, quantity.Resistance, "Ω")
	for _, one := range []struct {
		at string
		f  *iv.Figures
	}{{"as measured", &found.AsMeasured}, {"at 1000 W/m²", found.Reference}} {
		if one.f == nil {
			continue
		}
		for _, q := range panelFigures(one.f) {
			read.figure(q.name+" "+one.at, q.is, q.dim, q.unit)
		}
	}
	read.showsNothing(run, "a sweep of a panel judges no promise")
	return nil
}

// A panelFigure is one point of a panel's curve.
type panelFigure struct {
	name string
	is   fit.Interval
	dim  quantity.Dimension
	unit string
}

func panelFigures(f *iv.Figures) []panelFigure {
	return []panelFigure{
		{"short-circuit current", f.ShortCircuit, quantity.Current, "A"}, {"open-circuit voltage", f.OpenCircuit, quantity.Voltage, "V"},
		{"peak current", f.PeakCurrent, quantity.Current, "A"}, {"peak voltage", f.PeakVoltage, quantity.Voltage, "V"}, {"peak power", f.PeakPower, quantity.Power, "W"},
	}
}

// paired are the controllers compared last.
var paired kept.Memory[*pair.Result]

// lookAtPair compares two controllers. It informs, and judges nothing.
func (s *session) lookAtPair(read *runRead, run *product.Run) error {
	list, notes, err := bind.Pairs(s.product, read.name)
	read.notes = notes
	if err != nil {
		return err
	}
	for _, in := range list {
		found, err := paired.Result("pair", in, func() (*pair.Result, error) { return pair.Run(in) })
		if err != nil { // what else was compared counts
			read.fail(err, run)
			continue
		}
		read.page.Append(in.Quantity, found.Page())
		dim := in.Dim
		dim.Point = false
		read.figure(in.Quantity+" difference", found.Difference, dim, in.Unit)
		if found.Charge != nil {
			read.figure(in.Quantity+" charge", *found.Charge, quantity.Charge, "Ah")
		}
	}
	read.showsNothing(run, "two controllers on one rig judge no promise")
	return nil
}

// showsNothing says that a run of this kind is no evidence, where it says that it shows something.
func (r *runRead) showsNothing(run *product.Run, why string) {
	for _, shows := range run.Shows.Items {
		r.doubt(shows.Leaf, "shows nothing: "+why, "take it out, or log a run of another kind")
	}
}
