package accounts

import "slices"

// A model is the accounts as forms of the groups' spreads.
type model struct {
	in, out, hours, design sum
	otherOut, otherHours   sum      // with parts and making from production.toml
	other                  bool     // both are known
	months                 []sum    // net of each month
	years                  [][2]sum // net of each year, and its hours without design
}

const year = 365.25 * 86400

// A draft gathers the forms of a model.
type draft struct {
	in, out, hours, design, otherOut, otherHours form
	months, worked                               []form // net, and hours without design, of each month
	parts, making                                bool   // some are recorded
}

func (r *Result) newModel() *model {
	d := &draft{form{}, form{}, form{}, form{}, form{}, form{}, make([]form, len(r.Months)), make([]form, len(r.Months)), false, false}
	for k := range r.Months {
		d.months[k], d.worked[k] = form{}, form{}
	}
	for _, e := range r.book.entries {
		from, days := r.days(e.row)
		d.entry(e, from, days)
	}
	for _, w := range r.book.works {
		from, days := r.days(w.row)
		d.work(w, from, days)
	}
	m := &model{other: d.parts && d.making && !r.book.filled && d.list(r.book)}
	m.in, m.out, m.hours, m.design = d.in.ready(), d.out.ready(), d.hours.ready(), d.design.ready()
	m.otherOut, m.otherHours = d.otherOut.ready(), d.otherHours.ready()
	for _, f := range d.months {
		m.months = append(m.months, f.ready())
	}
	m.years = r.perYear(d.months, d.worked)
	return m
}

// entry adds money; days are those of each month from the one named.
func (d *draft) entry(e entry, from int, days []int) {
	sign := 1.0
	switch {
	case e.in:
		d.in.plus(e.form, 1)
	case e.units:
		d.parts, sign = true, -1
		d.out.plus(e.form, 1)
	default:
		sign = -1
		d.out.plus(e.form, 1)
		d.otherOut.plus(e.form, 1)
	}
	for k, n := range days {
		d.months[from+k].plus(e.form, sign*float64(n)/float64(total(days)))
	}
}

// work adds time.
func (d *draft) work(w work, from int, days []int) {
	d.hours.plus(w.form, 1)
	if slices.Contains(making, w.group) && w.kind != kindBack {
		d.making = d.making || !w.calculated
	} else {
		d.otherHours.plus(w.form, 1)
	}
	if w.group == "design" {
		d.design.plus(w.form, 1)
		return
	}
	for k, n := range days {
		d.worked[from+k].plus(w.form, float64(n)/float64(total(days)))
	}
}

// list adds parts by the list and making by the steps to the other way of counting; false if they do not tell.
func (d *draft) list(b *book) bool {
	parts, ok := b.unitParts()
	minutes, _, timed := b.unitMinutes()
	if !ok || !timed {
		return false
	}
	for _, u := range b.begun {
		d.otherOut.plus(parts.form.times(u.form), 1)
		d.otherHours.plus(minutes.times(u.form), 1)
	}
	return true
}

// perYear adds up the months' forms by the years of r.
func (r *Result) perYear(net, hours []form) (out [][2]sum) {
	k := 0
	for _, y := range r.Years {
		left, worked := form{}, form{}
		for ; k < len(net) && r.Months[k].First.Year() <= y.Until; k++ {
			left.plus(net[k], 1)
			worked.plus(hours[k], 1)
		}
		out = append(out, [2]sum{left.ready(), worked.ready()})
	}
	return out
}

// The figures of the model, in order.
const (
	iIn = iota
	iOut
	iNet
	iHours
	iPaid
	iBut
	iOther
	iApart
	iTurned
	figures
)

// at computes all figures, then each year's hour's pay, at the groups' spreads [A7].
func (m *model) at(z, y []float64) error {
	in, out, hours := m.in.at(z), m.out.at(z), m.hours.at(z)
	y[iIn], y[iOut], y[iNet], y[iHours] = in, out, in-out, hours
	y[iPaid] = ratio(in-out, hours/3600)
	y[iBut] = ratio(in-out, (hours-m.design.at(z))/3600)
	y[iOther] = ratio(in-m.otherOut.at(z), m.otherHours.at(z)/3600)
	y[iApart] = y[iPaid] - y[iOther]
	y[iTurned] = float64(m.turned(z))
	for i, s := range m.years {
		y[figures+i] = ratio(s[0].at(z), s[1].at(z))
	}
	return nil
}

func ratio(a, b float64) float64 {
	if b <= 0 {
		return 0
	}
	return a / b
}

// turned counts the months until the gathered money stays above 0; one more than there are where it never does.
func (m *model) turned(z []float64) int {
	sum, since := 0.0, len(m.months)+1
	for k, s := range m.months {
		if sum += s.at(z); sum <= 0 {
			since = len(m.months) + 1
		} else if since > len(m.months) {
			since = k + 1
		}
	}
	return since
}

// over computes the money gathered by the end of each month, at the groups' spreads.
func (m *model) over(z, y []float64) error {
	sum := 0.0
	for k, s := range m.months {
		sum += s.at(z)
		y[k] = sum
	}
	return nil
}
