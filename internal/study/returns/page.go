package returns

import (
	"fmt"
	"strings"

	"hindwatt/internal/page"
)

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := page.Page{ID: "returns", Question: "How often does it come back?", Short: "Comes back?"}
	if !(r.All.Sold.High >= 1) {
		p.Answer = []string{"No unit sold is written down yet."}
		p.Lacks = []page.Lack{{File: "records/sold.csv", Key: "date, count", Why: "a remembered total a year is enough: 2021-01-01, until 2021-12-31, count 300"}}
		return p, nil
	}
	p.Answer = append(r.answer(), r.more()...)
	p.Tables = r.tables()
	p.Figures = r.figures()
	p.Warnings, p.Cautions, p.Lacks, p.How = r.warnings(), r.cautions(), r.lacks(), r.how()
	in := &r.Input
	p.Inputs = []page.Input{{Name: "today", Text: in.Today.String(), From: "default", Note: in.TodayFrom}}
	for _, v := range []struct {
		name, note string
		*Value
	}{
		{"accepted_for", "after that age returns may go unseen, and units are watched no longer", in.AcceptedFor},
		{"work.fault_unreported", "share of faults that are never told of", in.Unreported},
		{"work.hour", "what an hour spent on a return is worth", in.Hour},
	} {
		if v.Value != nil {
			p.Inputs = append(p.Inputs, page.Input{Name: v.name, Text: v.Quantity.String(), From: v.From, Note: v.note})
		}
	}
	return p, nil
}

func (r *Result) answer() []string {
	in, g, whose := &r.Input, &r.Own, ""
	split := r.Own.Sold != r.All.Sold
	if split {
		whose = " of revision " + in.Revision
	}
	if split && !(g.Sold.High >= 1) {
		g, whose, split = &r.All, "", false
	}
	said := fmt.Sprintf("Of %s %s%s sold up to %s, %s came back: %s.", g.Sold, units(g.Sold), whose, in.Today, came0(g.Back), shareText(g.Share))
	if g.Back.High > 0 {
		said += fmt.Sprintf(" A fault was found in %s of them, none in %s", g.Fault, g.NoFault)
		if left := g.Back.High - g.Fault.High - g.NoFault.High; left >= 0.5 {
			said += fmt.Sprintf("; at %s nobody looked, or nothing is noted", group(left))
		}
		said += "."
	}
	out := []string{said}
	if split {
		out = append(out, fmt.Sprintf("Of all %s units of every revision %s came back: %s. All that follows is about these.", r.All.Sold, came0(r.All.Back), shareText(r.All.Share)))
	}
	return out
}

func came0(c Count) string {
	if c.High == 0 {
		return "none"
	}
	return c.String()
}

// more are the other sentences: by age, the batches that differ, what the shape tells, the failures, what is to come.
func (r *Result) more() (out []string) {
	if r.Known {
		said := "Their days of sale are known, so the curve by age is Kaplan and Meier's, each unit counted as long as its returns are seen."
		for _, years := range []float64{1, 2, 5} {
			if years*year > r.Curve.Last {
				break
			}
			at, err := r.shareByAge(&r.All, Asked{Age: years * year, Confidence: r.Input.Confidence}, anyReturn)
			if err == nil && !at.Carried {
				said += fmt.Sprintf(" Within %s %s came back.", yearsText(years), shareText(at.Interval))
			}
		}
		out = append(out, said)
	} else if i := r.All.PerSecond; r.All.Exposure.High > 0 {
		out = append(out, fmt.Sprintf("Ages are not known for all, so returns are counted against the time that units were out: %s a year (%s), taken as constant.",
			percent(i.Best*year), limits(Interval{Low: i.Low * year, High: i.High * year, Open: i.Open}, percent)))
	}
	if said := r.finding(); said != "" {
		out = append(out, said)
	}
	if said := r.standsOut(); said != "" {
		out = append(out, said)
	}
	if said := r.shape(); said != "" {
		out = append(out, said)
	}
	if u := r.Unseen; u != nil && r.All.Fault.High > 0 {
		out = append(out, fmt.Sprintf("If %s of faults are never told of, some %s units failed (%s to %s), an estimate that is no better than that share.",
			r.Input.Unreported.Quantity.String(), group(u.Best), group(u.Low), group(u.High)))
	}
	if said := r.coming(); said != "" {
		out = append(out, said)
	}
	return out
}

