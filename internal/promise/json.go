package promise

import (
	"encoding/json"
	"math"
)

type jsonReport struct {
	Product  string        `json:"product"`
	Variant  *string       `json:"variant"`
	Promises []jsonPromise `json:"promises"`
	Cautions []jsonNote    `json:"cautions"`
	Advice   []jsonNote    `json:"advice"`
}

type jsonPromise struct {
	Name       string            `json:"name"`
	Label      string            `json:"label"`
	Verdict    Verdict           `json:"verdict"`
	StandsOn   string            `json:"stands_on"`
	Bound      jsonBound         `json:"bound"`
	Conditions map[string]string `json:"conditions"`
	Proportion *float64          `json:"proportion"`
	Confidence float64           `json:"confidence"`
	More       *int              `json:"more_units"`
	MoreWhy    string            `json:"more_units_why,omitempty"`
	Evidence   []jsonEvidence    `json:"evidence"`
	Disagree   []jsonDisagree    `json:"disagree"`
	Lacks      []jsonLack        `json:"lacks"`
	Says       []string          `json:"says"`
	Safety     bool              `json:"safety"`
	From       string            `json:"from"`
}

type jsonBound struct {
	Ends []string `json:"ends,omitempty"`
	Min  *float64 `json:"min"`
	Max  *float64 `json:"max"`
	Unit string   `json:"unit,omitempty"`
}

type jsonInterval struct {
	Best *float64 `json:"best"`
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	Open []string `json:"open,omitempty"`
}

type jsonEvidence struct {
	Kind Kind `json:"kind"`
	jsonInterval
	*jsonEnd
	Unit       string        `json:"unit"`
	Conditions string        `json:"conditions"`
	Basis      *string       `json:"basis"`
	From       []string      `json:"from"`
	Carried    bool          `json:"carried"`
	Covers     bool          `json:"covers"`
	Units      int           `json:"units,omitempty"`
	Inside     *jsonInterval `json:"inside"`
	Note       string        `json:"note,omitempty"`
}

type jsonDisagree struct {
	A          Kind    `json:"a"`
	B          Kind    `json:"b"`
	Difference float64 `json:"difference"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	Unit       string  `json:"unit"`
	Of         string  `json:"of"`
	Conditions string  `json:"conditions"`
}

type jsonLack struct {
	File string `json:"file"`
	Key  string `json:"key"`
	Why  string `json:"why,omitempty"`
}

// JSON writes the report as docs/verbs.md describes it. Figures are in the unit
// named beside them.
func (r *Report) JSON() ([]byte, error) {
	out := jsonReport{
		Product: r.Product, Promises: []jsonPromise{}, Cautions: jsonNotes(r.Cautions), Advice: jsonNotes(r.Advice),
	}
	if r.Variant != "" {
		out.Variant = &r.Variant
	}
	for _, p := range r.Promises {
		out.Promises = append(out.Promises, p.json())
	}
	return json.MarshalIndent(out, "", "  ")
}

func (p Judged) json() jsonPromise {
	s := scale{dim: p.Dim, unit: p.Unit}
	j := jsonPromise{
		Name: p.Name, Label: p.Label, Verdict: p.Verdict, StandsOn: p.standsOn(),
		Bound:      jsonBound{Ends: p.Bound.endWords(), Min: s.side(p.Bound.Min), Max: s.side(p.Bound.Max), Unit: p.Unit},
		Conditions: map[string]string{}, Confidence: p.Confidence,
		More: p.More, MoreWhy: p.MoreWhy, Says: append([]string{}, p.Says...), Safety: p.Safety, From: p.From,
		Evidence: []jsonEvidence{}, Disagree: []jsonDisagree{}, Lacks: []jsonLack{},
	}
	if p.EachUnit {
		j.Proportion = &p.Proportion
	}
	for _, c := range p.Conditions {
		j.Conditions[c.Name] = c.Text
	}
	for _, e := range p.Evidence {
		j.Evidence = append(j.Evidence, e.json(s))
	}
	for _, d := range p.Disagree {
		s := s
		if d.Unit != "" {
			s = scale{dim: d.Dim, unit: d.Unit}
		}
		j.Disagree = append(j.Disagree, jsonDisagree{d.A, d.B, s.rounded(s.difference(d.Difference)), s.rounded(s.difference(d.Low)), s.rounded(s.difference(d.High)), s.unit, d.of(), d.Conditions})
	}
	for _, l := range p.Lacks {
		j.Lacks = append(j.Lacks, jsonLack{l.File, l.Key, l.Why})
	}
	return j
}

func (e Evidence) json(s scale) jsonEvidence {
	j := jsonEvidence{
		Kind: e.Kind, jsonInterval: s.interval3(e.Interval), Unit: s.unit, Conditions: e.Conditions,
		From: append([]string{}, e.From...), Carried: e.Carried, Covers: e.Covers, Units: e.Units, Note: e.Note,
	}
	if e.NoFigure {
		j.Best = nil
	}
	if e.End != nil {
		j.jsonInterval, j.jsonEnd = jsonInterval{}, e.End.json()
	}
	if e.Basis != "" {
		j.Basis = &e.Basis
	}
	if e.Inside != nil {
		inside := scale{}.interval3(*e.Inside)
		j.Inside = &inside
	}
	return j
}

// interval3 converts an interval; an open side is null and named.
func (s scale) interval3(i Interval) jsonInterval {
	best, low, high := s.plain(i.Best), s.plain(i.Low), s.plain(i.High)
	j := jsonInterval{Best: &best, Low: &low, High: &high}
	if i.OpenLow {
		j.Low, j.Open = nil, append(j.Open, "low")
	}
	if i.OpenHigh {
		j.High, j.Open = nil, append(j.Open, "high")
	}
	return j
}

// plain is a number without the noise of its sums: money is known to less than a millionth.
func (s scale) plain(v float64) float64 { return s.rounded(s.number(v)) }

// rounded is plain for a number in the scale's unit.
func (s scale) rounded(n float64) float64 {
	if s.dim.Money == 0 || math.Abs(n) > 1e9 {
		return n
	}
	return math.Round(n*1e6) / 1e6
}

func (s scale) side(v *float64) *float64 {
	if v == nil {
		return nil
	}
	n := s.number(*v)
	return &n
}
