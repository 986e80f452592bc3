package cli

import (
	"errors"

	"hindwatt/internal/hindsight/life"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

type hindsightVerb struct {
	where
	Samples int    `placeholder:"N" default:"1000" help:"Lives that are drawn."`
	More    int    `placeholder:"N" help:"Units still to be made; else as many as were sold in the last year of the records."`
	Next    bool   `help:"Find the next revision: the shortest list of allowed changes that meets the open promises."`
	Seed    uint64 `placeholder:"N" default:"1" help:"Seed of all random draws; the same seed gives the same digits."`
	JSON    bool   `name:"json" help:"Print one JSON object and nothing else."`
	CSV     bool   `name:"csv" help:"Print a row a change as CSV and nothing else."`
}

func (v *hindsightVerb) Run(w *world) error {
	switch {
	case v.JSON && v.CSV:
		return errors.New("--json and --csv: want one of the two")
	case v.More < 0:
		return errors.New("--more: want 0 or more units")
	}
	folder, err := product.Read(v.In)
	if err != nil {
		return err
	}
	r, err := life.Of(w.ctx, life.Asked{Folder: folder, Samples: v.Samples, More: v.More, Seed: v.Seed, Kept: kept.Open(v.In)})
	if err != nil {
		return err
	}
	var next *life.Next
	if v.Next {
		if next, err = r.Revision(w.ctx); err != nil {
			return err
		}
	}
	switch {
	case v.CSV:
		return r.CSV(w.out)
	case v.JSON:
		return printed(w.out, func() ([]byte, error) { return r.JSON(next) })
	}
	shown := r.Page(next)
	return shown.Text(w.out, w.screen.width, w.screen.style)
}
