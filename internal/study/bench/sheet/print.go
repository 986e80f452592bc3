package sheet

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A Sheet is a test sheet: what to measure on each unit, at what, with what, and between which limits it is accepted.
type Sheet struct {
	Product, Revision string
	Rows              []Row
	Units             int // boxes a row: units on one sheet; ≤ 0: 10
}

//go:embed sheet.html
var text string

var printed = template.Must(template.New("sheet").Parse(text))

// line is a row as printed.
type line struct {
	Promise, Label, Measure, Conditions, Meter string
	Low, High, Promised                        string
	Bad, Good                                  string
	Warnings                                   []string
}

// HTML writes the sheet as one file to print, with a box for each unit; nothing is fetched from elsewhere.
func (s *Sheet) HTML(w io.Writer) error {
	units := s.Units
	if units <= 0 {
		units = 10
	}
	var out bytes.Buffer
	err := printed.Execute(&out, struct {
		*Sheet
		Lines []line
		Boxes []struct{}
	}{s, s.lines(), make([]struct{}, units)})
	if err != nil {
		return err
	}
	_, err = out.WriteTo(w)
	return err
}

// CSV writes the sheet as a table.
func (s *Sheet) CSV(w io.Writer) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"promise", "measure", "conditions", "meter", "accept_from", "accept_to", "promised", "bad_passed", "good_rejected"}}
	for _, l := range s.lines() {
		rows = append(rows, []string{l.Promise, l.Measure, l.Conditions, l.Meter, l.Low, l.High, l.Promised, l.Bad, l.Good})
	}
	return c.WriteAll(rows)
}

func (s *Sheet) lines() []line {
	var out []line
	for i := range s.Rows {
		r := &s.Rows[i]
		l := line{Promise: r.Promise, Label: r.Label, Measure: r.Measure, Conditions: r.Conditions, Meter: r.Meter.Name,
			Low: r.inward(r.Accept.Low, math.Ceil), High: r.inward(r.Accept.High, math.Floor), Promised: r.bound(),
			Bad: percent(r.Accept.FalseAccept), Good: percent(r.Accept.FalseReject)}
		for _, n := range r.Warnings {
			l.Warnings = append(l.Warnings, n.Text+": "+n.Remedy)
		}
		out = append(out, l)
	}
	return out
}

// inward writes an acceptance limit with the digits that the meter shows, rounded into the interval.
func (r *Row) inward(v float64, round func(float64) float64) string {
	if math.IsInf(v, 0) {
		return "open"
	}
	n := r.decimals()
	shown, err := (quantity.Quantity{Value: v, Dim: r.Dim}).In(r.Unit)
	if err != nil {
		return quantity.Format(v, r.Dim, r.Unit, n)
	}
	scale := math.Pow(10, float64(n))
	scaled := shown * scale
	if near := math.Round(scaled); math.Abs(scaled-near) > 1e-6 {
		scaled = round(scaled)
	} else {
		scaled = near
	}
	offset, _ := (quantity.Quantity{Value: 0, Dim: r.Dim}).In(r.Unit)
	unit, _ := (quantity.Quantity{Value: 1, Dim: r.Dim}).In(r.Unit)
	return quantity.Format((scaled/scale-offset)/(unit-offset), r.Dim, r.Unit, n)
}

func (r *Row) bound() string {
	show := func(v float64) string { return quantity.Format(v, r.Dim, r.Unit, r.decimals()) }
	switch {
	case math.IsInf(r.Check.Min, -1):
		return "at most " + show(r.Check.Max)
	case math.IsInf(r.Check.Max, 1):
		return "at least " + show(r.Check.Min)
	}
	return show(r.Check.Min) + " to " + show(r.Check.Max)
}

// Table is the sheet as a table of a page.
func (s *Sheet) Table() page.Table {
	t := page.Table{Title: "Between which readings a unit is accepted", Head: []string{"level", "promised here", "accept from", "to", "read with", "uncertainty", "bad and passed", "good and turned away"}, Align: "lrrrlrrr"}
	for i, l := range s.lines() {
		t.Rows = append(t.Rows, []string{l.Promise, l.Promised, l.Low, l.High, l.Meter, "±" + s.Rows[i].size(guard*s.Rows[i].U), l.Bad, l.Good})
	}
	if len(s.Rows) > 0 {
		t.Note = "Promised is the bound as it stands at the test" + at(s.Rows[0].Conditions) + ", moved by how far a unit comes from there over the promise's conditions; how much that differs from unit to unit is part of the uncertainty. "
		if s.Rows[0].Best != nil {
			t.Note += "The limits are those of least cost."
		} else {
			t.Note += "The guard band is twice the standard uncertainty of a reading (JCGM 106, 8.3.2)."
		}
	}
	return t
}

func at(conditions string) string {
	if conditions == "" {
		return ""
	}
	return " (" + conditions + ")"
}

// Sentence says what to accept and what that does.
func (r *Row) Sentence() string {
	a := &r.Accept
	low, high := r.inward(a.Low, math.Ceil), r.inward(a.High, math.Floor)
	accept := low + " to " + high
	switch {
	case math.IsInf(a.Low, 0):
		accept = "up to " + high
	case math.IsInf(a.High, 0):
		accept = "from " + low
	}
	return fmt.Sprintf("%s: accept %s, read with %s (±%s): %s of the units pass; %s are bad and pass, %s are good and are turned away. Accepted up to the bound itself, %s would be bad and pass.",
		page.Capital(r.Promise), accept, r.Meter.Name, r.size(guard*r.U), percent(a.Accepted), percent(a.FalseAccept), percent(a.FalseReject), percent(r.Plain.FalseAccept))
}

// BadSent words the share of the units sent out that are bad.
func (r *Row) BadSent() string {
	if r.Accept.Accepted <= 0 {
		return "none"
	}
	return percent(r.Accept.FalseAccept / r.Accept.Accepted)
}
