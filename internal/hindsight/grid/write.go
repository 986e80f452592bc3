package grid

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
)

// CSV writes all rows in the order of the points: variant and installation where there are several, inputs, figures, and why a figure is
// missing. It is an error if points are left.
func (r *Run) CSV(to io.Writer) error {
	g := r.grid
	if r.Done() < g.Points() {
		return errCut
	}
	units := make([]string, len(g.Figures))
	for c := range r.chunks {
		for k, u := range r.rows.done[c].units {
			if units[k] == "" {
				units[k] = u
			}
		}
	}
	w := csv.NewWriter(to)
	head := []string{"point"}
	if len(g.Variants) > 1 {
		head = append(head, "variant")
	}
	if len(g.Installations) > 1 {
		head = append(head, "installation")
	}
	for _, in := range g.Inputs {
		head = append(head, withUnit(in.Path, in.Unit))
	}
	for k, f := range g.Figures {
		head = append(head, withUnit(f.String(), units[k]))
	}
	w.Write(append(head, "why_not"))
	for i := range g.Points() {
		c, at := r.rows.done[i/chunkSize], i%chunkSize
		w.Write(r.row(i, c.values[at*len(g.Figures):(at+1)*len(g.Figures)], c.why[strconv.Itoa(at)]))
	}
	w.Flush()
	return w.Error()
}

func withUnit(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + " (" + unit + ")"
}

func (r *Run) row(i int, figures []float64, why string) []string {
	at := r.points.at(i)
	row := []string{strconv.Itoa(i + 1)}
	if len(r.grid.Variants) > 1 {
		row = append(row, at.variant)
	}
	if len(r.grid.Installations) > 1 {
		row = append(row, at.installation)
	}
	for _, v := range at.values {
		row = append(row, plain(v))
	}
	for _, v := range figures {
		if math.IsNaN(v) {
			row = append(row, "")
		} else {
			row = append(row, plain(v))
		}
	}
	return append(row, why)
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
