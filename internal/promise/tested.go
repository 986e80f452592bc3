package promise

import (
	"context"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
)

// Made is what was recorded of a unit, with what its test says.
type Made struct {
	Says     []string // one for each level that was read
	Tested   bool
	Pass     bool
	Recorded []product.Recorded // readings first
	Notes    []page.Note
}

// RecordMade records a unit. A field whose column is a level of the test (float, absorption, load-disconnect, load-reconnect) is a reading:
// it is judged by the acceptance limits and recorded with the meter and the conditions of the test, which ambient, charge_current and
// load_current among the fields override. A unit that fails goes back to the step that production.toml names; its readings stay.
//
// The error is one of product.Record, or says what the test lacks; then nothing is written.
func RecordMade(ctx context.Context, dir string, fields []product.Field, seed uint64) (*Made, error) {
	row, levels, conditions := split(fields)
	out := &Made{Pass: true}
	if len(levels) == 0 {
		row = append(row, conditions...)
		done, err := product.Record(dir, "made", row)
		out.Recorded = append(out.Recorded, done)
		return out, err
	}
	folder, err := product.Read(dir)
	if err != nil {
		return nil, err
	}
	p, err := folder.Resolve(variantOf(folder, row))
	if err != nil {
		return nil, err
	}
	at, faults := benchOf(conditions)
	t, err := Test(ctx, p, Options{Seed: seed, Kept: kept.Open(dir)}, at)
	if err != nil {
		return nil, err
	}
	if len(t.Lacks) > 0 {
		for _, l := range t.Lacks {
			faults = append(faults, &product.Error{File: l.File, Key: l.Key, Problem: "is missing", Want: "want " + l.Why})
		}
		return nil, faults
	}
	for _, f := range levels {
		v, err := quantity.ParseAs(f.Text, quantity.Voltage)
		r := t.row(bind.Plain(f.Column))
		switch {
		case err != nil:
			faults = append(faults, &product.Error{Key: f.Column, Value: f.Text, Problem: "is no voltage", Want: `want one such as "27.31 V"`})
		case r == nil:
			out.Notes = append(out.Notes, page.Note{Text: f.Column + " " + f.Text + " is written down and not judged: " + t.why(bind.Plain(f.Column)), Remedy: "see hindwatt sheet"})
		default:
			j, err := r.Judge(v.Value)
			if err != nil {
				return nil, err
			}
			out.Says = append(out.Says, r.Say(v.Value, j))
			out.Pass = out.Pass && j.Pass
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	out.Notes = append(out.Notes, t.Warnings...)
	out.Tested = len(out.Says) > 0
	return out, out.write(dir, &p.Production.Test, row, levels, conditions)
}

// split tells columns of made.csv from readings of levels, and from the conditions of the readings.
func split(fields []product.Field) (row, levels, conditions []product.Field) {
	columns, _ := product.Columns("made")
	for _, f := range fields {
		switch {
		case slices.Contains(columns, f.Column):
			row = append(row, f)
		case slices.Contains([]string{"ambient", "charge_current", "load_current"}, f.Column):
			conditions = append(conditions, f)
		case isSetpoint(bind.Plain(f.Column)+"-error") && !strings.HasPrefix(f.Column, "display"):
			levels = append(levels, f)
		default:
			row = append(row, f) // product says what is wrong with it
		}
	}
	return row, levels, conditions
}

// variantOf is what a unit is laid out as, by its revision, serial or day.
func variantOf(f *product.Folder, row []product.Field) string {
	day, serial := time.Time{}, ""
	for _, c := range row {
		switch c.Column {
		case "revision":
			for _, r := range f.Revisions() {
				if r.Name == c.Text {
					return r.Variant
				}
			}
		case "date":
			day, _ = time.Parse(time.DateOnly, c.Text)
		case "serial":
			serial = c.Text
		}
	}
	r, _ := f.Revision(day, serial)
	return r.Variant
}

// benchOf reads the conditions of a test.
func benchOf(conditions []product.Field) (at Bench, faults product.Errors) {
	for _, c := range conditions {
		to, dim, want := &at.Ambient, quantity.TemperaturePoint, `want a temperature such as "21 °C ±2 K"`
		switch c.Column {
		case "charge_current":
			to, dim, want = &at.Charge, quantity.Current, `want a current such as "0.5 A"`
		case "load_current":
			to, dim, want = &at.Load, quantity.Current, `want a current such as "0.5 A"`
		}
		q, err := quantity.ParseAs(c.Text, dim)
		if err != nil {
			faults = append(faults, &product.Error{Key: c.Column, Value: c.Text, Problem: "is none", Want: want})
			continue
		}
		*to = &q
	}
	return at, faults
}

// write records the readings, and then the unit: if that cannot be, the readings are taken back.
func (m *Made) write(dir string, test *product.Test, row, levels, conditions []product.Field) error {
	var readings [][]product.Field
	for _, f := range levels {
		one := []product.Field{{Column: "what", Text: "setpoint." + strings.ReplaceAll(f.Column, "-", "_")}, {Column: "value", Text: f.Text}, {Column: "meter", Text: test.Meter.Text}}
		for _, c := range row {
			if c.Column == "date" || c.Column == "serial" || c.Column == "revision" {
				one = append(one, c)
			}
		}
		one = append(one, conditions...)
		for column, q := range map[string]product.Quantity{"ambient": test.Ambient, "charge_current": test.ChargeCurrent, "load_current": test.LoadCurrent} {
			if q.Set() && !slices.ContainsFunc(conditions, func(c product.Field) bool { return c.Column == column }) {
				one = append(one, product.Field{Column: column, Text: q.Text})
			}
		}
		readings = append(readings, append(one, product.Field{Column: "basis", Text: "counted"}))
	}
	has := func(column string) bool {
		return slices.ContainsFunc(row, func(c product.Field) bool { return c.Column == column })
	}
	if !has("result") && m.Tested {
		result := "pass"
		if !m.Pass {
			result = "rework"
			if test.Step.Set() && !has("step") {
				row = append(row, product.Field{Column: "step", Text: test.Step.Text})
			}
		}
		row = append(row, product.Field{Column: "result", Text: result})
	}
	done, err := product.Record(dir, "reading", readings...)
	if err != nil {
		return err
	}
	unit, err := product.Record(dir, "made", row)
	if err != nil {
		if back := product.Undo(dir, done.Change); back != nil {
			return slices.Concat(asErrors(err), asErrors(back))
		}
		return err
	}
	m.Recorded = append(m.Recorded, done, unit)
	return nil
}

func asErrors(err error) product.Errors {
	if all, ok := err.(product.Errors); ok {
		return all
	}
	return product.Errors{{Problem: err.Error()}}
}
