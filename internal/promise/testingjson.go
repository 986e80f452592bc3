package promise

import (
	"encoding/json"
	"math"
	"strings"

	"hindwatt/internal/study/bench/sheet"
)

type jsonTesting struct {
	Product  string        `json:"product"`
	Revision string        `json:"revision"`
	Levels   []jsonLevel   `json:"levels"`
	Left     []jsonUnshown `json:"not_shown"`
	Warnings []jsonNote    `json:"warnings"`
	Lacks    []jsonLack    `json:"lacks"`
}

type jsonLevel struct {
	Name         string    `json:"name"`
	Conditions   string    `json:"conditions"`
	Meter        string    `json:"meter"`
	Accept       jsonSides `json:"accept"`
	Promised     jsonSides `json:"promised"`
	Uncertainty  float64   `json:"uncertainty"` // standard
	Accepted     float64   `json:"accepted"`
	BadPassed    float64   `json:"bad_passed"`
	GoodRejected float64   `json:"good_rejected"`
	LeastCost    bool      `json:"least_cost"`
}

type jsonSides struct {
	Min  *float64 `json:"min"`
	Max  *float64 `json:"max"`
	Unit string   `json:"unit"`
}

type jsonUnshown struct {
	Promise string `json:"promise"`
	Why     string `json:"why"`
}

// JSON writes the limits as docs/verbs.md describes it; an open side is null.
func (t *Testing) JSON() ([]byte, error) {
	j := jsonTesting{Product: t.Sheet.Product, Revision: t.Sheet.Revision, Levels: []jsonLevel{}, Left: []jsonUnshown{}, Warnings: jsonNotes(t.Warnings), Lacks: []jsonLack{}}
	for i := range t.Sheet.Rows {
		r := &t.Sheet.Rows[i]
		j.Levels = append(j.Levels, jsonLevel{r.Promise, r.Conditions, r.Meter.Name, sides(r, r.Accept.Low, r.Accept.High), sides(r, r.Min, r.Max), r.U,
			r.Accept.Accepted, r.Accept.FalseAccept, r.Accept.FalseReject, r.Best != nil})
	}
	for _, l := range t.Left {
		name, why, _ := strings.Cut(l, ": ")
		j.Left = append(j.Left, jsonUnshown{name, why})
	}
	for _, l := range t.Lacks {
		j.Lacks = append(j.Lacks, jsonLack{l.File, l.Key, l.Why})
	}
	return json.MarshalIndent(j, "", "  ")
}

func sides(r *sheet.Row, low, high float64) jsonSides {
	s := jsonSides{Unit: r.Unit}
	if !math.IsInf(low, 0) {
		s.Min = &low
	}
	if !math.IsInf(high, 0) {
		s.Max = &high
	}
	return s
}