func yearsText(n float64) string {
	if n == 1 {
		return "a year"
	}
	return fmt.Sprintf("%.0f years", n)
}

// shape words the Weibull fit.
func (r *Result) shape() string {
	f := r.Fit
	if f == nil || !r.Known {
		return ""
	}
	if f.Failures < 5 {
		return fmt.Sprintf("With %d returns it cannot be told whether they come early, by chance or by wear.", f.Failures)
	}
	limit := fmt.Sprintf("(shape %.2f, %s)", f.Shape, maybeRange(f))
	switch {
	case f.ShapeHigh.None == "" && f.ShapeHigh.Value < 1:
		return "They come back early, less often with age " + limit + ": faults of making or of first use."
	case f.ShapeLow.None == "" && f.ShapeLow.Value > 1:
		return "They come back more often with age " + limit + ": wear."
	}
	return "They may come back by chance, as often at one age as at another " + limit + "."
}

// finding words the batches that differ.
func (r *Result) finding() string {
	b := r.Found.Best
	if b == nil {
		return ""
	}
	named := r.namedBatches()
	first, last := named[b.First], named[b.Last]
	who := "Units of batch " + first.Name
	if b.First != b.Last {
		who = fmt.Sprintf("Units of batches %s to %s", first.Name, last.Name)
	}
	from, until, out := first.First, first.Last, 0
	for _, g := range named[b.First : b.Last+1] {
		from, until = min(from, g.First), max(until, g.Last)
		for _, u := range g.units {
			if u.Back == nil {
				out++
			}
		}
	}
	if b.P >= 0.05 {
		return fmt.Sprintf("No run of batches stands out: the worst, %s, would be matched in %s such searches if all batches were alike.", strings.ToLower(who[:1])+who[1:], oneIn(b.P))
	}
	said := fmt.Sprintf("%s (sold %s) came back", who, months(from, until))
	if !b.All {
		said += fmt.Sprintf(" for %s", reasonText(b.Reason))
	}
	if b.Ratio.None == "" {
		said += fmt.Sprintf(" %.1f times as often as the others", b.Ratio.Value)
	} else {
		said += " more often than the others"
	}
	if b.All && len(b.Reasons) > 0 && b.Reasons[0].Reason != "" {
		said += ", chiefly for " + b.Reasons[0].Reason
	}
	said += fmt.Sprintf(" (%d times, where %.1f were to be expected)", b.Observed, b.Expected)
	return said + fmt.Sprintf("; if all batches were alike, a difference this large anywhere would turn up in %s such searches. %s of them are still out.", oneIn(b.P), group(float64(out)))
}

func reasonText(reason string) string {
	if reason == "" {
		return "what is not noted"
	}
	return reason
}

func (r *Result) namedBatches() []*Group {
	var named []*Group
	for i := range r.Batches {
		if r.Batches[i].Name != "" {
			named = append(named, &r.Batches[i])
		}
	}
	return named
}

func (r *Result) coming() string {
	if len(r.Months) == 0 {
		return ""
	}
	said := fmt.Sprintf("Of the %s units out whose returns are accepted, some %.1f more will come back within %s (%s, at the rate so far)",
		group(r.Out), r.Coming.Best, ageText(r.Months[len(r.Months)-1].Until), limits(r.Coming, group))
	if m, ok := r.Reserve(); ok {
		said += fmt.Sprintf("; to set aside: %s, or %s to be on the safe side", r.money(m.Best), r.money(m.High))
	}
	return said + "."
}

