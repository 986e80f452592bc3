package rating

import (
	"fmt"

	"hindwatt/internal/page"
)

// fullSun is the irradiance of a clear noon on the case, W/m².
const fullSun = 1000

// cases are other conditions that a maker is asked about.
func (r *Result) cases(o *Outcome) []struct {
	name string
	at   place
} {
	sun, load := o.At, o.At
	sun.sun = fullSun
	load.load = o.Nominal
	return []struct {
		name string
		at   place
	}{
		{"as above", o.At},
		{fmt.Sprintf("in the sun, %d W/m² on the case", fullSun), sun},
		{"while the load draws " + amperes(o.Nominal), load},
	}
}

// caseTableOf tells the largest current in the sun and with a load.
func (r *Result) caseTableOf() (page.Table, error) {
	t := page.Table{Title: "The largest current in other conditions " + r.Input.conditionWords(), Head: []string{"condition", "largest current", "stopped by", "case then"}, Align: "lrlr",
		Note: "A nominal unit. In the sun the case takes in its absorptance times what falls on it."}
	o := r.Outcome("current")
	if o == nil || o.Never != "" || len(r.Input.Design.Enclosures) == 0 {
		return t, nil
	}
	for _, c := range r.cases(o) {
		current, d, by, err := r.probe.largest(c.at, r.statesOf(o.aim))
		if err != nil {
			return t, err
		}
		touch := "-"
		at := c.at
		at.current = current
		if pt, err := r.probe.point(at, d); err == nil && current > 0 {
			touch = celsius(r.Input.touched(pt))
		}
		t.Rows = append(t.Rows, []string{c.name, amperes(current), stopWords(by.part, by.of), touch})
	}
	return t, nil
}
