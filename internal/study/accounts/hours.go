package accounts

import (
	"slices"
)

// making are the kinds of work that go into each unit.
var making = []string{"building", "testing", "packing"}

// worked enters time, per unit of count.
func (b *book) worked(row Row, group, kind string, v *Value, count [3]float64, f form, calculated bool) {
	w := work{row: row, group: group, kind: kind, form: b.groups.of(v.Quantity, "hours: "+kind).times(f), calculated: calculated}
	for i, end := range ends(v.Quantity) {
		w.ends[i] = end * count[i]
	}
	b.works = append(b.works, w)
}

func (b *book) hours() {
	one, f := b.count(nil, "")
	for _, h := range b.in.Hours {
		group := h.Group
		if group == "" {
			group = h.Kind
		}
		b.worked(h.Row, group, h.Kind, h.Time, one, f, false)
	}
	if !b.did("design") && b.in.Design != nil {
		b.worked(b.first(), "design", "design", b.in.Design, one, f, true)
		b.warn("no hours of design are recorded: work.design is taken", "write them into hours.csv", b.in.Design.From)
	} else if !b.did("design") {
		b.lack("records/hours.csv", "design", "hours of design; or work.design of production.toml")
	}
	if slices.ContainsFunc(making, b.did) {
		b.fillUp()
		return
	}
	if b.byStep(func(begun) float64 { return 1 }) {
		b.warn("no hours of making are recorded: the minutes of the steps are taken, times the units", "write down the hours of a few batches", "production.toml")
	} else {
		b.lack("records/hours.csv", "making", "what one hour paid; or [step.NAME] minutes of production.toml")
	}
}

func (b *book) did(group string) bool {
	return slices.ContainsFunc(b.works, func(w work) bool { return w.group == group && w.kind != kindBack })
}

// first is the row with the first day of all.
func (b *book) first() Row {
	var first Row
	for _, e := range b.entries {
		if first.Date.IsZero() || e.row.Date.Before(first.Date) {
			first = Row{Date: e.row.Date}
		}
	}
	return first
}

// unitMinutes is the time that the steps of one unit take [A4]; ok is false if there is none.
func (b *book) unitMinutes() (f form, at [3]float64, ok bool) {
	f = form{}
	for _, s := range b.in.Steps {
		if s.Minutes == nil {
			return nil, at, false
		}
		factor := 1 + best(s.Allowance)
		extra := 0.0
		if s.Reworks != nil && s.Yield != nil {
			extra += (1 - s.Yield.Value) * s.Reworks.Value
		}
		if s.Setup != nil && b.in.Batch != nil {
			extra += s.Setup.Value / b.in.Batch.Value
		}
		f.plus(b.groups.of(s.Minutes.Quantity, "minutes of the steps"), factor)
		f[power{}] += extra * factor
		for i, end := range ends(s.Minutes.Quantity) {
			at[i] += (end + extra) * factor
		}
	}
	return f, at, len(b.in.Steps) > 0
}

// byStep enters the time of the steps for a part, 0 to 1, of the units of each row; false if the steps do not tell.
func (b *book) byStep(part func(begun) float64) bool {
	minutes, at, ok := b.unitMinutes()
	if !ok {
		return false
	}
	for _, u := range b.begun {
		share := part(u)
		if share <= 0 {
			continue
		}
		w := work{row: u.Row, group: "building", kind: "steps of making", form: minutes, calculated: true}
		if share != 1 || u.count != [3]float64{1, 1, 1} || len(u.form) > 1 {
			w.form = minutes.times(u.form).times(constant(share))
		}
		for i := range at {
			w.ends[i] = at[i] * u.count[i] * share
		}
		b.works = append(b.works, w)
	}
	return true
}

// byStepAtMost enters time of the steps, at its ends, spread over a part, 0 to 1, of the units of each row.
func (b *book) byStepAtMost(time [3]float64, part func(begun) float64) {
	whole, units := b.groups.between(time, "hours of making that are not recorded"), 0.0
	for _, u := range b.begun {
		units += part(u) * u.count[1]
	}
	for _, u := range b.begun {
		share := ratio(part(u)*u.count[1], units)
		if share <= 0 {
			continue
		}
		w := work{row: u.Row, group: "building", kind: "steps of making", form: whole.times(constant(share)), calculated: true}
		for i := range time {
			w.ends[i] = time[i] * share
		}
		b.works = append(b.works, w)
	}
}

func best(v *Value) float64 {
	if v == nil {
		return 0
	}
	return v.Value
}
