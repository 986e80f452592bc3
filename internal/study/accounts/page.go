package accounts

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

func (r *Result) money(v float64) string { return r.book.euros(v) }

func (r *Result) hourly(v float64) string {
	return quantity.Format(v, quantity.MoneyPerTime, r.Currency+"/h", 2)
}

func (f Figure) text(say func(float64) string) string { return f.between(say, say) }

// between says a figure, its limits in their own way.
func (f Figure) between(say, limit func(float64) string) string {
	switch {
	case f.None != "":
		return "none: " + f.None
	case f.OpenLow && f.OpenHigh:
		return say(f.Best) + " (95 %: not bounded)"
	case f.OpenHigh:
		return say(f.Best) + " (95 %: from " + limit(f.Low) + ")"
	case f.OpenLow && say(f.Best) == say(f.High):
		return say(f.Best) + " at most"
	case f.OpenLow:
		return say(f.Best) + " (95 %: up to " + limit(f.High) + ", and down without a limit)"
	case say(f.Low) == say(f.High):
		return say(f.Best)
	}
	return say(f.Best) + " (95 %: " + span(limit, f.Low, f.High) + ")"
}

// sum says a sum of money. Its limits are not known to the cent: they have four digits of the spread.
func (r *Result) sum(f Figure) string {
	return f.between(r.money, func(v float64) string { return r.limit(v, f.High-f.Low) })
}

// atMost says a sum or, with its low side open, that it is no more.
func atMost(f Figure, said string) string {
	if f.OpenLow {
		return "at most " + strings.TrimSuffix(said, " at most")
	}
	return said
}

// limit says one end of a spread of money.
func (r *Result) limit(v, spread float64) string {
	if spread <= 0 {
		return r.money(v)
	}
	step := math.Pow(10, math.Floor(math.Log10(spread))-3)
	if step < 1 {
		return r.money(v)
	}
	return quantity.Format(math.Round(v/step)*step, quantity.Money, r.Currency, 0)
}

// span says a range, the unit once.
func span(say func(float64) string, low, high float64) string {
	from, to := say(low), say(high)
	if _, unit, ok := strings.Cut(to, " "); ok {
		from = strings.TrimSuffix(from, " "+unit)
	}
	return from + " to " + to
}

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := page.Page{ID: "accounts", Question: "Did it pay?", Short: "Did it pay?", Warnings: r.Warnings, Lacks: r.Lacks}
	p.Answer = r.answer()
	if r.Input.PartOf != "" {
		p.Answer = append(p.Answer, "These are the accounts of the whole product: design, tools and overheads cannot be split honestly, so "+r.Input.PartOf+" has the same.")
	}
	p.Figures = r.plots()
	p.Tables = append(p.Tables, r.kinds())
	if len(r.Months) > 0 {
		p.Tables = append(p.Tables, r.byYear(), r.work())
	}
	if r.Net.None == "" {
		if !r.book.noParts {
			p.Tables = append(p.Tables, r.present())
		}
		if r.HourPaid.None == "" {
			p.Tables = append(p.Tables, r.prices())
		}
	}
	for _, t := range []page.Table{r.owing()} {
		if len(t.Rows) > 0 {
			p.Tables = append(p.Tables, t)
		}
	}
	if len(r.Budget.Lines) > 0 && r.HourPaid.None == "" {
		p.Tables = append(p.Tables, r.budget())
	}
	if len(r.Months) > 0 {
		p.Tables = append(p.Tables, r.byMonth())
	}
	p.How = how
	return p, nil
}

var how = []page.Method{
	{Text: "Every sale is booked by itself: tax is taken out of the price, the channel's fee off the price with tax. Sums are exact; half to even is the one rounding rule.",
		Equation: "[A2] tax = price · rate/(1 + rate); fee = price · fee + fixed", Source: "definitions"},
	{Text: "What is remembered as a range errs together within one file and kind, and independently of others; any value between the ends is as likely; what is written with sd is normal.",
		Equation: "[A5] v = best + half-width · z, -1 ≤ z ≤ 1, or z normal with sd 1/1.96", Source: "JCGM 101:2008; the budget by JCGM 100:2008"},
	{Text: "The hour's pay is all that is left over all hours.", Equation: "[A7] (money in − money out)/hours", Source: "definition"},
	{Text: "A row over a period is spread by days over its months, in whole minor units, so that the months add up exactly.", Equation: "[A6] largest remainder", Source: "definition"},
}

