package production

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
)

// recordAnswer says what was recorded, and first that it disagrees.
func (r *Result) recordAnswer(rec *Record) string {
	of := ""
	if own := r.Input.Recorded.Own; own != "" {
		of = " of " + own
	}
	least := ""
	if rec.Short {
		least = "at least "
	}
	span := r.span(rec.Cost)
	if rec.CostOpen != "" {
		span = " (" + noLimits(rec.CostOpen) + ")"
	}
	said := fmt.Sprintf("The records of %.0f good units%s give %s%s%s, with the same overheads", rec.Units, of, least, r.money(rec.Cost.Best), span)
	if !rec.Disagrees() {
		return said + "."
	}
	hour, d := r.model.hour.best(), rec.Difference
	way := "too much"
	if d.Best < 0 {
		way, d = "too little", Interval{-d.Best, -d.High, -d.Low}
	}
	return fmt.Sprintf("Calculation and records disagree. %s: the calculation says %s%s %s. Parts are %s by the list and %s as bought; work is %s by the steps and %s by the hours recorded.",
		said, r.money(d.Best), r.span(d), way, r.money(r.listParts()), r.money(rec.Parts.Best), r.money(r.Unit.Own), r.money(rec.Time.Best*hour))
}

// noLimits says why a recorded figure has none.
func noLimits(why string) string { return why + ": no limits" }

// TimeDisagrees reports whether the recorded time is told apart from that of the steps.
func (rec *Record) TimeDisagrees() bool {
	return rec.TimeDifference.High < 0 || rec.TimeDifference.Low > 0
}

// Disagrees reports whether the recorded cost is told apart from the calculated one; what was paid
// at least does not disagree with more.
func (rec *Record) Disagrees() bool {
	return rec.Difference.High < 0 || rec.Difference.Low > 0 && !rec.Short
}

// listParts is the material of one good unit by the list, with what is scrapped.
func (r *Result) listParts() float64 { return r.Unit.Materials / r.Unit.Yield }

// disagreement is what to look at where calculation and records differ.
func (r *Result) disagreement() []page.Note {
	rec := r.Recorded
	if rec == nil {
		return nil
	}
	minutesNote := page.Note{Text: fmt.Sprintf("The steps take %s, the hours recorded are %s for one good unit.", minutes(r.Unit.Time), minutes(rec.Time.Best)),
		Remedy: "time a batch, and correct the minutes of the steps", From: "records/hours.csv"}
	if !rec.HasCost || !rec.Disagrees() {
		if rec.TimeDisagrees() {
			return []page.Note{minutesNote}
		}
		return nil
	}
	parts, work := r.listParts()-rec.Parts.Best, r.Unit.Own-rec.Time.Best*r.model.hour.best()
	if math.Abs(work) > math.Abs(parts) {
		return []page.Note{minutesNote}
	}
	text := fmt.Sprintf("The prices in production.toml are taken for batches of %d", r.Batch)
	if rec.Ordered > 0 {
		text += fmt.Sprintf("; an order of parts was for %.0f good units", rec.Ordered)
	}
	note := page.Note{Text: text + ".", Remedy: "hold an invoice against the prices of [bom]", From: "records/spent.csv"}
	if n := r.asBought(rec.Parts); n > 0 {
		note.Remedy += fmt.Sprintf(": they come to what was paid if parts are bought for %d at a time", n)
	}
	return []page.Note{note}
}

// asBought is the batch, of those looked at, whose parts by the list come nearest to what was paid;
// 0 if none is within its limits.
func (r *Result) asBought(paid Interval) int {
	m, x := r.model, r.model.estimates()
	units, least := 0, math.Inf(1)
	for _, s := range r.Sizes {
		p, err := m.planFor(s.Units)
		if err != nil {
			continue
		}
		u := m.unit(x, p, nil, nil)
		each := u.Materials / u.Yield
		if off := math.Abs(each - paid.Best); off < least && paid.Low <= each && each <= paid.High {
			units, least = s.Units, off
		}
	}
	return units
}

// hoursAnswer says what the hours recorded give; nothing without any.
func (r *Result) hoursAnswer() string {
	rec := r.Recorded
	switch {
	case rec == nil || !rec.HasTime:
		return ""
	case rec.TimeOpen != "":
		return fmt.Sprintf(" The hours recorded give %s (%s).", minutes(rec.Time.Best), noLimits(rec.TimeOpen))
	case rec.TimeDisagrees():
		return fmt.Sprintf(" The hours recorded disagree: they give %s (%s to %s).", minutes(rec.Time.Best), minutes(rec.Time.Low), minutes(rec.Time.High))
	}
	return fmt.Sprintf(" The hours recorded give %s (%s to %s).", minutes(rec.Time.Best), minutes(rec.Time.Low), minutes(rec.Time.High))
}
