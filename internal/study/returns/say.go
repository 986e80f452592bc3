package returns

import (
	"fmt"
	"strings"

	"hindwatt/internal/statistics/survival"
)

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
	switch looked := g.Fault.High + g.NoFault.High; {
	case g.Back.High == 0:
	case looked == 0:
		said += " What was found on them is not noted."
	default:
		said += fmt.Sprintf(" A fault was found in %s of them, none in %s", g.Fault, g.NoFault)
		if left := g.Back.High - g.Fault.High - g.NoFault.High; left >= 0.5 {
			said += fmt.Sprintf("; of %s nothing is noted", group(left))
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
	if said := r.byAgeText(); said != "" {
		out = append(out, said)
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

// byAgeText says how often they came back by age, which way that was found, and why that way.
func (r *Result) byAgeText() string {
	if i := r.All.PerSecond; !r.Known {
		if !(r.All.Exposure.High > 0) {
			return ""
		}
		said := fmt.Sprintf("At what age they came back is not known, so returns are counted against the time that units were out: %s a year (%s), taken as constant.",
			percent(i.Best*year), limits(Interval{Low: i.Low * year, High: i.High * year, Open: i.Open}, percent))
		switch p := r.Periods; {
		case p == nil || r.All.Back.High == 0:
		case p.None != "":
			said += " Sales and returns by period do not tell whether they come early, by chance or by wear."
		default:
			said += fmt.Sprintf(" How returns followed the sales, period by period, speaks of a shape of %.2f (%s) of their ages.", p.Weibull.Shape, maybeRange(&p.Weibull))
		}
		return said
	}
	var said []string
	for _, years := range []float64{1, 2, 5} {
		if years*year > r.Curve.Last {
			break
		}
		at, err := r.shareByAge(&r.All, Asked{Age: years * year, Confidence: r.Input.Confidence}, anyReturn)
		if err == nil && !at.Carried {
			said = append(said, fmt.Sprintf("within %s %s", yearsText(years), shareText(at.Interval)))
		}
	}
	why := " Days of sale are known, so this is Kaplan and Meier's curve, each unit counted as long as its returns are seen."
	if r.Vague > 0 {
		why = fmt.Sprintf(" Of %d returns the age is known between limits only, so the limits are those of Kaplan and Meier's curve with the youngest and with the oldest ages.", r.Vague)
	}
	if r.Table != nil {
		why += " The life table has the same in rows of age, for most ages are known no better."
	}
	if len(said) == 0 {
		return ""
	}
	return upper(strings.Join(said, ", ")) + " came back." + why
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// shape words the Weibull fit, and whether it deserves belief.
func (r *Result) shape() string {
	f, b := r.Fit, r.Belief
	if f == nil || !r.Known {
		return ""
	}
	if b.Pattern == survival.TooFew {
		return fmt.Sprintf("With %d returns it cannot be told whether they come early, by chance or by wear.", f.Failures)
	}
	limit := fmt.Sprintf("(shape %.2f, %s)", f.Shape, maybeRange(f))
	said := "They may come back by chance, as often at one age as at another " + limit + "."
	switch b.Pattern {
	case survival.Early:
		said = "They come back early, less often with age " + limit + ": faults of making or of first use."
	case survival.WearOut:
		said = "They come back more often with age " + limit + ": wear."
	}
	switch {
	case b.Fit.None != "":
	case b.Fit.Value < 0.05:
		said += fmt.Sprintf(" But the ages do not follow Weibull's distribution (p = %.2g): that shape is not to be believed.", b.Fit.Value)
	default:
		said += fmt.Sprintf(" The ages follow Weibull's distribution as far as can be told (p = %.2g).", b.Fit.Value)
	}
	return said
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
	if b.P >= 0.05 {
		return fmt.Sprintf("No run of batches stands out: the worst, %s, would be matched in %s such searches if all batches were alike.", strings.ToLower(who[:1])+who[1:], oneIn(b.P))
	}
	w := r.Whole
	said := who + r.madeText(named[b.First:b.Last+1]) + " came back"
	if w.Ratio > 1 {
		said += fmt.Sprintf(" %.1f times as often as the others", w.Ratio)
	}
	said += fmt.Sprintf(" (%d of %d)", w.Back, w.Sold)
	switch {
	case !b.All:
		said += fmt.Sprintf(", chiefly for %s (%d times, where %.1f were to be expected)", reasonText(b.Reason), b.Observed, b.Expected)
	case len(b.Reasons) > 0 && b.Reasons[0].Reason != "":
		said += fmt.Sprintf(", chiefly for %s (%d times, where %.1f were to be expected)", b.Reasons[0].Reason, b.Reasons[0].Observed, b.Reasons[0].Expected)
	}
	return said + fmt.Sprintf("; if all batches were alike, a difference this large anywhere would turn up in %s such searches; %s of them are still out.", oneIn(b.P), group(float64(w.StillOut)))
}

// madeText says when batches were made, or else sold.
func (r *Result) madeText(batches []*Group) string {
	made, known := r.Input.Made[batches[0].Name]
	from, until := batches[0].First, batches[0].Last
	for _, g := range batches {
		from, until = min(from, g.First), max(until, g.Last)
		m, ok := r.Input.Made[g.Name]
		known = known && ok
		made.From, made.Until = min(made.From, m.From), max(made.Until, m.Until)
	}
	if known {
		return " (made " + months(made.From, made.Until) + ")"
	}
	return " (sold " + months(from, until) + ")"
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
	how := "at the rate so far"
	if r.Model == survival.WeibullAges {
		how = "by the distribution of their ages"
	}
	until := ageText(r.Months[len(r.Months)-1].Until)
	said := fmt.Sprintf("Of the %s units out whose returns are accepted, some %.1f more will come back within %s (%s, %s)",
		group(r.Out), r.Coming.Best, until, limits(r.Coming, group), how)
	if r.All.Back.High == 0 {
		said = fmt.Sprintf("None has come back yet, which only tells that no more than %s of the %s units out whose returns are accepted will come back within %s",
			group(r.Coming.High), group(r.Out), until)
	}
	if last, ok := r.Ended(); ok {
		said = fmt.Sprintf("The last was sold on %s. ", last) + said
	}
	if m, ok := r.Reserve(); ok {
		counted := ""
		if r.Input.Hour != nil {
			counted = ", our own time counted"
		}
		said += fmt.Sprintf("; to set aside"+counted+": %s, or %s to be on the safe side", r.money(m.Best), r.money(m.High))
	}
	return said + "."
}
