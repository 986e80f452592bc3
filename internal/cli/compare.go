package cli

import (
	"errors"
	"fmt"
	"strings"

	"hindwatt/internal/hindsight/compare"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

type compareVerb struct {
	where
	Variants []string `arg:"" optional:"" name:"variant" help:"Variants or revisions; none: all."`
	Seed     uint64   `placeholder:"N" default:"1" help:"Seed of all random draws; the same seed gives the same digits."`
	Axes     string   `placeholder:"X,Y" default:"cost,met" help:"Two measures to draw choices over: cost, minutes, parts, hazards, harmed, lost, met, not-met."`
	Records  string   `enum:"split,pooled" default:"split" help:"Records of revisions: split or pooled."`
	JSON     bool     `name:"json" help:"Print one JSON object and nothing else."`
	CSV      bool     `name:"csv" help:"Print a row a choice as CSV and nothing else."`
}

func (v *compareVerb) Run(w *world) error {
	if v.JSON && v.CSV {
		return errors.New("--json and --csv: want one of the two")
	}
	x, y, ok := strings.Cut(v.Axes, ",")
	if !ok || strings.Contains(y, ",") {
		return fmt.Errorf("--axes %s: want two measures, such as cost,met", v.Axes)
	}
	folder, err := product.Read(v.In)
	if err != nil {
		return err
	}
	r, err := compare.Of(w.ctx, compare.Asked{Folder: folder, Names: v.Variants, Axes: [2]string{strings.TrimSpace(x), strings.TrimSpace(y)},
		Pooled: v.Records == "pooled", Seed: v.Seed, Kept: kept.Open(v.In)})
	if err != nil {
		return err
	}
	switch {
	case v.CSV:
		return r.CSV(w.out)
	case v.JSON:
		return printed(w.out, r.JSON)
	}
	shown := r.Page()
	return shown.Text(w.out, w.screen.width, w.screen.style)
}
