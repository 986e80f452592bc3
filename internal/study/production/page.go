package production

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// money words a sum: "34.50 EUR".
func (r *Result) money(v float64) string { return quantity.Format(v, quantity.Money, r.Currency, 2) }

func (r *Result) hourly(v float64) string {
	return quantity.Format(v/3600, quantity.MoneyPerTime, r.Currency+"/h", 2)
}

// limits words an interval of money: "30.50 to 34.20 EUR".
func (r *Result) limits(i Interval) string {
	return strings.TrimSuffix(r.money(i.Low), " "+r.Currency) + " to " + r.money(i.High)
}

// span words an interval of money in brackets; nothing where it is a point.
func (r *Result) span(i Interval) string {
	if r.money(i.Low) == r.money(i.High) {
		return ""
	}
	return " (" + r.limits(i) + ")"
}

func minutes(s float64) string { return fmt.Sprintf("%.1f min", s/60) }

func percent(v float64) string { return fmt.Sprintf("%.3g %%", 100*v) }

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := page.Page{ID: "production", Question: "What does one cost to make?", Short: "Cost of one?",
		Lacks: r.Lacks, Cautions: r.Input.Cautions, Warnings: r.warnings(), Inputs: r.inputs(), How: method}
	if len(r.Sizes) == 0 {
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		return p, nil
	}
	p.Answer = slices.Concat(r.costAnswers(), r.timeAnswers(), r.choiceAnswers(), r.otherAnswers())
	p.Figures = r.figures()
	p.Tables = r.tables()
	return p, nil
}

// costAnswer is the first sentence.
func (r *Result) costAnswer() string {
	cost, known := r.Quantities["unit-cost"]
	missing := strings.Join(r.Incomplete, ", ")
	switch {
	case !known:
		return "What one costs cannot be said yet, for want of a figure of: " + missing + "."
	case missing != "":
		return fmt.Sprintf("One costs at least %s%s to make %s; not counted, for want of a figure: %s.", r.money(cost.Best), r.span(cost), inBatches(r.Batch), missing)
	}
	return fmt.Sprintf("One costs %s%s to make %s, %s of it our own time.", r.money(cost.Best), r.span(cost), inBatches(r.Batch), r.money(r.Unit.Own))
}

func inBatches(n int) string {
	if n == 1 {
		return "one at a time"
	}
	return fmt.Sprintf("in batches of %d", n)
}

func (r *Result) costAnswers() []string {
	list := []string{r.costAnswer()}
	if rec := r.Recorded; rec != nil && rec.HasCost {
		list = append(list, r.recordAnswer(rec))
	}
	if sold, ok := r.Quantities["unit-cost-sold"]; ok {
		list = append(list, fmt.Sprintf("Fees, packing and carriage add %s: %s%s made and sold.", r.money(r.Sale.cost()), r.money(sold.Best), r.span(sold)))
	}
	if left, ok := r.Quantities["left-over"]; ok {
		list = append(list, r.leftAnswer(left))
	}
	return list
}

// leftAnswer says what the price leaves, or lacks.
func (r *Result) leftAnswer(left Interval) string {
	price := r.money(r.model.price.best())
	if left.Best < 0 {
		return fmt.Sprintf("The price of %s is %s%s too little for the tax on it, selling, and the cash that one takes.", price, r.money(-left.Best), r.span(Interval{-left.Best, -left.High, -left.Low}))
	}
	most := ""
	if slices.ContainsFunc(r.Incomplete, func(what string) bool { return what != "our time" && what != "minutes" }) {
		most = "at most "
	}
	said := fmt.Sprintf("Of the price of %s, %s%s%s are left over after tax on the price, selling, and the cash that one takes", price, most, r.money(left.Best), r.span(left))
	if r.Unit.Time > 0 {
		said += fmt.Sprintf(": %s of making", r.hourly(r.PerHour.Best))
	}
	return said + "."
}

func (r *Result) timeAnswers() []string {
	var list []string
	if t, ok := r.Quantities["unit-minutes"]; ok {
		longest := slices.MaxFunc(r.Steps, func(a, b StepTime) int {
			if a.Sum() < b.Sum() {
				return -1
			}
			return 1
		})
		said := fmt.Sprintf("It takes %s (%s to %s) of work", minutes(t.Best), minutes(t.Low), minutes(t.High))
		if len(r.Steps) > 1 {
			said += fmt.Sprintf(", %s of them for %s", percent(longest.Sum()/r.Unit.Time), longest.Name)
		}
		said += "."
		if w, ok := r.Quantities["week"]; ok {
			said += fmt.Sprintf(" In a week of %.3g h that makes %.3g", r.model.week.value/3600, w.Best)
			if r.MakeShare < 1 {
				said += fmt.Sprintf(", as %s of the hours recorded, design apart, go into making", percent(r.MakeShare))
			}
			said += "."
		}
		list = append(list, said+r.hoursAnswer())
	}
	if _, known := r.Quantities["unit-cost"]; !known {
		return list
	}
	last := r.Sizes[len(r.Sizes)-1].Units
	if len(r.Sizes) == 1 {
		return list
	}
	if r.isFlat() {
		return append(list, fmt.Sprintf("By what is written, the size of a batch makes no difference above 1 %%, up to %d units.", last))
	}
	said := fmt.Sprintf("Batches of %d to %d are within 1 %% of the cheapest", r.BestLow, r.BestHigh)
	if r.BestLow == r.BestHigh {
		said = fmt.Sprintf("A batch of %d is the cheapest", r.BestLow)
	}
	if r.BestHigh == last {
		said += fmt.Sprintf("; larger than %d was not looked at", last)
	}
	return append(list, said+". What stock costs in interest is not counted.")
}