func (r *Result) warnings() []page.Note {
	in := &r.Input
	notes := []page.Note{{
		Text:   fmt.Sprintf("counted up to %s, %s: what came back since and is not written down is not counted", in.Today, in.TodayFrom),
		Remedy: "keep the records up to the day; a row of any of them brings it forward",
	}}
	add := func(when bool, text, remedy string) {
		if when {
			notes = append(notes, page.Note{Text: text, Remedy: remedy})
		}
	}
	add(in.LeftOut > 0, fmt.Sprintf("%d rows of the records are wrong and were left out of these figures", in.LeftOut), "mend them: hindwatt check lists each with its line")
	add(in.Guessed > 0, fmt.Sprintf("%d rows count for their revision by their day alone", in.Guessed), "write the serial, the batch or the revision")
	add(in.Unsold > 0, fmt.Sprintf("%d units came back though no sale of them is written down; each counts as sold on some day before", in.Unsold), "write the sale into records/sold.csv")
	add(!r.Known, "the age at which units came back is not known for all: shares by age rest on periods or on a constant rate", "write the serial with each sale and each return; a batch with the return helps too")
	add(r.Known && r.Fit != nil && r.Fit.Failures >= 5 && (r.Fit.ShapeLow.None == "" && r.Fit.ShapeLow.Value > 1 || r.Fit.ShapeHigh.None == "" && r.Fit.ShapeHigh.Value < 1) && len(r.Months) > 0,
		"the forecast takes a constant rate, which the ages contradict", "hold the shape's limits against it: with wear more will come, with early faults fewer")
	add(r.Found.Best != nil && r.Found.Best.P < 0.05, "limits of a ratio of the worst of many batches are as of batches chosen beforehand: the worst looks worse than it is", "judge by the probability of the search")
	return notes
}

func (r *Result) cautions() []page.Note {
	if r.Found.Best == nil || r.Found.Best.P >= 0.05 {
		return nil
	}
	return []page.Note{{
		Text:   "Whether to call units back is decided with the law of product safety of where they were sold and with a competent person; a statistic does not decide it. A risk of fire, of an overcharged battery or of shock does not wait for statistics.",
		Remedy: "look at a unit of these batches, ask who is to be told, and write the decision down",
	}}
}

func (r *Result) lacks() (out []page.Lack) {
	if r.Input.Unreported == nil {
		out = append(out, page.Lack{File: "production.toml", Key: "work.fault_unreported", Why: "how many failed; returns are only those that were sent"})
	}
	if r.Cost == nil && r.All.Back.High > 0 {
		out = append(out, page.Lack{File: "records/returned.csv", Key: "cost, minutes", Why: "what a return costs, and the money to set aside"})
	}
	return out
}

func (r *Result) how() []page.Method {
	return []page.Method{
		{Text: "Age counts from the day of sale to the first return, else to today or to the end of acceptance; on the day of sale a unit is half a day old [B1].", Equation: "t = min(today − sold, accepted_for)"},
		{Text: "Shares have exact limits; of counts between limits, those of the least and of the most [B3].", Source: "Clopper and Pearson, Biometrika 26, 1934"},
		{Text: "The rate is returns per unit-year, with exact limits [B4].", Equation: "λ = r/Σt", Source: "Garwood, Biometrika 28, 1936"},
		{Text: "By age, where ages are known [B5].", Equation: "S(t) = Π(1 − d/n)", Source: "Kaplan and Meier, Journal of the American Statistical Association 53, 1958"},
		{Text: "Each group is held against all others by log-rank, adjusted for their number [B6].", Source: "Mantel 1966; Holm, Scandinavian Journal of Statistics 6, 1979"},
		{Text: "Batches are searched over all runs and reasons; the probability is that of the whole search, by permutation.", Source: "Phipson and Smyth 2010"},
		{Text: "What is to come is predicted from the rate so far and the time for which units stay under watch [B7]."},
	}
}
