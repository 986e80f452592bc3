package compare

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/promise"
)

type jsonResult struct {
	Product   string        `json:"product"`
	Choices   []jsonChoice  `json:"choices"`
	Counts    []string      `json:"counts"`
	Uncounted []string      `json:"uncounted"`
	Axes      [2]string     `json:"axes"`
	Front     []string      `json:"front"`
	Records   []jsonRecords `json:"records"`
}

type jsonChoice struct {
	Name      string         `json:"name"`
	Variant   *string        `json:"variant"`
	Revision  *string        `json:"revision"`
	Why       string         `json:"why,omitempty"`
	Verdicts  map[string]int `json:"verdicts"`
	Promises  []jsonPromise  `json:"promises"`
	Cost      *jsonFigure    `json:"cost"`
	Minutes   *jsonFigure    `json:"minutes"`
	Parts     *int           `json:"parts"`
	Ends      map[string]int `json:"ends"`
	Figures   map[string]any `json:"figures"`
	Untouched []string       `json:"untouched"`
	BeatenBy  []string       `json:"beaten_by"`
	Failed    string         `json:"failed,omitempty"`
}

type jsonPromise struct {
	Name       string          `json:"name"`
	Verdict    promise.Verdict `json:"verdict"`
	Calculated *jsonFigure     `json:"calculated"`
	End        *string         `json:"end,omitempty"`
}

type jsonFigure struct {
	Best float64  `json:"best"`
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	Unit string   `json:"unit"`
}

type jsonRecords struct {
	Revision *string    `json:"revision"`
	Sold     [2]float64 `json:"sold"`
	Back     [2]float64 `json:"came_back"`
	Share    jsonFigure `json:"share"`
	P        *float64   `json:"by_chance"`
}

// JSON writes the result as docs/verbs.md describes it.
func (r *Result) JSON() ([]byte, error) {
	out := jsonResult{Product: r.Product, Counts: append([]string{}, r.Counts...), Uncounted: append([]string{}, r.Uncounted...),
		Axes: [2]string{r.Axes[0].Name, r.Axes[1].Name}, Front: append([]string{}, r.front()...), Records: []jsonRecords{}}
	for i := range r.Choices {
		out.Choices = append(out.Choices, r.Choices[i].json())
	}
	for _, g := range r.Records {
		j := jsonRecords{Sold: [2]float64{g.Sold.Low, g.Sold.High}, Back: [2]float64{g.Back.Low, g.Back.High},
			Share: jsonFigure{100 * g.Share.Best, pointer(100 * g.Share.Low), pointer(100 * g.Share.High), "%"}}
		if g.Revision != "" {
			j.Revision = &g.Revision
		}
		if g.P >= 0 {
			j.P = &g.P
		}
		out.Records = append(out.Records, j)
	}
	return json.MarshalIndent(out, "", "  ")
}

func pointer[T any](v T) *T { return &v }

func (c *Choice) json() jsonChoice {
	j := jsonChoice{Name: c.Name, Why: c.Why, Verdicts: map[string]int{}, Promises: []jsonPromise{}, Cost: jsonOf(c.Cost), Minutes: jsonOf(c.Minutes), Ends: map[string]int{},
		Figures: map[string]any{}, Untouched: append([]string{}, c.Untouched...), BeatenBy: append([]string{}, c.BeatenBy...)}
	if c.Name != BaseName {
		j.Variant = &c.Name
	}
	if c.Revision != "" {
		j.Revision = &c.Revision
	}
	if c.Parts > 0 {
		j.Parts = &c.Parts
	}
	if c.Failed != nil {
		j.Failed = c.Failed.Error()
	}
	for _, v := range ranks {
		j.Verdicts[string(v)] = c.Met(v)
	}
	for _, p := range c.Promises {
		one := jsonPromise{Name: p.Name, Verdict: p.Verdict}
		if e, ok := p.Calculated(); ok && e.End != nil {
			one.End = pointer(e.End.Worst.String())
		} else if ok && !e.NoFigure {
			one.Calculated = jsonOf(&promise.Figure{Interval: e.Interval, Dim: p.Dim, Unit: p.Unit})
		}
		j.Promises = append(j.Promises, one)
	}
	for _, e := range c.Ends {
		j.Ends[e.Worst.String()]++
	}
	for i := range c.Rating {
		j.Figures["rating."+c.Rating[i].Name] = jsonOf(&c.Rating[i])
	}
	return j
}

func jsonOf(f *promise.Figure) *jsonFigure {
	if f == nil {
		return nil
	}
	out := &jsonFigure{Best: f.Number(f.Best), Unit: f.Unit}
	if !f.OpenLow {
		out.Low = pointer(f.Number(f.Low))
	}
	if !f.OpenHigh {
		out.High = pointer(f.Number(f.High))
	}
	return out
}

// CSV writes a row a choice.
func (r *Result) CSV(to io.Writer) error {
	w := csv.NewWriter(to)
	head := []string{"choice", "revision", "met", "unproven", "not met", "no evidence", "cost", "minutes", "parts", "hazard", "harmed", "part lost", "beaten by"}
	for _, name := range r.rows() {
		head = append(head, "promise "+name)
	}
	w.Write(head)
	number := func(f *promise.Figure) string {
		if f == nil {
			return ""
		}
		return strconv.FormatFloat(f.Number(f.Best), 'g', -1, 64)
	}
	for i := range r.Choices {
		c := &r.Choices[i]
		row := []string{c.Name, c.Revision}
		for _, v := range []promise.Verdict{promise.Met, promise.Unproven, promise.NotMet, promise.NoEvidence} {
			row = append(row, fmt.Sprint(c.Met(v)))
		}
		row = append(row, number(c.Cost), number(c.Minutes), fmt.Sprint(c.Parts), fmt.Sprint(c.Bad(figure.Hazard)), fmt.Sprint(c.Bad(figure.Harmed)-c.Bad(figure.Hazard)),
			fmt.Sprint(c.Bad(figure.PartLost)-c.Bad(figure.Harmed)), page.And(c.BeatenBy))
		for _, name := range r.rows() {
			row = append(row, verdictOf(c.promise(name)))
		}
		w.Write(row)
	}
	w.Flush()
	return w.Error()
}
