package promise

import (
	"context"
	"slices"
	"strings"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/accounts"
)

// account is a quantity of the accounts.
type account struct {
	name string
	dim  quantity.Dimension
	unit string // ¤ stands for the currency
	of   func(*accounts.Result) accounts.Figure
	keys []string // of what it may lack
}

const sales = "date, count, price" // the lack of all sales

var accountsOf = []account{
	{"hour-paid", quantity.MoneyPerTime, "¤/h", func(r *accounts.Result) accounts.Figure { return r.HourPaid }, []string{"price", sales, "parts", "design", "making"}},
	{"hour-paid-without-design", quantity.MoneyPerTime, "¤/h", func(r *accounts.Result) accounts.Figure { return r.HourPaidBut }, []string{"price", sales, "parts", "design", "making"}},
	{"net", quantity.Money, "¤", func(r *accounts.Result) accounts.Figure { return r.Net }, []string{"price", sales, "parts"}},
	{"came-in", quantity.Money, "¤", func(r *accounts.Result) accounts.Figure { return r.CameIn }, []string{"price", sales}},
	{"went-out", quantity.Money, "¤", func(r *accounts.Result) accounts.Figure { return r.WentOut }, []string{"price", sales, "parts"}},
	{"hours", quantity.Time, "h", func(r *accounts.Result) accounts.Figure { return r.Hours }, []string{"design", "making"}},
	{"rate-of-return", quantity.Ratio, "%", func(r *accounts.Result) accounts.Figure { return r.RateOfReturn }, []string{"price", sales, "parts"}},
	{"turned", quantity.Time, "years", func(r *accounts.Result) accounts.Figure { return r.Turned }, []string{"price", sales, "parts"}},
	{"set-aside", quantity.Money, "¤", func(r *accounts.Result) accounts.Figure { return r.SetAside }, []string{sales, "cost"}},
}

// lacks are those of the accounts that this quantity may go without for.
func (a account) lacks(r *accounts.Result) (out []page.Lack) {
	for _, l := range r.Lacks {
		if slices.Contains(a.keys, l.Key) {
			out = append(out, l)
		}
	}
	if a.name == "set-aside" && r.Input.AcceptedFor == nil {
		out = append(out, page.Lack{File: "product.toml", Key: "accepted_for", Why: "how long a unit may come back"})
	}
	return out
}

func accountNamed(name string) (account, []string) {
	var names []string
	for _, a := range accountsOf {
		if a.name == name {
			return a, nil
		}
		names = append(names, a.name)
	}
	return account{}, names
}

// accountsRun is the study, run once for all promises and the page.
type accountsRun struct {
	once   sync.Once
	result *accounts.Result
	err    error
}

func (s *session) accounts(ctx context.Context) (*accounts.Result, error) {
	run := &s.account
	run.once.Do(func() {
		in := bind.Accounts(s.product)
		in.Seed = s.options.Seed
		run.result, run.err = accounts.Run(ctx, in)
	})
	return run.result, run.err
}

func interval(f accounts.Figure) Interval {
	return Interval{f.Best, f.Low, f.High, f.OpenLow, f.OpenHigh}
}

// judgeAccounts gathers what the records tell of one figure of the accounts, and, of the hour's
// pay, what the list of parts and the steps make of the same sales.
func judgeAccounts(ctx context.Context, s *session, asked *product.Promise, j *Judged) error {
	a, known := accountNamed(bind.Plain(asked.Quantity.Text))
	if known != nil {
		return asked.Quantity.Fault("is no quantity of the accounts", wantOneOf(bind.Plain(asked.Quantity.Text), known))
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() && bound.Dim != a.dim {
			return bound.Fault("is a "+bound.Dim.Name(), "want such as "+a.dim.Example())
		}
	}
	if asked.Ends.Set() {
		return asked.Ends.Fault("the accounts have no ends", "want within, min or max")
	}
	j.PageID = "accounts"
	r, err := s.accounts(ctx)
	if err != nil {
		return err
	}
	f := a.of(r)
	if f.None != "" {
		j.Lacks, j.Verdict = a.lacks(r), NoEvidence
		j.Says = append(j.Says, "there is no such figure: "+f.None)
		return nil
	}
	for _, bound := range []product.Quantity{asked.Within, asked.Min, asked.Max} {
		if bound.Set() && bound.Currency != "" && bound.Currency != r.Currency {
			return bound.Fault("is not in the currency of the accounts", "want "+r.Currency)
		}
	}
	recorded := interval(f)
	designless := a.name == "hour-paid" && !r.DesignKnown()
	recorded.OpenLow = recorded.OpenLow || designless
	if recorded.OpenLow || recorded.OpenHigh {
		j.Lacks = a.lacks(r)
		if slices.ContainsFunc(j.Lacks, func(l page.Lack) bool { return l.Key == "parts" }) {
			j.Says = append(j.Says, "what the parts cost is not known, so more went out than the records tell, and less was left")
		}
	}
	if designless {
		j.Says = append(j.Says, "the hours of design are not known, so an hour paid less than the figure")
	}
	if a.name == "set-aside" {
		j.Says = append(j.Says, "counted in money, our own time not; the limits are those of the rate of returns")
	}
	j.Evidence = append(j.Evidence, Evidence{
		Kind: Recorded, Interval: recorded, Covers: true, Basis: r.Basis,
		From: []string{"records/sold.csv", "records/spent.csv", "records/returned.csv", "records/hours.csv"},
	})
	if a.name == "hour-paid" && r.Calculated.None == "" {
		j.compareByList(r)
	}
	j.judge()
	return nil
}

// compareByList sets the recorded hour's pay against that of parts by the list and making by the steps.
func (j *Judged) compareByList(r *accounts.Result) {
	if r.Input.PartOf != "" {
		j.Says = append(j.Says, "with parts by the list and making by the steps of "+r.Input.PartOf+" the same sales would have paid "+
			quantity.Format(r.Calculated.Best, quantity.MoneyPerTime, r.Currency+"/h", 2)+"; the records hold all revisions, so the two are not compared")
		return
	}
	calculated := interval(r.Calculated)
	calculated.OpenLow = calculated.OpenLow || !r.DesignKnown()
	j.Evidence = append(j.Evidence, Evidence{
		Kind: Calculated, Interval: calculated, Covers: true, From: []string{"accounts study"},
		Note: "the same sales, with parts by the list and making by the steps",
	})
	if r.Apart.Low > 0 || r.Apart.High < 0 {
		j.Disagree = append(j.Disagree, Disagreement{
			A: Recorded, B: Calculated, Of: "hour's pay", Difference: r.Apart.Best, Low: r.Apart.Low, High: r.Apart.High, Conditions: "the same sales",
		})
	}
}

// answerAccounts answers whether it paid.
func answerAccounts(ctx context.Context, s *session, _ []Judged) (*Answer, error) {
	r, err := s.accounts(ctx)
	if err != nil {
		return nil, err
	}
	shown, err := r.Page()
	if err != nil {
		return nil, err
	}
	out := s.newAnswer("accounts", shown)
	for _, a := range accountsOf {
		if f := a.of(r); f.None == "" {
			out.Figures = append(out.Figures, Figure{a.name, interval(f), a.dim, strings.ReplaceAll(a.unit, "¤", r.Currency)})
		}
	}
	return out, nil
}