// DesignKnown reports whether HourPaid counts hours of design.
func (r *Result) DesignKnown() bool { return r.book.did("design") }

func (r *Result) answer() []string {
	if r.Net.None != "" {
		return []string{"It cannot be said yet: " + r.Net.None + "."}
	}
	if r.CameIn.Best == 0 && r.WentOut.Best == 0 && r.CameIn.High == 0 && r.WentOut.High == 0 {
		return []string{"It cannot be said yet: nothing came in or went out."}
	}
	said := append(r.hour(), r.left(), r.turning())
	if bought := r.againstBought(); bought != "" && r.HourPaid.None == "" {
		said = append(said, bought)
	}
	if enough := r.enough(); enough != "" {
		said = append(said, fmt.Sprintf("%s lie in stock, and %s may still come back with a fault while they are accepted: the stock is %s.", counted(r.Stock.Best), r.FaultsYet.text(counted), enough))
	}
	if r.SetAside.None == "" {
		said = append(said, "To set aside for what may still come back, in money, our own time not counted: "+r.sum(r.SetAside)+"; the limits are those of the rate of returns.")
	}
	return said
}

// hour says what one hour paid.
func (r *Result) hour() (said []string) {
	paid := atMost(r.HourPaid, r.HourPaid.text(r.hourly))
	switch {
	case r.HourPaid.None != "":
		return []string{"It left " + atMost(r.Net, r.sum(r.Net)) + "; what one hour paid cannot be said yet, for " + r.HourPaid.None + "."}
	case r.DesignKnown():
		said = append(said, "One hour paid "+paid+", design and all, and "+atMost(r.HourPaidBut, r.HourPaidBut.text(r.hourly))+" without the design.")
	default:
		said = append(said, "One hour paid "+paid+", without the hours of design, for none are known; with them it is less.")
	}
	h := r.Input.Hour
	if h == nil {
		return said
	}
	word := "That is about as much as"
	switch {
	case r.HourPaid.High < h.Value:
		word = "That is less than"
	case r.HourPaid.OpenLow || !r.DesignKnown():
		word = "It cannot be said whether that is more than"
	case r.HourPaid.Low > h.Value:
		word = "That is more than"
	}
	return append(said, word+" the "+r.hourly(h.Value)+" that it would have paid elsewhere.")
}

// left says what came in, went out, and was left.
func (r *Result) left() string {
	switch out := r.WentOut; {
	case out.OpenHigh && out.Best == 0:
		return r.sum(r.CameIn) + " came in; what went out is not known, which leaves " + atMost(r.Net, r.sum(r.Net)) + "."
	case out.OpenHigh:
		out.OpenHigh = false
		return fmt.Sprintf("%s came in and at least %s went out, for what the parts cost is not known, which leaves %s.", r.sum(r.CameIn), r.sum(out), atMost(r.Net, r.sum(r.Net)))
	}
	return fmt.Sprintf("%s came in and %s went out, which leaves %s.", r.sum(r.CameIn), r.sum(r.WentOut), r.sum(r.Net))
}

// turned is the month from whose end on the gathered money stayed above 0; ok is false if there is none.
func (r *Result) turned() (k int, ok bool) {
	return int(math.Round(r.Turned.Best/(year/12))) - 1, r.Turned.None == ""
}

func (r *Result) turning() string {
	switch k, ok := r.turned(); {
	case r.book.noParts:
		return "When the money turned cannot be said: what the parts cost is not known."
	case !ok:
		return "The money has not turned: more has gone out than come in."
	case k == 0:
		return "At the end of no month had more gone out than come in."
	default:
		return "The money turned in " + r.Months[k].First.Format("January 2006") + ", and stayed above what had gone out."
	}
}
