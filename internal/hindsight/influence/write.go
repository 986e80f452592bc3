package influence

import (
	"cmp"
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/statistics/sensitivity"
)

type (
	jsonInput struct {
		Input string `json:"input"`
		Text  string `json:"text"`
		From  string `json:"from"`
	}
	jsonChange struct {
		jsonInput
		Low  *float64 `json:"low"`
		High *float64 `json:"high"`
	}
	jsonLeft struct {
		jsonInput
		Change float64 `json:"change"`
	}
	jsonShare struct {
		jsonInput
		First jsonEstimate `json:"first"`
		Total jsonEstimate `json:"total"`
	}
	jsonEstimate struct {
		Best float64 `json:"best"`
		Low  float64 `json:"low"`
		High float64 `json:"high"`
	}
	jsonFlip struct {
		Input string  `json:"input"`
		Of    string  `json:"of"`
		Is    float64 `json:"is"`
		Turns float64 `json:"flips_at"`
		Unit  string  `json:"unit"`
		From  string  `json:"from"`
	}
	jsonHeld struct {
		Input string  `json:"input"`
		Of    string  `json:"of"`
		Low   float64 `json:"low"`
		High  float64 `json:"high"`
		Unit  string  `json:"unit"`
	}
	jsonPromise struct {
		Name       string     `json:"name"`
		Verdict    string     `json:"verdict"`
		Calculated string     `json:"calculated"`
		None       string     `json:"not_told,omitempty"`
		Flips      []jsonFlip `json:"flips"`
		Holds      []jsonHeld `json:"does_not_flip"`
		Unmoved    int        `json:"not_looked_at"`
	}
	jsonResult struct {
		Figure       string        `json:"figure"`
		Product      string        `json:"product"`
		Variant      *string       `json:"variant"`
		Installation *string       `json:"installation"`
		Nominal      float64       `json:"nominal"`
		Together     float64       `json:"together"`
		Low          *float64      `json:"low"`
		High         *float64      `json:"high"`
		Unit         string        `json:"unit"`
		Changes      []jsonChange  `json:"changes"`
		Unmoved      []jsonInput   `json:"changes_nothing"`
		LeftOut      []jsonLeft    `json:"left_out"`
		Drifts       []jsonInput   `json:"drifts"`
		Rows         int           `json:"rows,omitempty"`
		Runs         int           `json:"runs,omitempty"`
		Shares       []jsonShare   `json:"shares,omitempty"`
		Promises     []jsonPromise `json:"promises"`
		Warnings     []string      `json:"warnings"`
	}
)

func (s Source) json() jsonInput { return jsonInput{s.Path, s.Text, s.From} }

// number is a value of the input in its unit.
func (s Source) number(v float64) float64 { return figures.Number(v, s.Dim, s.Unit) }

// in is a value of the input in its unit; of its tolerance or drift how many times it is what it is.
func (s Source) in(of string, v float64) float64 {
	if of != "" {
		return v
	}
	return s.number(v)
}

func (s Source) unit(of string) string {
	if of != "" {
		return ""
	}
	return s.Unit
}

func (r *Result) jsonChange(c Change, s shown) jsonChange {
	out := jsonChange{jsonInput: c.json()}
	for _, e := range []struct {
		end End
		to  **float64
	}{{c.Low, &out.Low}, {c.High, &out.High}} {
		if e.end.Failed == "" {
			v := s.number(e.end.Figure)
			*e.to = &v
		}
	}
	return out
}

func estimate(e sensitivity.Estimate) jsonEstimate { return jsonEstimate(e) }

// JSON writes all of it as docs/verbs.md describes it. Figures are in the figure's unit.
func (r *Result) JSON() ([]byte, error) {
	s := r.shown()
	out := jsonResult{Figure: r.Figure.String(), Product: r.Product, Nominal: s.number(r.Base), Unit: s.unit,
		Changes: []jsonChange{}, Unmoved: []jsonInput{}, LeftOut: []jsonLeft{}, Drifts: []jsonInput{}, Promises: []jsonPromise{}, Warnings: append([]string{}, r.Doubts...)}
	if r.Variant != "" {
		out.Variant = &r.Variant
	}
	if r.Installation != "" {
		out.Installation = &r.Installation
	}
	out.Together = r.Together / figures.Scale(r.Dim, r.Unit)
	if r.Own != nil {
		low, high := s.number(r.Own.Low), s.number(r.Own.High)
		out.Low, out.High = &low, &high
	}
	for _, c := range r.Changes {
		out.Changes = append(out.Changes, r.jsonChange(c, s))
	}
	for _, one := range r.Still {
		out.Unmoved = append(out.Unmoved, one.json())
	}
	for _, l := range r.LeftOut {
		out.LeftOut = append(out.LeftOut, jsonLeft{l.json(), l.Nudge / figures.Scale(r.Dim, r.Unit)})
	}
	for _, one := range r.Drifts {
		out.Drifts = append(out.Drifts, one.json())
	}
	if r.Shares != nil {
		out.Rows, out.Runs = r.Shares.Rows, r.Shares.Runs
		for i, x := range r.Shares.Index {
			out.Shares = append(out.Shares, jsonShare{r.Shares.Inputs[i].json(), estimate(x.First), estimate(x.Total)})
		}
	}
	for _, p := range r.Promises {
		one := jsonPromise{Name: p.Name, Verdict: string(p.Verdict), Calculated: string(p.Calculated), None: p.None, Unmoved: p.Unmoved, Flips: []jsonFlip{}, Holds: []jsonHeld{}}
		for _, f := range p.Flips {
			one.Flips = append(one.Flips, jsonFlip{f.Path, cmp.Or(f.Of, "value"), f.in(f.Of, f.Is), f.in(f.Of, f.At), f.unit(f.Of), f.From})
		}
		for _, h := range p.Holds {
			one.Holds = append(one.Holds, jsonHeld{h.Path, cmp.Or(h.Of, "value"), h.in(h.Of, h.Low), h.in(h.Of, h.High), h.unit(h.Of)})
		}
		out.Promises = append(out.Promises, one)
	}
	return json.MarshalIndent(out, "", "  ")
}

// CSV writes one row an input: what it changes and, where they were asked for, its shares.
func (r *Result) CSV(to io.Writer) error {
	s := r.shown()
	w := csv.NewWriter(to)
	unit := s.unit
	w.Write([]string{"input", "as_written", "from", "nominal", "at_low", "at_high", "unit", "first", "first_low", "first_high", "total", "total_low", "total_high"})
	for _, c := range r.Changes {
		row := []string{c.Path, c.Text, c.From, plain(s.number(r.Base)), "", "", unit, "", "", "", "", "", ""}
		one := r.jsonChange(c, s)
		for i, v := range []*float64{one.Low, one.High} {
			if v != nil {
				row[4+i] = plain(*v)
			}
		}
		if r.Shares != nil {
			for i, in := range r.Shares.Inputs {
				if in.Path != c.Path {
					continue
				}
				x := r.Shares.Index[i]
				for k, v := range []float64{x.First.Best, x.First.Low, x.First.High, x.Total.Best, x.Total.Low, x.Total.High} {
					row[7+k] = plain(v)
				}
			}
		}
		w.Write(row)
	}
	w.Flush()
	return w.Error()
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
