package life

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
)

type jsonInterval struct {
	Best float64 `json:"best"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Unit string  `json:"unit"`
}

type jsonTally struct {
	Money   jsonInterval `json:"money"`
	Hours   jsonInterval `json:"hours"`
	Returns jsonInterval `json:"returns"`
	Worth   Worth        `json:"worth"`
}

type jsonChange struct {
	Name      string       `json:"name"`
	Why       string       `json:"why,omitempty"`
	Single    bool         `json:"single"`
	Was       jsonTally    `json:"was"`
	More      jsonTally    `json:"more"`
	OneSaves  jsonInterval `json:"one_saves"`
	OneFaster jsonInterval `json:"one_faster"`
	Saves     jsonInterval `json:"saves"`
	Faster    jsonInterval `json:"faster"`
	Gained    []string     `json:"gained"`
	Lost      []string     `json:"lost"`
	Otherwise []string     `json:"promised_otherwise"`
	Fits      bool         `json:"fits_built"`
}

type jsonBelief struct {
	Of       string        `json:"of"`
	Figure   string        `json:"figure"`
	Believed string        `json:"believed"`
	Now      *jsonInterval `json:"now"`
	Held     *bool         `json:"held_up"`
}

type jsonDecision struct {
	Name     string       `json:"name"`
	Date     string       `json:"date,omitempty"`
	Title    string       `json:"title"`
	Variants []string     `json:"variants"`
	Promises []string     `json:"promises"`
	Beliefs  []jsonBelief `json:"believed"`
	Ends     bool         `json:"ends_making"`
	Duties   []string     `json:"duties"`
}

type jsonNext struct {
	Open     []string `json:"open"`
	Changes  []string `json:"changes"`
	Meets    []string `json:"meets"`
	Still    []string `json:"stays_open"`
	Lost     []string `json:"loses"`
	Cost     float64  `json:"cost"`
	Minutes  float64  `json:"minutes"`
	Once     float64  `json:"once"`
	Built    []string `json:"built_units_can_have"`
	Computed int      `json:"computed"`
}

// JSON writes the result as docs/verbs.md describes it; next may be nil.
func (r *Result) JSON(next *Next) ([]byte, error) {
	money := func(i Interval) jsonInterval { return jsonInterval{i.Best, i.Low, i.High, r.Currency} }
	minutes := func(i Interval) jsonInterval { return jsonInterval{i.Best / 60, i.Low / 60, i.High / 60, "min"} }
	tally := func(t Tally, w Worth) jsonTally {
		return jsonTally{money(t.Money), jsonInterval{t.Hours.Best, t.Hours.Low, t.Hours.High, "h"}, jsonInterval{t.Returns.Best, t.Returns.Low, t.Returns.High, ""}, w}
	}
	some := func(list []string) []string { return append([]string{}, list...) }
	out := struct {
		Product   string         `json:"product"`
		Samples   int            `json:"samples"`
		Sold      jsonInterval   `json:"sold"`
		More      float64        `json:"more"`
		Changes   []jsonChange   `json:"changes"`
		Best      []string       `json:"best"`
		Decisions []jsonDecision `json:"decisions"`
		Next      *jsonNext      `json:"next"`
	}{Product: r.Product, Samples: r.Samples, Sold: jsonInterval{r.Sold.Best, r.Sold.Low, r.Sold.High, ""}, More: r.More, Best: some(r.Best), Decisions: []jsonDecision{}}
	for i := range r.Changes {
		c := &r.Changes[i]
		out.Changes = append(out.Changes, jsonChange{c.Name, c.Why, c.Single, tally(c.Was, c.Worth()), tally(c.More, c.WorthNow()), money(c.One), minutes(c.OneMinutes), money(c.Saves), minutes(c.Faster),
			some(c.Gained), some(c.Lost), some(c.Other), c.Fits})
	}
	for _, d := range r.Decisions {
		j := jsonDecision{Name: d.Name, Title: d.Title, Variants: some(d.Variants), Promises: some(d.Promises), Beliefs: []jsonBelief{}, Ends: d.Ends, Duties: some(d.Duties)}
		if !d.Date.IsZero() {
			j.Date = d.Date.Format("2006-01-02")
		}
		for _, b := range d.Beliefs {
			one := jsonBelief{Of: b.Of, Figure: b.Figure, Believed: b.Text}
			if b.Unknown == "" {
				i := b.inUnit()
				one.Now, one.Held = &i, &b.Held
			}
			j.Beliefs = append(j.Beliefs, one)
		}
		out.Decisions = append(out.Decisions, j)
	}
	if n := next; n != nil {
		out.Next = &jsonNext{some(n.Open), some(n.Changes), some(n.Meets), some(n.Still), some(n.Lost), n.Cost.Best, n.Minutes.Best / 60, n.Once, some(n.Built), n.Tried}
	}
	return json.MarshalIndent(out, "", "  ")
}

// CSV writes a row a change.
func (r *Result) CSV(to io.Writer) error {
	w := csv.NewWriter(to)
	w.Write([]string{"change", "money", "money low", "money high", "hours", "hours low", "hours high", "returns", "returns low", "returns high", "worth", "more money", "more money low", "more money high", "more worth"})
	for i := range r.Changes {
		c := &r.Changes[i]
		row := []string{c.Name}
		for _, v := range []Interval{c.Was.Money, c.Was.Hours, c.Was.Returns} {
			row = append(row, number(v.Best), number(v.Low), number(v.High))
		}
		w.Write(append(row, string(c.Worth()), number(c.More.Money.Best), number(c.More.Money.Low), number(c.More.Money.High), string(c.WorthNow())))
	}
	w.Flush()
	return w.Error()
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
