package rating

import (
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

// fullSun is the irradiance of a clear noon on the case, W/m².
const fullSun = 1000

// caseTableOf tells the largest current in the sun and with a load that draws as much.
func (r *Result) caseTableOf() (page.Table, error) {
	t := page.Table{Title: "The largest current in other conditions " + r.Input.conditionWords(), Head: []string{"condition", "largest current", "stopped by", "case then"}, Align: "lrlr",
		Note: "A nominal unit. In the sun the case takes in its absorptance times what falls on it."}
	o := r.Outcome("current")
	if o == nil || o.Never != "" {
		return t, nil
	}
	sun := o.At
	sun.sun = fullSun
	for _, c := range []struct {
		name string
		at   place
		load bool
	}{
		{"as above", o.At, o.At.load > 0},
		{fmt.Sprintf("in the sun, %d W/m² on the case", fullSun), sun, o.At.load > 0},
		{"while the load draws the same current", o.At, true},
	} {
		row, err := r.caseRow(c.name, c.at, c.load)
		if err != nil {
			return t, err
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

// caseRow is the largest current in one condition; same: the load draws what the panel gives, where no other load is named.
func (r *Result) caseRow(name string, at place, same bool) ([]string, error) {
	rated, with := hardware.Rating{Current: math.Inf(1)}, conducting
	for _, d := range r.statesOf(aims[0]) {
		one, err := r.probe.unit.Largest(r.Input.outside(at, false), hardware.State{Duty: d, LoadOn: same}, hardware.Find{Load: same && at.load == 0, Full: true})
		if err != nil {
			return nil, err
		}
		if one.Current < rated.Current {
			rated, with = one, d
		}
	}
	if !rated.Bound {
		return []string{name, "no end", stopWords("", ""), "-"}, nil
	}
	touch := "-"
	if rated.Point != nil {
		touch = celsius(r.Input.touched(rated.Point))
	}
	stopped := stopWords(rated.Part, rated.Of)
	if with != conducting {
		stopped += ", " + dutyWords(with)
	}
	return []string{name, amperes(rated.Current), stopped, touch}, nil
}