func (r *Result) choiceAnswers() []string {
	var list []string
	for _, c := range r.Choices {
		name := c.What
		if name == "" {
			name = c.Name
		}
		said := fmt.Sprintf("Make or have made (%s): %s. One costs %s with the quote and %s without", name, c.Verdict, r.money(c.Given.Best), r.money(c.Own.Best))
		if saves := c.Saves; saves.Best < 0 {
			said += fmt.Sprintf(": %s%s more.", r.money(-saves.Best), r.span(Interval{-saves.Best, -saves.High, -saves.Low}))
		} else {
			said += fmt.Sprintf(": %s%s less.", r.money(saves.Best), r.span(saves))
		}
		said += c.words(r.Batch)
		list = append(list, said)
	}
	return list
}

// words of the break-even.
func (c *Choice) words(batch int) string {
	b := c.BreakEven
	switch {
	case c.Saves.Best > 0 && batch < c.Minimum && b.Best > float64(c.Minimum):
		return fmt.Sprintf(" That is as an order is of %d and our batch of %d: in batches as large as the order it pays from %.0f on.", c.Minimum, batch, b.Best)
	case b.Best > 0 && b.Best <= float64(c.Minimum) && c.Minimum > 1 && c.Saves.Best > 0:
		return c.smallWords(batch)
	case b.Best == 0 && c.Saves.Best > 0:
		return " It pays the less the larger a batch is."
	case b.Best == 0 && b.Low == 0:
		return " No batch is large enough to make it pay."
	case b.Best == 0:
		return fmt.Sprintf(" No batch makes it pay by the best figures; at best those from %.0f units on would.", b.Low)
	case b.High == 0:
		return fmt.Sprintf(" It pays in batches from %.0f units on, perhaps never (from %.0f on at best).", b.Best, b.Low)
	case b.Low == b.High:
		return fmt.Sprintf(" It pays in batches from %.0f units on.", b.Best)
	}
	return fmt.Sprintf(" It pays in batches from %.0f units on (%.0f to %.0f).", b.Best, b.Low, b.High)
}

// smallWords are for a quote that pays from its minimum order on, and so below it too: a smaller
// batch pays the same for a piece and saves more of our own set-up.
func (c *Choice) smallWords(batch int) string {
	if batch < c.Minimum {
		return fmt.Sprintf(" Below %d the minimum order counts, and at %d it already pays.", c.Minimum, batch)
	}
	return fmt.Sprintf(" It pays from the minimum order of %d on.", c.Minimum)
}

// otherAnswers names the variant that saves most, if it is told apart from none.
func (r *Result) otherAnswers() []string {
	if len(r.Others) == 0 {
		return nil
	}
	o := r.Others[0]
	if !(o.Saves.Low > 0.005) {
		return []string{"None of the variants that were not made is sure to cost less."}
	}
	made := "Made by the variant " + o.Name
	if o.Name == "" {
		made = "Made as product.toml stands"
	}
	said := fmt.Sprintf("%s, one would cost %s%s less", made, r.money(o.Saves.Best), r.span(o.Saves))
	if o.PaysAfter > 0 {
		said += fmt.Sprintf("; the %s that it takes once are earned after %.0f units", r.money(o.Once), o.PaysAfter)
	}
	return []string{said + "."}
}

func (r *Result) warnings() []page.Note {
	notes := slices.Concat(r.disagreement(), r.Input.Recorded.LeftOut, r.Notes)
	if len(r.model.inputs) == 0 && len(r.Quantities) > 0 {
		notes = append(notes, page.Note{Text: "No price and no time has a spread: the cost looks surer than it is.", Remedy: `write ranges, such as minutes = "30..45 min"`})
	}
	if n := r.Input.Recorded.Guessed; n > 0 {
		notes = append(notes, page.Note{Text: fmt.Sprintf("%d rows of records count for this revision by their day alone.", n), Remedy: "write the revision, or a serial"})
	}
	for _, o := range r.Others {
		if o.Enclosure && o.Unit == r.Unit {
			notes = append(notes, page.Note{Text: "The variant " + o.Name + " has another enclosure, and nothing of its cost.", Remedy: "let it set the bom line, the step and the tooling (an overhead once) of that enclosure", From: "variants/" + o.Name + ".toml"})
		}
	}
	for _, y := range r.Yields {
		if y.Differs {
			notes = append(notes, page.Note{Text: fmt.Sprintf("At %s %s passed at first (%s to %s); the folder says %s.", y.Step, percent(y.Passed.Best), percent(y.Passed.Low), percent(y.Passed.High), percent(y.Folder)),
				Remedy: "correct step." + y.Step + ".yield, or look why", From: "records/made.csv"})
		}
	}
	return notes
}

var method = []page.Method{
	{Text: "The parts of a batch are ordered at the price break that costs least, with minimum order and pack; a unit carries the pieces that it uses.", Equation: "[P1], [P2], [M4]", Source: "definition"},
	{Text: "Scrap loses all that was put in so far; rework saves a part of what did not pass.", Equation: "good = y + (1 − y)·r [P3]; cost = batch/(n · product of good) [P4], [P5]", Source: "definition"},
	{Text: "Fees are a part of the price with tax; what is left over is the price without tax less fees, packing, carriage and cash.", Equation: "[P6], [P7]", Source: "definition"},
	{Text: "Another way to make it is compared input by input: what both share cancels.", Equation: "[P17], [P18]", Source: "definition; JCGM 100:2008"},
	{Text: "The interval is by propagation of distributions, the budget by the law of propagation.", Source: "JCGM 101:2008; JCGM 100:2008"},
}
