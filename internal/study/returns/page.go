package returns

import (
	"fmt"

	"hindwatt/internal/page"
)

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := page.Page{ID: "returns", Question: "How often does it come back?", Short: "Comes back?"}
	if !(r.All.Sold.High >= 1) {
		p.Answer = []string{"No unit sold is written down up to " + r.Input.Today.String() + "."}
		p.Lacks = []page.Lack{{File: "records/sold.csv", Key: "date, count", Why: "a remembered total a year is enough: 2021-01-01, until 2021-12-31, count 300"}}
		return p, nil
	}
	p.Answer = append(r.answer(), r.more()...)
	p.Tables = r.tables()
	p.Figures = r.figures()
	p.Warnings, p.Cautions, p.Lacks, p.How = r.warnings(), r.cautions(), r.lacks(), r.how()
	in := &r.Input
	p.Inputs = []page.Input{{Name: "records_until", Text: in.Today.String(), From: in.from(), Note: "the records are complete up to this day"}}
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

// quietRecords is the number of days without a record that raises doubt (judgement, no source).
const quietRecords = 90

func (r *Result) warnings() []page.Note {
	in := &r.Input
	var notes []page.Note
	add := func(when bool, text, remedy string) {
		if when {
			notes = append(notes, page.Note{Text: text, Remedy: remedy})
		}
	}
	add(in.from() == "default" && in.Last != 0 && in.Today-in.Last > quietRecords,
		fmt.Sprintf("no record since %s: if what came back since is not written down, returns look rarer than they are", in.Last), "write records_until in product.toml, the day up to which the records are complete")
	add(in.Later > 0, few(in.Later, "row is", "rows are")+fmt.Sprintf(" of days after %s and not counted", in.Today), "write a later records_until in product.toml once the records are complete up to it")
	add(r.Loose > 0, few(r.Loose, "return names", "returns name")+" neither serial nor batch: any unit sold may have been the one, so it counts for the whole and for no batch or channel", "write the serial, or the batch, with the return")
	add(r.Named > 0, few(r.Named, "return names", "returns name")+" the batch and no serial: the age is known as closely as the days of sale of the batch", "write the serial with the return")
	add(in.Guessed > 0, few(in.Guessed, "row counts", "rows count")+" for a revision by the day alone", "write the serial, the batch or the revision")
	add(in.Unsold > 0, few(in.Unsold, "unit", "units")+" came back though no sale is written down: counted as sold on some day before", "write the sale into records/sold.csv")
	add(!r.Known && r.All.Back.High > 0, "the age at which units came back is not known for all: shares by age rest on periods or on a constant rate", "write the serial with each sale and each return; a batch with the return helps too")
	add(r.Known && r.Belief != nil && r.Belief.Fit.None == "" && r.Belief.Fit.Value < 0.05 && len(r.Months) > 0,
		"the forecast takes a constant rate, for the ages follow no distribution that it knows", "take its upper limit, and look at batches and reasons apart")
	add(r.Found.Best != nil && r.Found.Best.P < 0.05, "how many times as often the worst of many batches came back looks like more than it is, for it was picked as the worst", "judge by the probability of the search")
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
	list := []page.Method{
		{Text: "Age counts from the day of sale to the first return, else to today or to the end of acceptance; on the day of sale a unit is half a day old [B1].", Equation: "t = min(today − sold, accepted_for)"},
		{Text: "Shares have exact limits; of counts between limits, those of the least and of the most [B3].", Source: "Clopper and Pearson, Biometrika 26, 1934"},
		{Text: "The rate is returns per unit-year, with exact limits [B4].", Equation: "λ = r/Σt", Source: "Garwood, Biometrika 28, 1936"},
	}
	add := func(when bool, m page.Method) {
		if when {
			list = append(list, m)
		}
	}
	add(r.Known, page.Method{Text: "By age, where ages are known [B5].", Equation: "S(t) = Π(1 − d/n)", Source: "Kaplan and Meier, Journal of the American Statistical Association 53, 1958"})
	add(r.Loose+r.Named > 0, page.Method{Text: "A return without a serial is one of its batch, or of all, sold on some day between their first and last [B10]."})
	add(r.Table != nil, page.Method{Text: "The life table counts what left within a row for half of it.", Source: "Cutler and Ederer, Journal of Chronic Diseases 8, 1958"})
	add(r.Periods != nil, page.Method{Text: "Returns by month are held against what the sales lead to expect, at a constant rate and by Weibull's distribution [B11].", Source: "Karim, Yamamoto and Suzuki, Lifetime Data Analysis 7, 2001"})
	add(r.Known, page.Method{Text: "Each group is held against all others by log-rank, adjusted for their number [B6].", Source: "Mantel 1966; Holm, Scandinavian Journal of Statistics 6, 1979"})
	add(!r.Known && len(r.Revisions)+len(r.Channels) > 2, page.Method{Text: "Each group's rate is held against that of all others by an exact test, adjusted for their number [B6].", Source: "Przyborowski and Wilenski, Biometrika 31, 1940; Holm 1979"})
	add(r.NoSearch == "", page.Method{Text: "Batches are searched over all runs and reasons; the probability is that of the whole search, by permutation.", Source: "Phipson and Smyth 2010"})
	add(r.Belief != nil && r.Known, page.Method{Text: "Whether the ages follow the fit is told by drawing others from it; its shape is believed from five returns on.", Source: "Stute, González Manteiga and Presedo Quindimil, Metrika 40, 1993"})
	add(r.Known && len(r.Months) > 0, page.Method{Text: "What is to come: by the likelihood of a constant rate, or of Weibull's distribution where the ages follow it and speak against a constant rate, for the units still out and the time that their returns are accepted [B7]."})
	add(!r.Known && len(r.Months) > 0, page.Method{Text: "What is to come: at the rate so far, for the time that units still out stay within acceptance; the interval is of the number itself [B7].", Source: "Nelson, Applied Life Data Analysis, 1982"})
	return list
}
