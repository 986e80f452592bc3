package promise

import (
	"encoding/json"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// An Answer is one study in full.
type Answer struct {
	Study, Product, Variant, Installation string
	Figures                               []Figure
	Ends                                  []NamedEnd
	Pages                                 []page.Page
	More                                  []page.Table // too long for a page: in JSON alone
}

// A Figure is one quantity of a study, in SI units, shown in Unit.
type Figure struct {
	Name string
	Interval
	Dim  quantity.Dimension
	Unit string
}

// A NamedEnd is how one case ends, in its worst state.
type NamedEnd struct {
	Name string
	End
}

func (s *session) newAnswer(study string, pages ...page.Page) *Answer {
	return &Answer{
		Study: study, Product: s.product.Name.Text, Variant: s.product.Variant, Installation: s.options.Installation, Pages: pages,
	}
}

// Empty reports whether nothing could be computed.
func (a *Answer) Empty() bool { return len(a.Figures)+len(a.Ends) == 0 }

type jsonAnswer struct {
	Study        string                    `json:"study"`
	Product      string                    `json:"product"`
	Variant      *string                   `json:"variant"`
	Installation *string                   `json:"installation"`
	Quantities   map[string]jsonAnswerLine `json:"quantities"`
	Tables       []jsonTable               `json:"tables"`
	Warnings     []jsonNote                `json:"warnings"`
	Cautions     []jsonNote                `json:"cautions"`
	Lacks        []jsonLack                `json:"lacks"`
}

type jsonAnswerLine struct {
	jsonInterval
	*jsonEnd
	Unit string `json:"unit"`
}

type jsonTable struct {
	Title string     `json:"title"`
	Head  []string   `json:"head"`
	Rows  [][]string `json:"rows"`
}

type jsonNote struct {
	Text   string `json:"text"`
	Remedy string `json:"remedy,omitempty"`
	From   string `json:"from,omitempty"`
}

// JSON writes the study as docs/verbs.md describes it.
func (a *Answer) JSON() ([]byte, error) {
	out := jsonAnswer{
		Study: a.Study, Product: a.Product, Quantities: map[string]jsonAnswerLine{},
		Tables: []jsonTable{}, Warnings: []jsonNote{}, Cautions: []jsonNote{}, Lacks: []jsonLack{},
	}
	if a.Variant != "" {
		out.Variant = &a.Variant
	}
	if a.Installation != "" {
		out.Installation = &a.Installation
	}
	for _, f := range a.Figures {
		out.Quantities[f.Name] = jsonAnswerLine{jsonInterval: scale{dim: f.Dim, unit: f.Unit}.interval3(f.Interval), Unit: f.Unit}
	}
	for _, e := range a.Ends {
		out.Quantities[e.Name] = jsonAnswerLine{jsonEnd: e.json()}
	}
	tables := a.More
	for _, p := range a.Pages {
		tables = slices.Concat(tables, p.Tables)
	}
	for _, t := range tables {
		out.Tables = append(out.Tables, jsonTable{t.Title, t.Head, append([][]string{}, t.Rows...)})
	}
	for _, p := range a.Pages {
		out.Warnings = append(out.Warnings, jsonNotes(p.Warnings)...)
		out.Cautions = append(out.Cautions, jsonNotes(p.Cautions)...)
		for _, l := range p.Lacks {
			out.Lacks = append(out.Lacks, jsonLack{l.File, l.Key, l.Why})
		}
	}
	return json.MarshalIndent(out, "", "  ")
}

func jsonNotes(notes []page.Note) []jsonNote {
	out := []jsonNote{}
	for _, n := range notes {
		out = append(out, jsonNote(n))
	}
	return out
}
