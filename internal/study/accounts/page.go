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

func (f Figure) text(say func(float64) string) string {
	switch {
	case f.None != "":
		return "none: " + f.None
	case f.OpenHigh:
		return say(f.Best) + " (95 %: from " + say(f.Low) + ")"
	case say(f.Low) == say(f.High):
		return say(f.Best)
	}
	return say(f.Best) + " (95 %: " + span(say, f.Low, f.High) + ")"
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
		p.Tables = append(p.Tables, r.present())
		if r.HourPaid.None == "" {
			p.Tables = append(p.Tables, r.prices())
		}
	}
	for _, t := range []page.Table{r.owing(), r.quotes()} {
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
	{Text: "What is remembered as a range errs together within one file and kind, and independently of others; any value between the ends is as likely.",
		Equation: "[A5] v = best + half-width · z, -1 ≤ z ≤ 1", Source: "JCGM 101:2008; the budget by JCGM 100:2008"},
	{Text: "The hour's pay is all that is left over all hours.", Equation: "[A7] (money in − money out)/hours", Source: "definition"},
	{Text: "A row over a period is spread by days over its months, in whole minor units, so that the months add up exactly.", Equation: "[A6] largest remainder", Source: "definition"},
}

// DesignKnown reports whether HourPaid counts hours of design.
func (r *Result) DesignKnown() bool { return r.book.did("design") }

func (r *Result) answer() []string {
	if r.Net.None != "" {
		return []string{"It cannot be said yet: " + r.Net.None + "."}
	}
	var said []string
	if r.HourPaid.None == "" {
		if r.DesignKnown() {
			said = append(said, "One hour paid "+r.HourPaid.text(r.hourly)+", design and all, and "+r.HourPaidBut.text(r.hourly)+" without the design.")
		} else {
			said = append(said, "One hour paid "+r.HourPaid.text(r.hourly)+", the hours of design left out, for none are known.")
		}
		if h := r.Input.Hour; h != nil {
			word := "about as much as"
			if r.HourPaid.Low > h.Value {
				word = "more than"
			} else if r.HourPaid.High < h.Value {
				word = "less than"
			}
			said = append(said, "That is "+word+" the "+r.hourly(h.Value)+" that it would have paid elsewhere.")
		}
	} else {
		said = append(said, "It left "+r.Net.text(r.money)+"; what one hour paid cannot be said yet, for "+r.HourPaid.None+".")
	}
	said = append(said, fmt.Sprintf("%s came in and %s went out, which leaves %s.", r.CameIn.text(r.money), r.WentOut.text(r.money), r.Net.text(r.money)))
	said = append(said, r.turning())
	if bought := r.againstBought(); bought != "" && r.HourPaid.None == "" {
		said = append(said, bought)
	}
	if enough := r.enough(); enough != "" {
		said = append(said, fmt.Sprintf("%s lie in stock, and %s may still come back with a fault while they are accepted: the stock is %s.", counted(r.Stock.Best), r.FaultsYet.text(counted), enough))
	}
	if r.SetAside.None == "" {
		said = append(said, "To set aside for what may still come back: "+r.SetAside.text(r.money)+".")
	}
	return said
}

// turned is the month from whose end on the gathered money stayed above 0; ok is false if there is none.
func (r *Result) turned() (k int, ok bool) {
	return int(math.Round(r.Turned.Best/(year/12))) - 1, r.Turned.None == ""
}

func (r *Result) turning() string {
	switch k, ok := r.turned(); {
	case !ok:
		return "The money has not turned: more has gone out than come in."
	case k == 0:
		return "At the end of no month had more gone out than come in."
	default:
		return "The money turned in " + r.Months[k].First.Format("January 2006") + ", and stayed above what had gone out."
	}
}
